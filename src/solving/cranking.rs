//! Wires of a starter's own circuit, which the rules of ampacity and of
//! protection except.
//!
//! A wire is one where it carries mostly a starter's current in some state. A
//! starter that no state cranks has its way counted instead: the least wire
//! from a battery's plus post through contacts, never through a fuse. A tap
//! from the solenoid's stud to anything else is no such wire.
//!
//! # Source
//! 33 CFR 183.455 and 183.460 and ABYC E-11 except cranking-motor conductors.

use super::solution::StateSolution;
use crate::circuit::zones::passages;
use crate::circuit::{Circuit, Device, PartId, TerminalId};
use std::collections::BTreeSet;

/// Every wire of a starter's own circuit, by index in the circuit.
pub fn cranking_wires<'a>(
    circuit: &Circuit,
    states: impl IntoIterator<Item = &'a StateSolution>,
) -> BTreeSet<usize> {
    let mut wires = BTreeSet::new();
    let mut cranked = BTreeSet::new();
    for state in states {
        wires.extend(state.wires.iter().filter(|w| w.cranking).map(|w| w.wire));
        cranked.extend(
            state
                .parts
                .iter()
                .filter(|(_, part)| part.current_a.is_some_and(|a| a.abs() > TURNS_A))
                .map(|(name, _)| name.clone()),
        );
    }
    let starters = circuit.part_ids().filter(|id| circuit.is_starter(*id));
    for starter in starters.filter(|id| !cranked.contains(&circuit.part(*id).name)) {
        wires.extend(way_to(circuit, starter));
    }
    wires
}

/// Current from which a starter cranks, amperes.
const TURNS_A: f64 = 1.0;

/// A terminal reached from a post: metres of wire, where from, and through which.
#[derive(Debug, Clone, Copy)]
struct Reached {
    metres: f64,
    from: Option<(TerminalId, Option<usize>)>,
}

/// Wires of the shortest way from any plus post to a starter.
fn way_to(circuit: &Circuit, starter: PartId) -> BTreeSet<usize> {
    let next = unfused(circuit);
    let mut reached: Vec<Option<Reached>> = vec![None; circuit.terminals.len()];
    for part in &circuit.parts {
        if matches!(part.device, Device::Battery(_)) {
            reached[part.terminals[0].0] = Some(Reached {
                metres: 0.0,
                from: None,
            });
        }
    }
    // Few terminals: passes over all until nothing gets nearer.
    let mut moved = true;
    while moved {
        moved = false;
        for at in 0..next.len() {
            let Some(here) = reached[at] else { continue };
            for &(to, wire) in &next[at] {
                let metres = here.metres + wire.map_or(0.0, |wire| length_m(circuit, wire));
                if reached[to.0].is_none_or(|known| metres < known.metres - 1e-12) {
                    let from = Some((TerminalId(at), wire));
                    reached[to.0] = Some(Reached { metres, from });
                    moved = true;
                }
            }
        }
    }
    let mut wires = BTreeSet::new();
    let mut at = circuit.part(starter).terminals[0];
    while let Some((before, wire)) = reached[at.0].and_then(|reached| reached.from) {
        wires.extend(wire);
        at = before;
    }
    wires
}

fn length_m(circuit: &Circuit, wire: usize) -> f64 {
    // A wire of no length still is one step.
    circuit.wires[wire].length.value.typical.si() + 1e-6
}

/// From each terminal where wires, bolted joints, switches, relays and plugs lead.
fn unfused(circuit: &Circuit) -> Vec<Vec<(TerminalId, Option<usize>)>> {
    let mut next = vec![Vec::new(); circuit.terminals.len()];
    let mut join = |a: TerminalId, b: TerminalId, wire| {
        next[a.0].push((b, wire));
        next[b.0].push((a, wire));
    };
    for (index, wire) in circuit.wires.iter().enumerate() {
        join(wire.from, wire.to, Some(index));
    }
    for bolted in &circuit.joins {
        join(bolted.part, bolted.to, None);
    }
    for part in &circuit.parts {
        if matches!(
            part.device,
            Device::Switch(_) | Device::Relay(_) | Device::Plug(_)
        ) {
            for (a, b) in passages(&part.device, &part.terminals) {
                join(a, b, None);
            }
        }
    }
    next
}
