//! Figures worked out from the readings, with error bars.

use super::Evidence;
use super::evidence::Run;
use super::family::{Bench, Weighed};
use super::fault::CREEP_RAD_S;
use super::kernel::Kernel;
use super::pump::BRUSHES;
use super::{Measure, OPEN_OHM};
use crate::bench::Draws;
use crate::circuit::Condition;
use crate::devices::{LinkModel, MotorModel, RunningLaw};
use crate::fusing::current_by_drop;
use crate::quantities::Band;

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
    pub(super) fn new(quantity: &str, band: Band<f64>, unit: &'static str) -> Self {
        Self {
            quantity: quantity.to_owned(),
            value: band.typical,
            low: band.low,
            high: band.high,
            unit,
        }
    }
}

/// A figure as it was read, with the half width of its meter's error.
#[derive(Debug, Clone, Copy)]
struct Read {
    value: f64,
    reach: f64,
}

impl Read {
    fn of(run: &Run, measure: Measure, kernel: &Kernel) -> Option<Self> {
        let value = run.get(measure)?;
        Some(Self::at(value, measure, kernel))
    }

    fn at(value: f64, measure: Measure, kernel: &Kernel) -> Self {
        let reach = kernel.reach(measure, value);
        Self { value, reach }
    }

    /// One true figure that may have been read so.
    fn draw(&self, draws: &mut Draws) -> f64 {
        draws.between(self.value - self.reach, self.value + self.reach)
    }
}

/// Draws behind a figure.
const DRAWS: usize = 1000;

/// The range of a figure over what may have been read so; `middle` is the figure
/// of the readings themselves.
fn over(
    middle: f64,
    draws: &mut Draws,
    mut one: impl FnMut(&mut Draws) -> f64,
) -> Option<Band<f64>> {
    let sample = (0..DRAWS).map(|_| (one(draws), 1.0));
    let band = middle_nine(sample.filter(|(value, _)| value.is_finite()).collect())?;
    // Less than nothing is no resistance: the readings do not go together.
    (band.high > 0.0).then_some(())?;
    Some(Band {
        low: band.low.min(middle).max(0.0),
        typical: middle.max(0.0),
        high: band.high.max(middle),
    })
}

/// A quotient of a difference and a current.
fn quotient(from: Read, to: Read, amps: Read, draws: &mut Draws) -> Option<Band<f64>> {
    let middle = (from.value - to.value) / amps.value;
    over(middle, draws, |draws| {
        (from.draw(draws) - to.draw(draws)) / amps.draw(draws)
    })
}

/// Nothing, read without error.
const NOTHING: Read = Read {
    value: 0.0,
    reach: 0.0,
};

/// Apparent resistance, and what joints and leads take, run by run.
pub(super) fn of_loop(
    evidence: &Evidence,
    in_boat: bool,
    kernel: &Kernel,
    draws: &mut Draws,
) -> Vec<Estimate> {
    let mut found = Vec::new();
    let several = evidence.runs.len() > 1;
    for (number, run) in (1..).zip(&evidence.runs) {
        let of_run = |words: &str| {
            if several {
                format!("run {number}: {words}")
            } else {
                words.to_owned()
            }
        };
        let mut add = |words: &str, band: Option<Band<f64>>| {
            found.extend(band.map(|band| Estimate::new(&of_run(words), band, "ohm")));
        };
        let amps = Read::of(run, Measure::Amps, kernel).filter(|amps| amps.value >= LEAST_A);
        if let (Some(amps), Some(volts)) = (amps, Read::of(run, Measure::Volts, kernel)) {
            let words = "apparent resistance, volts over amperes; brushes and back-EMF are in it, so it is not the winding";
            add(words, quotient(volts, NOTHING, amps, draws));
            let posts = Read::of(run, Measure::PostVolts, kernel);
            let rest = evidence
                .rest_v
                .map(|rest| Read::at(rest, Measure::PostVolts, kernel));
            match (posts, rest) {
                (Some(posts), _) if in_boat => add(
                    "leads and joints from the posts to the part, over its own current; what other loads lose on the same way is in it",
                    quotient(posts, volts, amps, draws),
                ),
                (Some(posts), _) => add(
                    "leads and joints from the posts to the part",
                    quotient(posts, volts, amps, draws),
                ),
                (None, Some(rest)) if !in_boat => add(
                    "battery, leads and joints together",
                    quotient(rest, volts, amps, draws),
                ),
                (None, _) => {}
            }
        }
        if let Some(estimate) = through_fuse(run, evidence, kernel) {
            let quantity = of_run(&estimate.quantity);
            found.push(Estimate {
                quantity,
                ..estimate
            });
        }
    }
    found.extend(between_runs(evidence, kernel, draws));
    found
}

