//! Wires, runs and bolted joints: between which terminals they go.

use super::codes;
use super::joins::joins;
use super::roster::{Half, Roster};
use super::runs::run;
use super::sink::Sink;
use super::value::{Entry, Record};
use crate::circuit::{Join, PartId, PartKind, TerminalId};
use crate::findings::Finding;
use crate::span::Span;

/// A wire while the file is being read: its ends and its fields by key.
#[derive(Debug)]
pub(super) struct WireDraft {
    /// Where it starts.
    pub(super) from: TerminalId,
    /// Where it ends.
    pub(super) to: TerminalId,
    /// Its fields as written, each by its key.
    pub(super) fields: Vec<(&'static str, Entry)>,
    /// The columns of its own that a wire list has for it.
    pub(super) columns: Vec<(String, String)>,
    /// The table or chain it was written in.
    pub(super) span: Span,
    /// The table, which of its wires this is, and how many there are.
    pub(super) hop: (Span, usize, usize),
}

impl WireDraft {
    /// A field as written for this wire.
    pub(super) fn entry(&self, key: &str) -> Option<&Entry> {
        self.fields
            .iter()
            .find(|(name, _)| *name == key)
            .map(|(_, entry)| entry)
    }
}

/// Everything that joins terminals.
#[derive(Debug, Default)]
pub(super) struct Wiring {
    /// Wires.
    pub(super) wires: Vec<WireDraft>,
    /// Bolted joints.
    pub(super) joins: Vec<Join>,
    /// Whether some end means nothing, so that what hangs together is unknown.
    pub(super) broken: bool,
}

/// Reads all wires, runs and bolted joints.
pub(super) fn read(out: &mut Sink, roster: &Roster, wires: &[Record], runs: &[Record]) -> Wiring {
    let mut wiring = Wiring {
        broken: roster.parts.iter().any(|part| !part.ports_known),
        ..Wiring::default()
    };
    for record in wires {
        wire(out, roster, record, &mut wiring);
    }
    for record in runs {
        run(out, roster, record, &mut wiring);
    }
    for part in 0..roster.parts.len() {
        joins(out, roster, PartId(part), &mut wiring);
    }
    wiring.joins.sort_by_key(|join| (join.part, join.to));
    wiring
        .joins
        .dedup_by_key(|join| (join.part.min(join.to), join.part.max(join.to)));
    wiring
}

/// Fields a wire may carry besides its ends.
pub(super) const COPIED: &[&str] = &[
    "size",
    "length",
    "insulation",
    "place",
    "bundle",
    "sheath",
    "tinned",
    "joints",
    "keep",
    "name",
    "colour",
];

fn wire(out: &mut Sink, roster: &Roster, record: &Record, wiring: &mut Wiring) {
    let mut end = |key: &str, half| {
        record
            .entry(key)
            .and_then(Entry::named)
            .and_then(|name| roster.reference(out, &name, half))
    };
    let (from, to) = (end("from", Half::From), end("to", Half::To));
    let (Some(from), Some(to)) = (from, to) else {
        wiring.broken = true;
        return;
    };
    if is_loop(roster, from, to) {
        let at = record.entry("to").map_or(record.header, |entry| entry.span);
        out.push(to_itself(roster.label(to), at));
        return;
    }
    let fields = COPIED
        .iter()
        .filter_map(|&key| record.entry(key).map(|entry| (key, entry.clone())))
        .collect();
    wiring.wires.push(WireDraft {
        from,
        to,
        fields,
        columns: columns(record),
        span: record.header,
        hop: (record.header, 0, 1),
    });
}

/// What a row of a wire list says beyond the fields of a wire.
fn columns(record: &Record) -> Vec<(String, String)> {
    let others = record.others.iter();
    others
        .filter_map(|(heading, cell)| Some((heading.text.clone(), cell.named()?.text)))
        .collect()
}

/// Whether both ends are one terminal, or the two halves of one pin.
pub(super) fn is_loop(roster: &Roster, from: TerminalId, to: TerminalId) -> bool {
    let ((a, port_a), (b, port_b)) = (roster.owner(from), roster.owner(to));
    a == b
        && (port_a == port_b
            || (roster.draft(a).kind == PartKind::Plug && port_a / 2 == port_b / 2))
}

/// A wire from a terminal to itself.
pub(super) fn to_itself(label: &str, at: Span) -> Finding {
    Finding::new(
        codes::WIRE_TO_ITSELF,
        "",
        format!("a wire goes from `{label}` to itself"),
    )
    .with_label(at, "both ends are the same")
    .with_hint("name the terminal at the other end of this wire")
}
