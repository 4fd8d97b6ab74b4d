//! What is watched in every drawn circuit: readings, and verdicts that a drawn
//! circuit may turn.
//!
//! A verdict is a value against a limit, by the same rules as `solve` holds them:
//! rule drop, ampacity, load of fuses, fuse against wire, coils that close, volts
//! at a starter. Of a subject's verdicts of one kind the state that comes nearest
//! its limit in the typical circuit is kept.
//!
//! # Limits
//! On a shared feed, how the drop is shared among wires is taken from the
//! typical circuit; the currents and lengths are those of each drawn one.

use super::batch::{Batch, LANES, branch_of};
use super::season::{Drawn, Hardest, Season, season};
use super::unknowns::Moves;
use crate::circuit::zones::{FuseId, Zones, fuse_name, written};
use crate::circuit::{Circuit, DropBasis, FuseBasis, PartId};
use crate::devices::{Model, Resolved};
use crate::findings::{Code, code};
use crate::network::Outcome;
use crate::quantities::Dimension;
use crate::solving::{Consumer, Demand, Role, SolveError, Survey, rule_ohm, survey};
use crate::tables::fuses::steady_loading;

/// What a column of the samples holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Probe {
    /// Volts between two nodes, whichever is higher.
    Volts(usize, usize),
    /// Current through a branch, either way.
    Amps(usize),
    /// Heating current of a branch: with ripple, A^2.
    Heating(usize, f64),
    /// The rule's drop: wires with their branches and the share of their own
    /// current that counts.
    RuleDrop(Vec<(usize, usize, f64)>),
    /// A figure that no state changes.
    Plain(f64),
    /// What a season asks of a fuse, over what it stands.
    Season(Box<Season>),
}

/// What a verdict is held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Limit {
    /// A figure.
    Fixed(f64),
    /// What a wire may carry where it lies, times a factor.
    Ampacity(usize),
    /// 150 % of a wire's figure in its table.
    Legal(usize),
    /// A fuse's rating times a share, for the air around it.
    Loading(PartId, usize, f64),
}

/// Where a verdict turns bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Above its limit.
    Above,
    /// Below its limit.
    Below,
}

/// A verdict that is put to every drawn circuit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Question {
    /// The finding it would be.
    pub code: Code,
    /// Part, fuse or wire.
    pub subject: String,
    /// State; none where no state matters.
    pub state: Option<String>,
    /// Dimension of value and limit.
    pub dimension: Dimension,
    pub setup: usize,
    pub probe: Probe,
    pub limit: Limit,
    pub side: Side,
}

/// A reading whose range is told.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Watched {
    pub state: String,
    pub subject: String,
    pub dimension: Dimension,
    pub setup: usize,
    pub probe: Probe,
}

/// Everything that is read off each drawn circuit.
pub(super) struct Watch {
    pub readings: Vec<Watched>,
    pub questions: Vec<Question>,
    rules: Rules,
}

/// Figures of rules that hold for every drawn circuit.
struct Rules {
    /// Ohms times square millimetres per metre; none where the rule goes by the
    /// copper's own heat.
    rho: Option<f64>,
}

/// What limits and rules need of the wires and fuses of eight drawn circuits.
pub(super) struct Lanes {
    rule_ohm: Vec<[f64; LANES]>,
    heat_per_a2: Vec<[f64; LANES]>,
    corrected_a: Vec<[f64; LANES]>,
    table_a: Vec<[f64; LANES]>,
    air_factor: Vec<Vec<[f64; LANES]>>,
    /// What seasons of fuses need.
    pub season: Drawn,
}

impl Lanes {
    /// Share of its rating that a fuse has in its air.
    pub(super) fn air(&self, part: PartId, slot: usize) -> [f64; LANES] {
        self.air_factor[part.0][slot]
    }
}

/// Outer legal limit of a fuse before a wire: 33 CFR 183.455(c)(1).
const LEGAL_SHARE: f64 = 1.5;
/// Current under which a load counts as off, amperes.
const OFF_A: f64 = 1e-4;

