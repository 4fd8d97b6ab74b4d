//! One published table in memory, and the error of looking outside it.

use crate::sources::{Source, Standing};
use thiserror::Error;

/// One field of a row.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// A figure in its column's unit; infinity means without end.
    Number(f64),
    /// Words, or a size such as `1/0`.
    Text(String),
    /// Yes or no.
    Flag(bool),
    /// The document gives nothing here.
    Empty,
}

impl Cell {
    /// The figure, where the cell is one.
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Number(value) => Some(*value),
            _ => None,
        }
    }

    /// The words, where the cell is words.
    pub fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            _ => None,
        }
    }
}

/// A column: its name and the unit of its figures, `-` for words and counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Name in the data file; ends in the unit where there is one.
    pub name: String,
    /// Unit as the document prints it.
    pub unit: String,
}

/// A row looked up with the answer the document, or its worked example, prints.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Columns and the cells that single out the row.
    pub given: Vec<(String, Cell)>,
    /// Columns and the cells printed.
    pub printed: Vec<(String, Cell)>,
    /// Where the answer stands.
    pub place: String,
}

/// A published table with its citation and limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Name, as `tables NAME` takes it.
    pub id: String,
    /// Area, as the data folders are called: conductors, fuses, ...
    pub area: &'static str,
    /// What the table gives.
    pub title: String,
    /// Where it comes from.
    pub source: Source,
    /// A remark on the source; may be empty.
    pub source_note: String,
    /// Limits in words.
    pub applies: String,
    /// Limits as data.
    pub limits: Vec<(String, Cell)>,
    /// Columns in the order of the cells.
    pub columns: Vec<Column>,
    /// Rows, each as long as `columns`.
    pub rows: Vec<Vec<Cell>>,
    /// Sum of each column of figures, infinities left out; the first is the
    /// count of rows under the name `rows`.
    pub totals: Vec<(String, f64)>,
    /// Printed answers to hold the rows against.
    pub checks: Vec<Check>,
    /// Remarks: conflicts between sources, misprints, formulas.
    pub notes: Vec<String>,
}

impl Table {
    /// Position of a column.
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.name == name)
    }

    /// A cell by row and column name.
    pub fn cell(&self, row: usize, column: &str) -> Option<&Cell> {
        self.rows.get(row)?.get(self.column(column)?)
    }

    /// A figure by row and column name.
    pub fn number(&self, row: usize, column: &str) -> Option<f64> {
        self.cell(row, column)?.number()
    }

    /// Words by row and column name.
    pub fn text(&self, row: usize, column: &str) -> Option<&str> {
        self.cell(row, column)?.text()
    }

    /// A limit by name.
    pub fn limit(&self, name: &str) -> Option<f64> {
        let found = self.limits.iter().find(|(key, _)| key == name)?;
        found.1.number()
    }

    /// The first row whose column holds these words.
    pub fn find(&self, column: &str, words: &str) -> Option<usize> {
        let at = self.column(column)?;
        self.rows
            .iter()
            .position(|row| row.get(at).and_then(Cell::text) == Some(words))
    }

    /// The citation of one row: its own standing where the table has a
    /// `standing` column, and its `basis` column as the place.
    pub fn row_source(&self, row: usize) -> Source {
        let standing = self
            .text(row, "standing")
            .and_then(Standing::from_word)
            .unwrap_or(self.source.standing);
        let place = self.text(row, "basis").unwrap_or(&self.source.place);
        Source::new(self.source.document.clone(), place, standing)
    }
}

/// A figure was asked for that no table has.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{wanted}; {has} (table `{table}`)")]
pub struct OutOfTable {
    /// What is missing: "no ampacity for 20 AWG".
    pub wanted: String,
    /// What there is: "it lists 18 AWG to 4/0 AWG".
    pub has: String,
    /// The table's name, for `tables NAME`.
    pub table: String,
}

impl OutOfTable {
    pub(super) fn new(
        wanted: impl Into<String>,
        has: impl Into<String>,
        table: impl Into<String>,
    ) -> Self {
        Self {
            wanted: wanted.into(),
            has: has.into(),
            table: table.into(),
        }
    }
}
