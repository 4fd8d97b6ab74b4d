//! Whether the circuit hangs together: parts on no wire, parts wired at one
//! end, islands without a battery, loads without a way back.

use super::codes;
use super::draft::Draft;
use super::graph::Graph;
use super::nearest::listed;
use super::roster::Roster;
use super::sink::Sink;
use super::wiring::Wiring;
use crate::circuit::{PartId, PartKind, TerminalId};
use crate::findings::{Code, Finding};
use std::collections::{BTreeMap, BTreeSet};

/// Reports everything that does not hang together.
pub(super) fn check(out: &mut Sink, roster: &Roster, wiring: &Wiring) {
    let batteries: Vec<PartId> = of_kind(roster, PartKind::Battery);
    if batteries.is_empty() {
        out.push(
            Finding::new(codes::NO_BATTERY, "", "the file describes no battery")
                .with_label(crate::span::Span::new(0, 0), "")
                .with_hint(
                    "add one, for example `[battery.house]` with `cold-cranking = \"500 A\"`",
                ),
        );
    }
    if wiring.broken {
        return;
    }
    let wired = wired(roster, wiring);
    let mut loose = BTreeSet::new();
    for part in (0..roster.parts.len()).map(PartId) {
        if !ends(out, roster, part, &wired) {
            loose.insert(part);
        }
    }
    if batteries.is_empty() {
        return;
    }
    let circuit = Wired::new(roster, wiring);
    islands(out, roster, &circuit, &loose);
    if batteries.iter().all(|battery| !loose.contains(battery)) {
        ways_back(out, roster, &circuit, &loose);
    }
}

fn of_kind(roster: &Roster, kind: PartKind) -> Vec<PartId> {
    (0..roster.parts.len())
        .filter(|&part| roster.parts[part].kind == kind)
        .map(PartId)
        .collect()
}

/// For each terminal whether a wire or a bolted joint ends there.
fn wired(roster: &Roster, wiring: &Wiring) -> Vec<bool> {
    let mut wired = vec![false; roster.terminal_count()];
    let ends = wiring.wires.iter().flat_map(|wire| [wire.from, wire.to]);
    let joins = wiring.joins.iter().flat_map(|join| [join.part, join.to]);
    for TerminalId(terminal) in ends.chain(joins) {
        wired[terminal] = true;
    }
    wired
}

/// Reports terminals of a part without a wire. False where the part is not in
/// the circuit for want of wires.
fn ends(out: &mut Sink, roster: &Roster, part: PartId, wired: &[bool]) -> bool {
    let draft = roster.draft(part);
    let first = roster.first[part.0];
    let on: Vec<bool> = wired[first..first + draft.ports.len()].to_vec();
    if draft.kind == PartKind::Stud {
        if !on.iter().any(|on| *on) {
            out.push(note(
                codes::STUD_UNUSED,
                draft,
                "is a stud on no wire",
                "nothing ends here",
            ));
        }
        return true;
    }
    if !on.iter().any(|on| *on) {
        let name = &draft.name.text;
        out.push(
            Finding::new(
                codes::PART_NOT_WIRED,
                name.as_str(),
                format!("`{name}` is on no wire"),
            )
            .with_label(draft.name.span, "nothing leads here")
            .with_hint(format!(
                "add wires to {}, or take the part out",
                terminals(draft, |_| true)
            )),
        );
        return false;
    }
    unused(out, draft, &on);
    match open_end(draft, &on) {
        None => true,
        Some(open) => {
            out.push(half_wired(draft, &open));
            false
        }
    }
}

fn note(code: Code, draft: &Draft, says: &str, label: &str) -> Finding {
    let name = &draft.name.text;
    Finding::new(code, name.as_str(), format!("`{name}` {says}")).with_label(draft.name.span, label)
}

/// Terminals in words: `` `a.in` and `a.out` ``.
fn terminals(draft: &Draft, chosen: impl Fn(usize) -> bool) -> String {
    let mut labels: Vec<&str> = Vec::new();
    for (at, port) in draft.ports.iter().enumerate() {
        let label = port
            .label
            .strip_suffix(".from")
            .filter(|_| draft.kind == PartKind::Plug)
            .unwrap_or(&port.label);
        if chosen(at) && labels.last() != Some(&label) {
            labels.push(label);
        }
    }
    listed(labels)
}

