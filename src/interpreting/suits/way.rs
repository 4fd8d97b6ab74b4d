//! The way of a part's current, told by a twin of each state without the part.

use super::Unsuitable;
use crate::circuit::zones::{FuseId, Zones, fuse_name, fuse_terminals, fuses};
use crate::circuit::{Circuit, Condition, Device, Given, MotorSpec, PartId, State};
use crate::findings::Finding;
use crate::solving::{Solution, StateSolution, WireReading};
use crate::span::Span;
use std::collections::{BTreeMap, BTreeSet};

/// Share of the part's current from which a wire is on its way.
const ON_ITS_WAY: f64 = 0.3;
/// Current from which the part runs, amperes.
const RUNS_A: f64 = 0.01;
/// Name of the what-if twin of a state without the part.
const WITHOUT: &str = " without it";

/// The circuit with the new part in the old one's place.
pub(super) fn with(circuit: &Circuit, part: PartId, spec: MotorSpec, is_pump: bool) -> Circuit {
    let mut fitted = circuit.clone();
    fitted.parts[part.0].device = if is_pump {
        Device::Pump(spec)
    } else {
        Device::Motor(spec)
    };
    fitted
}

/// Beside every judged state one without the part: the difference is its own.
pub(super) fn twinned(circuit: &Circuit, part: PartId) -> Circuit {
    let mut wider = circuit.clone();
    for (index, state) in circuit.states.iter().enumerate() {
        if state.is_what_if() {
            continue;
        }
        let mut without: State = state.clone();
        without.name = format!("{}{WITHOUT}", state.name);
        without.after = Some(index);
        let open = Given::new(Condition::Open, Span::default());
        without.conditions.insert(part, open);
        wider.states.push(without);
    }
    wider
}

/// The way of the part's current: the state in which it draws most, the fuses
/// and wires it goes through.
pub(super) struct Way {
    pub state: StateSolution,
    pub current_a: f64,
    pub fuses: Vec<String>,
    /// Wires on its way, with what of their current is its own, amperes.
    pub wires: BTreeMap<usize, f64>,
    pub labels: BTreeSet<String>,
}

impl Way {
    pub(super) fn of(
        circuit: &Circuit,
        part: PartId,
        solution: &Solution,
    ) -> Result<Self, Unsuitable> {
        let name = &circuit.part(part).name;
        let state = solution
            .drawing_most(name, RUNS_A)
            .ok_or_else(|| Unsuitable::NeverRuns(name.clone()))?;
        let current_a = state.drawn_a(name);
        let twin = format!("{}{WITHOUT}", state.name);
        let without = solution.states.iter().find(|of| of.name == twin);
        let more = |at: usize| {
            let found = without.and_then(|state| state.wires.iter().find(|w| w.wire == at));
            found.map_or(0.0, |w| w.current_a)
        };
        let own = |w: &WireReading| (w.wire, (w.current_a - more(w.wire)).abs());
        let wires: BTreeMap<usize, f64> = state
            .wires
            .iter()
            .map(own)
            .filter(|(_, own_a)| *own_a > ON_ITS_WAY * current_a)
            .collect();
        let labels = wires
            .keys()
            .map(|at| circuit.wire_label(&circuit.wires[*at]))
            .collect();
        Ok(Self {
            fuses: chain(circuit, part, state, without, ON_ITS_WAY * current_a),
            state: state.clone(),
            current_a,
            wires,
            labels,
        })
    }

    /// What was found about the part, its fuses and its wires.
    pub(super) fn findings(&self, name: &str, all: impl Iterator<Item = Finding>) -> Vec<Finding> {
        // What battery and fuses make of each other, whatever part is behind them.
        let of_fuses = ["both-may-open", "breaking-capacity-unproven"];
        let is_about = |finding: &Finding| {
            if of_fuses.contains(&finding.code.name()) {
                return false;
            }
            let subject = finding.subject.as_str();
            subject == name
                || self.fuses.iter().any(|fuse| fuse == subject)
                || self.labels.contains(subject)
        };
        let mut found: Vec<Finding> = Vec::new();
        for finding in all.filter(is_about) {
            if !found.contains(&finding) {
                found.push(finding);
            }
        }
        found
    }
}

/// Fuses that carry the part's current, nearest first.
fn chain(
    circuit: &Circuit,
    part: PartId,
    state: &StateSolution,
    without: Option<&StateSolution>,
    least_a: f64,
) -> Vec<String> {
    let zones = Zones::of(circuit);
    let carries = |id: &FuseId| {
        let name = fuse_name(circuit, *id);
        let of = |state: Option<&StateSolution>| {
            state
                .and_then(|s| s.fuses.get(&name))
                .map_or(0.0, |f| f.current_a.abs())
        };
        (of(Some(state)) - of(without)).abs() > least_a
    };
    let mut left: BTreeSet<FuseId> = fuses(circuit).into_iter().filter(carries).collect();
    let mut at: Vec<_> = circuit.part(part).terminals.clone();
    let mut found = Vec::new();
    loop {
        let before = |id: &&FuseId| {
            at.iter()
                .any(|t| zones.before_terminal(*t).any(|of| of == **id))
        };
        let Some(next) = left.iter().find(before).copied() else {
            break;
        };
        left.remove(&next);
        found.push(fuse_name(circuit, next));
        let (one, other) = fuse_terminals(circuit, next);
        at = vec![one, other];
    }
    // What stands on no zone's way still carries it.
    found.extend(left.iter().map(|id| fuse_name(circuit, *id)));
    found
}
