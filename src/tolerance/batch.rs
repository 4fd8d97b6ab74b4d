//! Drawn circuits solved eight side by side, every state on one plan.
//!
//! # Limits
//! Relays stand as in the circuit's typical state; whether each would close is a
//! verdict of its own, taken where it closed. Ripple of pulsed loads heats as in
//! the typical state.

use super::changes::Changes;
use super::unknowns::{Moves, Unknown, figures};
use crate::circuit::{Circuit, PartId, State};
use crate::devices::Resolved;
use crate::network::{Outcome, Plan, Settings, Solver, Start};
use crate::quantities::{Amps, Band, Fraction};
use crate::solving::{AsFound, Net, Operated, Role, Setting, SolveError, Workings, workings};
use std::collections::BTreeSet;

/// Samples side by side.
pub(super) const LANES: usize = 8;

/// A circuit made ready to be drawn and solved many times.
pub(super) struct Batch<'c> {
    pub circuit: &'c Circuit,
    pub workings: Workings,
    pub unknowns: Vec<Unknown>,
    pub setups: Vec<Setup>,
    plan: Plan,
    /// For each figure in order, the unknown that draws it.
    drawn_by: Vec<Option<usize>>,
    /// For each figure in order, what moves it besides.
    shifted_by: Vec<Vec<(usize, f64, f64)>>,
}

/// A state at rest, or at the moment its relays were told to close.
pub(super) struct Setup {
    /// The state, by its index.
    pub state: usize,
    /// Its typical operating point.
    pub at: Operated,
    /// Relays that closed from here; none for the state at rest.
    pub closing: BTreeSet<PartId>,
    /// Branches that some unknown changes, and that no earlier setup has alike.
    pub own: Vec<usize>,
    /// Those that an earlier setup has alike, whatever is drawn: its number, and the
    /// branches in order.
    pub alike: Vec<(usize, Vec<usize>)>,
    /// Later setups that have some of its own alike.
    pub lends_to: Vec<usize>,
}

impl Setup {
    fn new(state: usize, at: Operated, closing: BTreeSet<PartId>) -> Self {
        Self {
            state,
            at,
            closing,
            own: Vec::new(),
            alike: Vec::new(),
            lends_to: Vec::new(),
        }
    }

    /// Whether it is wanted itself, by its number, or lends to one that is.
    fn is_needed(&self, number: usize, wanted: &impl Fn(usize) -> bool) -> bool {
        wanted(number) || self.lends_to.iter().any(|later| wanted(*later))
    }
}

impl<'c> Batch<'c> {
    pub(super) fn new(circuit: &'c Circuit) -> Result<Self, SolveError> {
        let workings = workings(circuit)?;
        let unknowns = super::unknowns::unknowns(circuit, &workings.resolved)?;
        let net = &workings.net;
        let plan = Plan::new(net.nodes, net.reference, &net.branches)?;
        let count = figures(&workings.resolved).len();
        let mut drawn_by = vec![None; count];
        let mut shifted_by = vec![Vec::new(); count];
        for (number, unknown) in unknowns.iter().enumerate() {
            match &unknown.moves {
                Moves::Figure(figure) | Moves::Thickness(figure, _) => {
                    drawn_by[*figure] = Some(number);
                }
                Moves::Several(moved) => {
                    for (figure, low, high) in moved {
                        shifted_by[*figure].push((number, *low, *high));
                    }
                }
                Moves::Output(..) | Moves::Duty(..) | Moves::Strength(_) => {}
            }
        }
        let mut batch = Self {
            circuit,
            setups: setups(&workings),
            workings,
            unknowns,
            plan,
            drawn_by,
            shifted_by,
        };
        batch.find_changing();
        Ok(batch)
    }

    /// Every unknown at its typical figure.
    pub(super) fn typical(&self) -> Vec<f64> {
        self.unknowns.iter().map(|u| u.band.typical).collect()
    }

    /// Finds the branches that any unknown changes at either end of its range, and
    /// which setups have them alike at every end of every one.
    fn find_changing(&mut self) {
        let typical = self.typical();
        let mut scratch = self.scratch();
        let of = |scratch: &Scratch| -> Vec<Vec<Setting>> {
            let setups = self.setups.iter();
            setups.map(|setup| self.settings(scratch, setup)).collect()
        };
        self.fill(&mut scratch, &typical);
        let mut changes = Changes::at(of(&scratch));
        for (number, unknown) in self.unknowns.iter().enumerate() {
            for end in [unknown.band.low, unknown.band.high] {
                let mut values = typical.clone();
                values[number] = end;
                self.fill(&mut scratch, &values);
                changes.see(&of(&scratch));
            }
        }
        changes.share_out(&mut self.setups);
    }

    fn settings(&self, scratch: &Scratch, setup: &Setup) -> Vec<Setting> {
        let found = self.as_found(setup);
        let state = &scratch.states[setup.state];
        let branches = 0..self.workings.net.branches.len();
        branches
            .map(|branch| found.setting(&scratch.resolved, state, branch))
            .collect()
    }

    fn as_found<'a>(&'a self, setup: &'a Setup) -> AsFound<'a> {
        AsFound {
            circuit: self.circuit,
            net: &self.workings.net,
            at: &setup.at,
        }
    }

    fn scratch(&self) -> Scratch {
        Scratch {
            resolved: self.workings.resolved.clone(),
            states: self.circuit.states.clone(),
        }
    }

