//! `man`: manual pages, in the form `man` reads.

use super::{Failure, Reply, definition};
use clap_mangen::Man;

const EXAMPLES: &str = "\
Examples:
  ampkeel man > ampkeel.1
  ampkeel man check | man -l -";

/// Print the manual page of the program or of one command
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Command whose page to print; without it the program's own
    #[arg(value_name = "COMMAND")]
    command: Option<String>,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let mut whole = definition();
        whole.build();
        let command = match &self.command {
            Some(name) => find(&whole, name)?,
            None => whole,
        };
        let mut page = Vec::new();
        Man::new(command)
            .render(&mut page)
            .map_err(Failure::Output)?;
        Ok(Reply::Text(String::from_utf8_lossy(&page).into_owned()))
    }
}

fn find(whole: &clap::Command, name: &str) -> Result<clap::Command, Failure> {
    let names = whole.get_subcommands().map(clap::Command::get_name);
    let list = "`ampkeel help` lists all";
    let command = whole.find_subcommand(name).cloned();
    command.ok_or_else(|| Failure::unknown("command", name, names, list))
}
