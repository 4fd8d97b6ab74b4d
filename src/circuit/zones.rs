//! Which wires a fuse stands in front of.
//!
//! From the plus post of every battery and charger, and from the far side of
//! every fuse and breaker, the wiring is followed through wires, bolted joints,
//! switches, relay contacts, drivers, plugs and diodes (forward), all imagined closed, a
//! selector in each of its positions. It stops at the next fuse or breaker, at every load
//! and coil, and at whatever wires alone tie to a minus post (a relay at rest may join a
//! motor lead to ground, but never while the same lead is fed).
//!
//! What several batteries or fuses feed stands behind each of them: a fuse
//! guards on either side whatever a battery feeds through it. It is not fed
//! through by what reaches its far side by way of the near one.

use super::ways::Ways;
pub use super::ways::passages;
use super::{Circuit, Device, Given, PartId, SwitchKind, TerminalId};
use crate::quantities::Amps;
use crate::tables::fuses::FuseStyle;
use std::collections::{BTreeMap, BTreeSet};

/// A fuse or breaker: a part, and the slot's index where it sits in a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FuseId {
    /// The part.
    pub part: PartId,
    /// The slot of a block.
    pub slot: Option<usize>,
}

/// What stands in front of what.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Zones {
    /// Wires behind each fuse, up to the next one, by index in the circuit.
    pub wires: BTreeMap<FuseId, BTreeSet<usize>>,
    /// Terminals behind each fuse, up to the next one or a load.
    pub terminals: BTreeMap<FuseId, BTreeSet<TerminalId>>,
    /// Wires that live on a battery's plus post without any fuse before them,
    /// with the metres of wire from the post to their far end.
    pub bare: BTreeMap<usize, f64>,
    /// Fuses that feed a wire from one of its ends at the same time, where they
    /// are several: what it may carry is what they let through together.
    pub together: BTreeMap<usize, BTreeSet<Vec<FuseId>>>,
    /// Fuses whose two sides wires alone join.
    pub bridged: BTreeSet<FuseId>,
}

/// Every fuse and breaker of the circuit, in the parts' order.
pub fn fuses(circuit: &Circuit) -> Vec<FuseId> {
    let mut all = Vec::new();
    for id in circuit.part_ids() {
        match &circuit.part(id).device {
            Device::Fuse(_) | Device::Breaker(_) => all.push(FuseId {
                part: id,
                slot: None,
            }),
            Device::FuseBlock(block) => {
                all.extend((0..block.slots.len()).map(|slot| FuseId {
                    part: id,
                    slot: Some(slot),
                }));
            }
            _ => {}
        }
    }
    all
}

/// The name a fuse is called by: `main`, `helm.pump`.
pub fn fuse_name(circuit: &Circuit, id: FuseId) -> String {
    let part = circuit.part(id.part);
    match (&part.device, id.slot) {
        (Device::FuseBlock(block), Some(slot)) => {
            format!("{}.{}", part.name, block.slots[slot].name)
        }
        _ => part.name.clone(),
    }
}

/// The two terminals of a fuse: supply side as written first, then the other.
pub fn fuse_terminals(circuit: &Circuit, id: FuseId) -> (TerminalId, TerminalId) {
    let part = circuit.part(id.part);
    match (&part.device, id.slot) {
        (Device::FuseBlock(block), Some(slot)) => (part.terminals[0], block.slots[slot].terminal),
        _ => (part.terminals[0], part.terminals[1]),
    }
}

/// What the file writes of a fuse, wherever it sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Written {
    /// Family; none for a breaker.
    pub style: Option<FuseStyle>,
    /// Fitted rating.
    pub rating: Given<Amps>,
    /// Rating printed on the cover.
    pub label: Option<Given<Amps>>,
    /// Held against sizing.
    pub keep: bool,
}

/// What the file writes of a fuse or breaker; none for another part.
pub fn written(circuit: &Circuit, id: FuseId) -> Option<Written> {
    let fuse = match (&circuit.part(id.part).device, id.slot) {
        (Device::Fuse(fuse), _) => fuse,
        (Device::FuseBlock(block), Some(slot)) => &block.slots[slot].fuse,
        (Device::Breaker(breaker), _) => {
            return Some(Written {
                style: None,
                rating: breaker.rating,
                label: breaker.label,
                keep: breaker.keep,
            });
        }
        _ => return None,
    };
    Some(Written {
        style: Some(fuse.style.value),
        rating: fuse.rating,
        label: fuse.label,
        keep: fuse.keep,
    })
}

/// Fits another rating; nothing where the part is no fuse or breaker.
pub fn set_rating(circuit: &mut Circuit, id: FuseId, rating: Amps) {
    let given = match (&mut circuit.parts[id.part.0].device, id.slot) {
        (Device::Fuse(fuse), _) => &mut fuse.rating,
        (Device::Breaker(breaker), _) => &mut breaker.rating,
        (Device::FuseBlock(block), Some(slot)) => &mut block.slots[slot].fuse.rating,
        _ => return,
    };
    given.value = rating;
}

