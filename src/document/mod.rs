//! What an answer says, before anyone decides how it looks.
//!
//! A study fills a [`Document`] with blocks: cautions, the answer in one
//! sentence, tables, steps, findings, sources. There is no width and no colour
//! in it; a cell may only say that it is fine, doubtful or bad. Text is plain
//! shop language with names in backticks; figures are printed beforehand by
//! `quantities::print`.
//!
//! Made by the studies; shown by `present`.

mod block;
pub mod catalogue;
mod chart;
mod prose;
mod steps;
mod table;

pub use block::Block;
pub use chart::{Axis, Chart, Curve};
pub use steps::{Expected, Step};
pub use table::{Align, Cell, Column, Emphasis, Table};

use crate::findings::{Assumed, Finding};
use crate::sources::Source;

/// An answer as a list of blocks. Cautions stand before everything else but
/// the line that says what the answer is about.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document {
    about: Option<String>,
    cautions: Vec<String>,
    blocks: Vec<Block>,
}

impl Document {
    /// Starts an empty document.
    pub fn new() -> Self {
        Self::default()
    }

    /// Says on the very first line what was answered for: a built-in circuit
    /// in place of a file, a length meant one way.
    pub fn about(&mut self, line: impl Into<String>) -> &mut Self {
        self.about = Some(line.into());
        self
    }

    /// Adds a caution, once, whenever it is called: cautions always come first.
    pub fn caution(&mut self, text: impl Into<String>) -> &mut Self {
        let text = text.into();
        if !self.cautions.contains(&text) {
            self.cautions.push(text);
        }
        self
    }

    /// Adds the answer in one sentence.
    pub fn answer(&mut self, sentence: impl Into<String>) -> &mut Self {
        self.push(Block::Answer(sentence.into()))
    }

    /// Adds a heading.
    pub fn heading(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Heading {
            level: 1,
            text: text.into(),
        })
    }

    /// Adds a heading below a heading.
    pub fn subheading(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Heading {
            level: 2,
            text: text.into(),
        })
    }

    /// Adds a paragraph of running text.
    pub fn paragraph(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Paragraph(text.into()))
    }

    /// Adds a table; an empty one is left out.
    pub fn table(&mut self, table: Table) -> &mut Self {
        if table.rows.is_empty() {
            return self;
        }
        self.push(Block::Table(table))
    }

    /// Adds a list without order; an empty one is left out.
    pub fn bullets<T: Into<String>>(&mut self, items: impl IntoIterator<Item = T>) -> &mut Self {
        let items: Vec<String> = items.into_iter().map(Into::into).collect();
        if items.is_empty() {
            return self;
        }
        self.push(Block::Bullets(items))
    }

    /// Adds numbered steps; an empty list is left out.
    pub fn steps(&mut self, steps: impl IntoIterator<Item = Step>) -> &mut Self {
        let steps: Vec<Step> = steps.into_iter().collect();
        if steps.is_empty() {
            return self;
        }
        self.push(Block::Steps(steps))
    }

    /// Adds findings; an empty list is left out.
    pub fn findings(&mut self, findings: impl IntoIterator<Item = Finding>) -> &mut Self {
        let findings: Vec<Finding> = findings.into_iter().collect();
        if findings.is_empty() {
            return self;
        }
        self.push(Block::Findings(findings))
    }

    /// Adds the defaults that entered the result; an empty list is left out.
    pub fn assumed(&mut self, assumed: impl IntoIterator<Item = Assumed>) -> &mut Self {
        let assumed: Vec<Assumed> = assumed.into_iter().collect();
        if assumed.is_empty() {
            return self;
        }
        self.push(Block::Assumed(assumed))
    }

    /// Adds citations, each once; an empty list is left out.
    pub fn sources(&mut self, sources: impl IntoIterator<Item = Source>) -> &mut Self {
        let mut once: Vec<Source> = Vec::new();
        for source in sources {
            if !once.contains(&source) {
                once.push(source);
            }
        }
        if once.is_empty() {
            return self;
        }
        self.push(Block::Sources(once))
    }

    /// Adds any block.
    pub fn push(&mut self, block: Block) -> &mut Self {
        self.blocks.push(block);
        self
    }

    /// The line that says what the answer is about.
    pub fn about_line(&self) -> Option<&str> {
        self.about.as_deref()
    }

    /// The cautions, in the order they were added.
    pub fn cautions(&self) -> &[String] {
        &self.cautions
    }

    /// Everything after the cautions.
    pub fn blocks(&self) -> &[Block] {
        &self.blocks
    }
}
