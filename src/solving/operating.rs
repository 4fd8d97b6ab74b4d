//! One state solved: relays settled, ripple of pulsed loads spread.

use super::connection::Islands;
use super::net::{Net, Role};
use super::values::{Setting, Standing, settings};
use crate::circuit::{Circuit, PartId, State};
use crate::devices::{BURNT, Model, RelayModel, Resolved};
use crate::network::{Failure, Plan, Point, SetError, Settings, Solver, Start};
use std::collections::{BTreeMap, BTreeSet};

/// Why a state has no operating point.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(crate) enum NoPoint {
    /// A figure that no law of the network can hold.
    #[error(transparent)]
    Figure(#[from] SetError),
    /// No balance was found.
    #[error(transparent)]
    Balance(#[from] Failure),
}

/// A state's operating point in the network's own numbers.
#[derive(Debug, Clone)]
pub(crate) struct Operated {
    /// Voltages and currents.
    pub point: Point,
    /// Volts of each node against its island's zero.
    pub volts: Vec<Option<f64>>,
    /// Settings of each branch.
    pub settings: Vec<Setting>,
    /// Relays that stand pulled in.
    pub pulled_in: BTreeSet<PartId>,
    /// Relays that find no rest.
    pub chattering: BTreeSet<PartId>,
    /// Mean-square ripple by branch, A^2.
    pub ripple_a2: BTreeMap<usize, f64>,
    /// Wires that burn, by index in the circuit.
    pub burning: BTreeSet<usize>,
    /// Points at which relays closed on the way to rest, in order.
    pub closings: Vec<Closing>,
}

/// A point at which coils told their relays to close.
#[derive(Debug, Clone)]
pub(crate) struct Closing {
    /// The relays.
    pub relays: BTreeSet<PartId>,
    /// The state before they moved.
    pub at: Operated,
}

/// Rounds of ripple against heat; each changes resistances by parts in a thousand.
const RIPPLE_ROUNDS: usize = 3;
/// Volts that loads are first taken at.
const FIRST_LOAD_V: f64 = 12.0;

/// Solves one state from the relay positions of the state before.
pub(crate) fn operate(
    circuit: &Circuit,
    resolved: &Resolved,
    net: &Net,
    plan: &Plan,
    state: &State,
    before: &BTreeSet<PartId>,
) -> Result<Operated, NoPoint> {
    let mut solver = Solver::<1>::new(plan);
    let mut at = Attempt {
        circuit,
        resolved,
        net,
        state,
        ripple_a2: BTreeMap::new(),
        burning: BTreeSet::new(),
    };
    let (mut operated, mut rest) = at.settle_relays(&mut solver, before)?;
    // A wire once burnt stays so: each round adds one at least, or ends.
    while at.burn(&operated) {
        (operated, rest) = at.settle_relays(&mut solver, before)?;
    }
    for _ in 0..RIPPLE_ROUNDS {
        let ripple = super::ripple::spread(resolved, net, state, &operated, &mut solver);
        if ripple.is_empty() {
            break;
        }
        at.ripple_a2 = ripple;
        let closings = std::mem::take(&mut operated.closings);
        operated = at.solve(&mut solver, &rest, Some(&operated.point))?;
        operated.closings = closings;
    }
    Ok(operated)
}

struct Attempt<'a> {
    circuit: &'a Circuit,
    resolved: &'a Resolved,
    net: &'a Net,
    state: &'a State,
    ripple_a2: BTreeMap<usize, f64>,
    burning: BTreeSet<usize>,
}

/// Where the relays came to rest, and which did not.
#[derive(Debug, Clone, Default)]
struct Rest {
    pulled_in: BTreeSet<PartId>,
    chattering: BTreeSet<PartId>,
}

