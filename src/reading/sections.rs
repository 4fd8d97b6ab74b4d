//! Splits the file into its tables: parts, wires, runs, states, settings.

use super::catalogue::{
    self, AMBIENT, BENCH, BOAT, DEFAULTS_PART, DEFAULTS_WIRE, HEAD, LIMITS, READING, RUN, STATE,
    Shape, Table, WIRE,
};
use super::codes;
use super::fields::{self, About, in_order};
use super::names;
use super::nearest::{did_you_mean, nearest};
use super::roster::short;
use super::rules;
use super::scalars::kind_of;
use super::sink::Sink;
use super::value::{Named, Record};
use crate::circuit::PartKind;
use crate::findings::Finding;
use crate::span::Span;
use std::collections::{BTreeMap, BTreeSet};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A part as written: name, kind, fields.
pub(super) type RawPart = (Named, PartKind, Record);

/// The file's tables, read but not yet resolved.
#[derive(Debug, Default)]
pub(super) struct Sections {
    /// The head.
    pub(super) head: Record,
    /// Parts in file order, unique by name.
    pub(super) parts: Vec<RawPart>,
    /// Names that stand in the file but for no one part.
    pub(super) ghosts: BTreeSet<String>,
    /// `[[wire]]`.
    pub(super) wires: Vec<Record>,
    /// `[[run]]`.
    pub(super) runs: Vec<Record>,
    /// `[[reading]]`.
    pub(super) readings: Vec<Record>,
    /// `[state.NAME]` in file order.
    pub(super) states: Vec<(Named, Record)>,
    /// Single tables by path.
    single: BTreeMap<&'static str, Record>,
    empty: Record,
    first_use: BTreeMap<String, Span>,
}

impl Sections {
    /// A single table; empty where it is not written.
    pub(super) fn single(&self, table: &Table) -> &Record {
        self.single.get(table.path).unwrap_or(&self.empty)
    }

    /// Whether anything in the file was meant as a part.
    pub(super) fn names_parts(&self) -> bool {
        !self.parts.is_empty() || !self.ghosts.is_empty()
    }
}

/// Reads every table of the file.
pub(super) fn split(out: &mut Sink, tree: &DeTable) -> Sections {
    let mut sections = Sections::default();
    for (key, value) in in_order(tree) {
        top(out, &mut sections, &key, value);
    }
    sections.parts.sort_by_key(|(name, ..)| name.span);
    duplicates(out, &mut sections);
    sections
}

/// The words that may stand first in a header, besides kinds of part.
const OTHERS: [&str; 9] = [
    "wire", "run", "state", "reading", "boat", "ambient", "limits", "bench", "defaults",
];

fn top(out: &mut Sink, sections: &mut Sections, key: &Named, value: &Spanned<DeValue>) {
    match key.text.as_str() {
        "wire" => sections.wires = list(out, &WIRE, key, value),
        "run" => sections.runs = list(out, &RUN, key, value),
        "reading" => sections.readings = list(out, &READING, key, value),
        "state" => states(out, sections, key, value),
        "boat" => single(out, sections, &BOAT, key, value),
        "ambient" => single(out, sections, &AMBIENT, key, value),
        "limits" => single(out, sections, &LIMITS, key, value),
        "bench" => single(out, sections, &BENCH, key, value),
        "defaults" => defaults(out, sections, key, value),
        text => match PartKind::ALL.iter().find(|(_, word)| *word == text) {
            Some(&(kind, _)) => parts(out, sections, kind, key, value),
            None => head_or_unknown(out, sections, key, value),
        },
    }
}

