//! Currents balance at every joint, powers sum to nothing.
//!
//! Judged from what is reported: the branches of each state, and the readings
//! of wires, loads, batteries and chargers.

use std::collections::BTreeMap;

use ampkeel::circuit::{Circuit, Device};
use ampkeel::network::Parameters;
use ampkeel::solving::{StateBranch, StateBranches, StateSolution, branches, solve};

use super::examples;

#[test]
fn every_state_of_every_example_circuit_balances() {
    for (name, circuit) in examples() {
        let solution = solve(&circuit).unwrap();
        assert_eq!(solution.states.len(), circuit.states.len(), "{name}");
        for (state, listed) in solution.states.iter().zip(&branches(&circuit).unwrap()) {
            let place = format!("{name}, {}", state.name);
            assert!(state.residual_a <= 1e-9, "{place}: {} A", state.residual_a);
            if let Err(why) = balanced(&circuit, state, listed) {
                panic!("{place}: {why}");
            }
        }
    }
}

/// Holds one state to the laws of circuits.
pub(super) fn balanced(
    circuit: &Circuit,
    state: &StateSolution,
    listed: &StateBranches,
) -> Result<(), String> {
    joints(state, &listed.branches)?;
    powers(state, &listed.branches)?;
    readings(circuit, state)
}

/// At each terminal the currents of its branches sum to nothing, within 1e-9 A
/// and the rounding of the volts there: 64 eps times the sum of |G V|.
fn joints(state: &StateSolution, branches: &[StateBranch]) -> Result<(), String> {
    let mut left: BTreeMap<&str, f64> = BTreeMap::new();
    let mut rounding: BTreeMap<&str, f64> = BTreeMap::new();
    for branch in branches {
        for (end, sign) in [(branch.from.as_str(), 1.0), (branch.to.as_str(), -1.0)] {
            *left.entry(end).or_default() += sign * branch.current_a;
            let volts = volts_of(state, &branch.from).abs() + volts_of(state, &branch.to).abs();
            *rounding.entry(end).or_default() += steepness(branch) * volts;
        }
    }
    for (joint, left_a) in left {
        let allowed = 1e-9 + 64.0 * f64::EPSILON * rounding[joint];
        if left_a.abs() > allowed {
            return Err(format!(
                "{left_a:e} A left over at {joint}, allowed {allowed:e}"
            ));
        }
    }
    Ok(())
}

/// Siemens of what is stiff enough to matter.
fn steepness(branch: &StateBranch) -> f64 {
    let siemens = match branch.parameters {
        Parameters::Conductor(law) => law.conductance_s,
        Parameters::HeatedConductor(law) => 1.0 / (law.r_joint_ohm + law.r_ambient_ohm),
        Parameters::HeatedLink(law) => 1.0 / (law.r_contacts_ohm + law.r_cold_ohm),
        Parameters::Supply(law) => 1.0 / law.r_ohm.min(law.r_charge_ohm),
        Parameters::Charger(law) => 1.0 / law.r_regulator_ohm,
        Parameters::Diode(law) => 1.0 / law.r_on_ohm,
        Parameters::Motor(law) => 1.0 / law.r_ohm,
        _ => 1.0,
    };
    branch.scale * siemens
}

fn volts_of(state: &StateSolution, label: &str) -> f64 {
    state.terminals_v[label].unwrap_or(0.0)
}

/// What supplies give, all else takes, within 1e-9 of the powers' sum; a state
/// in which nothing flows has 1e-9 A of noise at 12 V.
fn powers(state: &StateSolution, branches: &[StateBranch]) -> Result<(), String> {
    let power = |branch: &StateBranch| {
        branch.current_a * (volts_of(state, &branch.from) - volts_of(state, &branch.to))
    };
    let sum: f64 = branches.iter().map(power).sum();
    let size: f64 = branches.iter().map(|branch| power(branch).abs()).sum();
    if sum.abs() > (1e-9 * size).max(1.2e-8) {
        return Err(format!("powers of {size} W sum to {sum:e} W"));
    }
    Ok(())
}

/// Readings alone: parts whose current is not reported (fuses, switches, relays
/// and the like) are one joint with all their terminals, and into each joint as
/// much flows as out of it.
fn readings(circuit: &Circuit, state: &StateSolution) -> Result<(), String> {
    let mut groups = Groups::new(circuit.terminals.len());
    for part in &circuit.parts {
        // A two-field motor reports the field that is fed.
        let is_read = part.terminals.len() == 2
            && (state.parts.contains_key(&part.name)
                || matches!(part.device, Device::Battery(_) | Device::Charger(_)));
        if !is_read {
            for pair in part.terminals.windows(2) {
                groups.join(pair[0].0, pair[1].0);
            }
        }
    }
    for join in &circuit.joins {
        groups.join(join.part.0, join.to.0);
    }
    let mut left = vec![0.0; circuit.terminals.len()];
    let mut ends = vec![0.0; circuit.terminals.len()];
    let mut flow = |from: usize, to: usize, current_a: f64| {
        for (end, sign) in [(from, 1.0), (to, -1.0)] {
            let group = groups.of(end);
            left[group] += sign * current_a;
            ends[group] += 1.0;
        }
    };
    for wire in &state.wires {
        let drawn = &circuit.wires[wire.wire];
        flow(drawn.from.0, drawn.to.0, wire.current_a);
    }
    for part in circuit
        .parts
        .iter()
        .filter(|part| part.terminals.len() == 2)
    {
        let (plus, minus) = (part.terminals[0].0, part.terminals[1].0);
        if let Some(load) = state.parts.get(&part.name) {
            flow(plus, minus, load.current_a.unwrap_or(0.0));
        } else if let Some(battery) = state.batteries.get(&part.name) {
            flow(minus, plus, battery.current_a);
        } else if let Some(given_a) = state.chargers.get(&part.name) {
            flow(minus, plus, *given_a);
        }
    }
    for (group, left_a) in left.iter().enumerate() {
        // Each end may carry the rounding of 12 V over some 0.1 mohm.
        let allowed = 1e-9 + 2e-9 * ends[group];
        if left_a.abs() > allowed {
            let label = &circuit.terminals[group].label;
            return Err(format!("readings leave {left_a:e} A over around {label}"));
        }
    }
    Ok(())
}

/// Terminals that count as one joint.
struct Groups(Vec<usize>);

impl Groups {
    fn new(count: usize) -> Self {
        Self((0..count).collect())
    }

    fn of(&self, mut at: usize) -> usize {
        while self.0[at] != at {
            at = self.0[at];
        }
        at
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.of(a), self.of(b));
        self.0[a.max(b)] = a.min(b);
    }
}
