//! Which wires a fuse stands in front of.
//!
//! From the plus post of every battery and charger, and from the far side of
//! every fuse and breaker, the wiring is followed through wires, bolted joints,
//! switches, relay contacts, drivers, plugs and diodes (forward), all imagined closed. It
//! stops at the next fuse or breaker, at every load and coil, and at whatever
//! wires alone tie to a minus post (a relay at rest may join a motor lead to
//! ground, but never while the same lead is fed).

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
        let mut ways = Ways::of(circuit);
        let mut zones = Self::default();
        let (live, bare) = ways.spread(&posts(circuit, 0));
        zones.bare = ways.metres(circuit, &posts(circuit, 0), &bare);
        zones.bridged = bridged(circuit);
        // What a battery feeds unfused stays that battery's, however the rest is joined.
        ways.barred.extend(live.iter().copied());
        zones.visit(circuit, &ways, &live);
        zones
    }

    /// Follows on behind each fuse that a live terminal feeds, fuse after fuse.
    fn visit(&mut self, circuit: &Circuit, ways: &Ways, live: &BTreeSet<TerminalId>) {
        for id in fuses(circuit) {
            if self.wires.contains_key(&id) {
                continue;
            }
            let (one, other) = fuse_terminals(circuit, id);
            let far = match (live.contains(&one), live.contains(&other)) {
                (true, false) => other,
                (false, true) => one,
                _ => continue,
            };
            let (reached, wires) = ways.spread(&[far]);
            self.wires.insert(id, wires);
            self.terminals.insert(id, reached.clone());
            self.visit(circuit, ways, &reached);
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
    fn of(circuit: &Circuit) -> Self {
        let mut ways = Self::of_wiring(circuit);
        ways.barred = ways.spread(&posts(circuit, 1)).0;
        let is_plug = |part: &&super::Part| matches!(part.device, Device::Plug(_));
        for part in circuit.parts.iter().filter(|part| !is_plug(part)) {
            ways.contacts_of(part);
        }
        ways
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

/// Pairs of a part's terminals that a closed contact joins.
pub fn passages(device: &Device, terminals: &[TerminalId]) -> Vec<(TerminalId, TerminalId)> {
    let pairs: Vec<(usize, usize)> = match device {
        Device::Switch(switch) => match &switch.kind {
            SwitchKind::Simple { .. } => vec![(0, 1)],
            SwitchKind::Selector { positions } => positions
                .iter()
                .flat_map(|(_, pairs)| pairs.clone())
                .collect(),
        },
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
