//! What a suspect shows in a state: volts, amperes, fuses that open.

use super::frame::{Frame, absent, whole};
use super::opening::{Guard, Threat};
use super::plain::plain;
use super::suspect::Suspect;
use super::told::{dead_module, module_is_dead, wanted};
use crate::circuit::{PartId, State};
use crate::devices::Model;
use crate::network::{Conductor, Law, Outcome, Settings, Solver, Start};
use crate::solving::{Role, Setting};
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

/// One lane at work.
struct Lane<'s> {
    suspect: &'s Suspect,
    pulled_in: BTreeSet<PartId>,
    visited: Vec<BTreeSet<PartId>>,
    opened: Vec<usize>,
    rested: bool,
    shown: Shown,
}

/// Solves suspects in a state.
pub(super) struct Simulation<'f, 'c> {
    frame: &'f Frame<'c>,
    guards: &'f [Guard],
    solver: Solver<LANES>,
    /// Branches that stand otherwise than in the base, in any lane.
    touched: BTreeSet<usize>,
    /// Where each solution starts: the sound circuit in the state that is shown.
    start: Start,
}

impl<'f, 'c> Simulation<'f, 'c> {
    pub(super) fn new(frame: &'f Frame<'c>, guards: &'f [Guard]) -> Self {
        Self {
            frame,
            guards,
            solver: Solver::new(&frame.plan),
            touched: BTreeSet::new(),
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
        self.touched.extend(0..base.len());
        self.put_base(&base);
        self.start_from_sound();
        let mut all = Vec::with_capacity(suspects.len());
        for (chunk, start) in suspects.chunks(LANES).zip(before.chunks(LANES)) {
            let lanes = chunk.iter().zip(start);
            let mut lanes: Vec<Lane<'_>> = lanes
                .map(|(suspect, pulled_in)| Lane::new(suspect, pulled_in.clone()))
                .collect();
            self.group(&base, &mut lanes, changes, rules, watched_s);
            all.extend(lanes.into_iter().map(|lane| lane.shown));
        }
        all
    }

    fn group(
        &mut self,
        base: &[Setting],
        lanes: &mut [Lane<'_>],
        changes: &Changes,
        rules: Rules,
        watched_s: f64,
    ) {
        self.put_base(base);
        for _ in 0..=OPENINGS {
            for lane in lanes.iter_mut() {
                lane.visited.clear();
                lane.rested = false;
            }
            self.settle_relays(base, lanes, changes, rules);
            if !rules.fuses_open || !self.open_fuses(lanes, watched_s) {
                break;
            }
        }
    }

    /// Most suspects differ little from the sound circuit: fewer steps from there.
    fn start_from_sound(&mut self) {
        let flat = Start::flat(FIRST_LOAD_V);
        let sound = self.solver.solve(&flat, &Settings::study()).point(0);
        self.start = sound.map_or(flat, |point| Start::from_point(&point));
    }

    fn put_base(&mut self, base: &[Setting]) {
        for branch in std::mem::take(&mut self.touched) {
            self.put(branch, None, base[branch]);
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
        for (branch, role) in self.frame.net.roles.iter().enumerate() {
            let (part, makes) = match role {
                Role::Make(part) => (part, true),
                Role::Break(part) => (part, false),
                _ => continue,
            };
            if lane.pulled_in.contains(part)
                && let Model::Relay(relay) = self.frame.resolved.part(*part)
            {
                let conductance_s = if makes {
                    1.0 / relay.contact.typical.si()
                } else {
                    0.0
                };
                all.push((branch, whole(Conductor { conductance_s })));
            }
        }
        if module_is_dead(self.frame, &lane.pulled_in) {
            let channels = self.frame.net.roles.iter().enumerate();
            let channels = channels.filter(|(_, role)| matches!(role, Role::Channel { .. }));
            all.extend(channels.map(|(branch, _)| (branch, absent(Law::Conductor))));
        }
        all.extend(lane.suspect.edits.iter().copied());
        for fuse in &lane.opened {
            let branch = self.frame.links[*fuse];
            all.push((branch, absent(self.frame.branches[branch].law)));
        }
        all.extend(changes.iter().copied());
        all
    }

    fn settle_relays(
        &mut self,
        base: &[Setting],
        lanes: &mut [Lane<'_>],
        changes: &Changes,
        rules: Rules,
    ) {
        for _ in 0..ROUNDS {
            for (at, lane) in lanes.iter().enumerate() {
                for (branch, setting) in self.differences(lane, changes) {
                    self.touched.insert(branch);
                    self.put(branch, Some(at), setting);
                }
            }
            let outcome = self.solver.solve(&self.start, &Settings::study());
            take(self.frame, &outcome, lanes);
            if !rules.relays_move {
                return;
            }
            let mut moved = false;
            let mut put_back = Changes::new();
            for lane in lanes.iter_mut().filter(|lane| !lane.rested) {
                let mut next = wanted(self.frame, &lane.shown, &lane.pulled_in);
                // A dead control unit stands among the relays: as they do, it
                // changes what conducts.
                next.extend(dead_module(self.frame, &lane.shown, lane.suspect));
                if next == lane.pulled_in || lane.visited.contains(&next) {
                    lane.rested = true;
                    continue;
                }
                // Contacts of relays that let go return to the resting ones.
                for (branch, role) in self.frame.net.roles.iter().enumerate() {
                    let module = module_is_dead(self.frame, &lane.pulled_in);
                    if matches!(role, Role::Make(part) | Role::Break(part) if lane.pulled_in.contains(part))
                        || (module && matches!(role, Role::Channel { .. }))
                    {
                        put_back.push((branch, base[branch]));
                    }
                }
                lane.visited
                    .push(std::mem::replace(&mut lane.pulled_in, next));
                moved = true;
            }
            if !moved {
                return;
            }
            for (branch, setting) in put_back {
                self.put(branch, None, setting);
            }
        }
    }

    /// Opens in each lane the fuse that opens first; false where none does.
    fn open_fuses(&self, lanes: &mut [Lane<'_>], watched_s: f64) -> bool {
        let mut any = false;
        for lane in lanes.iter_mut() {
            let currents: Vec<f64> = self
                .frame
                .links
                .iter()
                .map(|branch| lane.shown.amps.get(*branch).copied().unwrap_or(0.0).abs())
                .collect();
            if lane.shown.first_a.is_empty() {
                lane.shown.first_a.clone_from(&currents);
            }
            let threats = threats(self.guards, &currents, lane.suspect, watched_s);
            if lane.opened.len() < OPENINGS
                && let Some(first) = Threat::first(&threats)
            {
                if lane.shown.first.is_none() && lane.opened.is_empty() {
                    let point = (lane.shown.volts.clone(), lane.shown.amps.clone());
                    lane.shown.first = Some(Box::new(point));
                }
                lane.opened.push(first);
                lane.shown.opened.clone_from(&lane.opened);
                any = true;
            }
        }
        any
    }
}

impl<'s> Lane<'s> {
    fn new(suspect: &'s Suspect, pulled_in: BTreeSet<PartId>) -> Self {
        Self {
            opened: suspect.worn_out.into_iter().collect(),
            suspect,
            pulled_in,
            visited: Vec::new(),
            rested: false,
            shown: Shown::default(),
        }
    }
}

/// Puts what was solved into its lanes; every figure is fetched once for all.
fn take(frame: &Frame<'_>, outcome: &Outcome<'_, LANES>, lanes: &mut [Lane<'_>]) {
    let nodes = frame.net.nodes + frame.circuit.wires.len();
    for (at, lane) in lanes.iter_mut().enumerate() {
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
            lane.shown.volts.push(if outcome.is_connected(node, at) {
                volts[at]
            } else {
                NOWHERE
            });
        }
    }
    for branch in 0..frame.branches.len() {
        let amps = outcome.currents_a(branch);
        for (at, lane) in lanes.iter_mut().enumerate() {
            lane.shown.amps.push(amps[at]);
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
