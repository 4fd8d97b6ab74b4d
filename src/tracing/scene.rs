//! Every suspect shown in every state, once.

use super::TraceError;
use super::candidates;
use super::cause::Cause;
use super::evidence::Complaint;
use super::frame::Frame;
use super::memory::Memory;
use super::opening::{CRANKED_S, Guard, Threat, WATCHED_S};
use super::simulate::{Changes, Rules, Shown, Simulation, threats};
use super::suspect::{Site, Suspect};
use super::warnings::cranks;
use crate::circuit::{Circuit, PartId};
use crate::devices::{LoadShape, Model};
use crate::network::Parameters;
use crate::solving::Role;
use std::collections::BTreeSet;

/// The suspects with what they show.
pub(super) struct Scene<'c> {
    /// The circuit with a place for every fault.
    pub frame: Frame<'c>,
    /// Its fuses in time.
    pub guards: Vec<Guard>,
    /// The suspects.
    pub suspects: Vec<Suspect>,
    /// Per state, what each suspect shows.
    pub shown: Vec<Vec<Shown>>,
    /// Per state, what the sound circuit shows.
    pub healthy: Vec<Shown>,
    /// What tests and readings would show, as far as it was asked.
    pub memory: Memory,
    /// Per state, seconds that it lasts, as far as fuses go.
    watched_s: Vec<f64>,
}

/// Volts a motor needs before it does anything, over its healthy volts (judgement).
const MOTOR_STARTS: f64 = 0.25;
/// Share of the sound volts from which electronics work fully (judgement).
const ELECTRONICS: f64 = 0.9;
/// Volts from which starved electronics still try, and what they then seem to
/// do: they start, give up and start again (judgement).
const ALIVE_V: f64 = 3.0;
const RESTARTS: f64 = 0.3;
/// Suspects from which a second thread is worth its start.
const WORTH_TWO: usize = 400;
/// Exponent of a filament's light over its volts (common practice).
const LIGHT: f64 = 3.4;

impl<'c> Scene<'c> {
    pub(super) fn new(
        circuit: &'c Circuit,
        complaint: Complaint,
        own: &[(Cause, f64)],
    ) -> Result<Self, TraceError> {
        let frame = Frame::new(circuit)?;
        let guards: Vec<Guard> = frame
            .fuses
            .iter()
            .map(|fuse| Guard::of(circuit, *fuse))
            .collect();
        let mut suspects = candidates::suspects(&frame, complaint, own)?;
        weigh_reversals(&frame, &guards, &mut suspects, complaint);
        let mut scene = Self {
            watched_s: vec![WATCHED_S; circuit.states.len()],
            frame,
            guards,
            suspects,
            shown: Vec::new(),
            healthy: Vec::new(),
            memory: Memory::default(),
        };
        scene.play();
        Ok(scene)
    }

    fn play(&mut self) {
        // The sound circuit first: it says in which states a starter turns.
        let sound = Suspect::new(Cause::TwoFaults, Site::Part(PartId(0)), 1.0);
        for mut found in self.played(&[&sound]) {
            self.healthy.push(found.pop().unwrap_or_default());
        }
        // Nobody cranks for minutes.
        for state in 0..self.watched_s.len() {
            if cranks(self, state) {
                self.watched_s[state] = CRANKED_S;
            }
        }
        self.shown = self.played(&self.suspects.iter().collect::<Vec<_>>());
    }

    /// Adds suspects and shows them too.
    pub(super) fn add(&mut self, more: Vec<Suspect>) {
        let shown = self.played(&more.iter().collect::<Vec<_>>());
        for (all, found) in self.shown.iter_mut().zip(shown) {
            all.extend(found);
        }
        self.suspects.extend(more);
    }

    /// Shows suspects in every state; a state starts from the relays of the one
    /// it follows.
    fn played(&self, all: &[&Suspect]) -> Vec<Vec<Shown>> {
        // Lanes do not influence each other: any split shows the same.
        let (one, other) = all.split_at(all.len() / 2);
        let (mut first, second) = std::thread::scope(|scope| {
            let other = scope.spawn(|| self.played_here(other));
            let one = self.played_here(one);
            (one, other.join().unwrap_or_default())
        });
        for (state, more) in first.iter_mut().zip(second) {
            state.extend(more);
        }
        first
    }

