//! The way a fault current takes: least resistance from each battery.
//!
//! All contacts are imagined made. From the plus post the way goes through
//! wires, joints, contacts and fuses, never onto what wires alone tie to a
//! minus post; back it goes from the minus post the same way.
//!
//! One way at a time; how feeds side by side share a current stands in
//! `faults`.

use crate::circuit::zones::{FuseId, fuse_terminals, fuses, passages};
use crate::circuit::{Circuit, Device, PartId, TerminalId};
use crate::devices::{LinkModel, Model, Resolved, WireModel};
use crate::quantities::Band;
use std::collections::BTreeSet;

/// What a step of a way leads through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Through {
    /// A wire, by index in the circuit.
    Wire(usize),
    /// A fuse or breaker.
    Link(FuseId),
    /// A contact, a joint, a plug's pin.
    Other,
}

/// What joins two terminals, all contacts made.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub from: TerminalId,
    pub to: TerminalId,
    pub through: Through,
    pub ohm: Band<f64>,
    /// Whether current may flow both ways.
    pub both: bool,
}

/// A way from a battery's post.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Way {
    /// From the post on.
    pub steps: Vec<Through>,
    /// Resistance along it.
    pub ohm: Band<f64>,
}

impl Way {
    /// Wires along it.
    pub(super) fn wires(&self) -> impl Iterator<Item = usize> + '_ {
        self.steps.iter().filter_map(|step| match step {
            Through::Wire(wire) => Some(*wire),
            _ => None,
        })
    }
}

/// Ways from one battery to every terminal.
#[derive(Debug, Clone)]
pub(super) struct Ways {
    /// The battery.
    pub battery: PartId,
    /// From the plus post.
    feed: Vec<Option<Way>>,
    /// From the minus post.
    back: Vec<Option<Way>>,
}

impl Ways {
    /// From every battery of a circuit.
    pub(super) fn of(circuit: &Circuit, edges: &[Edge]) -> Vec<Self> {
        let tied = tied_to_minus(circuit);
        let none = BTreeSet::new();
        let batteries = circuit
            .part_ids()
            .filter(|id| matches!(circuit.part(*id).device, Device::Battery(_)));
        batteries
            .map(|battery| {
                let posts = &circuit.part(battery).terminals;
                Self {
                    battery,
                    feed: shortest(circuit, edges, posts[0], &tied),
                    back: shortest(circuit, edges, posts[1], &none),
                }
            })
            .collect()
    }

    /// From the plus post to a terminal.
    pub(super) fn to(&self, terminal: TerminalId) -> Option<&Way> {
        self.feed[terminal.0].as_ref()
    }

    /// From a terminal to the minus post.
    pub(super) fn back_from(&self, terminal: TerminalId) -> Option<&Way> {
        self.back[terminal.0].as_ref()
    }
}

/// Resistance of a closed driver channel or diode, ohms: small against leads.
const CHANNEL_OHM: f64 = 0.01;

/// Copper and joints of a wire: cold in its air, and at its class.
pub(super) fn wire_ohm(model: &WireModel) -> Band<f64> {
    let cold = model.copper_ohm();
    let class_degc = model.allowed.as_ref().map_or(90.0, |a| a.class.si());
    let hot = cold * (234.5 + class_degc.max(model.ambient.si())) / (234.5 + model.ambient.si());
    let joints = model.joints.si();
    Band {
        low: cold + joints.low,
        typical: cold + joints.typical,
        high: hot + joints.high,
    }
}

/// A fuse or breaker in its holder; on its way to melting the element's
/// resistance rises.
pub(super) fn link_ohm(link: &LinkModel) -> Band<f64> {
    let (clips, cold) = (link.clips.si(), link.cold.si());
    Band {
        low: clips.low + cold.low,
        typical: clips.typical + cold.typical,
        high: clips.high + cold.high * (1.0 + link.rise_cap),
    }
}