impl Watch {
    pub(super) fn of(batch: &Batch<'_>) -> Result<Self, SolveError> {
        let circuit = batch.circuit;
        let found = survey(circuit)?;
        let gather = Gather {
            batch,
            circuit,
            found: &found,
        };
        let mut questions = gather.consumers();
        questions.extend(gather.wires());
        questions.extend(gather.fuses()?);
        questions.extend(gather.fuses_above_wires());
        questions.extend(gather.seasons(&questions)?);
        Ok(Self {
            readings: gather.readings(),
            questions,
            rules: Rules::of(batch)?,
        })
    }

    /// Number of columns: the readings, then the value of each question, then
    /// by how much it misses its limit, as a share of it.
    pub(super) fn columns(&self) -> usize {
        self.readings.len() + 2 * self.questions.len()
    }

    /// Column of a question's value.
    pub(super) fn value(&self, question: usize) -> usize {
        self.readings.len() + question
    }

    /// Column of by how much a question is missed.
    pub(super) fn miss(&self, question: usize) -> usize {
        self.readings.len() + self.questions.len() + question
    }

    pub(super) fn lanes(&self, batch: &Batch<'_>) -> Lanes {
        let resolved = &batch.workings.resolved;
        let wires = resolved.wires.len();
        let links = |model: &Model| match model {
            Model::Links(links) => vec![[1.0; LANES]; links.len()],
            _ => Vec::new(),
        };
        Lanes {
            rule_ohm: vec![[0.0; LANES]; wires],
            heat_per_a2: vec![[0.0; LANES]; wires],
            corrected_a: vec![[f64::INFINITY; LANES]; wires],
            table_a: vec![[f64::INFINITY; LANES]; wires],
            air_factor: resolved.parts.iter().map(links).collect(),
            season: Drawn::new(resolved, batch.unknowns.len()),
        }
    }

    /// Takes what the limits need from the circuit just put into a lane.
    pub(super) fn note(&self, lanes: &mut Lanes, lane: usize, resolved: &Resolved, values: &[f64]) {
        lanes.season.note(lane, resolved, values);
        for (at, wire) in resolved.wires.iter().enumerate() {
            (lanes.rule_ohm[at][lane], lanes.heat_per_a2[at][lane]) = match self.rules.rho {
                Some(rho) => (rho * wire.length.typical.si() / wire.area_mm2, 0.0),
                None => (wire.copper_ohm(), wire.kappa_per_a2),
            };
            if let Ok(allowed) = &wire.allowed {
                lanes.corrected_a[at][lane] = allowed.corrected.si();
                lanes.table_a[at][lane] = allowed.table.value.si();
            }
        }
        for (factors, model) in lanes.air_factor.iter_mut().zip(&resolved.parts) {
            if let Model::Links(links) = model {
                for (factor, link) in factors.iter_mut().zip(links) {
                    factor[lane] = link.ambient_factor;
                }
            }
        }
    }

    /// Reads every column of one setup off its outcome.
    pub(super) fn read(
        &self,
        setup: usize,
        outcome: &Outcome<'_, LANES>,
        lanes: &Lanes,
        mut put: impl FnMut(usize, [f64; LANES]),
    ) {
        for (column, reading) in self.readings.iter().enumerate() {
            if reading.setup == setup {
                put(column, reading.probe.read(outcome, lanes));
            }
        }
        for (number, question) in self.questions.iter().enumerate() {
            if question.setup != setup {
                continue;
            }
            let value = question.probe.read(outcome, lanes);
            let limit = question.limit.of(lanes);
            put(self.value(number), value);
            let miss = std::array::from_fn(|lane| {
                let over = (value[lane] - limit[lane]) / limit[lane].abs().max(1e-12);
                match question.side {
                    Side::Above => over,
                    Side::Below => -over,
                }
            });
            put(self.miss(number), miss);
        }
    }
}

impl Rules {
    fn of(batch: &Batch<'_>) -> Result<Self, SolveError> {
        let basis = batch.circuit.limits.drop_basis;
        let wire = batch.workings.resolved.wires.first();
        let rho = match (basis, wire) {
            (DropBasis::Physical, _) | (_, None) => None,
            (_, Some(wire)) => {
                Some(rule_ohm(basis, wire, 0.0)? * wire.area_mm2 / wire.length.typical.si())
            }
        };
        Ok(Self { rho })
    }
}