/// What the volts fall by from run to run: no reading at rest is needed, and an
/// error both runs share drops out.
fn between_runs(evidence: &Evidence, kernel: &Kernel, draws: &mut Draws) -> Vec<Estimate> {
    let mut found = Vec::new();
    let words = [
        (
            Measure::Volts,
            "battery, leads and joints together, by the fall of volts from run to run",
        ),
        (
            Measure::PostVolts,
            "the battery alone, by the fall of its posts from run to run",
        ),
    ];
    for (measure, words) in words {
        let read = |run: &Run| {
            let amps = Read::of(run, Measure::Amps, kernel)?;
            Some((amps, Read::of(run, measure, kernel)?))
        };
        let mut runs: Vec<(Read, Read)> = evidence.runs.iter().filter_map(read).collect();
        runs.sort_by(|a, b| a.0.value.total_cmp(&b.0.value));
        let (Some(least), Some(most)) = (runs.first(), runs.last()) else {
            continue;
        };
        let more_a = most.0.value - least.0.value;
        if more_a < FAR_APART * (most.0.reach + least.0.reach) {
            continue;
        }
        let middle = (least.1.value - most.1.value) / more_a;
        let band = over(middle, draws, |draws| {
            let more_a = most.0.draw(draws) - least.0.draw(draws);
            (least.1.draw(draws) - most.1.draw(draws)) / more_a
        });
        found.extend(band.map(|band| Estimate::new(words, band, "ohm")));
    }
    found
}

/// How many times their meter's errors two currents lie apart to be compared.
const FAR_APART: f64 = 3.0;

/// Current that millivolts across a fuse stand for, its heat counted.
fn through_fuse(run: &Run, evidence: &Evidence, kernel: &Kernel) -> Option<Estimate> {
    let band = by_drop(run, evidence.fuse.as_ref()?, kernel)?;
    Some(Estimate::new(
        "current by the millivolts across the fuse",
        band,
        "A",
    ))
}

/// A battery's own resistance.
pub(super) fn of_battery(evidence: &Evidence, kernel: &Kernel, draws: &mut Draws) -> Vec<Estimate> {
    let Some(rest) = evidence.rest_v else {
        return Vec::new();
    };
    let rest = Read::at(rest, Measure::PostVolts, kernel);
    let mut found = Vec::new();
    for run in &evidence.runs {
        let posts = Read::of(run, Measure::PostVolts, kernel)
            .or_else(|| Read::of(run, Measure::Volts, kernel));
        let amps = Read::of(run, Measure::Amps, kernel).filter(|amps| amps.value >= LEAST_A);
        let (Some(posts), Some(amps)) = (posts, amps) else {
            continue;
        };
        let band = quotient(rest, posts, amps, draws);
        found.extend(band.map(|band| Estimate::new("the battery's own resistance", band, "ohm")));
    }
    found
}

