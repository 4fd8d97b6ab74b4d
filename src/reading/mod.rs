//! From the text of a circuit file to a [`Circuit`], or to every mistake in it.
//!
//! The text is parsed as TOML (all syntax errors at once), its tables are read
//! by one [`catalogue`] of fields, names are resolved, and the whole is asked
//! whether it hangs together. Mistakes that follow from others are left out
//! where that can be told; a misspelt name is taken as the one likely meant.
//!
//! Called by every command that takes a file.

mod assemble;
mod catalogue;
mod cells;
mod chain;
mod circles;
mod codes;
mod connected;
mod contacts;
mod devices;
mod draft;
mod fields;
mod format;
mod graph;
mod joins;
mod known;
mod measured;
mod names;
mod nearest;
mod patterns;
mod roster;
mod rules;
mod runs;
mod scalars;
mod schema;
mod sections;
mod selector;
mod settings;
mod sink;
mod slots;
mod states;
mod structures;
mod syntax;
mod unwritten;
mod value;
mod wire_list;
mod wiring;
mod words;

pub use catalogue::{Field, Limits, Need, Rule, Shape, Table, Takes, catalogue};
pub use schema::schema;
pub use wire_list::wanted as wanted_list;
pub(crate) use wire_list::with_sizes as list_with_sizes;

use crate::circuit::{Circuit, PartId};
use crate::findings::{Finding, Label};
use crate::span::{CircuitText, Span};
use draft::Draft;
use roster::Roster;
use sections::Sections;
use sink::Sink;
use std::collections::BTreeSet;
use value::Record;

/// Largest file that is read, bytes.
pub const LARGEST: usize = 4_000_000;

/// What came of reading a file.
#[derive(Debug, Clone)]
pub struct Reading {
    /// The circuit; none where the file has a mistake.
    pub circuit: Option<Circuit>,
    /// Everything there is to say, in the order of the file.
    pub findings: Vec<Finding>,
}

/// Reads a circuit file. Every mistake is reported in one run; notes and
/// cautions may come beside a circuit.
pub fn read(text: &CircuitText) -> Reading {
    let mut out = Sink::default();
    let circuit = circuit(&mut out, text);
    let circuit = circuit.filter(|_| !out.has_mistakes());
    Reading {
        circuit,
        findings: out.into_sorted(),
    }
}

fn circuit(out: &mut Sink, text: &CircuitText) -> Option<Circuit> {
    if text.text.len() > LARGEST {
        out.push(
            Finding::new(
                codes::FILE_TOO_LARGE,
                "",
                "the file is larger than any circuit",
            )
            .with_label(Span::new(0, 0), "")
            .with_hint(format!(
                "a circuit file has at most {} MB",
                LARGEST / 1_000_000
            )),
        );
        return None;
    }
    let parsed = syntax::parse(out, &text.text)?;
    if !parsed.broken.is_empty() {
        beside_broken_lines(out, text, &parsed);
        return None;
    }
    let tree = parsed.tree;
    if tree.get_ref().is_empty() {
        out.push(no_parts("the file describes nothing"));
        return None;
    }
    if !format::check(out, tree.get_ref()) {
        return None;
    }
    let sections = sections::split(out, tree.get_ref());
    if !sections.names_parts() {
        out.push(no_parts("the file describes no parts"));
        return None;
    }
    resolve(out, sections, text)
}

/// Looks on past lines that break the rules of TOML, for mistakes that stand on
/// their own. What follows from a line that could not be read is left out.
fn beside_broken_lines(out: &mut Sink, text: &CircuitText, parsed: &syntax::Parsed<'_>) {
    let mut beside = Sink::default();
    let sections = sections::split(&mut beside, parsed.tree.get_ref());
    resolve(&mut beside, sections, text);
    let on_its_own = |finding: &Finding| {
        let line = finding
            .labels
            .first()
            .map(|label| syntax::line_start(&text.text, label.span.start));
        let is_in_list = |label: &Label| text.is_in_list(label.span.start);
        codes::ON_THEIR_OWN.contains(&finding.code)
            && (line.is_some_and(|line| !parsed.broken.contains(&line))
                || finding.labels.first().is_some_and(is_in_list))
    };
    for finding in beside.into_sorted().into_iter().filter(on_its_own) {
        out.push(finding);
    }
}