    fn played_here(&self, all: &[&Suspect]) -> Vec<Vec<Shown>> {
        let circuit = self.frame.circuit;
        let states = circuit.states.len();
        let mut shown: Vec<Option<Vec<Shown>>> = vec![None; states];
        let mut simulation = Simulation::new(&self.frame, &self.guards);
        let none = vec![BTreeSet::new(); all.len()];
        // A state comes after the one it starts from; reading refuses circles.
        for _ in 0..states {
            for at in 0..states {
                let state = &circuit.states[at];
                let before: Vec<BTreeSet<PartId>> = match state.after {
                    _ if shown[at].is_some() => continue,
                    None => none.clone(),
                    Some(after) => match &shown[after] {
                        Some(before) => before.iter().map(|one| one.pulled_in.clone()).collect(),
                        None => continue,
                    },
                };
                let (none, lasts_s) = (Changes::new(), self.watched_s[at]);
                let found = simulation.show(state, all, &before, &none, Rules::IN_USE, lasts_s);
                shown[at] = Some(found);
            }
        }
        shown.into_iter().map(Option::unwrap_or_default).collect()
    }

    /// Shows the suspects of a list anew with the changes of a test.
    pub(super) fn again(
        &self,
        state: usize,
        which: &[usize],
        changes: &Changes,
        rules: Rules,
    ) -> Vec<Shown> {
        if which.is_empty() {
            return Vec::new();
        }
        if which.len() >= WORTH_TWO {
            let (one, other) = which.split_at(which.len() / 2);
            return std::thread::scope(|scope| {
                let other = scope.spawn(|| self.again_here(state, other, changes, rules));
                let mut all = self.again_here(state, one, changes, rules);
                all.extend(other.join().unwrap_or_default());
                all
            });
        }
        self.again_here(state, which, changes, rules)
    }

    fn again_here(
        &self,
        state: usize,
        which: &[usize],
        changes: &Changes,
        rules: Rules,
    ) -> Vec<Shown> {
        let suspects: Vec<&Suspect> = which.iter().map(|at| &self.suspects[*at]).collect();
        // Without the battery every relay is at rest.
        let before = |at: &usize| {
            let stand = &self.shown[state][*at].pulled_in;
            if rules.relays_move {
                stand.clone()
            } else {
                BTreeSet::new()
            }
        };
        let before: Vec<BTreeSet<PartId>> = which.iter().map(before).collect();
        let mut simulation = Simulation::new(&self.frame, &self.guards);
        let lasts_s = self.watched_s[state];
        let state = &self.frame.circuit.states[state];
        simulation.show(state, &suspects, &before, changes, rules, lasts_s)
    }

    /// How the fuses stand under a suspect in a state, all of them whole.
    pub(super) fn threats(&self, state: usize, suspect: usize) -> Vec<Threat> {
        let shown = &self.shown[state][suspect];
        threats(
            &self.guards,
            &shown.first_a,
            &self.suspects[suspect],
            self.watched_s[state],
        )
    }

    /// The branch through which a load draws most.
    pub(super) fn draw_of(&self, part: PartId) -> Option<usize> {
        self.frame.fed.get(&part)?.first().copied()
    }

    /// Volts across a part, as shown; nought where nothing feeds it.
    pub(super) fn across(&self, shown: &Shown, part: PartId) -> f64 {
        let fed = self.frame.fed.get(&part).into_iter().flatten();
        fed.map(|&at| {
            let branch = &self.frame.branches[at];
            let volts = shown.volts[branch.from] - shown.volts[branch.to];
            if volts.is_finite() { volts.abs() } else { 0.0 }
        })
        .fold(0.0, f64::max)
    }

    /// What a load does, over what it does in the sound circuit at its best:
    /// 0 dead, 1 as it should.
    pub(super) fn work(&self, state: usize, suspect: usize, part: PartId) -> f64 {
        let shown = &self.shown[state][suspect];
        self.work_shown(state, &self.suspects[suspect], shown, part)
    }