/// Winding resistance by the odds of all specimens; none of readings that fit
/// none, or that tell nothing of it.
pub(super) fn winding(found: &Weighed<'_>, words: &str) -> Option<Estimate> {
    let odds = found.odds;
    let tells = |(_, measure, value): (usize, Measure, f64)| match measure {
        Measure::Ohms => value < OPEN_OHM,
        Measure::Amps => value > 0.0,
        _ => false,
    };
    if odds.misfit > 0.5 || !found.bench.evidence.readings().any(tells) {
        return None;
    }
    let mut weighed: Vec<(f64, f64)> = Vec::new();
    for (at, group) in found.groups.iter().enumerate() {
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

/// A run with all that its motor's law needs.
struct Turning {
    volts: Read,
    amps: Read,
    speed: Read,
}

impl Turning {
    fn of(run: &Run, kernel: &Kernel) -> Option<Self> {
        Some(Self {
            volts: Read::of(run, Measure::Volts, kernel)?,
            amps: Read::of(run, Measure::Amps, kernel)?,
            speed: Read::of(run, Measure::Speed, kernel)?,
        })
    }
}

/// Winding and back-EMF constant: from two runs together where two are far enough
/// apart, else the constant alone, from the winding and brushes a sound one has.
pub(super) fn back_emf(
    motor: &MotorModel,
    evidence: &Evidence,
    kernel: &Kernel,
    draws: &mut Draws,
) -> Vec<Estimate> {
    let runs = evidence.runs.iter();
    let runs: Vec<Turning> = runs.filter_map(|run| Turning::of(run, kernel)).collect();
    if let Some((one, other)) = farthest(&runs) {
        return of_two(motor, one, other, draws);
    }
    let turns = |run: &&Turning| run.speed.value > CREEP_RAD_S;
    let Some(run) = runs.iter().find(turns) else {
        return Vec::new();
    };
    let sound = |draws: &mut Draws| {
        motor
            .specimen(&mut |band| draws.of(band))
            .law(Condition::Healthy)
    };
    let k = |volts: f64, amps: f64, speed: f64, law: &RunningLaw| {
        (volts - law.v_brush_v - amps * law.r_ohm) / speed
    };
    let sample = (0..DRAWS).map(|_| {
        let law = sound(draws);
        let (volts, amps) = (run.volts.draw(draws), run.amps.draw(draws));
        (k(volts, amps, run.speed.draw(draws), &law), 1.0)
    });
    let band = middle_nine(sample.collect());
    let words = "back-EMF constant, if winding and brushes are sound";
    band.map(|band| Estimate::new(words, band, "V s/rad"))
        .into_iter()
        .collect()
}

/// The two runs that tell winding and constant apart best: as with a stalled and
/// a turning one, I1 w2 - I2 w1 is large; none where it is lost in the errors.
fn farthest(runs: &[Turning]) -> Option<(&Turning, &Turning)> {
    let apart = |one: &Turning, other: &Turning| {
        let (a, b) = (one.amps, other.amps);
        let (v, w) = (one.speed, other.speed);
        let across = (a.value * w.value - b.value * v.value).abs();
        let lost = a.reach * w.value + a.value * w.reach + b.reach * v.value + b.value * v.reach;
        across - FAR_APART * lost
    };
    let pairs = runs
        .iter()
        .enumerate()
        .flat_map(|(at, one)| runs[at + 1..].iter().map(move |other| (one, other)));
    pairs
        .map(|(one, other)| (apart(one, other), one, other))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(apart, ..)| *apart > 0.0)
        .map(|(_, one, other)| (one, other))
}

/// V - Vb = I R + k w twice, solved for R and k.
fn of_two(motor: &MotorModel, one: &Turning, other: &Turning, draws: &mut Draws) -> Vec<Estimate> {
    let brush_v = motor.parameters.v_brush.si();
    let solved: Vec<(f64, f64)> = (0..DRAWS)
        .map(|_| {
            let brush_v = brush_v * draws.of(BRUSHES);
            let mut of = |run: &Turning| {
                let over_v = run.volts.draw(draws) - brush_v;
                (over_v, run.amps.draw(draws), run.speed.draw(draws))
            };
            let ((u, a, v), (t, b, w)) = (of(one), of(other));
            let across = a * w - b * v;
            ((u * w - t * v) / across, (a * t - b * u) / across)
        })
        .collect();
    let of = |pick: fn(&(f64, f64)) -> f64| {
        let sample = solved.iter().map(|found| (pick(found), 1.0));
        middle_nine(sample.filter(|(value, _)| value.is_finite()).collect())
    };
    let winding = of(|found| found.0).map(|band| {
        Estimate::new(
            "winding resistance by two runs, brushes taken out",
            band,
            "ohm",
        )
    });
    let constant = of(|found| found.1)
        .map(|band| Estimate::new("back-EMF constant by two runs", band, "V s/rad"));
    winding.into_iter().chain(constant).collect()
}

/// The middle, and the ends that nine in ten lie within.
pub(super) fn middle_nine(weighed: Vec<(f64, f64)>) -> Option<Band<f64>> {
    middle_of(weighed, 0.9)
}

/// The middle, and the ends that a share of all lies within.
pub(super) fn middle_of(mut weighed: Vec<(f64, f64)>, share: f64) -> Option<Band<f64>> {
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
        low: at(0.5 * (1.0 - share))?,
        typical: at(0.5)?,
        high: at(0.5 * (1.0 + share))?,
    })
}

