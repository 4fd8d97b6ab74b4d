//! `schema`: the JSON Schema of circuit files, for editors.

use super::save::SaveArgs;
use super::{Failure, Reply};

const EXAMPLES: &str = "\
Examples:
  ampkeel schema -o circuit.schema.json
  then start a circuit file with the line: #:schema ./circuit.schema.json";

/// Print the JSON Schema of circuit files, for editors
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    save: SaveArgs,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let schema = crate::reading::schema();
        self.save.save(format!("{schema:#}\n"))
    }
}
