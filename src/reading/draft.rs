//! Parts as drafts: name, terminals and raw fields, before wires are read.

use super::catalogue::{Table, table_of};
use super::codes;
use super::sink::Sink;
use super::value::{Named, Record, Value};
use crate::circuit::PartKind;
use crate::findings::Finding;
use std::collections::BTreeSet;

/// A terminal of a draft.
#[derive(Debug, Clone)]
pub(super) struct Port {
    /// Its name on the part; empty for a stud.
    pub(super) name: String,
    /// How it is called: `pump.plus`.
    pub(super) label: String,
}

/// A part while the file is being read.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    /// Name, with the place of its key.
    pub(super) name: Named,
    /// Kind.
    pub(super) kind: PartKind,
    /// Its fields.
    pub(super) record: Record,
    /// Its terminals, in the order of `circuit::Part::terminals`.
    pub(super) ports: Vec<Port>,
    /// Pairs of ports current can pass between, closed contacts imagined.
    pub(super) passages: Vec<(usize, usize)>,
    /// Whether the names of its terminals could be read.
    pub(super) ports_known: bool,
}

impl Draft {
    /// Builds terminals from what is written; `named` holds every reference of
    /// the file, which decides whether a motor has two fields.
    pub(super) fn new(
        out: &mut Sink,
        name: Named,
        kind: PartKind,
        record: Record,
        named: &BTreeSet<String>,
    ) -> Self {
        let (own, ports_known) = own_names(out, &name, kind, &record);
        let names = port_names(&name.text, kind, &record, named, own);
        let mut ports: Vec<Port> = Vec::with_capacity(names.len());
        for port in names {
            let label = if kind == PartKind::Stud {
                name.text.clone()
            } else {
                format!("{}.{port}", name.text)
            };
            if kind == PartKind::Plug {
                ports.push(Port {
                    name: port.clone(),
                    label: label.clone(),
                });
                ports.push(Port {
                    name: port,
                    label: format!("{label}.from"),
                });
            } else {
                ports.push(Port { name: port, label });
            }
        }
        let mut draft = Self {
            name,
            kind,
            record,
            ports,
            passages: Vec::new(),
            ports_known,
        };
        draft.passages = passages(&draft);
        draft
    }

    /// The catalogue's table for its kind.
    pub(super) fn table(&self) -> &'static Table {
        table_of(self.kind)
    }

    /// Whether a bare name may stand for it in a chain.
    pub(super) fn has_two_terminals(&self) -> bool {
        self.ports.len() == 2
    }

    /// Index of a terminal by name; a pin's `to` half comes first.
    pub(super) fn port(&self, name: &str) -> Option<usize> {
        self.ports.iter().position(|port| port.name == name)
    }

    /// Names of its terminals, each once.
    pub(super) fn port_words(&self) -> Vec<&str> {
        let mut words: Vec<&str> = self.ports.iter().map(|port| port.name.as_str()).collect();
        words.dedup();
        words
    }

    /// Whether current can get from one terminal to another inside the part.
    pub(super) fn joins_inside(&self, from: usize, to: usize) -> bool {
        let mut reached = vec![from];
        let mut at = 0;
        while at < reached.len() {
            let here = reached[at];
            at += 1;
            for &(a, b) in &self.passages {
                let next = if a == here {
                    b
                } else if b == here {
                    a
                } else {
                    continue;
                };
                if !reached.contains(&next) {
                    reached.push(next);
                }
            }
        }
        reached.contains(&to)
    }
}

/// The key under which a kind names its own terminals.
pub(super) const fn own_key(kind: PartKind) -> Option<&'static str> {
    match kind {
        PartKind::Switch => Some("terminals"),
        PartKind::Driver => Some("channels"),
        PartKind::Plug => Some("pins"),
        PartKind::FuseBlock => Some("slots"),
        _ => None,
    }
}

/// Names the part gives to its terminals, and whether they could be read.
fn own_names(out: &mut Sink, part: &Named, kind: PartKind, record: &Record) -> (Vec<Named>, bool) {
    let Some(key) = own_key(kind) else {
        return (Vec::new(), true);
    };
    let Some(entry) = record.entry(key) else {
        return (
            Vec::new(),
            kind == PartKind::Switch && record.key("positions").is_none(),
        );
    };
    let mut names: Vec<Named> = match &entry.value {
        Some(Value::List(_)) => record.texts(key),
        Some(Value::Map(pairs)) => pairs.iter().map(|(name, _)| name.clone()).collect(),
        _ => return (Vec::new(), false),
    };
    let before = names.len();
    names.retain(|name| allowed(out, part, kind, name));
    (names.clone(), names.len() == before && !names.is_empty())
}

