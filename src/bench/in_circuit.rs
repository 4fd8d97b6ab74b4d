//! What a part carries where it sits, from the solved states of its circuit.
//!
//! A circuit that cannot be solved gives nothing: the bench steps stand without.

use super::part::{Cranks, Fastened};
use crate::circuit::{Circuit, Device, PartId};
use crate::devices::{Model, resolve};
use crate::quantities::Amps;
use crate::solving::{Solution, StateSolution, solve};
use std::collections::BTreeMap;

/// Current not worth a reading, amperes.
const LEAST_A: f64 = 0.05;
/// Current below which a joint shows too few millivolts to judge, amperes.
const LEAST_JOINT_A: f64 = 0.5;
/// Current from which a starter turns, amperes.
const CRANKING_A: f64 = 20.0;

/// By fuse, what it carries in each state that loads it.
pub(super) fn carried(circuit: &Circuit) -> BTreeMap<String, Vec<(String, Amps)>> {
    let mut all: BTreeMap<String, Vec<(String, Amps)>> = BTreeMap::new();
    for state in sound_states(solve(circuit).ok()) {
        for (name, fuse) in &state.fuses {
            if fuse.current_a >= LEAST_A {
                let entry = (state.name.clone(), Amps::new(fuse.current_a));
                all.entry(name.clone()).or_default().push(entry);
            }
        }
    }
    all
}

/// The wires on a stud, each with the state in which it carries most.
pub(super) fn fastened(circuit: &Circuit, stud: PartId) -> Vec<Fastened> {
    let states = sound_states(solve(circuit).ok());
    let terminal = circuit.part(stud).terminals[0];
    let on_it = |wire: &crate::circuit::Wire| wire.from == terminal || wire.to == terminal;
    let indices = (0..circuit.wires.len()).filter(|index| on_it(&circuit.wires[*index]));
    indices
        .filter_map(|index| {
            let wire = &circuit.wires[index];
            let other = if wire.from == terminal {
                wire.to
            } else {
                wire.from
            };
            let currents = states.iter().filter_map(|state| {
                let found = state.wires.iter().find(|found| found.wire == index)?;
                Some((state.name.clone(), found.current_a.abs()))
            });
            let (state, current_a) = currents.max_by(|a, b| a.1.total_cmp(&b.1))?;
            let label = &circuit.terminal(other).label;
            (current_a >= LEAST_JOINT_A).then(|| Fastened {
                other_end: label.trim_end_matches(".from").to_owned(),
                state,
                current: Amps::new(current_a),
            })
        })
        .collect()
}

/// The starter a battery turns, and the way between them.
pub(super) fn cranks(circuit: &Circuit, battery: PartId) -> Option<Cranks> {
    let resolved = resolve(circuit).ok()?;
    let name = &circuit.part(battery).name;
    let states = sound_states(solve(circuit).ok());
    states.iter().find_map(|state| {
        let posts = state.batteries.get(name)?;
        circuit.part_ids().find_map(|id| {
            let part = circuit.part(id);
            let Device::Motor(_) = part.device else {
                return None;
            };
            let reading = state.parts.get(&part.name)?;
            let (volts, amps) = (reading.voltage_v?, reading.current_a?);
            let Model::Motor(motor) = resolved.part(id) else {
                return None;
            };
            let turns = amps >= CRANKING_A && posts.current_a >= amps && circuit.is_starter(id);
            turns.then(|| Cranks {
                starter: part.name.clone(),
                state: state.name.clone(),
                motor: motor.clone(),
                path_ohm: ((posts.voltage_v - volts) / amps).max(1e-6),
                other_a: posts.current_a - amps,
            })
        })
    })
}

/// States as they are meant to be: what-if states aside.
fn sound_states(solution: Option<Solution>) -> Vec<StateSolution> {
    let states = solution.map_or_else(Vec::new, |solution| solution.states);
    states.into_iter().filter(|state| !state.what_if).collect()
}
