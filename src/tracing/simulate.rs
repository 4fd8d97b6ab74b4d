//! What a suspect shows in a state: volts, amperes, fuses that open.

use super::frame::{Frame, absent};
use super::opening::{Guard, Threat};
use super::plain::plain;
use super::suspect::Suspect;
use super::told::{dead_module, module_is_dead, wanted};
use crate::circuit::{PartId, State};
use crate::network::{Law, Outcome, Settings, Solver, Start};
use crate::solving::Setting;
use std::collections::BTreeSet;

/// Lanes solved side by side.
const LANES: usize = 8;
/// Rounds of relays before a lane is taken as it stands: it chatters.
const ROUNDS: usize = 8;
/// Fuses that may open one after the other.
const OPENINGS: usize = 4;
/// Volts that loads are first taken at.
const FIRST_LOAD_V: f64 = 12.0;
/// Volts under which a node hangs in the air.
const NOWHERE: f64 = f64::NAN;

/// What a test changes besides the suspect: branches and their settings.
pub(super) type Changes = Vec<(usize, Setting)>;

/// What may happen while a suspect is shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rules {
    /// Fuses that carry too much open.
    pub fuses_open: bool,
    /// Relays go where their coils tell them.
    pub relays_move: bool,
}

impl Rules {
    /// As the boat is used.
    pub(super) const IN_USE: Self = Self {
        fuses_open: true,
        relays_move: true,
    };
    /// With a lamp in place of a fuse.
    pub(super) const WITH_LAMP: Self = Self {
        fuses_open: false,
        relays_move: true,
    };
    /// With the battery off; the relays of the state bridged in their sockets.
    pub(super) const BATTERY_OFF: Self = Self {
        fuses_open: false,
        relays_move: false,
    };
}

/// What is seen of a suspect in one state.
#[derive(Debug, Clone, Default)]
pub(super) struct Shown {
    /// Current through each fuse while all are whole, amperes.
    pub first_a: Vec<f64>,
    /// Volts and amperes while all fuses are whole, where one opens later.
    pub first: Option<Box<(Vec<f64>, Vec<f64>)>>,
    /// Fuses that open, in order.
    pub opened: Vec<usize>,
    /// Volts of every node at the end; not a number where nothing feeds it.
    pub volts: Vec<f64>,
    /// Current of every branch at the end, amperes.
    pub amps: Vec<f64>,
    /// Relays that have pulled in at the end.
    pub pulled_in: BTreeSet<PartId>,
    /// Whether the state had an operating point.
    pub solved: bool,
}

/// A suspect in a lane of the solver.
struct Lane<'s> {
    /// Its place among those that are shown.
    place: usize,
    suspect: &'s Suspect,
    pulled_in: BTreeSet<PartId>,
    /// Stands of the relays since a fuse opened last.
    visited: Vec<BTreeSet<PartId>>,
    opened: Vec<usize>,
    /// Branches that stand otherwise than in the base.
    touched: Vec<usize>,
    shown: Shown,
}

/// How every branch stands in a state, and what a test changes in it.
struct Question<'q> {
    base: &'q [Setting],
    changes: &'q Changes,
}

/// Solves suspects in a state.
///
/// Each lane of the solver holds a suspect until its relays rest and its fuses have
/// opened; then the next one takes its place. Lanes do not influence each other.
pub(super) struct Simulation<'f, 'c> {
    frame: &'f Frame<'c>,
    guards: &'f [Guard],
    solver: Solver<LANES>,
    /// Where each solution starts: the sound circuit in the state that is shown.
    start: Start,
}

impl<'f, 'c> Simulation<'f, 'c> {
    pub(super) fn new(frame: &'f Frame<'c>, guards: &'f [Guard]) -> Self {
        Self {
            frame,
            guards,
            solver: Solver::new(&frame.plan),
            start: Start::flat(FIRST_LOAD_V),
        }
    }

