//! What stands on the battery's minus post by wires and bolts alone.

use crate::circuit::{Circuit, Device, TerminalId};
use std::collections::BTreeSet;

/// Terminals joined to a battery's minus post by wires, bolts and plugs alone.
pub(super) fn grounded(circuit: &Circuit) -> BTreeSet<TerminalId> {
    let minus = circuit
        .parts
        .iter()
        .filter(|part| matches!(part.device, Device::Battery(_)))
        .map(|part| part.terminals[1]);
    let mut reached: BTreeSet<TerminalId> = minus.collect();
    let mut ways: Vec<(TerminalId, TerminalId)> = circuit
        .wires
        .iter()
        .map(|wire| (wire.from, wire.to))
        .chain(circuit.joins.iter().map(|join| (join.part, join.to)))
        .collect();
    for part in &circuit.parts {
        if let Device::Plug(plug) = &part.device {
            let pin = |at: usize| (part.terminals[2 * at], part.terminals[2 * at + 1]);
            ways.extend((0..plug.pins.len()).map(pin));
        }
    }
    loop {
        let before = reached.len();
        for (from, to) in &ways {
            if reached.contains(from) || reached.contains(to) {
                reached.extend([*from, *to]);
            }
        }
        if reached.len() == before {
            return reached;
        }
    }
}

/// The grounded stud that most ends meet at: engine block or bus bar.
pub(super) fn ground(circuit: &Circuit, grounded: &BTreeSet<TerminalId>) -> Option<usize> {
    let ends = |terminal: TerminalId| {
        let wires = circuit
            .wires
            .iter()
            .flat_map(|wire| [wire.from, wire.to])
            .filter(|end| *end == terminal)
            .count();
        let joins = circuit.joins.iter().filter(|join| join.to == terminal);
        wires + joins.count()
    };
    let studs = grounded.iter().filter(|terminal| {
        let part = circuit.terminal(**terminal).part;
        matches!(circuit.part(part).device, Device::Stud)
    });
    studs
        .max_by_key(|terminal| (ends(**terminal), std::cmp::Reverse(terminal.0)))
        .map(|terminal| terminal.0)
}
