//! `completions`: scripts that let a shell finish commands and options.

use super::{Reply, definition};
use clap_complete::{Shell, generate};

/// Print the completion script of a shell
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The shell
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

impl Args {
    pub(super) fn run(&self) -> Reply {
        let mut script = Vec::new();
        generate(self.shell, &mut definition(), "ampkeel", &mut script);
        Reply::Text(String::from_utf8_lossy(&script).into_owned())
    }
}
