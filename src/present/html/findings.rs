//! What was found, worst first, each with the line it points to.

use super::words::words;
use crate::document::Emphasis;
use crate::findings::{Finding, Severity};
use crate::markup::{Element, element};
use crate::present::findings::{line_in_words, sorted};
use crate::span::CircuitText;

pub(super) fn show(findings: &[Finding], text: Option<&CircuitText>) -> Element {
    let items = sorted(findings).into_iter().map(|found| one(found, text));
    element("ul").class("findings").all(items)
}

fn one(finding: &Finding, text: Option<&CircuitText>) -> Element {
    let severity = finding.severity();
    let mut item = element("li")
        .with(
            element("strong")
                .class(tone(severity))
                .text(severity.word()),
        )
        .text(": ")
        .all(words(&finding.statement));
    if let Some(state) = &finding.state {
        item = item
            .text(" (state ")
            .with(element("code").text(state))
            .text(")");
    }
    if let (Some(label), Some(text)) = (finding.labels.first(), text) {
        item = item.text(", ").all(words(&line_in_words(text, label.span)));
    }
    if let Some(hint) = &finding.hint {
        item = item.with(element("p").text("Hint: ").all(words(hint)));
    }
    let page = element("code").text(format!("ampkeel explain {}", finding.code.name()));
    let mut more = element("p").class("fine").with(page).text(" says more");
    if !finding.sources.is_empty() {
        let all: Vec<String> = finding.sources.iter().map(ToString::to_string).collect();
        more = more.text(". Source: ").text(all.join("; "));
    }
    item.with(more)
}

/// The class of a severity's word.
fn tone(severity: Severity) -> &'static str {
    match emphasis(severity) {
        Emphasis::Bad => "bad",
        Emphasis::Warn => "warn",
        Emphasis::Plain | Emphasis::Ok => "note",
    }
}

fn emphasis(severity: Severity) -> Emphasis {
    match severity {
        Severity::Mistake | Severity::Violation => Emphasis::Bad,
        Severity::Caution => Emphasis::Warn,
        Severity::Note => Emphasis::Plain,
    }
}
