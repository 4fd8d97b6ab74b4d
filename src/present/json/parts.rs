//! Findings, assumptions and sources as JSON.

use super::Object;
use crate::findings::{Assumed, Finding};
use crate::sources::Source;
use crate::span::CircuitText;

/// A finding; line and column count from 1, in the circuit file unless a
/// `file` beside it is named.
pub fn finding(finding: &Finding, text: Option<&CircuitText>) -> Object {
    let measure = finding.measure;
    let object = Object::new()
        .text("code", finding.code.name())
        .text("severity", finding.severity().word())
        .text("subject", &finding.subject)
        .text_or_null("state", finding.state.as_deref())
        .text("statement", &finding.statement)
        .text_or_null("hint", finding.hint.as_deref())
        .number_or_null("value", measure.map(|m| m.value))
        .number_or_null("limit", measure.and_then(|m| m.limit))
        .text_or_null("unit", measure.map(|m| m.unit))
        .flag("sizing_can_mend", finding.sizing_can_mend);
    place(object, finding, text).objects("sources", finding.sources.iter().map(source))
}

fn place(object: Object, finding: &Finding, text: Option<&CircuitText>) -> Object {
    match (finding.labels.first(), text) {
        (Some(label), Some(text)) => {
            let (line, column) = text.line_column(label.span.start);
            let object = object.count("line", line).count("column", column);
            // The circuit file is known; a list beside it is named.
            match text.list_name_at(label.span.start) {
                Some(list) => object.text("file", list),
                None => object,
            }
        }
        _ => object
            .number_or_null("line", None)
            .number_or_null("column", None),
    }
}

/// A default that entered the result.
pub fn assumed(assumed: &Assumed) -> Object {
    Object::new()
        .text("subject", &assumed.subject)
        .text("what", &assumed.what)
        .object("source", source(&assumed.source))
}

/// A citation.
pub fn source(source: &Source) -> Object {
    Object::new()
        .text("document", &source.document)
        .text("place", &source.place)
        .text("standing", source.standing.word())
}
