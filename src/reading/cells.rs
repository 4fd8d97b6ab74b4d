//! Cells of a wire list, as a spreadsheet shows them.

use super::catalogue::Takes;
use super::codes;
use super::fields::{About, read_value};
use super::scalars::{Outcome, Reading};
use super::sink::Sink;
use super::value::{Entry, Value};
use crate::span::Span;
use toml::Spanned;
use toml::de::DeValue;

/// Reads a cell of a wire list as what its column takes: texts and figures as
/// between quotes, flags and counts as a spreadsheet shows them.
pub(super) fn read_cell(
    out: &mut Sink,
    about: About,
    key: &str,
    takes: Takes,
    cell: (&str, Span),
) -> Entry {
    let (text, span) = cell;
    let at = Reading { about, key, span };
    let read = match takes {
        Takes::Flag => flag_cell(&at, text),
        Takes::Count { least, most } => count_cell(&at, least, most, text),
        _ => {
            let value = DeValue::String(text.into());
            let value = Spanned::new(span.start..span.end, value);
            return read_value(out, about, key, takes, &value);
        }
    };
    let value = read.map_err(|finding| out.push(*finding)).ok();
    Entry { span, value }
}

fn flag_cell(at: &Reading, text: &str) -> Outcome<Value> {
    match text.to_lowercase().as_str() {
        "yes" | "true" | "x" => Ok(Value::Flag(true)),
        "no" | "false" => Ok(Value::Flag(false)),
        _ => Err(Box::new(
            at.finding(
                codes::WRONG_TYPE,
                format!("`{}` takes yes or no", at.key),
                "neither yes nor no",
            )
            .with_hint("write yes or no, or leave the cell empty"),
        )),
    }
}

fn count_cell(at: &Reading, least: u32, most: u32, text: &str) -> Outcome<Value> {
    let number = text.parse().ok().filter(|n| (least..=most).contains(n));
    number.map(Value::Count).ok_or_else(|| {
        Box::new(
            at.finding(
                codes::OUT_OF_RANGE,
                format!("`{}` takes a whole number", at.key),
                "out of range",
            )
            .with_hint(format!("write a whole number from {least} to {most}")),
        )
    })
}
