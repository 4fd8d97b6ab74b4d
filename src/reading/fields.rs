//! Reads a table by its catalogue entry: unknown fields, missing fields,
//! wrong types and units are reported here, once for all tables.

use super::catalogue::{Field, Need, Table, Takes};
use super::codes;
use super::nearest::{listed, nearest};
use super::roster::short;
use super::rules;
use super::scalars;
use super::sink::Sink;
use super::structures;
use super::value::{Entry, Named, Record};
use crate::findings::Finding;
use crate::span::Span;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What is being read, for messages.
#[derive(Debug, Clone, Copy)]
pub(super) struct About<'a> {
    /// Subject of findings: the part's name, or empty.
    pub(super) subject: &'a str,
    /// How the table is called in sentences: `fuse`, `wire`, `limits`.
    pub(super) table: &'a str,
}

/// Pairs of a table in file order.
pub(super) fn in_order<'t, 'i>(table: &'t DeTable<'i>) -> Vec<(Named, &'t Spanned<DeValue<'i>>)> {
    let mut pairs: Vec<_> = table
        .iter()
        .map(|(key, value)| {
            (
                Named {
                    text: key.get_ref().to_string(),
                    span: key.span().into(),
                },
                value,
            )
        })
        .collect();
    pairs.sort_by_key(|(key, _)| key.span);
    pairs
}

/// Reads a table's fields. Keys that are no fields are kept in `others`.
pub(super) fn read(
    out: &mut Sink,
    about: About,
    fields: &'static [Field],
    header: Span,
    table: &DeTable,
) -> Record {
    let mut record = Record {
        header,
        ..Record::default()
    };
    for (key, value) in in_order(table) {
        if let Some(field) = fields.iter().find(|field| field.key == key.text) {
            let entry = read_value(out, about, field.key, field.takes, value);
            record.fields.insert(field.key, (key.span, entry));
        } else {
            let entry = scalars::any_text(value);
            record.others.push((key, entry));
        }
    }
    for field in fields.iter().filter(|field| field.need == Need::Required) {
        if !record.fields.contains_key(field.key) {
            out.push(missing(about, field, header));
        }
    }
    record
}

/// As [`read`], where every other key is a mistake.
pub(super) fn read_closed(
    out: &mut Sink,
    about: About,
    fields: &'static [Field],
    header: Span,
    table: &DeTable,
) -> Record {
    let mut record = read(out, about, fields, header, table);
    let known: Vec<&str> = fields.iter().map(|field| field.key).collect();
    for (key, _) in std::mem::take(&mut record.others) {
        out.push(unknown(about, &key, &known));
    }
    record
}

/// Reads a whole table with its rules; every other key is a mistake.
pub(super) fn read_table(out: &mut Sink, table: &Table, header: Span, tree: &DeTable) -> Record {
    let about = About {
        subject: "",
        table: table.path,
    };
    let record = read_closed(out, about, table.fields, header, tree);
    rules::check(out, about, table, &record);
    record
}

/// Whose field it is, for sentences.
pub(super) fn whose(about: About) -> String {
    if about.subject.is_empty() {
        format!("this `{}`", about.table)
    } else {
        format!("`{}`", about.subject)
    }
}

/// A field that is missing, pointing at the table's header.
pub(super) fn missing(about: About, field: &Field, header: Span) -> Finding {
    Finding::new(
        codes::MISSING_FIELD,
        about.subject,
        format!("{} has no `{}`", whose(about), field.key),
    )
    .with_label(header, format!("`{}` is missing", field.key))
    .with_hint(format!("add `{} = {}`", field.key, field.example))
}

/// A key that is no field of its table.
pub(super) fn unknown(about: About, key: &Named, known: &[&str]) -> Finding {
    let near = nearest(&key.text, known.iter().copied());
    let all = format!(
        "fields of `{}`: {}",
        about.table,
        listed(known.iter().copied())
    );
    let hint = near.map_or(all.clone(), |near| format!("did you mean `{near}`? {all}"));
    let shown = short(&key.text);
    Finding::new(
        codes::UNKNOWN_FIELD,
        about.subject,
        format!("`{}` has no field `{shown}`", about.table),
    )
    .with_label(key.span, "unknown field")
    .with_hint(hint)
}

/// Reads one value as what its field takes.
pub(super) fn read_value(
    out: &mut Sink,
    about: About,
    key: &str,
    takes: Takes,
    value: &Spanned<DeValue>,
) -> Entry {
    let span: Span = value.span().into();
    let read = match takes {
        Takes::List(_)
        | Takes::EachHop(_)
        | Takes::OrUnknown(_)
        | Takes::Table(_)
        | Takes::ByPart(_)
        | Takes::Settings
        | Takes::Positions
        | Takes::Slots
        | Takes::OwnNames
        | Takes::Parts
        | Takes::Contacts
        | Takes::Chain => structures::read(out, about, key, takes, value),
        _ => scalars::read(out, about, key, takes, value),
    };
    Entry { span, value: read }
}