/// Resistance of a contact from the volts across it and the current `under` it.
pub(super) fn of_contact(
    weighed: &Weighed<'_>,
    under: Measure,
    draws: &mut Draws,
) -> Vec<Estimate> {
    let kernel = weighed.bench.kernel;
    let mut figures = vec![(Measure::Millivolts, "resistance, millivolts over amperes")];
    if under == Measure::Amps {
        figures.push((
            Measure::Volts,
            "resistance from wire to wire, volts over amperes",
        ));
    }
    let mut found = Vec::new();
    let runs = weighed.bench.evidence.runs.iter();
    for run in runs.filter(|run| !run.is_off()) {
        let Some(amps) = Read::of(run, under, kernel).filter(|amps| amps.value >= LEAST_A) else {
            continue;
        };
        for (measure, words) in &figures {
            let Some(volts) = Read::of(run, *measure, kernel) else {
                continue;
            };
            let band = quotient(volts, NOTHING, amps, draws);
            found.extend(band.map(|band| Estimate::new(words, band, "ohm")));
        }
    }
    found
}

/// Current that the millivolts of a run stand for across a sound fuse, its heat
/// counted, amperes.
fn by_drop(run: &Run, fuse: &LinkModel, kernel: &Kernel) -> Option<Band<f64>> {
    let volts = run.get(Measure::Millivolts)?;
    let reach = kernel.reach(Measure::Millivolts, volts);
    Some(current_by_drop(fuse, volts, reach))
}

/// That of the first run with millivolts.
pub(super) fn by_millivolts(weighed: &Weighed<'_>, fuse: &LinkModel) -> Option<Band<f64>> {
    let Bench {
        evidence, kernel, ..
    } = weighed.bench;
    let mut runs = evidence.runs.iter();
    runs.find_map(|run| by_drop(run, fuse, kernel))
}

/// The same as a figure worked out.
pub(super) fn through_a_fuse(weighed: &Weighed<'_>, fuse: &LinkModel) -> Option<Estimate> {
    let band = by_millivolts(weighed, fuse)?;
    let words = "current by the millivolts, if the fuse is sound";
    Some(Estimate::new(words, band, "A"))
}

/// Charging lead from the rectifier to the posts.
pub(super) fn of_charging_lead(weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
    let kernel = weighed.bench.kernel;
    let of = |run: &Run| {
        let amps = Read::of(run, Measure::Amps, kernel).filter(|amps| amps.value >= LEAST_A)?;
        let plus = Read::of(run, Measure::Volts, kernel)?;
        let posts = Read::of(run, Measure::PostVolts, kernel)?;
        let band = quotient(plus, posts, amps, draws)?;
        Some(Estimate::new("charging lead with its joints", band, "ohm"))
    };
    weighed.bench.evidence.runs.iter().filter_map(of).collect()
}