impl Probe {
    pub(super) fn read(&self, outcome: &Outcome<'_, LANES>, lanes: &Lanes) -> [f64; LANES] {
        match self {
            Self::Volts(from, to) => {
                let (from, to) = (outcome.voltages_v(*from), outcome.voltages_v(*to));
                std::array::from_fn(|lane| (from[lane] - to[lane]).abs())
            }
            Self::Amps(branch) => outcome.currents_a(*branch).map(f64::abs),
            Self::Heating(branch, extra_a2) => {
                let amps = outcome.currents_a(*branch);
                amps.map(|amps| (amps * amps + extra_a2).sqrt())
            }
            Self::RuleDrop(terms) => {
                let mut sum = [0.0; LANES];
                for (wire, branch, share) in terms {
                    let amps = outcome.currents_a(*branch);
                    let (ohm, heat) = (&lanes.rule_ohm[*wire], &lanes.heat_per_a2[*wire]);
                    for lane in 0..LANES {
                        let room = (1.0 - heat[lane] * amps[lane] * amps[lane]).max(1e-6);
                        sum[lane] += share * amps[lane].abs() * ohm[lane] / room;
                    }
                }
                sum
            }
            Self::Plain(value) => [*value; LANES],
            Self::Season(season) => season.read(outcome, lanes),
        }
    }
}

impl Limit {
    fn of(self, lanes: &Lanes) -> [f64; LANES] {
        match self {
            Self::Fixed(limit) => [limit; LANES],
            Self::Ampacity(wire) => lanes.corrected_a[wire],
            Self::Legal(wire) => lanes.table_a[wire].map(|amps| LEGAL_SHARE * amps),
            Self::Loading(part, slot, amps) => {
                lanes.air_factor[part.0][slot].map(|factor| factor * amps)
            }
        }
    }

    /// The limit of the typical circuit.
    pub(super) fn typical(self, resolved: &Resolved) -> f64 {
        let allowed = |wire: usize| resolved.wires[wire].allowed.as_ref().ok();
        match self {
            Self::Fixed(limit) => limit,
            Self::Ampacity(wire) => {
                allowed(wire).map_or(f64::INFINITY, |allowed| allowed.corrected.si())
            }
            Self::Legal(wire) => {
                LEGAL_SHARE * allowed(wire).map_or(f64::INFINITY, |a| a.table.value.si())
            }
            Self::Loading(part, slot, amps) => match resolved.part(part) {
                Model::Links(links) => amps * links[slot].ambient_factor,
                _ => amps,
            },
        }
    }
}

/// What questions are gathered from.
struct Gather<'a, 'c> {
    batch: &'a Batch<'c>,
    circuit: &'c Circuit,
    found: &'a Survey,
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
    fn consumers(&self) -> Vec<Question> {
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
        };
        Some((nearness, question))
    }

    /// Current of every wire against what it may carry.
    fn wires(&self) -> Vec<Question> {
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
                };
                all.push((wire.rms_a / may_a, question));
            }
        }
        worst(all)
    }

    /// Load of every fuse against its rating, and what it may carry for long.
    fn fuses(&self) -> Result<Vec<Question>, SolveError> {
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
    fn seasons(&self, before: &[Question]) -> Result<Vec<Question>, SolveError> {
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
            }));
        }
        Ok(all)
    }

    /// Fuses before wires whose size nobody read.
    fn fuses_above_wires(&self) -> Vec<Question> {
        let zones = Zones::of(self.circuit);
        let mut all = Vec::new();
        for (id, wires) in &zones.wires {
            let Some(fuse) = written(self.circuit, *id) else {
                continue;
            };
            let rating_a = fuse.rating.value.si();
            for &wire in wires {
                if self.circuit.wires[wire].unwritten.size.is_none() {
                    continue;
                }
                all.extend(self.fuse_above_wire(*id, rating_a, wire));
            }
        }
        all
    }

    fn fuse_above_wire(&self, id: FuseId, rating_a: f64, wire: usize) -> Vec<Question> {
        let label = self.circuit.wire_label(&self.circuit.wires[wire]);
        let question = |code, limit| Question {
            code,
            subject: format!("{} before {label}", fuse_name(self.circuit, id)),
            state: None,
            dimension: Dimension::Current,
            setup: 0,
            probe: Probe::Plain(rating_a),
            limit,
            side: Side::Above,
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
    fn readings(&self) -> Vec<Watched> {
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
