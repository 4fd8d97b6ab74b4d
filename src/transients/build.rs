//! From a circuit and a scenario to branches that remember, and where they start.

use super::branches::Builder;
use super::elements::{Element, MOST};
use super::rest;
use super::scenario::{Scenario, TransientError};
use super::system::{Point, System};
use crate::circuit::{Circuit, Condition, Given, PartId, State};
use crate::devices::Model;
use crate::findings::Assumed;
use crate::network::Conductor;
use crate::solving::Workings;
use crate::span::Span;
use std::collections::BTreeSet;

/// Everything a run needs.
#[derive(Debug)]
pub(super) struct Built {
    /// Branches and nodes; those of the net first, in its order.
    pub(super) system: System,
    /// Where it starts.
    pub(super) start: Point,
    /// The state with what is wrong in it.
    pub(super) state: State,
    /// Relays that have pulled in when it starts.
    pub(super) pulled_in: BTreeSet<PartId>,
    /// Input capacitors by load: branch of the load, branch of the capacitor.
    pub(super) capacitors: Vec<(usize, usize)>,
    /// Branch of the short, and the far piece of its wire.
    pub(super) short: Option<ShortBranches>,
    /// Figures that entered beyond those of the steady state.
    pub(super) assumed: Vec<Assumed>,
}

/// Where a short lies in the system.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShortBranches {
    /// The wire, its piece up to the short.
    pub(super) near: usize,
    /// The rest of the wire.
    pub(super) far: usize,
    /// The short itself.
    pub(super) short: usize,
}

/// Builds the system of a scenario.
///
/// # Errors
/// Names the circuit does not have, figures out of range.
pub(super) fn build(
    circuit: &Circuit,
    workings: &Workings,
    scenario: &Scenario,
) -> Result<Built, TransientError> {
    let index = state_index(circuit, &scenario.state)?;
    let state = with_locked(circuit, workings, &circuit.states[index], &scenario.locked)?;
    let before = rest::before(circuit, workings, scenario)?;
    let pulled_in = rest::pulled_in(before);
    let settings = workings.settings(circuit, &state, &pulled_in);
    let mut builder = Builder {
        circuit,
        workings,
        state: &state,
        edge: scenario.fuses,
        pulses: rest::pulses(workings.points[index].as_ref()),
        assumed: Vec::new(),
    };
    let mut elements = Vec::new();
    for (branch, setting) in settings.iter().enumerate() {
        elements.push(builder.element(branch, setting)?);
    }
    let net = &workings.net;
    let mut ends: Vec<_> = net.branches.iter().map(|at| (at.from, at.to)).collect();
    let mut nodes = net.nodes;
    let mut capacitors = Vec::new();
    for branch in 0..settings.len() {
        if let Some(capacitor) = builder.capacitor(branch, &settings[branch]) {
            capacitors.push((branch, elements.len()));
            elements.push(Element::Capacitor(capacitor));
            ends.push(ends[branch]);
        }
    }
    let assumed = builder.assumed;
    let mut start = Point {
        x: vec![[0.0; MOST]; elements.len()],
        v: Vec::new(),
    };
    rest::fill(&mut elements, &mut start, before, &capacitors, &ends);
    let short = match &scenario.short {
        None => None,
        Some(short) => {
            let at = rest::short_place(circuit, net, short)?;
            let laid = lay_short(
                &mut elements,
                &mut ends,
                &mut nodes,
                at,
                short.share,
                short.ohm,
            );
            Some(laid)
        }
    };
    start.x.resize(elements.len(), [0.0; MOST]);
    start.v.resize(nodes, 0.0);
    if let Some(laid) = short {
        start.x[laid.far] = start.x[laid.near];
    }
    Ok(Built {
        system: System::new(elements, ends, nodes, net.reference)?,
        start,
        state,
        pulled_in,
        capacitors,
        short,
        assumed,
    })
}

/// Index of a state by its name.
pub(super) fn state_index(circuit: &Circuit, name: &str) -> Result<usize, TransientError> {
    let found = circuit.states.iter().position(|state| state.name == name);
    found.ok_or_else(|| TransientError::Unknown {
        kind: "state",
        name: name.to_owned(),
    })
}

fn with_locked(
    circuit: &Circuit,
    workings: &Workings,
    state: &State,
    locked: &[String],
) -> Result<State, TransientError> {
    let mut state = state.clone();
    for name in locked {
        let part = circuit.find(name).ok_or_else(|| TransientError::Unknown {
            kind: "part",
            name: name.clone(),
        })?;
        let model = workings.resolved.part(part);
        if !matches!(model, Model::Motor(_) | Model::PulsePump(_)) {
            return Err(TransientError::NotAMotor(name.clone()));
        }
        let given = Given::new(Condition::Locked, Span::default());
        state.conditions.insert(part, given);
    }
    Ok(state)
}

/// Cuts a wire in two at a share of its length and lays the short there.
fn lay_short(
    elements: &mut Vec<Element>,
    ends: &mut Vec<(usize, usize)>,
    nodes: &mut usize,
    at: rest::ShortPlace,
    share: f64,
    ohm: f64,
) -> ShortBranches {
    let middle = *nodes;
    *nodes += 1;
    let near = at.wire_branch;
    let far = elements.len();
    let to = std::mem::replace(&mut ends[near].1, middle);
    let least = 1e-6;
    let share = share.clamp(least, 1.0 - least);
    if let Element::Wire(wire) = &elements[near] {
        let (first, second) = (wire.part(share), wire.part(1.0 - share));
        elements[near] = Element::Wire(first);
        elements.push(Element::Wire(second));
    }
    ends.push((middle, to));
    let law = Conductor {
        conductance_s: 1.0 / ohm,
    };
    elements.push(Element::Still(law.into(), 1.0));
    ends.push((middle, at.onto));
    ShortBranches {
        near,
        far,
        short: far + 1,
    }
}