/// All that joins terminals.
pub(super) fn edges(circuit: &Circuit, resolved: &Resolved) -> Vec<Edge> {
    let mut edges: Vec<Edge> = Vec::new();
    let mut join = |from: TerminalId, to: TerminalId, through, ohm, both: bool| {
        edges.push(Edge {
            from,
            to,
            through,
            ohm,
            both,
        });
    };
    for (index, wire) in circuit.wires.iter().enumerate() {
        let ohm = wire_ohm(&resolved.wires[index]);
        join(wire.from, wire.to, Through::Wire(index), ohm, true);
    }
    for bolted in &circuit.joins {
        let ohm = resolved.bolted.si();
        join(bolted.part, bolted.to, Through::Other, ohm, true);
    }
    for id in fuses(circuit) {
        let Model::Links(links) = resolved.part(id.part) else {
            continue;
        };
        let ohm = link_ohm(&links[id.slot.unwrap_or(0)]);
        let (from, to) = fuse_terminals(circuit, id);
        join(from, to, Through::Link(id), ohm, true);
    }
    for id in circuit.part_ids() {
        let part = circuit.part(id);
        let ohm = match resolved.part(id) {
            Model::Switch(contact) | Model::Plug(contact) => contact.si(),
            Model::Relay(relay) => relay.contact.si(),
            _ => Band {
                low: CHANNEL_OHM,
                typical: CHANNEL_OHM,
                high: CHANNEL_OHM,
            },
        };
        let both = !matches!(part.device, Device::Diode(_));
        for (a, b) in passages(&part.device, &part.terminals) {
            join(a, b, Through::Other, ohm, both);
        }
    }
    edges
}

/// Terminals that wires, joints and plugs alone tie to a minus post.
pub(super) fn tied_to_minus(circuit: &Circuit) -> BTreeSet<TerminalId> {
    let mut next: Vec<Vec<TerminalId>> = vec![Vec::new(); circuit.terminals.len()];
    let plugs = circuit
        .parts
        .iter()
        .filter(|part| matches!(part.device, Device::Plug(_)))
        .flat_map(|part| passages(&part.device, &part.terminals));
    let wires = circuit.wires.iter().map(|wire| (wire.from, wire.to));
    let joins = circuit.joins.iter().map(|join| (join.part, join.to));
    for (a, b) in wires.chain(joins).chain(plugs) {
        next[a.0].push(b);
        next[b.0].push(a);
    }
    let mut open: Vec<TerminalId> = circuit
        .parts
        .iter()
        .filter(|part| matches!(part.device, Device::Battery(_)))
        .map(|part| part.terminals[1])
        .collect();
    let mut tied: BTreeSet<TerminalId> = open.iter().copied().collect();
    while let Some(at) = open.pop() {
        open.extend(next[at.0].iter().copied().filter(|to| tied.insert(*to)));
    }
    tied
}

/// Ways of least typical resistance from a terminal; ties go to the lower one.
pub(super) fn shortest(
    circuit: &Circuit,
    edges: &[Edge],
    from: TerminalId,
    barred: &BTreeSet<TerminalId>,
) -> Vec<Option<Way>> {
    let count = circuit.terminals.len();
    let mut next: Vec<Vec<(TerminalId, &Edge)>> = vec![Vec::new(); count];
    for edge in edges {
        next[edge.from.0].push((edge.to, edge));
        if edge.both {
            next[edge.to.0].push((edge.from, edge));
        }
    }
    let mut ways: Vec<Option<Way>> = vec![None; count];
    let mut done = vec![false; count];
    ways[from.0] = Some(Way::default());
    loop {
        let nearest = (0..count)
            .filter(|&at| !done[at])
            .filter_map(|at| Some((at, ways[at].as_ref()?.ohm.typical)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((at, _)) = nearest else {
            return ways;
        };
        done[at] = true;
        let Some(here) = ways[at].clone() else {
            continue;
        };
        for (to, edge) in next[at].iter().filter(|(to, _)| !barred.contains(to)) {
            let ohm = here.ohm + edge.ohm;
            let known = ways[to.0].as_ref().map(|way| way.ohm.typical);
            if known.is_none_or(|known| ohm.typical < known) {
                let mut steps = here.steps.clone();
                steps.push(edge.through);
                ways[to.0] = Some(Way { steps, ohm });
            }
        }
    }
}
