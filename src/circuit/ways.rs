//! Ways of current through the wiring, contacts imagined made.

use super::zones::posts;
use super::{Circuit, Device, Part, SwitchKind, TerminalId};
use std::collections::{BTreeMap, BTreeSet};

/// Where current may go without meeting a fuse or a load.
pub(super) struct Ways {
    /// From each terminal: the terminal reached, and the wire if it is one.
    next: Vec<Vec<(TerminalId, Option<usize>)>>,
    /// Terminals not entered: what wires alone tie to a minus post, and what a
    /// battery feeds unfused.
    pub(super) barred: BTreeSet<TerminalId>,
}

impl Ways {
    /// With every contact made, selectors in given positions by part; in all
    /// of theirs at once where none are given.
    pub(super) fn of(circuit: &Circuit, positions: Option<&[usize]>) -> Self {
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
    pub(super) fn reaches(&self, from: TerminalId, to: TerminalId, without: usize) -> bool {
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
    pub(super) fn feeds(
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
    pub(super) fn of_wiring(circuit: &Circuit) -> Self {
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
        let plugs = |part: &&Part| matches!(part.device, Device::Plug(_));
        for part in circuit.parts.iter().filter(plugs) {
            ways.contacts_of(part);
        }
        ways
    }

    fn contacts_of(&mut self, part: &Part) {
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
    pub(super) fn metres(
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

    pub(super) fn spread(&self, starts: &[TerminalId]) -> (BTreeSet<TerminalId>, BTreeSet<usize>) {
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
