//! `tables`: every built-in table with its source and standing.

use super::{Answer, Failure, Reply};
use crate::document::catalogue as shown;
use crate::present::json::tables as json;
use crate::tables::{Table, catalogue};

const EXAMPLES: &str = "\
Examples:
  ampkeel tables                 list all tables
  ampkeel tables fuses           those of one area
  ampkeel tables NAME            all rows of one";

/// List the built-in tables with their sources, or print one of them
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// A table, or an area to list; without it all tables are listed
    #[arg(value_name = "NAME")]
    name: Option<String>,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let Some(name) = self.name.as_deref().map(str::trim) else {
            return Ok(list(&catalogue().iter().collect::<Vec<_>>()).into());
        };
        if let Some(table) = catalogue().iter().find(|table| table.id == name) {
            return Ok(one(table).into());
        }
        let of_area: Vec<&Table> = catalogue().iter().filter(|t| t.area == name).collect();
        if of_area.is_empty() {
            return Err(unknown(name));
        }
        Ok(list(&of_area).into())
    }
}

fn unknown(name: &str) -> Failure {
    let known = catalogue().iter().flat_map(|t| [t.id.as_str(), t.area]);
    Failure::unknown("table", name, known, "`ampkeel tables` lists all")
}

fn list(tables: &[&Table]) -> Answer {
    Answer {
        command: "tables",
        document: shown::list(tables),
        body: json::list(tables),
        ..Answer::default()
    }
}

fn one(table: &Table) -> Answer {
    Answer {
        command: "tables",
        document: shown::one(table),
        body: json::one(table),
        sources: vec![table.source.clone()],
        ..Answer::default()
    }
}