fn no_parts(statement: &str) -> Finding {
    Finding::new(codes::EMPTY_FILE, "", statement)
        .with_label(Span::new(0, 0), "")
        .with_hint("describe a battery, a fuse, a load and the wires between them; `ampkeel schema` says what may stand where")
}

/// Resolves names and puts the circuit together.
fn resolve(out: &mut Sink, mut sections: Sections, text: &CircuitText) -> Option<Circuit> {
    let list_is_whole = wire_list::read(out, text, &mut sections);
    let roster = roster(out, &mut sections);
    let default_wire = sections.single(&catalogue::DEFAULTS_WIRE);
    let mut wiring = wiring::read(out, &roster, &sections.wires, &sections.runs);
    wiring.broken |= !list_is_whole;
    let states = states::read(out, &roster, &sections.states);
    let limits = settings::limits(out, &roster, sections.single(&catalogue::LIMITS));
    let bench = settings::bench(out, &roster, sections.single(&catalogue::BENCH));
    let ambient = settings::ambient(sections.single(&catalogue::AMBIENT));
    let places = assemble::places(&roster, sections.single(&catalogue::DEFAULTS_PART));
    let entered = measured::entered(out, &sections.readings);
    let mut parts = Some(Vec::with_capacity(roster.parts.len()));
    for id in (0..roster.parts.len()).map(PartId) {
        let device = devices::device(out, &roster, id);
        let part = device.map(|device| assemble::part(&roster, id, places[id.0], device));
        parts = parts.and_then(|mut parts| {
            parts.push(part?);
            Some(parts)
        });
    }
    connected::check(out, &roster, &wiring);
    let wires = assemble::wires(&roster, &wiring, default_wire, &places, &ambient);
    let mut circuit = Circuit {
        title: sections
            .head
            .text("title")
            .map_or_else(|| text.name.clone(), |given| given.value),
        boat: settings::boat(sections.single(&catalogue::BOAT)),
        ambient,
        limits,
        bench,
        parts: parts?,
        terminals: assemble::terminals(&roster),
        wires,
        joins: wiring.joins,
        states,
        readings: Vec::new(),
    };
    if let Err(outside) = unwritten::fill(&mut circuit) {
        out.push(unwritten::refused(&outside));
    }
    circuit.readings = measured::placed(out, &circuit, entered);
    Some(circuit)
}

/// Makes drafts of all parts, sorted by name.
fn roster(out: &mut Sink, sections: &mut Sections) -> Roster {
    let named = references(sections);
    let raw = std::mem::take(&mut sections.parts);
    let drafts = raw
        .into_iter()
        .map(|(name, kind, record)| Draft::new(out, name, kind, record, &named))
        .collect();
    Roster::new(drafts, std::mem::take(&mut sections.ghosts))
}

/// Every reference to a terminal in the file.
fn references(sections: &Sections) -> BTreeSet<String> {
    let mut named = BTreeSet::new();
    let texts = |record: &Record, key: &str| {
        record
            .texts(key)
            .into_iter()
            .map(|name| name.text)
            .collect::<Vec<_>>()
    };
    for record in &sections.runs {
        named.extend(texts(record, "through"));
        named.extend(texts(record, "back"));
    }
    for record in &sections.wires {
        named.extend(
            ["from", "to"]
                .iter()
                .filter_map(|key| record.text(key))
                .map(|given| given.value),
        );
    }
    for (_, _, record) in &sections.parts {
        named.extend(
            record
                .others
                .iter()
                .filter_map(|(_, entry)| entry.named())
                .map(|name| name.text),
        );
    }
    named
}
