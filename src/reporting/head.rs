//! What stands at the head of a page: cautions, then the answers.

use crate::circuit::{Circuit, Engine};
use crate::document::{Block, Document};
use crate::tables::cautions::{deference, two_line_summary, two_line_summary_inboard};

/// The cautions of all work, then those of the study, each once.
pub(super) fn cautions(circuit: &Circuit, protected: &Document) -> Vec<String> {
    let first = match circuit.boat.drive() {
        Some(Engine::Inboard) => two_line_summary_inboard(),
        _ => two_line_summary(),
    };
    let mut all: Vec<String> = first.into_iter().map(Into::into).collect();
    for caution in protected.cautions() {
        if !all.contains(caution) {
            all.push(caution.clone());
        }
    }
    say_once(&mut all);
    let last = deference();
    all.retain(|caution| *caution != last);
    all.push(last.into());
    all
}

/// A clause of one caution that another one says at length.
const SAID_AGAIN: &str = ", and never fit a larger fuse to stop one from opening";

/// Cuts the clause where another caution says the same.
fn say_once(all: &mut [String]) {
    let at_length = |text: &String| text.starts_with("Never fit a larger fuse");
    if all.iter().any(at_length) {
        for text in all.iter_mut() {
            *text = text.replace(SAID_AGAIN, "");
        }
    }
}

/// An answer without the title it begins with: the page has that at its head.
fn untitled<'a>(answer: &'a str, title: &str) -> &'a str {
    let rest = answer.strip_prefix(title);
    let rest = rest.and_then(|rest| rest.strip_prefix(": "));
    rest.unwrap_or(answer)
}

/// The answer of each study, with what it is about.
pub(super) fn answers(circuit: &Circuit, solved: &Document, protected: &Document) -> Vec<String> {
    let of = |about: &str, document: &Document| {
        let all = answers_of(document).into_iter();
        let told = all.map(|text| format!("{about}: {}", untitled(&text, &circuit.title)));
        told.collect::<Vec<String>>()
    };
    let loads = of("Loads and wires", solved);
    [loads, of("Fuses and breakers", protected)].concat()
}

fn answers_of(document: &Document) -> Vec<String> {
    let blocks = document.blocks().iter();
    blocks
        .filter_map(|block| match block {
            Block::Answer(sentence) => Some(sentence.clone()),
            _ => None,
        })
        .collect()
}
