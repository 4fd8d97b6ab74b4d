//! The circuit as one of its parts sees it: a test resistance in its place.
//!
//! Switches stand as the state has them and relays as they come to rest in it
//! with every figure typical; then the part's own branch is a plain resistance,
//! everything else is solved whole. Two such points are a Thevenin feed.
//!
//! # Limits
//! Relays do not move with the test resistance, as they would when a stalled
//! part pulls the supply down; heat of pulsed loads is that of the typical state.

use super::net::{Net, Role};
use super::operating::{NoPoint, Operated};
use super::values::{Standing, settings};
use super::{SolveError, operations};
use crate::circuit::zones::{FuseId, Zones};
use crate::circuit::{Circuit, Device, PartId};
use crate::devices::{Resolved, resolve};
use crate::network::{Conductor, Failure, Law, Plan, Point, SetError, Settings, Solver, Start};

/// What the circuit shows with one test resistance in a part's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fed {
    /// Current through the resistance, amperes.
    pub current_a: f64,
    /// Volts across it, first terminal less last.
    pub voltage_v: f64,
    /// Volts at the posts of the battery that feeds it.
    pub posts_v: f64,
    /// Current that battery gives, amperes.
    pub battery_a: f64,
    /// Current of the fuse before it, amperes; none where none stands there.
    pub fuse_a: Option<f64>,
    /// Current through its own closed contact, amperes; none for what has none.
    pub contact_a: Option<f64>,
}

/// Why a part has no feed in a state.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoFeed {
    /// Nothing could be solved.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// The state has no operating point.
    #[error("the state has no operating point: {0}")]
    NoPoint(String),
    /// A specimen has no operating point.
    #[error(transparent)]
    Balance(#[from] Failure),
    /// A figure out of its law's range.
    #[error(transparent)]
    Figure(#[from] SetError),
    /// The part is not fed in this state.
    #[error("it gets no volts in this state")]
    NotFed,
}

impl From<NoPoint> for NoFeed {
    fn from(why: NoPoint) -> Self {
        Self::NoPoint(why.to_string())
    }
}

impl From<crate::network::PlanError> for NoFeed {
    fn from(why: crate::network::PlanError) -> Self {
        Self::Solve(why.into())
    }
}

/// Specimens solved side by side.
const LANES: usize = 8;
/// Volts under which a part counts as not fed.
const FED_V: f64 = 1.0;
/// Share of the part's current from which a battery or fuse is on its way.
const ON_ITS_WAY: f64 = 0.3;
/// A hand meter across an unplugged feed: 10 Mohm.
const METER_S: f64 = 1e-7;

/// A part's place in a circuit and state, ready for test resistances.
#[derive(Debug)]
pub struct Socket<'a> {
    circuit: &'a Circuit,
    state: usize,
    net: Net,
    plan: Plan,
    rest: Operated,
    /// The part's own branch; none for a battery.
    branch: Option<usize>,
    contact: Option<usize>,
    /// The battery that feeds the part.
    pub battery: PartId,
    /// The fuse right before it, where there is one.
    pub fuse: Option<FuseId>,
}

impl<'a> Socket<'a> {
    /// Finds a part's place; `probe_s` is about the conductance of the part
    /// running, siemens.
    ///
    /// # Errors
    /// A state without an operating point, or one that does not feed the part.
    pub fn new(
        circuit: &'a Circuit,
        state: usize,
        part: PartId,
        probe_s: f64,
    ) -> Result<Self, NoFeed> {
        let resolved = resolve(circuit).map_err(SolveError::from)?;
        let mut net = Net::of(circuit, &resolved);
        let plan = Plan::new(net.nodes, net.reference, &net.branches)?;
        let rest = operations(circuit, &resolved, &net, &plan)
            .into_iter()
            .find(|found| found.state.name == circuit.states[state].name)
            .ok_or(NoFeed::NotFed)?
            .point?;
        let branch = branch_of(&net, &rest, part);
        if let Some(branch) = branch {
            net.branches[branch].law = Law::Conductor;
        }
        let plan = Plan::new(net.nodes, net.reference, &net.branches)?;
        let mut socket = Self {
            circuit,
            state,
            branch,
            contact: net.roles.iter().position(|role| *role == Role::Make(part)),
            net,
            plan,
            rest,
            battery: part,
            fuse: None,
        };
        match branch {
            Some(branch) => socket.trace_back(&resolved, part, branch, probe_s)?,
            None if matches!(circuit.part(part).device, Device::Battery(_)) => {}
            None => return Err(NoFeed::NotFed),
        }
        Ok(socket)
    }

    /// Finds battery and fuse on the part's way by what its current changes.
    fn trace_back(
        &mut self,
        resolved: &Resolved,
        part: PartId,
        own: usize,
        probe_s: f64,
    ) -> Result<(), NoFeed> {
        let [idle, loaded] = [METER_S, probe_s].map(|load| self.whole(resolved, load));
        let (idle, loaded) = (idle?, loaded?);
        let current_a = loaded.currents_a[own].abs();
        if current_a / probe_s < FED_V {
            return Err(NoFeed::NotFed);
        }
        let share =
            |branch: usize| (loaded.currents_a[branch] - idle.currents_a[branch]).abs() / current_a;
        let roles = || self.net.roles.iter().enumerate();
        let battery = roles()
            .filter_map(|(at, role)| match role {
                Role::Supply(battery) => Some((*battery, share(at))),
                _ => None,
            })
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let on_its_way: Vec<FuseId> = roles()
            .filter_map(|(at, role)| match role {
                Role::Link(fuse) if share(at) > ON_ITS_WAY => Some(*fuse),
                _ => None,
            })
            .collect();
        let fuse = self.nearest(part, &on_its_way);
        self.battery = battery.ok_or(NoFeed::NotFed)?.0;
        self.fuse = fuse;
        Ok(())
    }