impl Attempt<'_> {
    /// Marks wires that would get hotter than any insulation stands; true if any is new.
    fn burn(&mut self, operated: &Operated) -> bool {
        let before = self.burning.len();
        for (role, current_a) in self.net.roles.iter().zip(&operated.point.currents_a) {
            if let Role::Wire(wire) = *role
                && self.resolved.wires[wire].temperature(*current_a) > BURNT
            {
                self.burning.insert(wire);
            }
        }
        self.burning.len() > before
    }

    /// Flips every relay that its coil tells to, all together, until none
    /// wants to, or a set of positions comes back: then those that differ
    /// within the circle chatter.
    fn settle_relays(
        &mut self,
        solver: &mut Solver<1>,
        before: &BTreeSet<PartId>,
    ) -> Result<(Operated, Rest), NoPoint> {
        let mut visited: Vec<BTreeSet<PartId>> = Vec::new();
        let mut rest = Rest {
            pulled_in: before.clone(),
            chattering: BTreeSet::new(),
        };
        let mut last: Option<Point> = None;
        let mut closings = Vec::new();
        loop {
            let mut operated = self.solve(solver, &rest, last.as_ref())?;
            let next = self.wanted(&operated);
            if next == rest.pulled_in {
                operated.closings = closings;
                return Ok((operated, rest));
            }
            if let Some(first) = visited.iter().position(|seen| *seen == next) {
                visited.push(rest.pulled_in.clone());
                return self.chattering(solver, &visited[first..]);
            }
            let relays: BTreeSet<PartId> = next.difference(&rest.pulled_in).copied().collect();
            visited.push(std::mem::replace(&mut rest.pulled_in, next));
            last = Some(operated.point.clone());
            closings.push(Closing {
                relays,
                at: operated,
            });
        }
    }

    /// Shows the state with its chattering relays let go.
    fn chattering(
        &mut self,
        solver: &mut Solver<1>,
        circle: &[BTreeSet<PartId>],
    ) -> Result<(Operated, Rest), NoPoint> {
        let ever: BTreeSet<PartId> = circle.iter().flatten().copied().collect();
        let always = |part: &PartId| circle.iter().all(|positions| positions.contains(part));
        let pulled_in: BTreeSet<PartId> =
            ever.iter().copied().filter(|part| always(part)).collect();
        let chattering = ever.difference(&pulled_in).copied().collect();
        let rest = Rest {
            pulled_in,
            chattering,
        };
        Ok((self.solve(solver, &rest, None)?, rest))
    }

    fn solve(
        &self,
        solver: &mut Solver<1>,
        rest: &Rest,
        warm: Option<&Point>,
    ) -> Result<Operated, NoPoint> {
        let standing = Standing {
            state: self.state,
            pulled_in: &rest.pulled_in,
            ripple_a2: &self.ripple_a2,
            burning: &self.burning,
        };
        let settings = settings(self.circuit, self.resolved, self.net, &standing);
        for (branch, setting) in settings.iter().enumerate() {
            if setting.scale > 0.0 {
                solver.set_all(branch, setting.parameters)?;
            }
            solver.set_scale_all(branch, setting.scale)?;
        }
        let start = warm.map_or_else(|| Start::flat(FIRST_LOAD_V), Start::from_point);
        let mut point = solver.solve(&start, &Settings::report()).point(0)?;
        // Adding zero turns minus nothing into nothing.
        for current_a in &mut point.currents_a {
            *current_a += 0.0;
        }
        let volts = Islands::of(self.net, &settings).settle(&point.voltages_v);
        Ok(Operated {
            point,
            volts,
            settings,
            pulled_in: rest.pulled_in.clone(),
            chattering: rest.chattering.clone(),
            ripple_a2: self.ripple_a2.clone(),
            burning: self.burning.clone(),
            closings: Vec::new(),
        })
    }

    /// Relays that their coils want closed now.
    fn wanted(&self, operated: &Operated) -> BTreeSet<PartId> {
        let mut wanted = BTreeSet::new();
        for (branch, role) in self.net.branches.iter().zip(&self.net.roles) {
            let Role::Coil(part) = *role else { continue };
            let Model::Relay(relay) = self.resolved.part(part) else {
                continue;
            };
            let across = |volts: &[Option<f64>]| Some(volts[branch.from]? - volts[branch.to]?);
            let coil_v = across(&operated.volts).unwrap_or(0.0).abs();
            let coil_v = coil_v - self.opposing_v(operated, part, relay);
            let holds = operated.pulled_in.contains(&part) && coil_v > relay.drop_out_warm.si();
            if holds || coil_v >= relay.pull_in_warm.si() {
                wanted.insert(part);
            }
        }
        wanted
    }
    /// Volts of a shift solenoid's holding winding that its second winding
    /// undoes. Both have the same turns: once the button is let go, the made
    /// contact feeds them in series, the second one backwards, and the pull of
    /// one cancels the other's. Without this it would hold itself in for ever.
    fn opposing_v(&self, operated: &Operated, part: PartId, relay: &RelayModel) -> f64 {
        let winding = Role::PullWinding(part);
        let Some(branch) = self.net.roles.iter().position(|role| *role == winding) else {
            return 0.0;
        };
        let backwards_a = (-operated.point.currents_a[branch]).max(0.0);
        backwards_a * relay.coil_warm.typical.si()
    }
}
