//! The `ampkeel` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    ampkeel::cli::main()
}
