//! `report`: one page that goes to the boat.

use super::save::SaveArgs;
use super::{CircuitArgs, Failure, Loaded, Reply, answer};
use crate::present::html::page;
use crate::reporting::report;

const EXAMPLES: &str = "\
Examples:
  ampkeel report boat.toml -o boat.html
  ampkeel report --example -o example.html

Exit status: 0 no violation, 1 at least one violation, 2 could not run.";

/// Write one self-contained page: wiring diagram, charts, bench forms, sources
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    circuit: CircuitArgs,
    #[command(flatten)]
    save: SaveArgs,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let Loaded {
            text,
            about,
            circuit,
            findings,
        } = self.circuit.load()?;
        let found = report(&circuit, &text, about, findings)
            .map_err(|why| Failure::Unsolved(why.to_string()))?;
        let status = answer::status(&found.findings);
        let _ = status;
        self.save.save(page(&found, &text))
    }
}