/// Slots and pins that nothing uses.
fn unused(out: &mut Sink, draft: &Draft, on: &[bool]) {
    let name = &draft.name.text;
    if draft.kind == PartKind::FuseBlock {
        for (port, _) in draft.ports.iter().zip(on).skip(1).filter(|(_, on)| !**on) {
            let subject = &port.label;
            let span = key_of(draft, &port.name);
            out.push(
                Finding::new(
                    codes::SLOT_UNUSED,
                    subject.as_str(),
                    format!("the slot `{subject}` feeds nothing"),
                )
                .with_label(span, "on no wire"),
            );
        }
    }
    if draft.kind == PartKind::Plug {
        for (pin, halves) in draft.ports.chunks(2).zip(on.chunks(2)) {
            let says = match halves {
                [true, true] => continue,
                [false, false] => "has no wire on either half",
                [true, false] => "has no wire written `from` it",
                _ => "has no wire written `to` it",
            };
            let subject = format!("{name}.{}", pin[0].name);
            out.push(
                Finding::new(
                    codes::PIN_HALF_EMPTY,
                    name.as_str(),
                    format!("the pin `{subject}` {says}"),
                )
                .with_label(key_of(draft, &pin[0].name), "an empty half"),
            );
        }
    }
}

/// Where a slot or pin is named in the file.
fn key_of(draft: &Draft, port: &str) -> crate::span::Span {
    let slots = draft.record.map("slots").iter().map(|(name, _)| name);
    let found = slots
        .cloned()
        .chain(draft.record.texts("pins"))
        .find(|name| name.text == port);
    found.map_or(draft.name.span, |name| name.span)
}

/// The terminals that lack a wire, where without them nothing can flow.
fn open_end(draft: &Draft, on: &[bool]) -> Option<Vec<usize>> {
    let count = on.iter().filter(|on| **on).count();
    let off =
        |ports: std::ops::Range<usize>| -> Vec<usize> { ports.filter(|&port| !on[port]).collect() };
    let last = on.len() - 1;
    match draft.kind {
        PartKind::Plug => None,
        PartKind::Relay if on[0] != on[1] => Some(off(0..2)),
        PartKind::FuseBlock if !on[0] => Some(vec![0]),
        PartKind::Driver if !on[last] => Some(vec![last]),
        PartKind::Motor if on.len() == 3 && !on[2] => Some(vec![2]),
        _ if count < 2 => Some(off(0..on.len())),
        _ => None,
    }
}

fn half_wired(draft: &Draft, open: &[usize]) -> Finding {
    let name = &draft.name.text;
    let missing = terminals(draft, |port| open.contains(&port));
    let statement = match open {
        [_] => format!("no wire ends at {missing}"),
        _ => format!("only one terminal of `{name}` is wired"),
    };
    let hint = match open {
        [_] => format!(
            "add the wire at {missing}, or bolt it straight on with a key of that name inside the part"
        ),
        _ => format!("add a wire at one of {missing}"),
    };
    Finding::new(codes::HALF_WIRED, name.as_str(), statement)
        .with_label(draft.name.span, "wired at one end only")
        .with_hint(hint)
}

/// The circuit as a graph.
struct Wired {
    graph: Graph,
    /// Edges through parts that use current: the part, and its two ports.
    consumers: Vec<(usize, PartId, (usize, usize))>,
    /// Edges through batteries.
    batteries: Vec<(usize, PartId)>,
    /// Component of each terminal along wires, joints and contacts alone.
    conductors: Vec<usize>,
}

impl Wired {
    fn new(roster: &Roster, wiring: &Wiring) -> Self {
        let count = roster.terminal_count();
        let mut bare = Graph::new(count);
        for wire in &wiring.wires {
            bare.join(wire.from.0, wire.to.0);
        }
        for join in &wiring.joins {
            bare.join(join.part.0, join.to.0);
        }
        let mut graph = Graph::new(count);
        graph.edges.clone_from(&bare.edges);
        let (mut consumers, mut batteries) = (Vec::new(), Vec::new());
        for part in (0..roster.parts.len()).map(PartId) {
            let draft = roster.draft(part);
            for (at, &(a, b)) in draft.passages.iter().enumerate() {
                let (from, to) = (roster.terminal(part, a).0, roster.terminal(part, b).0);
                let edge = graph.join(from, to);
                if draft.kind == PartKind::Battery {
                    batteries.push((edge, part));
                } else if uses_current(draft.kind, at) {
                    consumers.push((edge, part, (a, b)));
                } else {
                    bare.join(from, to);
                }
            }
        }
        Self {
            graph,
            consumers,
            batteries,
            conductors: bare.components(),
        }
    }
}

/// Whether a way through a part is one that current is meant for, rather than
/// a contact; of a relay, the coil.
fn uses_current(kind: PartKind, passage: usize) -> bool {
    match kind {
        PartKind::Pump
        | PartKind::Motor
        | PartKind::Solenoid
        | PartKind::Load
        | PartKind::Charger => true,
        PartKind::Relay => passage == 0,
        _ => false,
    }
}

