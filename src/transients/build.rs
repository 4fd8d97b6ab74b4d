//! From a circuit and a scenario to branches that remember, and where they start.

use super::branches::Builder;
use super::elements::{Element, MOST};
use super::made::Made;
use super::rest;
use super::scenario::{Jam, Scenario, Short, TransientError};
use super::system::{Point, System};
use super::watch::What;
use crate::circuit::{Circuit, Condition, Given, PartId, State};
use crate::devices::Model;
use crate::findings::Assumed;
use crate::network::Conductor;
use crate::solving::{Role, Workings};
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
    /// What is still to happen, in order of time.
    pub(super) due: Vec<Due>,
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
    made: &Made,
    scenario: &Scenario,
) -> Result<Built, TransientError> {
    let index = state_index(circuit, &scenario.state)?;
    let from_the_start = |jam: &&Jam| jam.at_s <= 0.0;
    let jammed: Vec<&Jam> = scenario.locked.iter().filter(from_the_start).collect();
    let state = with_locked(circuit, workings, &circuit.states[index], &jammed)?;
    let before = rest::before(circuit, workings, scenario)?;
    let pulled_in = rest::pulled_in(before);
    let settings = workings.settings(circuit, &state, &pulled_in);
    let mut builder = Builder {
        circuit,
        workings,
        state: &state,
        made,
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
    let mut due = jams(&mut builder, scenario, &pulled_in)?;
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
            let laid = lay_short(&mut elements, &mut ends, &mut nodes, at, short);
            if short.at_s > 0.0 {
                due.push(Due {
                    at_s: short.at_s,
                    what: What::Shorted,
                    subject: short.wire.clone(),
                    branches: vec![(laid.short, bridge(short.ohm, true))],
                });
            }
            Some(laid)
        }
    };
    start.x.resize(elements.len(), [0.0; MOST]);
    start.v.resize(nodes, 0.0);
    if let Some(laid) = short {
        start.x[laid.far] = start.x[laid.near];
    }
    due.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    Ok(Built {
        system: System::new(elements, ends, nodes, net.reference)?,
        start,
        state,
        pulled_in,
        capacitors,
        short,
        due,
        assumed,
    })
}

/// Something that is made to happen.
#[derive(Debug, Clone)]
pub(super) struct Due {
    /// When, seconds.
    pub(super) at_s: f64,
    /// What.
    pub(super) what: What,
    /// To what.
    pub(super) subject: String,
    /// Branches that become another.
    pub(super) branches: Vec<(usize, Element)>,
}

/// Shafts that jam on the way.
fn jams(
    builder: &mut Builder<'_>,
    scenario: &Scenario,
    pulled_in: &BTreeSet<PartId>,
) -> Result<Vec<Due>, TransientError> {
    let (circuit, workings) = (builder.circuit, builder.workings);
    let mut due = Vec::new();
    for jam in scenario.locked.iter().filter(|jam| jam.at_s > 0.0) {
        let state = with_locked(circuit, workings, builder.state, &[jam])?;
        let settings = workings.settings(circuit, &state, pulled_in);
        let mut later = Builder {
            state: &state,
            pulses: builder.pulses.clone(),
            assumed: Vec::new(),
            ..*builder
        };
        let mut branches = Vec::new();
        for (branch, role) in workings.net.roles.iter().enumerate() {
            let of_it = |part: PartId| circuit.part(part).name == jam.part;
            if matches!(*role, Role::Load { part, .. } if of_it(part)) {
                branches.push((branch, later.element(branch, &settings[branch])?));
            }
        }
        due.push(Due {
            at_s: jam.at_s,
            what: What::Jams,
            subject: jam.part.clone(),
            branches,
        });
    }
    Ok(due)
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
    locked: &[&Jam],
) -> Result<State, TransientError> {
    let mut state = state.clone();
    for Jam { part: name, at_s } in locked {
        if !at_s.is_finite() {
            return Err(TransientError::Range(
                "a shaft jams at some time".to_owned(),
            ));
        }
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
    short: &Short,
) -> ShortBranches {
    let middle = *nodes;
    *nodes += 1;
    let near = at.wire_branch;
    let far = elements.len();
    let to = std::mem::replace(&mut ends[near].1, middle);
    let least = 1e-6;
    let share = short.share.clamp(least, 1.0 - least);
    if let Element::Wire(wire) = &elements[near] {
        let (first, second) = (wire.part(share), wire.part(1.0 - share));
        elements[near] = Element::Wire(first);
        elements.push(Element::Wire(second));
    }
    ends.push((middle, to));
    elements.push(bridge(short.ohm, short.at_s <= 0.0));
    ends.push((middle, at.onto));
    ShortBranches {
        near,
        far,
        short: far + 1,
    }
}

/// A bridge of some ohms, made or still open.
fn bridge(ohm: f64, made: bool) -> Element {
    let law = Conductor {
        conductance_s: 1.0 / ohm,
    };
    Element::Still(law.into(), f64::from(u8::from(made)))
}
