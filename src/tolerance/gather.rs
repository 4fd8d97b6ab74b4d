//! Gathers what is watched: from the plain solution of the circuit, every
//! reading, and every verdict that its rules hold.

use super::batch::{Batch, branch_of};
use super::questions::{Limit, Probe, Question, Side, Watched};
use super::season::{Hardest, season};
use super::unknowns::Moves;
use crate::circuit::zones::{FuseId, Zones, fuse_name, written};
use crate::circuit::{Circuit, FuseBasis, PartId};
use crate::findings::code;
use crate::quantities::Dimension;
use crate::solving::{Consumer, Demand, Role, SolveError, Survey, is_guessed};
use crate::tables::fuses::steady_loading;
use std::collections::BTreeSet;

/// Current under which a load counts as off, amperes.
const OFF_A: f64 = 1e-4;

/// What questions are gathered from.
pub(super) struct Gather<'a, 'c> {
    pub batch: &'a Batch<'c>,
    pub circuit: &'c Circuit,
    pub found: &'a Survey,
}

impl Gather<'_, '_> {
    /// The setup of a state at rest, by its name.
    fn rest(&self, state: &str) -> Option<usize> {
        let setups = self.batch.setups.iter();
        setups.enumerate().find_map(|(at, setup)| {
            let name = &self.circuit.states[setup.state].name;
            (setup.closing.is_empty() && name == state).then_some(at)
        })
    }

    /// The setup at which a relay of a state closed.
    fn closing(&self, state: &str, relay: PartId) -> Option<usize> {
        let setups = self.batch.setups.iter();
        setups.enumerate().find_map(|(at, setup)| {
            let name = &self.circuit.states[setup.state].name;
            (setup.closing.contains(&relay) && name == state).then_some(at)
        })
    }

    fn amps(&self, setup: usize, branch: usize) -> f64 {
        self.batch.setups[setup].at.point.currents_a[branch].abs()
    }

    fn heating(&self, setup: usize, branch: usize) -> Probe {
        let ripple = &self.batch.setups[setup].at.ripple_a2;
        Probe::Heating(branch, ripple.get(&branch).copied().unwrap_or(0.0))
    }

    fn volts(&self, branch: usize) -> Probe {
        let branch = &self.batch.workings.net.branches[branch];
        Probe::Volts(branch.from, branch.to)
    }

    /// The branch of a part that carries most in a setup.
    fn main_branch(&self, setup: usize, part: PartId) -> Option<usize> {
        let net = &self.batch.workings.net;
        let of = |role: &Role| match role {
            Role::Load { part: other, .. } | Role::Coil(other) => *other == part,
            _ => false,
        };
        let roles = net.roles.iter().enumerate().filter(|(_, role)| of(role));
        roles
            .map(|(at, _)| at)
            .max_by(|a, b| self.amps(setup, *a).total_cmp(&self.amps(setup, *b)))
    }

    /// Drops of loads and blocks, volts of starters and coils.
    pub(super) fn consumers(&self) -> Vec<Question> {
        let mut all = Vec::new();
        for state in &self.found.contributions {
            for consumer in &state.consumers {
                all.extend(self.consumer(&state.state, consumer));
            }
        }
        worst(all)
    }

    fn consumer(&self, state: &str, consumer: &Consumer) -> Option<(f64, Question)> {
        let name = &self.circuit.part(consumer.part).name;
        let rest = self.rest(state)?;
        let (setup, code, dimension, probe, limit, side, has) = match consumer.demand {
            Demand::Drop {
                rule_drop_v,
                limit_v,
            } => {
                let net = &self.batch.workings.net;
                let term = |(wire, amps): &(usize, f64)| {
                    let branch = branch_of(net, Role::Wire(*wire))?;
                    let own = self.amps(rest, branch);
                    (own > OFF_A).then(|| (*wire, branch, amps / own))
                };
                let terms = consumer.amps.iter().filter_map(term).collect();
                let probe = Probe::RuleDrop(terms);
                let (code, limit) = (code("drop-above-limit"), Limit::Fixed(limit_v));
                let dimension = Dimension::Voltage;
                (
                    rest,
                    code,
                    dimension,
                    probe,
                    limit,
                    Side::Above,
                    rule_drop_v,
                )
            }
            Demand::Starter { has_v, needs_v } => {
                let probe = self.volts(self.main_branch(rest, consumer.part)?);
                let (code, limit) = (code("starter-volts-low"), Limit::Fixed(needs_v));
                let dimension = Dimension::Voltage;
                (rest, code, dimension, probe, limit, Side::Below, has_v)
            }
            Demand::Coil {
                has_v,
                pull_in_v,
                closing,
                ..
            } => {
                if !closing {
                    return None;
                }
                let setup = self.closing(state, consumer.part)?;
                let net = &self.batch.workings.net;
                let probe = self.volts(branch_of(net, Role::Coil(consumer.part))?);
                let (code, limit) = (code("relay-not-pulled-in"), Limit::Fixed(pull_in_v));
                let dimension = Dimension::Voltage;
                (setup, code, dimension, probe, limit, Side::Below, has_v)
            }
        };
        let Limit::Fixed(needs) = limit else {
            return None;
        };
        let nearness = match side {
            Side::Above => has / needs,
            Side::Below => needs / has.max(1e-9),
        };
        let question = Question {
            code,
            subject: name.clone(),
            state: Some(state.to_owned()),
            dimension,
            setup,
            probe,
            limit,
            side,
            is_guessed: false,
        };
        Some((nearness, question))
    }