    /// As [`Self::work`], of a suspect shown anew.
    pub(super) fn work_shown(
        &self,
        state: usize,
        suspect: &Suspect,
        shown: &Shown,
        part: PartId,
    ) -> f64 {
        let healthy_v = self.across(&self.healthy[state], part);
        if !shown.solved || healthy_v < 1.0 {
            return if shown.solved {
                (self.across(shown, part) / 12.0).min(1.0)
            } else {
                0.0
            };
        }
        let volts = self.across(shown, part);
        let share = volts / healthy_v;
        let own = match self.frame.resolved.part(part) {
            Model::Motor(_) => ((share - MOTOR_STARTS) / (1.0 - MOTOR_STARTS)).max(0.0),
            Model::Load(load) => match load.shape {
                LoadShape::Lamp { .. } => share.powf(LIGHT),
                LoadShape::Power(_) | LoadShape::Current(_) => {
                    let cut_v = match load.branch() {
                        Parameters::ConstantPower(law) => law.v_cut_v,
                        Parameters::ConstantCurrent(law) => law.v_cut_v,
                        _ => 0.0,
                    };
                    // Full work from nine tenths of the sound volts, none at the cut-off.
                    let full_v = (ELECTRONICS * healthy_v).max(cut_v + 0.1);
                    if volts > ALIVE_V && volts <= cut_v {
                        RESTARTS
                    } else {
                        ((volts - cut_v) / (full_v - cut_v)).clamp(0.0, 1.0)
                    }
                }
                LoadShape::Resistance(_) => share * share,
            },
            Model::Relay(_) => f64::from(u8::from(shown.pulled_in.contains(&part))),
            _ => share * share,
        };
        let dulled = suspect.dulled.iter().filter(|(dull, _)| *dull == part);
        dulled.fold(own.min(1.1), |work, (_, share)| work * share)
    }

    /// Whether a part draws in a state of the sound circuit.
    pub(super) fn is_on(&self, state: usize, part: PartId) -> bool {
        self.across(&self.healthy[state], part) > 3.0
            && self
                .draw_of(part)
                .is_some_and(|branch| self.healthy[state].amps[branch].abs() > 1e-3)
    }

    /// The state in which everything is off: by its name, else of those in which
    /// nothing charges the one in which the batteries give least.
    pub(super) fn off(&self) -> usize {
        let states = &self.frame.circuit.states;
        super::rest::named(self.frame.circuit).unwrap_or_else(|| {
            let given = |at: &usize| {
                let charges = !states[*at].charging.is_empty();
                (charges, self.battery_a(&self.healthy[*at]))
            };
            let less = |a: &(bool, f64), b: &(bool, f64)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1));
            let all = 0..states.len();
            all.min_by(|a, b| less(&given(a), &given(b))).unwrap_or(0)
        })
    }

    /// Current the batteries give together while every fuse is whole, amperes.
    pub(super) fn first_battery_a(&self, state: usize, suspect: usize) -> f64 {
        let shown = &self.shown[state][suspect];
        let amps = shown.first.as_ref().map_or(&shown.amps, |first| &first.1);
        let supplies = self.frame.net.roles.iter().zip(amps);
        supplies
            .filter(|(role, _)| matches!(role, Role::Supply(_)))
            .map(|(_, amps)| -amps)
            .sum()
    }

    /// Current the batteries give together, amperes.
    pub(super) fn battery_a(&self, shown: &Shown) -> f64 {
        let supplies = self.frame.net.roles.iter().enumerate();
        supplies
            .filter(|(_, role)| matches!(role, Role::Supply(_)))
            .map(|(at, _)| -shown.amps.get(at).copied().unwrap_or(0.0))
            .sum()
    }

    /// Current of a part, as shown: a load's own, a battery's, a relay's contact.
    pub(super) fn part_a(&self, shown: &Shown, part: PartId) -> f64 {
        let own = self.frame.of_part(part);
        own.map(|at| {
            let shunt = self.frame.extra(super::frame::Extra::Shunt(at));
            shown.amps[at].abs() + shunt.map_or(0.0, |shunt| shown.amps[shunt].abs())
        })
        .fold(0.0, f64::max)
    }
}

/// What a fuse that the sound circuit's reversal would not open keeps of its
/// weight: electronics conduct backwards in ways no drawing shows (judgement).
const UNDRAWN: f64 = 0.3;

/// Weighs fuses that opened in a reversal by whether it would open them.
fn weigh_reversals(
    frame: &Frame<'_>,
    guards: &[Guard],
    suspects: &mut [Suspect],
    complaint: Complaint,
) {
    if complaint == Complaint::FuseOpens {
        return;
    }
    let mut backwards = Suspect::new(Cause::ReversedPolarity, Site::Part(PartId(0)), 1.0);
    backwards.edits = candidates::reversal(frame);
    let mut simulation = Simulation::new(frame, guards);
    let mut opened: BTreeSet<usize> = BTreeSet::new();
    for state in &frame.circuit.states {
        let (start, none) = ([BTreeSet::new()], Changes::new());
        let all = [&backwards];
        for shown in simulation.show(state, &all, &start, &none, Rules::IN_USE, WATCHED_S) {
            opened.extend(shown.opened);
        }
    }
    for suspect in suspects {
        if let (Cause::ReversedPolarity, Some(fuse)) = (suspect.cause, suspect.worn_out)
            && !opened.contains(&fuse)
        {
            suspect.weight *= UNDRAWN;
        }
    }
}
