//! The command line: arguments in, one study asked, one answer shown.
//!
//! One file a subcommand, each thin: read the circuit, call one study, hand
//! its document and JSON to [`answer::Answer`]. Adding a subcommand is its
//! file, its line in `Command` and its line in `Command::run`.
//!
//! Results go to standard output, talk to standard error. Exit status: 0 no
//! violation, 1 at least one violation, 2 could not run.

pub mod answer;
mod bench;
pub mod builtin;
mod check;
mod completions;
mod explain;
mod failure;
mod figures;
mod first;
mod fuse;
mod input;
mod interpret;
mod interpret_aboard;
mod interpret_log;
mod man;
mod near;
mod new;
mod ohms;
pub mod output;
mod protect;
mod readings;
mod report;
mod rig;
pub mod save;
mod schema;
mod size;
mod solve;
mod subject;
mod suits;
mod tables;
mod trace;
mod trace_log;
mod trace_opening;
mod trace_sharpen;
mod trace_spots;
mod trace_talk;
mod trace_write;
mod transient;
mod wire;

pub use answer::{Answer, Reply};
pub use failure::Failure;
pub use input::{CircuitArgs, Loaded, Opened};
use near::nearest;
pub use output::OutputArgs;

use clap::{CommandFactory, Parser, Subcommand};
use std::ffi::OsString;
use std::process::ExitCode;

const EXAMPLES: &str = "\
Examples:
  ampkeel                        solve the built-in example
  ampkeel new --like \"injected outboard\" -o boat.toml
                                 start a circuit file from a typical boat
  ampkeel solve boat.toml        volts, amperes, drops and fuse loading by state
  ampkeel protect boat.toml      hold every fuse against start, stall, short and wire
  ampkeel size boat.toml         gauge of every wire, rating of every fuse
  ampkeel bench boat.toml pump   bench-test a part: steps, what to read
  ampkeel interpret boat.toml pump --volts 12V --amps 19A
                                 what readings say: conditions with odds
  ampkeel trace boat.toml --fuse main --state start
                                 why a fuse opens, what to test next
  ampkeel transient boat.toml --state crank
                                 follow inrush, stall, shorts and relays in time
  ampkeel report boat.toml -o boat.html
                                 one page for the boat: diagram, charts, forms
  ampkeel check boat.toml        find every mistake in a circuit file
  ampkeel check --example        look at the built-in circuit
  ampkeel wire --current 6A --length 14ft
                                 find the gauge for one circuit
  ampkeel fuse --style blade --rating 20A
                                 say when a fuse opens
  ampkeel explain                list what can be found, and why it matters
  ampkeel tables                 list the built-in figures and their sources

Exit status: 0 no violation, 1 at least one violation, 2 could not run.";

/// Electrical bench-test and circuit-protection helper for small marine engines
#[derive(Debug, Parser)]
#[command(name = "ampkeel", version, after_help = EXAMPLES)]
struct Cli {
    #[command(flatten)]
    output: OutputArgs,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(new::Args),
    Check(check::Args),
    Solve(solve::Args),
    Protect(protect::Args),
    Size(size::Args),
    Transient(transient::Args),
    Bench(bench::Args),
    Interpret(Box<interpret::Args>),
    Trace(Box<trace::Args>),
    Report(report::Args),
    Wire(wire::Args),
    Fuse(fuse::Args),
    Explain(explain::Args),
    Tables(tables::Args),
    Schema(schema::Args),
    Completions(completions::Args),
    Man(man::Args),
}

impl Command {
    fn name(&self) -> &'static str {
        match self {
            Self::New(_) => "new",
            Self::Check(_) => "check",
            Self::Solve(_) => "solve",
            Self::Protect(_) => "protect",
            Self::Size(_) => "size",
            Self::Transient(_) => "transient",
            Self::Bench(_) => "bench",
            Self::Interpret(_) => "interpret",
            Self::Trace(_) => "trace",
            Self::Report(_) => "report",
            Self::Wire(_) => "wire",
            Self::Fuse(_) => "fuse",
            Self::Explain(_) => "explain",
            Self::Tables(_) => "tables",
            Self::Schema(_) => "schema",
            Self::Completions(_) => "completions",
            Self::Man(_) => "man",
        }
    }

    fn run(&self, output: &OutputArgs) -> Result<Reply, Failure> {
        match self {
            Self::New(args) => args.run(output),
            Self::Check(args) => args.run(),
            Self::Solve(args) => args.run(),
            Self::Protect(args) => args.run(),
            Self::Size(args) => args.run(),
            Self::Transient(args) => args.run(),
            Self::Bench(args) => args.run(),
            Self::Interpret(args) => args.run(),
            Self::Trace(args) => args.run(output),
            Self::Report(args) => args.run(),
            Self::Wire(args) => args.run(),
            Self::Fuse(args) => args.run(),
            Self::Explain(args) => args.run(),
            Self::Tables(args) => args.run(),
            Self::Schema(args) => args.run(),
            Self::Completions(args) => Ok(args.run()),
            Self::Man(args) => args.run(),
        }
    }
}

/// The whole definition, for manual pages and completions.
fn definition() -> clap::Command {
    Cli::command()
}

/// Runs the command with the arguments of the process.
pub fn main() -> ExitCode {
    ExitCode::from(run(std::env::args_os()))
}

/// Runs the command and returns its exit status.
fn run(arguments: impl IntoIterator<Item = OsString>) -> u8 {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(asked) => return usage(&asked),
    };
    let (name, reply) = match &cli.command {
        Some(command) => (command.name(), command.run(&cli.output)),
        None => ("", first::run()),
    };
    match reply.and_then(|reply| reply.show(&cli.output)) {
        Ok(status) => status,
        Err(failure) => failure.show(name, &cli.output),
    }
}

/// Help and version end with 0, a usage error with 2; a closed pipe is no error.
fn usage(asked: &clap::Error) -> u8 {
    drop(asked.print());
    u8::try_from(asked.exit_code()).unwrap_or(2)
}
