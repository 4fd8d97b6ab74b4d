//! Published tables: the data files, one loader for all, and typed lookups.
//!
//! A table is one file in an area's folder with its document, place, standing,
//! limits, columns with units, rows, and column totals that guard the
//! transcription. [`catalogue`] holds them all for printing; the area modules
//! answer questions with a [`Sourced`](crate::sources::Sourced) figure, or with
//! [`OutOfTable`] when nothing was published for what is asked. Lookups never
//! extrapolate beyond a table, and a figure that is worked out says so in its
//! standing.
//!
//! Used by devices, sizing, protection, bench and the `tables` command.

pub mod ampacity;
pub mod batteries;
pub mod cautions;
pub mod conductors;
pub mod constants;
pub mod contacts;
pub mod devices;
pub mod drops;
mod files;
pub mod fuses;
mod interpolation;
mod loader;
pub mod meters;
pub mod readings;
mod table;
pub mod tracing;
pub mod unwritten;

pub use loader::read_table;
pub use table::{Cell, Check, Column, OutOfTable, Table};

use std::sync::LazyLock;

/// A data file that could not be read; a test holds this list empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileProblem {
    /// Area and file name.
    pub file: String,
    /// What is wrong.
    pub problem: String,
}

static LOADED: LazyLock<(Vec<Table>, Vec<FileProblem>)> = LazyLock::new(|| {
    let mut tables = Vec::new();
    let mut problems = Vec::new();
    for (area, name, text) in files::FILES {
        match read_table(area, text) {
            Ok(table) => tables.push(table),
            Err(problem) => problems.push(FileProblem {
                file: format!("{area}/{name}"),
                problem,
            }),
        }
    }
    (tables, problems)
});

/// Every built-in table, in the order of the areas.
pub fn catalogue() -> &'static [Table] {
    &LOADED.0
}

/// Data files that could not be read: none in a sound build.
pub fn problems() -> &'static [FileProblem] {
    &LOADED.1
}

/// A table by its name.
pub fn table(id: &str) -> Option<&'static Table> {
    catalogue().iter().find(|table| table.id == id)
}

/// A table by its name, or the refusal that it is missing from this build.
fn need(id: &str) -> Result<&'static Table, OutOfTable> {
    table(id).ok_or_else(|| {
        OutOfTable::new(
            format!("the table `{id}` could not be read"),
            "this build carries a damaged data file",
            id,
        )
    })
}

/// A figure of a row, or the refusal that the row has none.
fn figure(table: &Table, row: usize, column: &str) -> Result<f64, OutOfTable> {
    table.number(row, column).ok_or_else(|| {
        let name = table
            .rows
            .get(row)
            .and_then(|row| row.iter().find_map(Cell::text))
            .unwrap_or("this row");
        OutOfTable::new(
            format!("nothing is given for {name} in column {column}"),
            "other rows have the figure",
            &table.id,
        )
    })
}

/// Position of the row with these words, or a refusal that lists the words
/// there are.
fn row_named(table: &Table, column: &str, words: &str, what: &str) -> Result<usize, OutOfTable> {
    table.find(column, words).ok_or_else(|| {
        let mut known: Vec<&str> = (0..table.rows.len())
            .filter_map(|row| table.text(row, column))
            .collect();
        known.dedup();
        OutOfTable::new(
            format!("no {what} is called `{words}`"),
            format!("known: {}", known.join(", ")),
            &table.id,
        )
    })
}
