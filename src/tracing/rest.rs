//! The state in which everything is off, where a file has none.

use crate::circuit::{Circuit, ContactPosition, Device, PartId, State, SwitchKind};
use crate::span::Span;
use std::collections::BTreeMap;

/// Names of a state in which everything is off.
const NAMES: [&str; 2] = ["off", "rest"];

/// The state of a circuit that is called off or at rest.
pub(super) fn named(circuit: &Circuit) -> Option<usize> {
    let is_rest = |state: &State| NAMES.contains(&state.name.as_str());
    circuit.states.iter().position(is_rest)
}

/// The circuit with a state `off` behind its own, unless it has one: a battery that
/// drains does so with everything off.
///
/// # Limits
/// Taken from the other states: a switch that is closed in all of them, as a battery
/// switch is, stays so; every other one is open, a selector stands where it joins
/// least, no output of a module conducts, and nothing charges.
pub fn with_rest(mut circuit: Circuit) -> Circuit {
    if named(&circuit).is_some() {
        return circuit;
    }
    let contacts = circuit.part_ids().filter_map(|part| {
        let stand = match &circuit.part(part).device {
            Device::Switch(switch) => switch_at_rest(&circuit, part, &switch.kind),
            Device::Driver(_) => ContactPosition::Channels { closed: Vec::new() },
            _ => return None,
        };
        Some((part, stand))
    });
    let rest = State {
        name: NAMES[0].to_owned(),
        span: Span::default(),
        contacts: contacts.collect(),
        charging: BTreeMap::new(),
        duty: BTreeMap::new(),
        after: None,
        conditions: BTreeMap::new(),
    };
    circuit.states.push(rest);
    circuit
}

fn switch_at_rest(circuit: &Circuit, part: PartId, kind: &SwitchKind) -> ContactPosition {
    match kind {
        SwitchKind::Simple { .. } => {
            let closed = ContactPosition::Simple { closed: true };
            let stands = |state: &State| state.contacts.get(&part) == Some(&closed);
            ContactPosition::Simple {
                closed: circuit.states.len() > 1 && circuit.states.iter().all(stands),
            }
        }
        SwitchKind::Selector { positions } => {
            let joins = |at: &usize| positions[*at].1.len();
            let position = (0..positions.len()).min_by_key(joins).unwrap_or(0);
            ContactPosition::Selector { position }
        }
    }
}