    /// Current of every wire against what it may carry.
    pub(super) fn wires(&self) -> Vec<Question> {
        let mut all = Vec::new();
        for state in self.found.solution.states.iter().filter(|s| !s.what_if) {
            let Some(setup) = self.rest(&state.name) else {
                continue;
            };
            for wire in state.wires.iter().filter(|wire| !wire.cranking) {
                let net = &self.batch.workings.net;
                let (Some(branch), Some(may_a)) =
                    (branch_of(net, Role::Wire(wire.wire)), wire.ampacity_a)
                else {
                    continue;
                };
                if wire.rms_a < OFF_A {
                    continue;
                }
                let question = Question {
                    code: code("wire-above-ampacity"),
                    subject: format!("{} to {}", wire.from, wire.to),
                    state: Some(state.name.clone()),
                    dimension: Dimension::Current,
                    setup,
                    probe: self.heating(setup, branch),
                    limit: Limit::Ampacity(wire.wire),
                    side: Side::Above,
                    is_guessed: false,
                };
                all.push((wire.rms_a / may_a, question));
            }
        }
        worst(all)
    }

    /// Load of every fuse against its rating, and what it may carry for long.
    pub(super) fn fuses(&self) -> Result<Vec<Question>, SolveError> {
        let steady = steady_loading()?.value.si();
        let mut all = Vec::new();
        let net = &self.batch.workings.net;
        for (branch, role) in net.roles.iter().enumerate() {
            let Role::Link(id) = *role else { continue };
            let Some(fuse) = written(self.circuit, id) else {
                continue;
            };
            let rating_a = fuse.rating.value.si();
            for state in self.circuit.states.iter().filter(|s| !s.is_what_if()) {
                let Some(setup) = self.rest(&state.name) else {
                    continue;
                };
                let amps = self.amps(setup, branch);
                if amps < OFF_A {
                    continue;
                }
                let question = |code, limit| Question {
                    code,
                    subject: fuse_name(self.circuit, id),
                    state: Some(state.name.clone()),
                    dimension: Dimension::Current,
                    setup,
                    probe: self.heating(setup, branch),
                    limit,
                    side: Side::Above,
                    is_guessed: false,
                };
                let slot = id.slot.unwrap_or(0);
                let whole = question(code("fuse-above-rating"), Limit::Fixed(rating_a));
                let long = Limit::Loading(id.part, slot, steady * rating_a);
                all.push((amps / rating_a, whole));
                all.push((amps / rating_a, question(code("fuse-loaded-high"), long)));
            }
        }
        Ok(worst(all))
    }

    /// Every fuse that carries anything, over a season.
    pub(super) fn seasons(&self, before: &[Question]) -> Result<Vec<Question>, SolveError> {
        let hardest = Hardest::of(self.batch)?;
        let mut all = Vec::new();
        for (number, unknown) in self.batch.unknowns.iter().enumerate() {
            let Moves::Strength(id) = unknown.moves else {
                continue;
            };
            let name = fuse_name(self.circuit, id);
            let loaded = before.iter().find(|question| {
                question.code.name() == "fuse-above-rating" && question.subject == name
            });
            let Some(loaded) = loaded else { continue };
            let load = loaded.probe.clone();
            let found = season(self.batch, &hardest, id, number, load, loaded.setup)?;
            all.extend(found.map(|season| Question {
                code: code("fuse-opens-at-start"),
                subject: name,
                state: loaded.state.clone(),
                dimension: Dimension::Share,
                setup: loaded.setup,
                probe: Probe::Season(Box::new(season)),
                limit: Limit::Fixed(1.0),
                side: Side::Above,
                is_guessed: false,
            }));
        }
        Ok(all)
    }