    /// The nearest of some fuses: right before one of the part's terminals, else
    /// the one with no other of them behind it.
    fn nearest(&self, part: PartId, on_its_way: &[FuseId]) -> Option<FuseId> {
        let zones = Zones::of(self.circuit);
        let terminals = &self.circuit.part(part).terminals;
        let before = |fuse: &&FuseId| {
            terminals
                .iter()
                .any(|t| zones.before_terminal(*t).any(|id| id == **fuse))
        };
        let nearest = on_its_way.iter().find(before);
        nearest.or(on_its_way.last()).copied()
    }

    /// Whether it is the place of a part, not of a battery.
    pub fn feeds_a_part(&self) -> bool {
        self.branch.is_some()
    }

    /// Relays that stand pulled in, by name.
    pub fn pulled_in(&self) -> impl Iterator<Item = &str> {
        let relays = self.rest.pulled_in.iter();
        relays.map(|id| self.circuit.part(*id).name.as_str())
    }

    /// One circuit with one test resistance.
    fn whole(&self, resolved: &Resolved, load_s: f64) -> Result<Point, NoFeed> {
        let mut solver = Solver::<1>::new(&self.plan);
        self.put(&mut solver, 0, resolved, load_s)?;
        let outcome = solver.solve(&Start::from_point(&self.rest.point), &Settings::report());
        Ok(outcome.point(0)?)
    }

    fn put<const W: usize>(
        &self,
        solver: &mut Solver<W>,
        lane: usize,
        resolved: &Resolved,
        load_s: f64,
    ) -> Result<(), NoFeed> {
        let standing = Standing {
            state: &self.circuit.states[self.state],
            pulled_in: &self.rest.pulled_in,
            ripple_a2: &self.rest.ripple_a2,
            burning: &self.rest.burning,
        };
        let all = settings(self.circuit, resolved, &self.net, &standing);
        for (branch, setting) in all.iter().enumerate() {
            if Some(branch) == self.branch {
                let conductance_s = load_s;
                solver.set(branch, lane, Conductor { conductance_s })?;
                continue;
            }
            if setting.scale > 0.0 {
                solver.set(branch, lane, setting.parameters)?;
            }
            solver.set_scale(branch, lane, setting.scale)?;
        }
        Ok(())
    }

    /// Each circuit with each test resistance, given as conductances, siemens;
    /// a part out of its socket is left to a hand meter of 10 Mohm.
    ///
    /// # Errors
    /// A circuit without an operating point.
    pub fn with(&self, circuits: &[Resolved], loads_s: &[f64]) -> Result<Vec<Vec<Fed>>, NoFeed> {
        let mut solver = Solver::<LANES>::new(&self.plan);
        let mut found = vec![Vec::with_capacity(loads_s.len()); circuits.len()];
        for (at, group) in circuits.chunks(LANES).enumerate() {
            for load_s in loads_s {
                for lane in 0..LANES {
                    // The last group repeats its last circuit in the lanes left over.
                    let one = &group[lane.min(group.len() - 1)];
                    self.put(&mut solver, lane, one, load_s.max(METER_S))?;
                }
                let start = Start::from_point(&self.rest.point);
                let outcome = solver.solve(&start, &Settings::report());
                for lane in 0..group.len() {
                    let point = outcome.point(lane)?;
                    found[at * LANES + lane].push(self.read(&point));
                }
            }
        }
        Ok(found)
    }

    fn read(&self, point: &Point) -> Fed {
        let own = self
            .branch
            .map(|at| (point.currents_a[at], self.net.branches[at]));
        let (current_a, voltage_v) = own.map_or((0.0, 0.0), |(amps, ends)| {
            (
                amps,
                point.voltages_v[ends.from] - point.voltages_v[ends.to],
            )
        });
        let current = |role: Role| {
            let at = self.net.roles.iter().position(|of| *of == role)?;
            Some((point.currents_a[at], self.net.branches[at]))
        };
        let (battery_a, posts_v) =
            current(Role::Supply(self.battery)).map_or((0.0, 0.0), |found| {
                let (amps, posts) = found;
                // A supply's current runs from plus through it to minus: what it gives is negative.
                (
                    -amps,
                    point.voltages_v[posts.from] - point.voltages_v[posts.to],
                )
            });
        Fed {
            current_a,
            voltage_v,
            posts_v,
            battery_a,
            fuse_a: self
                .fuse
                .and_then(|fuse| Some(current(Role::Link(fuse))?.0.abs())),
            contact_a: self.contact.map(|at| point.currents_a[at].abs()),
        }
    }
}

/// The branch that is the part itself: of two fields the one that is fed.
fn branch_of(net: &Net, rest: &Operated, part: PartId) -> Option<usize> {
    let is_part = |role: &Role| match role {
        Role::Load { part: of, .. } | Role::Coil(of) => *of == part,
        _ => false,
    };
    let across = |at: &usize| {
        let branch = net.branches[*at];
        let volts = rest.volts[branch.from].zip(rest.volts[branch.to]);
        volts.map_or(0.0, |(from, to)| (from - to).abs())
    };
    let own = net
        .roles
        .iter()
        .enumerate()
        .filter(|(_, role)| is_part(role));
    own.map(|(at, _)| at)
        .max_by(|a, b| across(a).total_cmp(&across(b)))
}
