//! A document as part of a page of HTML, and the page that holds a report.
//!
//! Called by `cli`.

mod charts;
mod findings;
mod page;
mod paper;
mod sheets;
mod steps;
mod table;
mod wiring;
mod words;

use super::assumed;
use crate::document::{Block, Document};
use crate::markup::{Element, Node, element};
use crate::span::CircuitText;
pub use page::page;
use words::words;

/// The blocks of a document; `level` is that of its upper headings, `text` the
/// circuit file that findings point into.
fn blocks(document: &Document, text: Option<&CircuitText>, level: u8) -> Vec<Node> {
    let blocks = document.blocks().iter();
    blocks
        .filter_map(|block| one(block, text, level))
        .map(Node::from)
        .collect()
}

fn one(block: &Block, text: Option<&CircuitText>, top: u8) -> Option<Element> {
    Some(match block {
        Block::Answer(sentence) => element("p").class("answer").all(words(sentence)),
        Block::Heading { level, text } => heading(top + level - 1).all(words(text)),
        Block::Paragraph(text) => element("p").all(words(text)),
        Block::Table(table) => table::show(table),
        Block::Plot(rows) => element("pre").text(rows.join("\n")),
        Block::Bullets(items) => listed(items),
        Block::Steps(steps) => steps::show(steps),
        Block::Findings(found) => findings::show(found, text),
        Block::Assumed(all) => listed(&assumed::gathered(all)),
        Block::Sources(all) => {
            let all: Vec<String> = all.iter().map(ToString::to_string).collect();
            listed(&all)
        }
        // A report draws its own.
        Block::Chart(_) => return None,
    })
}

fn heading(level: u8) -> Element {
    element(match level {
        0..=2 => "h2",
        3 => "h3",
        4 => "h4",
        _ => "h5",
    })
}

fn listed(items: &[String]) -> Element {
    let items = items.iter().map(|item| element("li").all(words(item)));
    element("ul").all(items)
}
