//! Findings as pictures of the circuit file, the way compilers show them.
//!
//! ```text
//! caution[CODE]: statement
//!  --> basalt.toml:14:10
//!   |
//! 14 | rating = "30 A"
//!    |          ^^^^^^ label
//!    = hint: what to do
//!    = source: document, place (standing)
//! ```
//!
//! A finding without a place in the file is shown without the picture.

use super::findings::sorted;
use super::look::{Look, Meaning};
use super::wrap::wrap;
use crate::findings::{Finding, Severity};
use crate::span::{CircuitText, Span};
use annotate_snippets::renderer::{DecorStyle, Renderer};
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Snippet};
use std::ops::Range;

/// Shows findings worst first, each followed by a blank line.
pub fn render(findings: &[Finding], text: Option<&CircuitText>, look: &Look) -> String {
    let mut out = String::new();
    for finding in sorted(findings) {
        out.push_str(&one(finding, text, look));
        out.push_str("\n\n");
    }
    out
}

fn one(finding: &Finding, text: Option<&CircuitText>, look: &Look) -> String {
    let statement = look.text(&finding.statement);
    let mut group = Group::with_title(
        level(finding.severity())
            .primary_title(statement)
            .id(finding.code.name()),
    );
    if let Some(text) = text.filter(|_| !finding.labels.is_empty()) {
        group = group.element(picture(finding, text, look));
    }
    for (name, words) in remarks(finding) {
        let room = look.width.saturating_sub(name.len() + 10).max(20);
        let lines = wrap(&look.text(&words), room, "").join("\n");
        group = group.element(Level::NOTE.with_name(name).message(lines));
    }
    renderer(look).render(&[group])
}

fn level(severity: Severity) -> Level<'static> {
    let level = match severity {
        Severity::Mistake | Severity::Violation => Level::ERROR,
        Severity::Caution => Level::WARNING,
        Severity::Note => Level::INFO,
    };
    level.with_name(severity.word())
}

/// State, hint and sources, each with the word before it.
fn remarks(finding: &Finding) -> Vec<(&'static str, String)> {
    let state = finding.state.iter().map(|s| ("state", format!("`{s}`")));
    let hint = finding.hint.iter().map(|hint| ("hint", hint.clone()));
    let sources = finding.sources.iter().map(|s| ("source", s.to_string()));
    state.chain(hint).chain(sources).collect()
}

fn picture<'a>(
    finding: &Finding,
    text: &'a CircuitText,
    look: &Look,
) -> Snippet<'a, Annotation<'a>> {
    let labels = finding.labels.iter().enumerate().map(|(number, label)| {
        let kind = if number == 0 {
            AnnotationKind::Primary
        } else {
            AnnotationKind::Context
        };
        let words = Some(look.text(&label.text)).filter(|words| !words.is_empty());
        kind.span(within(label.span, &text.text)).label(words)
    });
    Snippet::source(text.text.as_str())
        .path(look.text(&text.name))
        .annotations(labels)
}

/// Cuts a span to the text and to whole characters.
fn within(span: Span, text: &str) -> Range<usize> {
    let floor = |byte: usize| {
        (0..=byte.min(text.len()))
            .rev()
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(0)
    };
    let start = floor(span.start);
    start..floor(span.end).max(start)
}

fn renderer(look: &Look) -> Renderer {
    let base = if look.colour {
        Renderer::styled()
            .error(Meaning::Bad.style())
            .warning(Meaning::Warn.style())
            .info(Meaning::Note.style())
            .note(Meaning::Note.style())
    } else {
        Renderer::plain()
    };
    base.decor_style(DecorStyle::Ascii).term_width(look.width)
}
