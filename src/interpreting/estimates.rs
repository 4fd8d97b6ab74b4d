//! Figures worked out from the readings, with error bars.

use super::Evidence;
use super::evidence::{Measure, OPEN_OHM, Run};
use super::fault::CREEP_RAD_S;
use super::kernel::Kernel;
use super::odds::Odds;
use super::specimen::Group;
use crate::bench::Draws;
use crate::circuit::Condition;
use crate::devices::MotorModel;
use crate::quantities::{Band, Ohms};

/// A figure worked out. Nine in ten of the likely ones lie within its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// What it is, and what it is not.
    pub quantity: String,
    /// The middle.
    pub value: f64,
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// `ohm`, `A` or `V s/rad`.
    pub unit: &'static str,
}

/// Current below which a quotient says nothing, amperes.
const LEAST_A: f64 = 0.2;

impl Estimate {
    fn new(quantity: &str, band: Band<f64>, unit: &'static str) -> Self {
        Self {
            quantity: quantity.to_owned(),
            value: band.typical,
            low: band.low,
            high: band.high,
            unit,
        }
    }
}

/// Quotient of two figures with the reach of each.
fn quotient(over: (f64, f64), under: (f64, f64)) -> Band<f64> {
    let least = (under.0 - under.1).max(1e-9);
    Band {
        low: ((over.0 - over.1) / (under.0 + under.1)).max(0.0),
        typical: over.0 / under.0,
        high: (over.0 + over.1) / least,
    }
}

/// Apparent resistance, and what joints and leads take.
pub(super) fn of_loop(evidence: &Evidence, kernel: &Kernel) -> Vec<Estimate> {
    let mut found = Vec::new();
    for run in &evidence.runs {
        let reach = |measure, value| (value, kernel.reach(measure, value));
        let amps = run.get(Measure::Amps).filter(|amps| *amps >= LEAST_A);
        let volts = run.get(Measure::Volts);
        let posts = run.get(Measure::PostVolts);
        if let (Some(amps), Some(volts)) = (amps, volts) {
            let under = reach(Measure::Amps, amps);
            let over = reach(Measure::Volts, volts);
            let words = "apparent resistance, volts over amperes; brushes and back-EMF are in it, so it is not the winding";
            found.push(Estimate::new(words, quotient(over, under), "ohm"));
            let lost = |from: f64| {
                let both = over.1 + kernel.reach(Measure::PostVolts, from);
                quotient(((from - volts).max(0.0), both), under)
            };
            if let Some(posts) = posts {
                let words = "leads and joints from the posts to the part";
                found.push(Estimate::new(words, lost(posts), "ohm"));
            } else if let Some(rest) = evidence.rest_v {
                let words = "battery, leads and joints together";
                found.push(Estimate::new(words, lost(rest), "ohm"));
            }
        }
        found.extend(through_fuse(run, evidence, kernel));
    }
    found
}

/// Current that millivolts across a fuse stand for, its heat counted.
fn through_fuse(run: &Run, evidence: &Evidence, kernel: &Kernel) -> Option<Estimate> {
    let volts = run.get(Measure::Millivolts)?;
    let fuse = evidence.fuse.as_ref()?;
    let reach = kernel.reach(Measure::Millivolts, volts);
    let at = |ohm: Ohms, volts: f64| fuse.current_a(ohm.si(), volts.max(0.0));
    let band = Band {
        low: at(fuse.cold.high, volts - reach),
        typical: at(fuse.cold.typical, volts),
        high: at(fuse.cold.low, volts + reach),
    };
    Some(Estimate::new(
        "current by the millivolts across the fuse",
        band,
        "A",
    ))
}

/// A battery's own resistance.
pub(super) fn of_battery(evidence: &Evidence, kernel: &Kernel) -> Vec<Estimate> {
    let Some(rest) = evidence.rest_v else {
        return Vec::new();
    };
    let loaded = evidence.runs.iter().filter_map(|run| {
        let posts = run.get(Measure::PostVolts).or(run.get(Measure::Volts))?;
        let amps = run.get(Measure::Amps).filter(|amps| *amps >= LEAST_A)?;
        let reach = 2.0 * kernel.reach(Measure::PostVolts, rest);
        let under = (amps, kernel.reach(Measure::Amps, amps));
        let band = quotient(((rest - posts).max(0.0), reach), under);
        Some(Estimate::new("the battery's own resistance", band, "ohm"))
    });
    loaded.collect()
}

/// Winding resistance by the odds of all specimens.
pub(super) fn winding(groups: &[Group], odds: &Odds, words: &str) -> Option<Estimate> {
    let mut weighed: Vec<(f64, f64)> = Vec::new();
    for (at, group) in groups.iter().enumerate() {
        let whole: f64 = odds.taken[at].each.iter().sum();
        if whole <= 0.0 {
            continue;
        }
        let ohms = group.specimens.iter().map(|one| one.winding_ohm);
        let shares = odds.taken[at]
            .each
            .iter()
            .map(|d| odds.share[at] * d / whole);
        weighed.extend(
            ohms.zip(shares)
                .filter(|(ohms, share)| *ohms < OPEN_OHM && *share > 0.0),
        );
    }
    let band = middle_nine(weighed)?;
    Some(Estimate::new(words, band, "ohm"))
}

/// Back-EMF constant, from the readings and the winding and brushes a sound one has.
pub(super) fn back_emf(
    motor: &MotorModel,
    evidence: &Evidence,
    kernel: &Kernel,
    draws: &mut Draws,
) -> Option<Estimate> {
    let run = evidence.runs.iter().find(|run| {
        let speed = run.get(Measure::Speed);
        speed.is_some_and(|speed| speed > CREEP_RAD_S)
    })?;
    let speed = run.get(Measure::Speed)?;
    let volts = run.get(Measure::Volts)?;
    let amps = run.get(Measure::Amps)?;
    let near = |measure, value: f64, draws: &mut Draws| {
        let reach = kernel.reach(measure, value);
        draws.between(value - reach, value + reach)
    };
    let sample = (0..1000).map(|_| {
        let law = motor
            .specimen(&mut |band| draws.of(band))
            .law(Condition::Healthy);
        let over = near(Measure::Volts, volts, draws)
            - law.v_brush_v
            - near(Measure::Amps, amps, draws) * law.r_ohm;
        (over / near(Measure::Speed, speed, draws), 1.0)
    });
    let band = middle_nine(sample.collect())?;
    let words = "back-EMF constant, if winding and brushes are sound";
    Some(Estimate::new(words, band, "V s/rad"))
}

/// The middle, and the ends that nine in ten lie within.
pub(super) fn middle_nine(mut weighed: Vec<(f64, f64)>) -> Option<Band<f64>> {
    weighed.sort_by(|a, b| a.0.total_cmp(&b.0));
    let whole: f64 = weighed.iter().map(|(_, share)| share).sum();
    let at = |place: f64| {
        let mut so_far = 0.0;
        let found = weighed.iter().find(|(_, share)| {
            so_far += share;
            so_far >= place * whole
        });
        found.or(weighed.last()).map(|(value, _)| *value)
    };
    (whole > 0.0).then_some(())?;
    Some(Band {
        low: at(0.05)?,
        typical: at(0.5)?,
        high: at(0.95)?,
    })
}
