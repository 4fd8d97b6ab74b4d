//! `man`: manual pages, in the form `man` reads.

use super::{Failure, Reply, definition, nearest};
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
    let names = || whole.get_subcommands().map(clap::Command::get_name);
    whole
        .find_subcommand(name)
        .cloned()
        .ok_or_else(|| Failure::Unknown {
            what: "command",
            given: name.to_owned(),
            nearest: nearest(name, names()).map(str::to_owned),
            list: "`ampkeel help` lists all".to_owned(),
        })
}
