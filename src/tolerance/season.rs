//! Whether a fuse opens in a season: its load for long, and every start.
//!
//! A fuse stands somewhere between the earliest and the latest of its gates
//! (an unknown of its own). For long it holds 1.10 times its rating at the early
//! end and 1.35 times at the late one; the heat of a start, as `protect` follows
//! it in the typical boat, goes by the square of the current that the motor's
//! winding and its feed let flow at first, and a season of starts tires the
//! element by the published chart of pulses.
//!
//! # Limits
//! A start is followed once, in the typical boat, and scaled from there. That
//! blade fuses tire by the chart of wire-element fuses is judgement.

use super::batch::{Batch, LANES, branch_of};
use super::questions::{Lanes, Probe};
use crate::circuit::zones::{FuseId, fuse_name, written};
use crate::circuit::{Condition, PartId};
use crate::devices::{Model, Resolved};
use crate::network::Outcome;
use crate::protecting::{self, Kind};
use crate::solving::{Role, SolveError};
use crate::tables::fuses::pulse_share;

/// Starts in a season: three a day on a hundred days (judgement).
pub(super) const STARTS: f64 = 300.0;
/// Multiples of its rating that a fuse holds: always, and at most (the gates of
/// types C and F, recalled).
const HOLDS: [f64; 2] = [1.10, 1.35];

/// A fuse over a season.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Season {
    part: PartId,
    slot: usize,
    rating_a: f64,
    /// The unknown that says where in its band this fuse opens.
    strength: usize,
    load: Probe,
    start: Option<Start>,
}

/// The hardest start behind it, in the typical boat.
#[derive(Debug, Clone, PartialEq)]
struct Start {
    motor: PartId,
    /// Branches of the motor and of the battery in the state it runs in.
    motor_branch: Probe,
    motor_amps: Probe,
    supply: Probe,
    /// Current that winding and feed let flow at first, typical, amperes.
    typical_a: f64,
    /// Share of melting heat in the middle and the earliest fuse.
    heat: [f64; 2],
    /// Share of melting heat that a season of such starts allows.
    allowed: f64,
}

/// What a season needs of eight drawn boats.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    /// Winding of each motor as warm as it is, ohms, and its brush drop, volts.
    windings: Vec<[[f64; LANES]; 2]>,
    /// Every unknown's value.
    values: Vec<[f64; LANES]>,
}

impl Drawn {
    pub(super) fn new(resolved: &Resolved, unknowns: usize) -> Self {
        Self {
            windings: vec![[[1.0; LANES]; 2]; resolved.parts.len()],
            values: vec![[0.0; LANES]; unknowns],
        }
    }

    /// An unknown's values.
    pub(super) fn value(&self, unknown: usize) -> [f64; LANES] {
        self.values[unknown]
    }

    pub(super) fn note(&mut self, lane: usize, resolved: &Resolved, values: &[f64]) {
        for (winding, model) in self.windings.iter_mut().zip(&resolved.parts) {
            if let Model::Motor(motor) = model {
                let law = motor.law(Condition::Healthy);
                winding[0][lane] = law.r_ohm;
                winding[1][lane] = law.v_brush_v;
            }
        }
        for (mine, value) in self.values.iter_mut().zip(values) {
            mine[lane] = *value;
        }
    }
}

/// The hardest start behind each fuse, by its name.
pub(super) struct Hardest(Vec<(String, String, [f64; 2])>);

impl Hardest {
    pub(super) fn of(batch: &Batch<'_>) -> Result<Self, SolveError> {
        let study = protecting::study(batch.circuit)?;
        let mut all = Vec::new();
        for fuse in &study.fuses {
            let starts = fuse.checks.iter().filter(|check| check.kind == Kind::Start);
            let heats = starts.filter_map(|check| {
                let middle = check.value("heat_from_cold")?;
                let early = check.value("heat_earliest")?;
                Some((check.about.clone()?, [middle, early]))
            });
            let hardest = heats.max_by(|a, b| a.1[1].total_cmp(&b.1[1]));
            if let Some((about, heat)) = hardest {
                all.push((fuse.name.clone(), about, heat));
            }
        }
        Ok(Self(all))
    }
}