    /// Puts one value of every unknown into a scratch circuit.
    fn fill(&self, scratch: &mut Scratch, values: &[f64]) {
        let mut figure = 0;
        let from = &self.workings.resolved;
        from.narrow(&mut scratch.resolved, &mut |_, band| {
            let mut value = self.drawn_by[figure].map_or(band.typical, |number| values[number]);
            for &(number, low, high) in &self.shifted_by[figure] {
                value += shift(&self.unknowns[number].band, values[number], low, high);
            }
            figure += 1;
            value
        });
        for (unknown, value) in self.unknowns.iter().zip(values) {
            match unknown.moves {
                Moves::Output(state, part) => {
                    let given = Band::exactly(Amps::new(*value));
                    scratch.states[state].charging.insert(part, given);
                }
                Moves::Duty(state, part) => {
                    let given = Band::exactly(Fraction::new(*value));
                    scratch.states[state].duty.insert(part, given);
                }
                _ => {}
            }
        }
    }

    /// A worker with its own solvers: one a thread.
    pub(super) fn worker(&self) -> Worker<'_> {
        let scratch = self.scratch();
        let solver = |setup: &Setup| {
            let mut solver = Solver::new(&self.plan);
            for (branch, setting) in self.settings(&scratch, setup).iter().enumerate() {
                put_all(&mut solver, branch, setting);
            }
            (solver, Start::from_point(&setup.at.point))
        };
        Worker {
            solvers: self.setups.iter().map(solver).collect(),
            sound: [true; LANES],
            batch: self,
            scratch,
        }
    }
}

/// What a value of an unknown adds to a figure that it moves.
fn shift(band: &Band<f64>, value: f64, low: f64, high: f64) -> f64 {
    if value < band.typical {
        low * (band.typical - value) / (band.typical - band.low).max(f64::MIN_POSITIVE)
    } else {
        high * (value - band.typical) / (band.high - band.typical).max(f64::MIN_POSITIVE)
    }
}

/// Each state at rest, then as it was before its relays closed.
fn setups(workings: &Workings) -> Vec<Setup> {
    let mut all = Vec::new();
    for (state, point) in workings.points.iter().enumerate() {
        let Some(at) = point else { continue };
        all.push(Setup::new(state, at.clone(), BTreeSet::new()));
        let asks = |relays: &BTreeSet<PartId>| relays.iter().any(|r| at.pulled_in.contains(r));
        for closing in at.closings.iter().filter(|closing| asks(&closing.relays)) {
            let relays = closing.relays.clone();
            all.push(Setup::new(state, closing.at.clone(), relays));
        }
    }
    all
}

/// A circuit with its figures narrowed to one specimen.
struct Scratch {
    resolved: Resolved,
    states: Vec<State>,
}

/// Solves eight drawn circuits at a time.
pub(super) struct Worker<'b> {
    batch: &'b Batch<'b>,
    scratch: Scratch,
    solvers: Vec<(Solver<LANES>, Start)>,
    /// Lanes whose figures every law could hold.
    sound: [bool; LANES],
}

impl Worker<'_> {
    /// Makes one circuit ready for a lane; [`Worker::commit`] puts all of them in, and
    /// [`Worker::solve`] shares out what setups have alike.
    pub(super) fn load(&mut self, lane: usize, values: &[f64], wanted: impl Fn(usize) -> bool) {
        self.batch.fill(&mut self.scratch, values);
        self.sound[lane] = true;
        let setups = self.batch.setups.iter().zip(&mut self.solvers);
        for (at, (setup, (solver, _))) in setups.enumerate() {
            if !setup.is_needed(at, &wanted) {
                continue;
            }
            let found = self.batch.as_found(setup);
            let state = &self.scratch.states[setup.state];
            for &branch in &setup.own {
                let setting = found.setting(&self.scratch.resolved, state, branch);
                let put = solver.stage(branch, lane, &setting.parameters, setting.scale);
                self.sound[lane] &= put.is_ok();
            }
        }
    }

    /// Puts every circuit that was loaded into its lane.
    pub(super) fn commit(&mut self, wanted: impl Fn(usize) -> bool) {
        let setups = self.batch.setups.iter().zip(&mut self.solvers);
        for (at, (setup, (solver, _))) in setups.enumerate() {
            if setup.is_needed(at, &wanted) {
                solver.commit();
            }
        }
    }

    /// The figures of the circuit that was loaded last.
    pub(super) fn resolved(&self) -> &Resolved {
        &self.scratch.resolved
    }

    /// Solves all lanes of the wanted setups and shows each outcome to `see`, with
    /// the lanes that have one.
    pub(super) fn solve(
        &mut self,
        settings: &Settings,
        wanted: impl Fn(usize) -> bool,
        mut see: impl FnMut(usize, &Outcome<'_, LANES>, [bool; LANES]),
    ) {
        for number in (0..self.solvers.len()).filter(|at| wanted(*at)) {
            let (before, from_here) = self.solvers.split_at_mut(number);
            let (solver, start) = &mut from_here[0];
            for (earlier, branches) in &self.batch.setups[number].alike {
                solver.copy(&before[*earlier].0, branches);
            }
            let outcome = solver.solve(start, settings);
            let solved =
                std::array::from_fn(|lane| self.sound[lane] && outcome.failure(lane).is_none());
            see(number, &outcome, solved);
        }
    }
}

fn put_all(solver: &mut Solver<LANES>, branch: usize, setting: &Setting) {
    // What the typical state was solved with, every law can hold.
    if setting.scale > 0.0 {
        drop(solver.set_all(branch, setting.parameters));
    }
    drop(solver.set_scale_all(branch, setting.scale));
}

/// Branch of a role, if the net has it.
pub(super) fn branch_of(net: &Net, role: Role) -> Option<usize> {
    net.roles.iter().position(|other| *other == role)
}