impl Zones {
    /// Follows the wiring of a circuit.
    pub fn of(circuit: &Circuit) -> Self {
        let mut zones = Self {
            bridged: bridged(circuit),
            ..Self::default()
        };
        for positions in positions(circuit) {
            zones.follow(circuit, Ways::of(circuit, positions.as_deref()));
        }
        zones
    }

    /// Adds what is fed with the selectors as they stand.
    fn follow(&mut self, circuit: &Circuit, mut ways: Ways) {
        let posts = posts(circuit, 0);
        let tied = ways.barred.clone();
        let (live, bare) = ways.spread(&posts);
        for (wire, reach_m) in ways.metres(circuit, &posts, &bare) {
            let known_m = self.bare.entry(wire).or_insert(reach_m);
            *known_m = known_m.min(reach_m);
        }
        // What a battery feeds unfused stays that battery's, however the rest is joined.
        ways.barred.extend(live.iter().copied());
        let all = fuses(circuit);
        let links: Vec<_> = all.iter().map(|id| fuse_terminals(circuit, *id)).collect();
        let mut feeders: BTreeMap<usize, Vec<(FuseId, TerminalId)>> = BTreeMap::new();
        for (at, id) in all.iter().enumerate() {
            let (one, other) = links[at];
            for (near, far) in [(one, other), (other, one)] {
                if live.contains(&far) {
                    continue;
                }
                let (reached, wires) = ways.spread(&[far]);
                if ways.feeds(&posts, near, (&links, at), &tied, &reached) {
                    for wire in &wires {
                        feeders.entry(*wire).or_default().push((*id, far));
                    }
                    self.wires.entry(*id).or_default().extend(wires);
                    self.terminals.entry(*id).or_default().extend(reached);
                }
            }
        }
        for (wire, feeders) in feeders.iter().filter(|(_, feeders)| feeders.len() > 1) {
            let ends = &circuit.wires[*wire];
            for end in [ends.from, ends.to] {
                let reaches = |(_, far): &&(FuseId, TerminalId)| ways.reaches(*far, end, *wire);
                let mut set: Vec<FuseId> = feeders.iter().filter(reaches).map(|f| f.0).collect();
                set.dedup();
                if set.len() > 1 {
                    self.together.entry(*wire).or_default().insert(set);
                }
            }
        }
    }

    /// The terminal of a fuse that its zone lies behind.
    pub fn load_side(&self, circuit: &Circuit, id: FuseId) -> TerminalId {
        let (one, other) = fuse_terminals(circuit, id);
        match self.terminals.get(&id) {
            Some(reached) if !reached.contains(&other) => one,
            _ => other,
        }
    }

    /// The fuses right in front of a wire.
    pub fn before(&self, wire: usize) -> impl Iterator<Item = FuseId> + '_ {
        self.wires
            .iter()
            .filter(move |(_, wires)| wires.contains(&wire))
            .map(|(id, _)| *id)
    }

    /// The fuses right in front of a terminal.
    pub fn before_terminal(&self, terminal: TerminalId) -> impl Iterator<Item = FuseId> + '_ {
        self.terminals
            .iter()
            .filter(move |(_, all)| all.contains(&terminal))
            .map(|(id, _)| *id)
    }
}

/// Fuses whose sides are joined by wires, bolted joints and plugs alone.
fn bridged(circuit: &Circuit) -> BTreeSet<FuseId> {
    let wiring = Ways::of_wiring(circuit);
    let is_bridged = |id: &FuseId| {
        let (one, other) = fuse_terminals(circuit, *id);
        wiring.spread(&[one]).0.contains(&other)
    };
    fuses(circuit).into_iter().filter(is_bridged).collect()
}

/// One post of every battery: 0 for plus, 1 for minus.
pub(super) fn posts(circuit: &Circuit, which: usize) -> Vec<TerminalId> {
    let batteries = circuit
        .parts
        .iter()
        .filter(|part| matches!(part.device, Device::Battery(_)));
    batteries.map(|part| part.terminals[which]).collect()
}

/// Combinations of selector positions looked at one by one; with more, all
/// positions of a selector count at once, which finds more ways, never fewer.
const MOST_COMBINATIONS: usize = 64;

/// The position of every selector (0 for other parts), in all combinations;
/// none where they are too many.
fn positions(circuit: &Circuit) -> Vec<Option<Vec<usize>>> {
    let count = |part: &super::Part| match &part.device {
        Device::Switch(switch) => match &switch.kind {
            SwitchKind::Selector { positions } => positions.len().max(1),
            SwitchKind::Simple { .. } => 1,
        },
        _ => 1,
    };
    let mut all = vec![vec![0; circuit.parts.len()]];
    for (at, part) in circuit.parts.iter().enumerate() {
        let count = count(part);
        if all.len() * count > MOST_COMBINATIONS {
            return vec![None];
        }
        let with = |position: usize| {
            move |one: &Vec<usize>| {
                let mut one = one.clone();
                one[at] = position;
                one
            }
        };
        all = (0..count)
            .flat_map(|position| all.iter().map(with(position)).collect::<Vec<_>>())
            .collect();
    }
    all.into_iter().map(Some).collect()
}
