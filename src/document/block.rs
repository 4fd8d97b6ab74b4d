//! The kinds of block a document is made of.

use super::{Chart, Step, Table};
use crate::findings::{Assumed, Finding};
use crate::sources::Source;

/// One block.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// The answer in one sentence.
    Answer(String),
    /// A heading; level 1 for a section, 2 for a part of it.
    Heading {
        /// 1 or 2.
        level: u8,
        /// The words.
        text: String,
    },
    /// Running text.
    Paragraph(String),
    /// Figures in rows and columns.
    Table(Table),
    /// Curves.
    Chart(Chart),
    /// Lines shown as they are, in letters of one width: a plot in ASCII.
    Plot(Vec<String>),
    /// A list without order.
    Bullets(Vec<String>),
    /// Numbered work steps.
    Steps(Vec<Step>),
    /// What was found, shown worst first.
    Findings(Vec<Finding>),
    /// Defaults that entered the result.
    Assumed(Vec<Assumed>),
    /// Citations.
    Sources(Vec<Source>),
}
