//! Numbered steps of a document: caution, order, meter, readings to expect.

use super::words::words;
use crate::document::{Expected, Step};
use crate::markup::{Element, element};

pub(super) fn show(steps: &[Step]) -> Element {
    element("ol").class("steps").all(steps.iter().map(one))
}

fn one(step: &Step) -> Element {
    let mut item = element("li").all(step.cautions.iter().map(|text| caution(text)));
    item = item.with(element("p").all(words(&step.action)));
    if let Some(meter) = &step.meter {
        item = item.with(labelled("meter", meter));
    }
    item = item.all(step.expected.iter().map(reading));
    item = item.all(step.notes.iter().map(|text| labelled("note", text)));
    item = item.all(step.outside.iter().map(|text| labelled("if", text)));
    match &step.stop_if {
        Some(text) => item.with(stop(text)),
        None => item,
    }
}

/// A caution before its step.
pub(super) fn caution(text: &str) -> Element {
    element("p")
        .class("caution")
        .with(element("strong").text("Caution: "))
        .all(words(text))
}

/// A line with what it is in front.
pub(super) fn labelled(label: &str, text: &str) -> Element {
    element("p")
        .with(element("b").text(label))
        .text(": ")
        .all(words(text))
}

/// When to stop.
pub(super) fn stop(text: &str) -> Element {
    element("p")
        .class("caution")
        .with(element("strong").text("Stop if: "))
        .all(words(text))
}

fn reading(expected: &Expected) -> Element {
    labelled(&format!("expect {}", expected.quantity), &expected.range)
}
