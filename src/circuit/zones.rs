//! Which wires a fuse stands in front of.
//!
//! From the plus post of every battery and charger, and from the far side of
//! every fuse and breaker, the wiring is followed through wires, bolted joints,
//! switches, relay contacts, drivers, plugs and diodes (forward), all imagined closed, a
//! selector in each of its positions. It stops at the next fuse or breaker, at every load and coil, and at whatever
//! wires alone tie to a minus post (a relay at rest may join a motor lead to
//! ground, but never while the same lead is fed).
//!
//! What several batteries or fuses feed stands behind each of them: a fuse
//! guards on either side whatever a battery feeds through it. It is not fed
//! through by what reaches its far side by way of the near one.

use super::{Circuit, Device, PartId, SwitchKind, TerminalId};
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
fn posts(circuit: &Circuit, which: usize) -> Vec<TerminalId> {
    let batteries = circuit
        .parts
        .iter()
        .filter(|part| matches!(part.device, Device::Battery(_)));
    batteries.map(|part| part.terminals[which]).collect()
}

/// Where current may go without meeting a fuse or a load.
struct Ways {
    /// From each terminal: the terminal reached, and the wire if it is one.
    next: Vec<Vec<(TerminalId, Option<usize>)>>,
    /// Terminals not entered: what wires alone tie to a minus post, and what a
    /// battery feeds unfused.
    barred: BTreeSet<TerminalId>,
}

impl Ways {
    /// With every contact made, selectors in given positions by part; in all
    /// of theirs at once where none are given.
    fn of(circuit: &Circuit, positions: Option<&[usize]>) -> Self {
        let mut ways = Self::of_wiring(circuit);
        ways.barred = ways.spread(&posts(circuit, 1)).0;
        for (at, part) in circuit.parts.iter().enumerate() {
            match (&part.device, positions) {
                (Device::Plug(_), _) => {}
                (Device::Switch(switch), Some(positions)) => {
                    for (a, b) in pairs(&switch.kind, Some(positions[at])) {
                        ways.join(part.terminals[a], part.terminals[b], None);
                    }
                }
                _ => ways.contacts_of(part),
            }
        }
        ways
    }

    /// Whether a terminal is reached by a way that leaves out one wire.
    fn reaches(&self, from: TerminalId, to: TerminalId, without: usize) -> bool {
        let mut reached = vec![false; self.next.len()];
        reached[from.0] = true;
        let mut open = vec![from];
        while let Some(at) = open.pop() {
            if at == to {
                return true;
            }
            for (next, wire) in &self.next[at.0] {
                let barred = *wire == Some(without) || self.barred.contains(next);
                if !barred && !std::mem::replace(&mut reached[next.0], true) {
                    open.push(*next);
                }
            }
        }
        false
    }

    /// Whether a post feeds a terminal by a way that leaves out one of the
    /// fuses and the terminals behind it.
    fn feeds(
        &self,
        posts: &[TerminalId],
        near: TerminalId,
        (links, without): (&[(TerminalId, TerminalId)], usize),
        tied: &BTreeSet<TerminalId>,
        behind: &BTreeSet<TerminalId>,
    ) -> bool {
        let mut reached = vec![false; self.next.len()];
        let mut open: Vec<TerminalId> = Vec::new();
        let mut enter = |to: TerminalId, open: &mut Vec<TerminalId>| {
            if !reached[to.0] && !tied.contains(&to) && !behind.contains(&to) {
                reached[to.0] = true;
                open.push(to);
            }
        };
        for post in posts {
            enter(*post, &mut open);
        }
        while let Some(at) = open.pop() {
            if at == near {
                return true;
            }
            for (next, _) in &self.next[at.0] {
                enter(*next, &mut open);
            }
            for (link, (one, other)) in links.iter().enumerate() {
                if link == without {
                    continue;
                }
                if *one == at {
                    enter(*other, &mut open);
                }
                if *other == at {
                    enter(*one, &mut open);
                }
            }
        }
        false
    }

