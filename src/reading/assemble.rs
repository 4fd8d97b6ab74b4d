//! Puts the circuit together in its canonical order, so that a shuffled file
//! gives the same circuit.

use super::roster::Roster;
use super::unwritten;
use super::value::{Entry, Record};
use super::wiring::{WireDraft, Wiring};
use super::words;
use crate::circuit::{
    Ambient, Device, Given, Part, PartId, Place, Terminal, TerminalId, Wire, Written,
};

/// All terminals, grouped by part in the parts' order.
pub(super) fn terminals(roster: &Roster) -> Vec<Terminal> {
    let mut terminals = Vec::with_capacity(roster.terminal_count());
    for (part, draft) in roster.parts.iter().enumerate() {
        for port in &draft.ports {
            terminals.push(Terminal {
                part: PartId(part),
                name: port.name.clone(),
                label: port.label.clone(),
            });
        }
    }
    terminals
}

/// Where each part sits, and whether it says so itself.
pub(super) fn places(roster: &Roster, defaults: &Record) -> Vec<(Place, bool)> {
    let default = defaults
        .word("place", words::PLACES)
        .map_or(Place::Boat, |given| given.value);
    roster
        .parts
        .iter()
        .map(|draft| match draft.record.word("place", words::PLACES) {
            Some(given) => (given.value, true),
            None => (default, false),
        })
        .collect()
}

/// A part of the circuit.
pub(super) fn part(roster: &Roster, id: PartId, place: (Place, bool), device: Device) -> Part {
    let draft = roster.draft(id);
    Part {
        name: draft.name.text.clone(),
        place: place.0,
        place_given: place.1,
        span: draft.name.span,
        terminals: (0..draft.ports.len())
            .map(|port| roster.terminal(id, port))
            .collect(),
        device,
    }
}

/// All wires in order. What the file does not know of them is filled in once
/// the circuit stands (`unwritten`).
pub(super) fn wires(
    roster: &Roster,
    wiring: &Wiring,
    defaults: &Record,
    places: &[(Place, bool)],
    ambient: &Ambient,
) -> Vec<Wire> {
    let drafts = wiring.wires.iter();
    let mut wires: Vec<Wire> = drafts
        .map(|draft| wire(roster, draft, defaults, places, ambient))
        .collect();
    wires.sort_by_cached_key(|wire| {
        (
            roster.label(wire.from).to_owned(),
            roster.label(wire.to).to_owned(),
            wire.name.as_ref().map(|name| name.value.clone()),
            wire.size.value.to_string(),
            format!("{:e}", wire.length.value.typical.si()),
            rest_of(wire),
        )
    });
    wires
}

/// What else tells two wires side by side apart, whichever is written first.
fn rest_of(wire: &Wire) -> String {
    let joints = wire.joints.as_ref().map(|given| given.value);
    let insulation = wire.insulation.as_ref().map(|given| given.value);
    let bundle = wire.bundle.as_ref().map(|given| given.value);
    let tinned = wire.tinned.as_ref().map(|given| given.value);
    let colour = wire.colour.as_ref().map(|given| &given.value);
    let flags = (wire.sheath, tinned, wire.keep);
    let columns = &wire.columns;
    format!("{joints:?} {insulation:?} {bundle:?} {flags:?} {colour:?} {columns:?}")
}

fn wire(
    roster: &Roster,
    draft: &WireDraft,
    defaults: &Record,
    places: &[(Place, bool)],
    ambient: &Ambient,
) -> Wire {
    let entry = |key: &str| draft.entry(key).or_else(|| defaults.entry(key));
    let flag = |key: &str| entry(key).and_then(Entry::flag);
    let place = entry("place")
        .and_then(|entry| entry.word(words::PLACES))
        .map(|given| given.value);
    // Where nothing is written, an edit finds the table.
    let at = |key: &str| entry(key).map_or(draft.hop.0, |entry| entry.span);
    let size = entry("size").and_then(Entry::size);
    let length = entry("length").and_then(Entry::range);
    Wire {
        name: entry("name").and_then(Entry::text),
        from: draft.from,
        to: draft.to,
        unwritten: unwritten::of(size.is_none(), length.is_none()),
        size: size.unwrap_or_else(|| Given::new(unwritten::SIZE, at("size"))),
        length: length.unwrap_or_else(|| Given::new(unwritten::LENGTH, at("length"))),
        insulation: entry("insulation").and_then(Entry::figure),
        place: place.unwrap_or_else(|| hotter(roster, (draft.from, draft.to), places, ambient)),
        bundle: entry("bundle").and_then(Entry::count),
        sheath: flag("sheath").is_some_and(|given: Given<bool>| given.value),
        tinned: flag("tinned"),
        joints: entry("joints").and_then(Entry::range),
        keep: flag("keep").is_some_and(|given| given.value),
        colour: entry("colour").and_then(Entry::text),
        columns: draft.columns.clone(),
        span: draft.span,
        written: Written {
            table: draft.hop.0,
            hop: draft.hop.1,
            hops: draft.hop.2,
            own_size: draft.entry("size").is_some(),
        },
    }
}

/// The hotter of the places of a wire's ends.
fn hotter(
    roster: &Roster,
    ends: (TerminalId, TerminalId),
    places: &[(Place, bool)],
    ambient: &Ambient,
) -> Place {
    let place = |terminal| places[roster.owner(terminal).0.0].0;
    let (a, b) = (place(ends.0), place(ends.1));
    if ambient.at(b).si() > ambient.at(a).si()
        || (ambient.at(b).si() >= ambient.at(a).si() && b > a)
    {
        b
    } else {
        a
    }
}