    /// Fuses before wires whose size nobody read, and before the thinnest of the
    /// others.
    pub(super) fn fuses_above_wires(&self) -> Vec<Question> {
        let zones = Zones::of(self.circuit);
        let mut all = Vec::new();
        for (id, wires) in &zones.wires {
            let Some(fuse) = written(self.circuit, *id) else {
                continue;
            };
            let rating_a = fuse.rating.value.si();
            let thinnest = self.thinnest_written(wires);
            for &wire in wires {
                let is_unread = self.circuit.wires[wire].unwritten.size.is_some();
                if is_unread || thinnest == Some(wire) {
                    all.extend(self.fuse_above_wire(*id, rating_a, wire));
                }
            }
        }
        all
    }

    /// Of the wires whose size is written, the one that may carry least.
    fn thinnest_written(&self, wires: &BTreeSet<usize>) -> Option<usize> {
        let may_a = |wire: usize| {
            let allowed = self.batch.workings.resolved.wires[wire].allowed.as_ref();
            allowed.map_or(f64::INFINITY, |allowed| allowed.corrected.si())
        };
        let written = wires
            .iter()
            .copied()
            .filter(|wire| self.circuit.wires[*wire].unwritten.size.is_none());
        written.min_by(|a, b| may_a(*a).total_cmp(&may_a(*b)))
    }

    fn fuse_above_wire(&self, id: FuseId, rating_a: f64, wire: usize) -> Vec<Question> {
        let label = self.circuit.wire_label(&self.circuit.wires[wire]);
        let is_guessed = is_guessed(self.circuit, wire, rating_a);
        let question = |code, limit| Question {
            code,
            subject: format!("{} before {label}", fuse_name(self.circuit, id)),
            state: None,
            dimension: Dimension::Current,
            setup: 0,
            probe: Probe::Plain(rating_a),
            limit,
            side: Side::Above,
            is_guessed,
        };
        match self.circuit.limits.fuse_basis {
            FuseBasis::Iso100 => vec![question(code("fuse-above-wire"), Limit::Ampacity(wire))],
            FuseBasis::Cfr150 => vec![question(code("fuse-above-wire"), Limit::Legal(wire))],
            FuseBasis::LoadAnd100 => vec![
                question(code("fuse-above-wire"), Limit::Legal(wire)),
                question(code("fuse-above-wire-practice"), Limit::Ampacity(wire)),
            ],
        }
    }

    /// Volts and amperes of loads, amperes of fuses, volts of batteries, by state.
    pub(super) fn readings(&self) -> Vec<Watched> {
        let mut all = Vec::new();
        let net = &self.batch.workings.net;
        for (setup, found) in self.batch.setups.iter().enumerate() {
            if !found.closing.is_empty() {
                continue;
            }
            let state = &self.circuit.states[found.state].name;
            let mut add = |subject: String, dimension, probe| {
                all.push(Watched {
                    state: state.clone(),
                    subject,
                    dimension,
                    setup,
                    probe,
                });
            };
            for (branch, role) in net.roles.iter().enumerate() {
                let carries = self.amps(setup, branch) > OFF_A;
                match *role {
                    Role::Supply(part) => {
                        let name = self.circuit.part(part).name.clone();
                        add(name.clone(), Dimension::Voltage, self.volts(branch));
                        add(name, Dimension::Current, Probe::Amps(branch));
                    }
                    Role::Load { part, .. } if carries => {
                        let name = self.circuit.part(part).name.clone();
                        add(name.clone(), Dimension::Voltage, self.volts(branch));
                        add(name, Dimension::Current, Probe::Amps(branch));
                    }
                    Role::Link(id) if carries => {
                        let name = fuse_name(self.circuit, id);
                        add(name, Dimension::Current, self.heating(setup, branch));
                    }
                    _ => {}
                }
            }
        }
        all
    }
}

/// Of questions of one kind about one subject, the one nearest its limit.
fn worst(found: Vec<(f64, Question)>) -> Vec<Question> {
    let mut kept: Vec<(f64, Question)> = Vec::new();
    for (nearness, question) in found {
        let same = |other: &&mut (f64, Question)| {
            other.1.code == question.code && other.1.subject == question.subject
        };
        match kept.iter_mut().find(same) {
            None => kept.push((nearness, question)),
            Some(old) if old.0 < nearness => *old = (nearness, question),
            Some(_) => {}
        }
    }
    kept.into_iter().map(|(_, question)| question).collect()
}