    /// Shows every suspect in a state, with the changes of a test. `before` has
    /// the relays each starts from; it lasts `watched_s`, as far as fuses go.
    pub(super) fn show(
        &mut self,
        state: &State,
        suspects: &[&Suspect],
        before: &[BTreeSet<PartId>],
        changes: &Changes,
        rules: Rules,
        watched_s: f64,
    ) -> Vec<Shown> {
        let base = self.frame.settings(state, &BTreeSet::new());
        for (branch, setting) in base.iter().enumerate() {
            self.put(branch, None, *setting);
        }
        self.start_from_sound();
        let asked = Question {
            base: &base,
            changes,
        };
        let mut all = vec![Shown::default(); suspects.len()];
        let mut waiting = suspects.iter().zip(before).enumerate();
        let mut lanes: [Option<Lane<'_>>; LANES] = [const { None }; LANES];
        loop {
            for (at, lane) in lanes.iter_mut().enumerate() {
                if lane.is_none()
                    && let Some((place, (suspect, pulled_in))) = waiting.next()
                {
                    let mut new = Lane::new(place, suspect, pulled_in.clone());
                    self.put_differences(&asked, at, &mut new);
                    *lane = Some(new);
                }
            }
            if lanes.iter().all(Option::is_none) {
                return all;
            }
            let outcome = self.solver.solve(&self.start, &Settings::study());
            take(self.frame, &outcome, &mut lanes);
            for (at, slot) in lanes.iter_mut().enumerate() {
                let Some(lane) = slot else { continue };
                let moves = (rules.relays_move && self.relays_move(lane))
                    || (rules.fuses_open && self.fuse_opens(lane, watched_s));
                if moves {
                    self.put_differences(&asked, at, lane);
                } else {
                    all[lane.place] = std::mem::take(&mut lane.shown);
                    self.put_base(&asked, at, lane);
                    *slot = None;
                }
            }
        }
    }

    /// Most suspects differ little from the sound circuit: fewer steps from there.
    fn start_from_sound(&mut self) {
        let flat = Start::flat(FIRST_LOAD_V);
        let sound = self.solver.solve(&flat, &Settings::study()).point(0);
        self.start = sound.map_or(flat, |point| Start::from_point(&point));
    }

    fn put_base(&mut self, asked: &Question<'_>, at: usize, lane: &mut Lane<'_>) {
        for branch in lane.touched.drain(..) {
            self.put(branch, Some(at), asked.base[branch]);
        }
    }

    fn put_differences(&mut self, asked: &Question<'_>, at: usize, lane: &mut Lane<'_>) {
        self.put_base(asked, at, lane);
        for (branch, setting) in self.differences(lane, asked.changes) {
            lane.touched.push(branch);
            self.put(branch, Some(at), setting);
        }
    }

    /// Sets a branch in a lane, or in all. A figure out of its law's range
    /// leaves the branch out: the lane then shows what it shows without it.
    fn put(&mut self, branch: usize, lane: Option<usize>, setting: Setting) {
        let setting = plain(self.frame.branches[branch].law, setting);
        if let Some(lane) = lane {
            if setting.scale > 0.0 && self.solver.set(branch, lane, setting.parameters).is_err() {
                return;
            }
            drop(self.solver.set_scale(branch, lane, setting.scale));
        } else {
            if setting.scale > 0.0 && self.solver.set_all(branch, setting.parameters).is_err() {
                return;
            }
            drop(self.solver.set_scale_all(branch, setting.scale));
        }
    }

    /// Everything a lane differs in from the sound circuit at rest.
    fn differences(&self, lane: &Lane<'_>, changes: &Changes) -> Changes {
        let mut all = Changes::new();
        for contact in &self.frame.moving.contacts {
            if lane.pulled_in.contains(&contact.part) {
                all.push((contact.branch, contact.pulled_in));
            }
        }
        if module_is_dead(self.frame, &lane.pulled_in) {
            let asleep = |branch: &usize| (*branch, absent(Law::Conductor));
            all.extend(self.frame.moving.channels.iter().map(asleep));
        }
        all.extend(lane.suspect.edits.iter().copied());
        for fuse in &lane.opened {
            let branch = self.frame.links[*fuse];
            all.push((branch, absent(self.frame.branches[branch].law)));
        }
        all.extend(changes.iter().copied());
        all
    }

    /// Moves the relays of a lane to where their coils want them; false where they rest.
    fn relays_move(&self, lane: &mut Lane<'_>) -> bool {
        let mut next = wanted(self.frame, &lane.shown, &lane.pulled_in);
        // A dead control unit stands among the relays: as they do, it changes what
        // conducts.
        next.extend(dead_module(self.frame, &lane.shown, lane.suspect));
        // What comes back to a stand it had chatters, and is taken as it is.
        if next == lane.pulled_in || lane.visited.contains(&next) {
            return false;
        }
        let last = std::mem::replace(&mut lane.pulled_in, next);
        lane.visited.push(last);
        lane.visited.len() < ROUNDS
    }

    /// Opens the fuse of a lane that opens first; false where none does.
    fn fuse_opens(&self, lane: &mut Lane<'_>, watched_s: f64) -> bool {
        let of_fuse = |branch: &usize| lane.shown.amps.get(*branch).copied().unwrap_or(0.0).abs();
        let currents: Vec<f64> = self.frame.links.iter().map(of_fuse).collect();
        if lane.shown.first_a.is_empty() {
            lane.shown.first_a.clone_from(&currents);
        }
        if lane.opened.len() >= OPENINGS {
            return false;
        }
        let threats = threats(self.guards, &currents, lane.suspect, watched_s);
        let Some(first) = Threat::first(&threats) else {
            return false;
        };
        if lane.shown.first.is_none() && lane.opened.is_empty() {
            let point = (lane.shown.volts.clone(), lane.shown.amps.clone());
            lane.shown.first = Some(Box::new(point));
        }
        lane.opened.push(first);
        lane.visited.clear();
        true
    }
}

impl<'s> Lane<'s> {
    fn new(place: usize, suspect: &'s Suspect, pulled_in: BTreeSet<PartId>) -> Self {
        Self {
            place,
            opened: suspect.worn_out.into_iter().collect(),
            suspect,
            pulled_in,
            visited: Vec::new(),
            touched: Vec::new(),
            shown: Shown::default(),
        }
    }
}

/// Puts what was solved into its lanes; every figure is fetched once for all.
fn take(frame: &Frame<'_>, outcome: &Outcome<'_, LANES>, lanes: &mut [Option<Lane<'_>>; LANES]) {
    let nodes = frame.net.nodes + frame.circuit.wires.len();
    for (at, lane) in lanes.iter_mut().enumerate() {
        let Some(lane) = lane else { continue };
        lane.shown.solved = outcome.failure(at).is_none();
        lane.shown.opened.clone_from(&lane.opened);
        lane.shown.pulled_in.clone_from(&lane.pulled_in);
        lane.shown.volts.clear();
        lane.shown.volts.reserve_exact(nodes);
        lane.shown.amps.clear();
        lane.shown.amps.reserve_exact(frame.branches.len());
    }
    for node in 0..nodes {
        let volts = outcome.voltages_v(node);
        for (at, lane) in lanes.iter_mut().enumerate() {
            if let Some(lane) = lane {
                let is_fed = outcome.is_connected(node, at);
                lane.shown
                    .volts
                    .push(if is_fed { volts[at] } else { NOWHERE });
            }
        }
    }
    for branch in 0..frame.branches.len() {
        let amps = outcome.currents_a(branch);
        for (at, lane) in lanes.iter_mut().enumerate() {
            if let Some(lane) = lane {
                lane.shown.amps.push(amps[at]);
            }
        }
    }
}

/// How each fuse stands against its current under a suspect.
pub(super) fn threats(
    guards: &[Guard],
    currents: &[f64],
    suspect: &Suspect,
    watched_s: f64,
) -> Vec<Threat> {
    let each = guards.iter().zip(currents).enumerate();
    each.map(|(at, (guard, current_a))| {
        let share = suspect
            .derated
            .filter(|(fuse, _)| *fuse == at)
            .map_or(1.0, |(_, share)| share);
        guard.threat(current_a / share, watched_s)
    })
    .collect()
}