    /// Wires, bolted joints and plugs; no contact, nothing barred.
    fn of_wiring(circuit: &Circuit) -> Self {
        let mut ways = Self {
            next: vec![Vec::new(); circuit.terminals.len()],
            barred: BTreeSet::new(),
        };
        for (index, wire) in circuit.wires.iter().enumerate() {
            ways.join(wire.from, wire.to, Some(index));
        }
        for join in &circuit.joins {
            ways.join(join.part, join.to, None);
        }
        // A plug that stays together is wiring, not a contact.
        let plugs = |part: &&super::Part| matches!(part.device, Device::Plug(_));
        for part in circuit.parts.iter().filter(plugs) {
            ways.contacts_of(part);
        }
        ways
    }

    fn contacts_of(&mut self, part: &super::Part) {
        for (a, b) in passages(&part.device, &part.terminals) {
            match part.device {
                Device::Diode(_) => self.next[a.0].push((b, None)),
                _ => self.join(a, b, None),
            }
        }
    }

    fn join(&mut self, a: TerminalId, b: TerminalId, wire: Option<usize>) {
        self.next[a.0].push((b, wire));
        self.next[b.0].push((a, wire));
    }

    /// Metres of wire from `starts` to the far end of each of `wires`, the
    /// shortest way.
    fn metres(
        &self,
        circuit: &Circuit,
        starts: &[TerminalId],
        wires: &BTreeSet<usize>,
    ) -> BTreeMap<usize, f64> {
        let length = |wire: usize| circuit.wires[wire].length.value.typical.si();
        let mut reach = vec![f64::INFINITY; self.next.len()];
        for start in starts {
            reach[start.0] = 0.0;
        }
        // Few terminals: passes over all until nothing gets nearer.
        let mut moved = true;
        while moved {
            moved = false;
            for from in 0..self.next.len() {
                for (to, wire) in &self.next[from] {
                    let there = reach[from] + wire.map_or(0.0, length);
                    if there < reach[to.0] && !self.barred.contains(to) {
                        reach[to.0] = there;
                        moved = true;
                    }
                }
            }
        }
        let far = |wire: &usize| {
            let ends = &circuit.wires[*wire];
            (
                *wire,
                reach[ends.from.0].min(reach[ends.to.0]) + length(*wire),
            )
        };
        wires.iter().map(far).collect()
    }

    fn spread(&self, starts: &[TerminalId]) -> (BTreeSet<TerminalId>, BTreeSet<usize>) {
        let mut reached: BTreeSet<TerminalId> = starts.iter().copied().collect();
        let mut wires = BTreeSet::new();
        let mut open: Vec<TerminalId> = starts.to_vec();
        while let Some(at) = open.pop() {
            for (next, wire) in &self.next[at.0] {
                if self.barred.contains(next) {
                    continue;
                }
                wires.extend(*wire);
                if reached.insert(*next) {
                    open.push(*next);
                }
            }
        }
        (reached, wires)
    }
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

/// Pairs of a switch's terminals that it joins, in one position or in all.
fn pairs(kind: &SwitchKind, position: Option<usize>) -> Vec<(usize, usize)> {
    match kind {
        SwitchKind::Simple { .. } => vec![(0, 1)],
        SwitchKind::Selector { positions } => positions
            .iter()
            .enumerate()
            .filter(|(at, _)| position.is_none_or(|position| position == *at))
            .flat_map(|(_, (_, pairs))| pairs.clone())
            .collect(),
    }
}

/// Pairs of a part's terminals that a closed contact joins.
pub fn passages(device: &Device, terminals: &[TerminalId]) -> Vec<(TerminalId, TerminalId)> {
    let pairs: Vec<(usize, usize)> = match device {
        Device::Switch(switch) => pairs(&switch.kind, None),
        Device::Relay(_) => vec![(2, 3), (2, 4)],
        Device::Driver(driver) => (0..driver.channels.len())
            .map(|i| (i, driver.channels.len()))
            .collect(),
        Device::Diode(_) => vec![(0, 1)],
        Device::Plug(plug) => (0..plug.pins.len()).map(|i| (2 * i, 2 * i + 1)).collect(),
        _ => Vec::new(),
    };
    pairs
        .into_iter()
        .map(|(a, b)| (terminals[a], terminals[b]))
        .collect()
}