/// Groups of parts joined among themselves but to no battery.
fn islands(out: &mut Sink, roster: &Roster, circuit: &Wired, loose: &BTreeSet<PartId>) {
    let components = circuit.graph.components();
    let with_battery: BTreeSet<usize> = circuit
        .batteries
        .iter()
        .map(|&(edge, _)| components[circuit.graph.edges[edge].0])
        .collect();
    let mut groups: BTreeMap<usize, BTreeSet<PartId>> = BTreeMap::new();
    for (terminal, component) in components.iter().enumerate() {
        let part = roster.owner(TerminalId(terminal)).0;
        if !with_battery.contains(component) && !loose.contains(&part) {
            groups.entry(*component).or_default().insert(part);
        }
    }
    for group in groups.values() {
        // A lone stud without wires is a note of its own; a relay's contact
        // side may hang free of its coil side.
        let inside: Vec<PartId> = group
            .iter()
            .copied()
            .filter(|part| !reaches(roster, *part, &components, &with_battery))
            .collect();
        let Some(&first) = inside.first() else {
            continue;
        };
        if inside
            .iter()
            .all(|part| roster.draft(*part).kind == PartKind::Stud)
            && inside.len() == 1
        {
            continue;
        }
        let names: Vec<&str> = inside
            .iter()
            .map(|part| roster.draft(*part).name.text.as_str())
            .collect();
        let draft = roster.draft(first);
        let verb = if names.len() == 1 { "is" } else { "are" };
        out.push(
            Finding::new(
                codes::ISLAND,
                draft.name.text.as_str(),
                format!("{} {verb} joined to no battery", listed(names)),
            )
            .with_label(draft.name.span, "no wire leads from here to a battery")
            .with_hint("add the wires that join them to the rest of the circuit"),
        );
    }
}

fn reaches(
    roster: &Roster,
    part: PartId,
    components: &[usize],
    with_battery: &BTreeSet<usize>,
) -> bool {
    let first = roster.first[part.0];
    (first..first + roster.draft(part).ports.len())
        .any(|terminal| with_battery.contains(&components[terminal]))
}

/// Loads, coils and chargers that no loop through a battery passes.
fn ways_back(out: &mut Sink, roster: &Roster, circuit: &Wired, loose: &BTreeSet<PartId>) {
    let blocks = circuit.graph.blocks();
    let live: BTreeSet<usize> = circuit
        .batteries
        .iter()
        .map(|&(edge, _)| blocks[edge])
        .collect();
    let components = circuit.graph.components();
    let fed: BTreeSet<usize> = circuit
        .batteries
        .iter()
        .map(|&(edge, _)| components[circuit.graph.edges[edge].0])
        .collect();
    let posts: BTreeSet<usize> = circuit
        .batteries
        .iter()
        .flat_map(|&(edge, _)| [circuit.graph.edges[edge].0, circuit.graph.edges[edge].1])
        .map(|terminal| circuit.conductors[terminal])
        .collect();
    for &(edge, part, ports) in &circuit.consumers {
        let (a, b) = circuit.graph.edges[edge];
        if live.contains(&blocks[edge]) || loose.contains(&part) || !fed.contains(&components[a]) {
            continue;
        }
        let cut_off = |terminal: usize| !posts.contains(&circuit.conductors[terminal]);
        out.push(no_way_back(
            roster.draft(part),
            ports,
            (cut_off(a), cut_off(b)),
        ));
    }
}

fn no_way_back(draft: &Draft, ports: (usize, usize), cut_off: (bool, bool)) -> Finding {
    let name = &draft.name.text;
    let (first, second) = (&draft.ports[ports.0].label, &draft.ports[ports.1].label);
    let (statement, hint) = match cut_off {
        (false, true) => one_way(second),
        (true, false) => one_way(first),
        _ => (
            format!("no current can pass from `{first}` to `{second}` and through a battery"),
            format!(
                "wire `{first}` and `{second}` so that one leads to the plus post and the other to the minus post"
            ),
        ),
    };
    Finding::new(codes::NO_WAY_BACK, name.as_str(), statement)
        .with_label(draft.name.span, "no way back to the battery")
        .with_hint(hint)
}

fn one_way(terminal: &str) -> (String, String) {
    (
        format!("there is no way back to the battery from `{terminal}`"),
        format!(
            "wire `{terminal}` to the stud or bus that leads to the battery, all switches imagined closed"
        ),
    )
}