fn head_or_unknown(out: &mut Sink, sections: &mut Sections, key: &Named, value: &Spanned<DeValue>) {
    let about = About {
        subject: "",
        table: "the head of the file",
    };
    let is_table = value.get_ref().is_table()
        || value
            .get_ref()
            .as_array()
            .is_some_and(|list| list.iter().any(|entry| entry.get_ref().is_table()));
    // `[[wires]]` is a slip for `[[wire]]`, no wire list.
    let is_slip = key.text == "wires" && is_table;
    if let Some(field) = HEAD.field(&key.text).filter(|_| !is_slip) {
        let entry = fields::read_value(out, about, field.key, field.takes, value);
        sections.head.fields.insert(field.key, (key.span, entry));
        return;
    }
    if is_table {
        unknown_kind(out, sections, key, value);
    } else {
        let known: Vec<&str> = HEAD.fields.iter().map(|field| field.key).collect();
        out.push(fields::unknown(about, key, &known));
    }
}

/// A header of no known kind; its parts are read as the kind that is likely meant.
fn unknown_kind(out: &mut Sink, sections: &mut Sections, key: &Named, value: &Spanned<DeValue>) {
    let kinds = PartKind::ALL.iter().map(|(_, word)| *word);
    let known: Vec<&str> = kinds.chain(OTHERS).collect();
    let shown = short(&key.text);
    let brackets = if value.get_ref().is_array() {
        format!("[[{shown}]]")
    } else {
        format!("[{shown}.NAME]")
    };
    let statement =
        if OTHERS.contains(&nearest(&key.text, known.iter().copied()).unwrap_or_default()) {
            format!("there is no table `{shown}`")
        } else {
            format!("there is no kind of part `{shown}`, as in `{brackets}`")
        };
    out.push(
        Finding::new(codes::UNKNOWN_KIND, "", statement)
            .with_label(key.span, "unknown")
            .with_hint(did_you_mean(&key.text, &known, "known tables")),
    );
    let Some(near) = nearest(&key.text, known.iter().copied()) else {
        for (name, _) in value.get_ref().as_table().map(in_order).unwrap_or_default() {
            sections.ghosts.insert(name.text);
        }
        sections.ghosts.insert(key.text.clone());
        return;
    };
    // Only parts may share a table with those written right.
    let fits = match near {
        "wire" => value.get_ref().is_array() && sections.wires.is_empty(),
        "run" => value.get_ref().is_array() && sections.runs.is_empty(),
        _ => PartKind::ALL.iter().any(|(_, word)| *word == near) && value.get_ref().is_table(),
    };
    if fits {
        top(
            out,
            sections,
            &Named {
                text: near.to_owned(),
                span: key.span,
            },
            value,
        );
    }
}

fn wrong(key: &Named, value: &DeValue, header: &str) -> Finding {
    Finding::new(
        codes::WRONG_TYPE,
        "",
        format!(
            "`{}` is written as {} here, but takes the form `{header}`",
            short(&key.text),
            kind_of(value)
        ),
    )
    .with_label(key.span, "not in this form")
    .with_hint(format!("write a line `{header}` and its fields below it"))
}

fn list(out: &mut Sink, table: &Table, key: &Named, value: &Spanned<DeValue>) -> Vec<Record> {
    let Some(array) = value.get_ref().as_array() else {
        out.push(wrong(key, value.get_ref(), &table.header()));
        return Vec::new();
    };
    let mut records = Vec::new();
    for element in array {
        match element.get_ref() {
            DeValue::Table(inner) => {
                records.push(fields::read_table(out, table, element.span().into(), inner));
            }
            other => out.push(wrong(
                &Named {
                    text: key.text.clone(),
                    span: element.span().into(),
                },
                other,
                &table.header(),
            )),
        }
    }
    records
}

fn single(
    out: &mut Sink,
    sections: &mut Sections,
    table: &'static Table,
    key: &Named,
    value: &Spanned<DeValue>,
) {
    let Some(inner) = value.get_ref().as_table() else {
        out.push(wrong(key, value.get_ref(), &table.header()));
        return;
    };
    let record = fields::read_table(out, table, key.span, inner);
    sections.single.insert(table.path, record);
}

