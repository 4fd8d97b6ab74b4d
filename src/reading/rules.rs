//! What the fields of one table ask of each other.

use super::catalogue::{Rule, Table};
use super::codes;
use super::fields::{About, missing, whose};
use super::nearest::listed;
use super::sink::Sink;
use super::value::Record;
use crate::findings::Finding;

/// Checks a table's rules.
pub(super) fn check(out: &mut Sink, about: About, table: &Table, record: &Record) {
    for rule in table.rules {
        match *rule {
            Rule::NotBoth {
                one,
                other,
                question,
            } => not_both(out, about, record, (one, other), question),
            Rule::Needs { field, needed } => {
                if record.key(field).is_some()
                    && record.key(needed).is_none()
                    && !answered_otherwise(table, record, field)
                    && let Some(needed) = table.field(needed)
                {
                    out.push(missing(about, needed, record.header));
                }
            }
            Rule::ExactlyOne { fields, question } => {
                exactly_one(out, about, record, fields, question);
            }
        }
    }
}

/// Whether a field is one of two answers, so that what it needs is idle to ask.
fn answered_otherwise(table: &Table, record: &Record, field: &str) -> bool {
    table.rules.iter().any(|rule| match *rule {
        Rule::NotBoth { one, other, .. } => {
            (one == field || other == field)
                && record.key(one).is_some()
                && record.key(other).is_some()
        }
        _ => false,
    })
}

fn not_both(
    out: &mut Sink,
    about: About,
    record: &Record,
    (one, other): (&str, &str),
    question: &str,
) {
    let (Some(a), Some(b)) = (record.key(one), record.key(other)) else {
        return;
    };
    out.push(
        Finding::new(
            codes::TWO_ANSWERS,
            about.subject,
            format!("{} has both `{one}` and `{other}`", whose(about)),
        )
        .with_label(a.max(b), format!("a second answer to {question}"))
        .with_label(a.min(b), "the first one")
        .with_hint(format!("keep `{one}` or `{other}`, not both")),
    );
}

fn exactly_one(out: &mut Sink, about: About, record: &Record, fields: &[&str], question: &str) {
    let mut written: Vec<&str> = fields
        .iter()
        .copied()
        .filter(|key| record.key(key).is_some())
        .collect();
    written.sort_by_key(|key| record.key(key));
    match written.split_first() {
        None => out.push(
            Finding::new(
                codes::MISSING_FIELD,
                about.subject,
                format!("{} does not say {question}", whose(about)),
            )
            .with_label(record.header, "one of several fields is missing")
            .with_hint(format!("add one of {}", listed(fields.iter().copied()))),
        ),
        Some((&first, more)) => {
            for second in more {
                not_both(out, about, record, (first, second), question);
            }
        }
    }
}
