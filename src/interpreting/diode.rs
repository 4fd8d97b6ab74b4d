//! What a diode with each condition shows: the meter's diode range both ways, and
//! its volts under a lamp.

use super::evidence::Evidence;
use super::family::{Bench, Family, Warned, Weighed, Words, among};
use super::specimen::{Group, SPECIMENS, Seen, Specimen};
use super::supply::{self, Trouble};
use super::{Estimate, Measure, OPEN_V};
use crate::bench::{Draws, Refused};
use crate::devices::DiodeModel;
use crate::quantities::Band;
use crate::tables::OutOfTable;
use crate::tables::readings::bench_limit;

const WORDS: [Words; 3] = [
    ("healthy", "sound", "is what a sound one shows"),
    (
        "shorted",
        "shorted",
        "is what a shorted one shows: it conducts both ways",
    ),
    (
        "open",
        "open",
        "is what an open one shows: it conducts neither way",
    ),
];

/// Ohms of a shorted junction: from a weld to a half burnt one (judgement).
const SHORTED_OHM: (f64, f64) = (0.3, 300.0);
/// What a meter sends on its diode range, amperes.
const SENT_A: f64 = 1e-3;
/// Share of diodes that are Schottky ones (judgement).
const SCHOTTKY: f64 = 0.15;
/// What a shorted one loses under a lamp, volts.
const SHORTED_LOADED_V: Band<f64> = Band {
    low: 0.005,
    typical: 0.05,
    high: 0.3,
};

/// Volts of a sound silicon junction on the diode range.
pub(super) fn sound_v() -> Result<Band<f64>, OutOfTable> {
    one_way("silicon diode, diode range, one way", 0.4, 0.75)
}

/// Volts of a sound Schottky junction there.
fn schottky_v() -> Result<Band<f64>, OutOfTable> {
    one_way("Schottky diode, diode range, one way", 0.15, 0.4)
}

/// The range of a row of limits; `least` and `most` stand for an end it leaves open.
fn one_way(row: &str, least: f64, most: f64) -> Result<Band<f64>, OutOfTable> {
    let limits = bench_limit(row)?.value;
    let (low, high) = (limits.low.unwrap_or(least), limits.high.unwrap_or(most));
    Ok(Band {
        low,
        typical: f64::midpoint(low, high),
        high,
    })
}

/// What a shorted junction shows on the diode range, either way round: a
/// resistance under the meter's current.
pub(super) fn shorted_v(draws: &mut Draws) -> f64 {
    SENT_A * draws.decades(SHORTED_OHM.0, SHORTED_OHM.1)
}

/// What some ohms show there.
pub(super) fn leaking_v(ohms: f64) -> f64 {
    (SENT_A * ohms).min(OPEN_V)
}

impl Family for DiodeModel {
    fn part(&self) -> &'static str {
        "diode"
    }

    fn measures(&self) -> Vec<Measure> {
        vec![Measure::Forward, Measure::Backward, Measure::Volts]
    }

    fn asks(&self, _: &Evidence, _: bool) -> Vec<Measure> {
        self.measures()
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let sound = (sound_v()?, schottky_v()?);
        let mut of = |condition: &'static str| Group {
            condition,
            prior: bench.priors.of(condition),
            brings: Vec::new(),
            specimens: (0..SPECIMENS)
                .map(|_| specimen(self, condition, sound, bench, draws))
                .collect(),
        };
        Ok(WORDS.map(|(condition, ..)| of(condition)).into())
    }

    fn estimates(&self, _: &Weighed<'_>, _: &mut Draws) -> Vec<Estimate> {
        Vec::new()
    }

    fn cautions(&self) -> Warned {
        (
            &["tracing"],
            &[
                "neg-first",
                "polarity",
                "switch-far",
                "vapour",
                "eyes",
                "short",
            ],
        )
    }

    fn is_tried_behind_a_lamp(&self) -> bool {
        true
    }

    fn is_read_aboard(&self) -> bool {
        false
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&WORDS, condition)
    }

    fn name(&self, measure: Measure) -> &'static str {
        match measure {
            Measure::Volts => "volts across it under a lamp",
            _ => measure.words(),
        }
    }

    fn how(&self, measure: Measure) -> Option<&'static str> {
        Some(match measure {
            Measure::Forward => "the diode range, red on the anode, one end off its circuit",
            Measure::Backward => "the diode range, leads swapped, one end off its circuit",
            Measure::Volts => "the volts from anode to cathode under a 55 W lamp",
            _ => return None,
        })
    }
}

fn specimen(
    model: &DiodeModel,
    condition: &str,
    sound: (Band<f64>, Band<f64>),
    bench: &Bench<'_>,
    draws: &mut Draws,
) -> Specimen {
    let (feed, weight) = supply::feed(bench, &Trouble::NONE, draws);
    let (forward, backward, loaded) = match condition {
        "shorted" => {
            let either_v = shorted_v(draws);
            (either_v, either_v, draws.of(SHORTED_LOADED_V))
        }
        "open" => (OPEN_V, OPEN_V, feed.open_v()),
        _ => {
            let (silicon, schottky) = sound;
            let one = if draws.chance(SCHOTTKY) {
                schottky
            } else {
                silicon
            };
            (draws.of(one), OPEN_V, draws.quantity(&model.drop))
        }
    };
    let seen = Seen::NOTHING
        .with(Measure::Forward, forward)
        .with(Measure::Backward, backward)
        .with(Measure::Volts, loaded);
    Specimen {
        weight,
        runs: vec![seen; bench.runs.len()],
        winding_ohm: f64::NAN,
    }
}