/// A fuse over a season, in a setup in which it carries most; none for breakers.
pub(super) fn season(
    batch: &Batch<'_>,
    hardest: &Hardest,
    id: FuseId,
    strength: usize,
    load: Probe,
    setup: usize,
) -> Result<Option<Season>, SolveError> {
    let Some(fuse) = written(batch.circuit, id).filter(|fuse| fuse.style.is_some()) else {
        return Ok(None);
    };
    let name = fuse_name(batch.circuit, id);
    let found = hardest.0.iter().find(|(fuse, ..)| *fuse == name);
    let start = match found {
        Some((_, motor, heat)) => start(batch, motor, *heat, setup)?,
        None => None,
    };
    Ok(Some(Season {
        part: id.part,
        slot: id.slot.unwrap_or(0),
        rating_a: fuse.rating.value.si(),
        strength,
        load,
        start,
    }))
}

fn start(
    batch: &Batch<'_>,
    motor: &str,
    heat: [f64; 2],
    setup: usize,
) -> Result<Option<Start>, SolveError> {
    let net = &batch.workings.net;
    let Some(motor) = batch.circuit.find(motor) else {
        return Ok(None);
    };
    let role = Role::Load {
        part: motor,
        field: 0,
    };
    let Some(branch) = branch_of(net, role) else {
        return Ok(None);
    };
    let point = &batch.setups[setup].at.point;
    let supplies = net.roles.iter().enumerate();
    let supplies = supplies.filter(|(_, role)| matches!(role, Role::Supply(_)));
    let supply = supplies.map(|(at, _)| at).max_by(|a, b| {
        point.currents_a[*a]
            .abs()
            .total_cmp(&point.currents_a[*b].abs())
    });
    let (Some(supply), Model::Motor(model)) = (supply, batch.workings.resolved.part(motor)) else {
        return Ok(None);
    };
    let volts = |at: usize| {
        let branch = &net.branches[at];
        (point.voltages_v[branch.from] - point.voltages_v[branch.to]).abs()
    };
    let amps = point.currents_a[branch].abs();
    if amps < 1e-3 {
        return Ok(None);
    }
    let law = model.law(Condition::Healthy);
    let across = |at: usize| Probe::Volts(net.branches[at].from, net.branches[at].to);
    Ok(Some(Start {
        motor,
        motor_branch: across(branch),
        motor_amps: Probe::Amps(branch),
        supply: across(supply),
        typical_a: first_a(
            volts(supply),
            volts(branch),
            amps,
            [law.r_ohm, law.v_brush_v],
        ),
        heat,
        allowed: pulse_share(STARTS)?.value,
    }))
}

/// Current that a winding and its feed let flow at first: the feed's resistance
/// by the volts lost in it while the motor runs.
fn first_a(supply_v: f64, motor_v: f64, running_a: f64, winding: [f64; 2]) -> f64 {
    let feed_ohm = ((supply_v - motor_v) / running_a.max(1e-6)).max(0.0);
    (supply_v - winding[1]).max(0.0) / (winding[0] + feed_ohm)
}

impl Season {
    /// The larger of what its load and its starts ask, over what it stands.
    pub(super) fn read(&self, outcome: &Outcome<'_, LANES>, lanes: &Lanes) -> [f64; LANES] {
        let amps = self.load.read(outcome, lanes);
        let air = lanes.air(self.part, self.slot);
        let drawn = &lanes.season;
        let strength = drawn.values[self.strength];
        let mut asked: [f64; LANES] = std::array::from_fn(|lane| {
            let [always, most] = HOLDS;
            let holds = always * (most / always).powf(f64::midpoint(strength[lane], 1.0));
            amps[lane] / (self.rating_a * air[lane] * holds)
        });
        if let Some(start) = &self.start {
            let heat = start.read(outcome, lanes, &strength);
            for (asked, heat) in asked.iter_mut().zip(heat) {
                *asked = asked.max(heat);
            }
        }
        asked
    }
}

impl Start {
    fn read(
        &self,
        outcome: &Outcome<'_, LANES>,
        lanes: &Lanes,
        strength: &[f64; LANES],
    ) -> [f64; LANES] {
        let supply = self.supply.read(outcome, lanes);
        let motor = self.motor_branch.read(outcome, lanes);
        let amps = self.motor_amps.read(outcome, lanes);
        let winding = &lanes.season.windings[self.motor.0];
        std::array::from_fn(|lane| {
            let own = [winding[0][lane], winding[1][lane]];
            let first_a = first_a(supply[lane], motor[lane], amps[lane], own);
            let scale = (first_a / self.typical_a.max(1e-9)).powi(2);
            let [middle, early] = self.heat;
            let tougher = (early / middle.max(1e-12)).max(1.0).powf(-strength[lane]);
            middle * tougher * scale / self.allowed
        })
    }
}