/// Terminals are keys inside the part's table, so they may not be named like
/// its fields; and the pairs of a selector are parted by a hyphen.
fn allowed(out: &mut Sink, part: &Named, kind: PartKind, name: &Named) -> bool {
    if kind == PartKind::FuseBlock && !super::names::check(out, name, "a slot") {
        return false;
    }
    let table = table_of(kind);
    let why = if table.field(&name.text).is_some() {
        format!("`{}` is a field of `{}`", name.text, table.path)
    } else if table.terminals.contains(&name.text.as_str()) && kind != PartKind::Switch {
        format!(
            "every `{}` has a terminal `{}` already",
            table.path, name.text
        )
    } else if name.text.contains('-') && kind != PartKind::Driver {
        "it contains a hyphen".to_owned()
    } else {
        return true;
    };
    let other = name.text.replace('-', "");
    let hint = if name.text.contains('-') && super::names::is_name(&other) {
        format!("leave the hyphen out: `{other}`")
    } else {
        format!("choose another name, for example `{}1`", name.text)
    };
    out.push(
        Finding::new(
            codes::BAD_NAME,
            part.text.as_str(),
            format!("`{}` cannot name a terminal: {why}", name.text),
        )
        .with_label(name.span, "not a name for a terminal")
        .with_hint(hint),
    );
    false
}

fn port_names(
    part: &str,
    kind: PartKind,
    record: &Record,
    named: &BTreeSet<String>,
    own: Vec<Named>,
) -> Vec<String> {
    let mut own: Vec<String> = own.into_iter().map(|name| name.text).collect();
    let fixed = || {
        table_of(kind)
            .terminals
            .iter()
            .map(|&name| name.to_owned())
            .collect()
    };
    match kind {
        PartKind::Stud => vec![String::new()],
        PartKind::Motor if has_two_fields(part, record, named) => {
            TWO_FIELDS.map(str::to_owned).to_vec()
        }
        PartKind::Switch
            if record.key("terminals").is_some() || record.key("positions").is_some() =>
        {
            own
        }
        PartKind::Driver => {
            own.push("out".to_owned());
            own
        }
        PartKind::FuseBlock => {
            own.sort();
            own.insert(0, "feed".to_owned());
            own
        }
        PartKind::Plug => own,
        _ => fixed(),
    }
}

/// Terminals of a trim motor with a field winding for each direction.
pub(super) const TWO_FIELDS: [&str; 3] = ["up", "down", "common"];

/// A motor has two fields as soon as the file names one of their terminals.
fn has_two_fields(part: &str, record: &Record, named: &BTreeSet<String>) -> bool {
    TWO_FIELDS.iter().any(|port| {
        named.contains(&format!("{part}.{port}"))
            || record.others.iter().any(|(key, _)| key.text == *port)
    })
}

fn passages(draft: &Draft) -> Vec<(usize, usize)> {
    let count = draft.ports.len();
    match draft.kind {
        PartKind::Stud => Vec::new(),
        PartKind::Plug => (0..count / 2).map(|pin| (2 * pin, 2 * pin + 1)).collect(),
        PartKind::FuseBlock => (1..count).map(|slot| (0, slot)).collect(),
        PartKind::Driver => (0..count.saturating_sub(1))
            .map(|channel| (channel, count - 1))
            .collect(),
        PartKind::Relay => vec![(0, 1), (2, 3), (2, 4)],
        PartKind::Switch if draft.record.key("terminals").is_some() => selector_pairs(draft),
        PartKind::Motor if count == 3 => vec![(0, 2), (1, 2)],
        _ if count == 2 => vec![(0, 1)],
        _ => Vec::new(),
    }
}

/// Every pair any position of a selector joins.
fn selector_pairs(draft: &Draft) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for (_, entry) in draft.record.map("positions") {
        let Some(Value::List(listed)) = &entry.value else {
            continue;
        };
        for pair in listed.iter().filter_map(super::value::Entry::named) {
            if let Some((a, b)) = pair.text.split_once('-')
                && let (Some(a), Some(b)) = (draft.port(a), draft.port(b))
                && !pairs.contains(&(a, b))
            {
                pairs.push((a, b));
            }
        }
    }
    pairs
}
