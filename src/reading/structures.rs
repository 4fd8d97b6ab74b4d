//! Values with an inside: lists, tables of fields, maps by name.

use super::catalogue::{Field, Limits};
use super::catalogue::{SLOT_FIELDS, Takes};
use super::codes;
use super::fields::{self, About, in_order};
use super::names;
use super::scalars::{self, kind_of};
use super::sink::Sink;
use super::value::{Entry, Named, Value};
use crate::findings::Finding;
use crate::quantities::Dimension;
use crate::span::Span;
use toml::Spanned;
use toml::de::DeValue;

/// A rating, as a slot's short form takes it.
const SLOT_RATING: Takes = Takes::Figure(
    Dimension::Current,
    Limits {
        low: 0.0,
        low_counts: false,
        high: 1000.0,
    },
);

/// Reads a value with an inside; what is wrong with it is reported.
pub(super) fn read(
    out: &mut Sink,
    about: About,
    key: &str,
    takes: Takes,
    value: &Spanned<DeValue>,
) -> Option<Value> {
    match takes {
        Takes::List(inner) => list(out, about, key, *inner, value),
        Takes::EachHop(inner) => each_hop(out, about, key, *inner, value),
        Takes::OrUnknown(inner) => match value.get_ref().as_str() {
            Some("?") => Some(Value::Unknown),
            _ => fields::read_value(out, about, key, *inner, value).value,
        },
        Takes::Table(inner) => table(out, about, key, inner, value),
        Takes::ByPart(inner) => map(out, about, key, value, |out, name, value| {
            fields::read_value(out, about, &name.text, *inner, value)
        }),
        Takes::Settings => map(out, about, key, value, |out, name, value| {
            fields::read_value(out, about, &name.text, Takes::Text, value)
        }),
        Takes::Positions => map(out, about, key, value, |out, name, value| {
            fields::read_value(out, about, &name.text, Takes::List(&Takes::Text), value)
        }),
        Takes::Slots => map(out, about, key, value, |out, name, value| {
            slot(out, about, name, value)
        }),
        Takes::OwnNames => own_names(out, about, key, value),
        _ => list(out, about, key, Takes::Text, value),
    }
}

fn wrong(
    about: About,
    key: &str,
    expected: &str,
    value: &Spanned<DeValue>,
    hint: String,
) -> Finding {
    Finding::new(
        codes::WRONG_TYPE,
        about.subject,
        format!("`{key}` takes {expected}, not {}", kind_of(value.get_ref())),
    )
    .with_label(value.span().into(), format!("expected {expected}"))
    .with_hint(hint)
}

fn list(
    out: &mut Sink,
    about: About,
    key: &str,
    inner: Takes,
    value: &Spanned<DeValue>,
) -> Option<Value> {
    let Some(array) = value.get_ref().as_array() else {
        let hint = match value.get_ref().as_str() {
            Some(text) if text.len() < 100 => format!("write {key} = [\"{text}\"]"),
            _ => format!("write {key} = [\"...\", \"...\"]"),
        };
        out.push(wrong(about, key, "a list", value, hint));
        return None;
    };
    Some(Value::List(
        array
            .iter()
            .map(|entry| fields::read_value(out, about, key, inner, entry))
            .collect(),
    ))
}

fn each_hop(
    out: &mut Sink,
    about: About,
    key: &str,
    inner: Takes,
    value: &Spanned<DeValue>,
) -> Option<Value> {
    if value.get_ref().is_array() {
        list(out, about, key, inner, value)
    } else {
        fields::read_value(out, about, key, inner, value).value
    }
}

fn table(
    out: &mut Sink,
    about: About,
    key: &str,
    inner: &'static [Field],
    value: &Spanned<DeValue>,
) -> Option<Value> {
    let Some(table) = value.get_ref().as_table() else {
        let example: Vec<String> = inner
            .iter()
            .take(2)
            .map(|field| format!("{} = {}", field.key, field.example))
            .collect();
        out.push(wrong(
            about,
            key,
            "a table",
            value,
            format!("write {key} = {{ {} }}", example.join(", ")),
        ));
        return None;
    };
    let header: Span = value.span().into();
    let inside = About {
        table: key,
        ..about
    };
    Some(Value::Table(fields::read_closed(
        out, inside, inner, header, table,
    )))
}

fn map(
    out: &mut Sink,
    about: About,
    key: &str,
    value: &Spanned<DeValue>,
    mut read: impl FnMut(&mut Sink, &Named, &Spanned<DeValue>) -> Entry,
) -> Option<Value> {
    let Some(table) = value.get_ref().as_table() else {
        out.push(wrong(
            about,
            key,
            "a table",
            value,
            format!("write {key} = {{ name = ... }}"),
        ));
        return None;
    };
    let pairs = in_order(table).into_iter().map(|(name, value)| {
        let entry = read(out, &name, value);
        (name, entry)
    });
    Some(Value::Map(pairs.collect()))
}

/// A slot: a rating, or a table of its own.
fn slot(out: &mut Sink, about: About, name: &Named, value: &Spanned<DeValue>) -> Entry {
    let subject = format!("{}.{}", about.subject, name.text);
    let inside = About {
        subject: &subject,
        table: "slot",
    };
    let span: Span = value.span().into();
    match value.get_ref() {
        DeValue::Table(table) => {
            let header = if span.end > span.start {
                span
            } else {
                name.span
            };
            let record = fields::read_closed(out, inside, SLOT_FIELDS, header, table);
            Entry {
                span,
                value: Some(Value::Table(record)),
            }
        }
        _ => Entry {
            span,
            value: scalars::read(out, inside, &name.text, SLOT_RATING, value),
        },
    }
}

/// Names a part gives to its terminals; each must be a name, and unique.
fn own_names(out: &mut Sink, about: About, key: &str, value: &Spanned<DeValue>) -> Option<Value> {
    let Some(Value::List(entries)) = list(out, about, key, Takes::Text, value) else {
        return None;
    };
    if entries.is_empty() {
        out.push(
            Finding::new(
                codes::MISSING_FIELD,
                about.subject,
                format!("`{key}` is empty"),
            )
            .with_label(value.span().into(), "nothing is named")
            .with_hint(format!("name at least one: {key} = [\"...\"]")),
        );
    }
    let mut kept: Vec<Entry> = Vec::new();
    let mut first: std::collections::BTreeMap<String, Span> = std::collections::BTreeMap::new();
    for entry in entries {
        let Some(name) = entry.named() else { continue };
        if !names::check(out, &name, "a terminal") {
            continue;
        }
        if let Some(&before) = first.get(&name.text) {
            out.push(
                Finding::new(
                    codes::DUPLICATE_NAME,
                    about.subject,
                    format!("`{}` is named twice in `{key}`", name.text),
                )
                .with_label(name.span, "named again")
                .with_label(before, "first used here")
                .with_hint("rename one of them"),
            );
            continue;
        }
        first.insert(name.text, name.span);
        kept.push(entry);
    }
    Some(Value::List(kept))
}