fn defaults(out: &mut Sink, sections: &mut Sections, key: &Named, value: &Spanned<DeValue>) {
    let Some(inner) = value.get_ref().as_table() else {
        out.push(wrong(key, value.get_ref(), "[defaults.wire]"));
        return;
    };
    for (name, value) in in_order(inner) {
        match name.text.as_str() {
            "part" => single(out, sections, &DEFAULTS_PART, &name, value),
            "wire" => single(out, sections, &DEFAULTS_WIRE, &name, value),
            _ => out.push(fields::unknown(
                About {
                    subject: "",
                    table: "defaults",
                },
                &name,
                &["part", "wire"],
            )),
        }
    }
}

/// Tables `[KIND.NAME]` of one kind, each with its key and its header.
fn named<'t, 'i>(
    out: &mut Sink,
    table: &Table,
    key: &Named,
    value: &'t Spanned<DeValue<'i>>,
) -> Vec<(Named, Span, &'t DeTable<'i>)> {
    let Some(inner) = value.get_ref().as_table() else {
        out.push(wrong(key, value.get_ref(), &table.header()));
        return Vec::new();
    };
    let mut found = Vec::new();
    let mut nameless = false;
    for (name, value) in in_order(inner) {
        if let Some(fields) = value
            .get_ref()
            .as_table()
            .filter(|_| !is_field_table(table, &name, inner))
        {
            let span: Span = value.span().into();
            found.push((name, span, fields));
        } else if table.field(&name.text).is_some() {
            nameless = true;
        } else {
            out.push(wrong(
                &name,
                value.get_ref(),
                &format!("[{}.{}]", table.path, short(&name.text)),
            ));
        }
    }
    if nameless {
        out.push(
            Finding::new(
                codes::NAME_MISSING,
                "",
                format!("this `{}` has no name", table.path),
            )
            .with_label(value.span().into(), "a name is missing")
            .with_hint(format!(
                "write `[{}.NAME]` with a name of your own, for example `[{}.main]`",
                table.path, table.path
            )),
        );
    }
    found
}

/// In a table without a name, a field that is itself a table is no part.
fn is_field_table(table: &Table, name: &Named, beside: &DeTable) -> bool {
    table.field(&name.text).is_some()
        && beside
            .iter()
            .any(|(key, value)| !value.get_ref().is_table() && table.field(key.get_ref()).is_some())
}

fn states(out: &mut Sink, sections: &mut Sections, key: &Named, value: &Spanned<DeValue>) {
    for (name, _, inner) in named(out, &STATE, key, value) {
        names::check(out, &name, "a state");
        let record = fields::read_table(out, &STATE, name.span, inner);
        sections.states.push((name, record));
    }
}

fn parts(
    out: &mut Sink,
    sections: &mut Sections,
    kind: PartKind,
    key: &Named,
    value: &Spanned<DeValue>,
) {
    let table = catalogue::table_of(kind);
    debug_assert_eq!(table.shape, Shape::Named);
    for (name, _, inner) in named(out, table, key, value) {
        if !names::check(out, &name, "a part") {
            sections.ghosts.insert(name.text);
            continue;
        }
        let about = About {
            subject: &name.text,
            table: table.path,
        };
        let record = fields::read(out, about, table.fields, name.span, inner);
        rules::check(out, about, table, &record);
        sections.parts.push((name, kind, record));
    }
}

/// Names must be unique over all kinds; the first use keeps the name.
fn duplicates(out: &mut Sink, sections: &mut Sections) {
    let mut kept: Vec<RawPart> = Vec::new();
    for (name, kind, record) in std::mem::take(&mut sections.parts) {
        if let Some(&before) = sections.first_use.get(&name.text) {
            out.push(
                Finding::new(
                    codes::DUPLICATE_NAME,
                    name.text.as_str(),
                    format!("two parts are named `{}`", name.text),
                )
                .with_label(name.span, "named again")
                .with_label(before, "first used here")
                .with_hint(format!(
                    "rename one of them, for example `{}-{}`",
                    name.text,
                    kind.word()
                )),
            );
            sections.ghosts.insert(name.text);
            continue;
        }
        sections.first_use.insert(name.text.clone(), name.span);
        kept.push((name, kind, record));
    }
    sections.parts = kept;
}
