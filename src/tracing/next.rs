//! The next test: what tells most per minute, weighed by risk.
//!
//! What a test tells is the mutual information of its outcome and the place
//! and kind of the fault, in bits.

use super::evidence::{Done, Evidence, Figure, Quantity, Spot, TestKind};
use super::groups::Group;
use super::probes::probes;
use super::scene::Scene;
use super::weighing::{Outcomes, Trial, Weighed, outcomes, seen, trial_words, usual_state};
use crate::circuit::Device;
use crate::quantities::Band;
use crate::tables::OutOfTable;
use crate::tables::tracing::{TestCost, test_cost};

/// A test that may be done next.
#[derive(Debug, Clone, PartialEq)]
pub enum Probe {
    /// One with an outcome in words.
    Trial(Trial),
    /// A reading; its value is what is asked for.
    Reading(Figure),
}

impl Probe {
    /// Adds what came of it to the evidence: an outcome in words.
    pub fn with_outcome(&self, evidence: &mut Evidence, outcome: &str) {
        if let Self::Trial(trial) = self {
            evidence.tests.push(Done {
                test: trial.test,
                at: trial.at,
                state: Some(trial.state),
                outcome: outcome.to_owned(),
            });
        }
    }

    /// Adds what was read, in SI, to the evidence.
    pub fn with_value(&self, evidence: &mut Evidence, value: Band<f64>) {
        if let Self::Reading(figure) = self {
            evidence.figures.push(Figure {
                value,
                ..figure.clone()
            });
        }
    }
}

/// A probe with what it tells.
#[derive(Debug, Clone)]
pub(super) struct Ranked {
    /// The test.
    pub probe: Probe,
    /// What it takes.
    pub cost: TestCost,
    /// Its outcomes: words, and the odds under each live suspect.
    pub outcomes: Outcomes,
    /// What it tells, bits.
    pub bits: f64,
    /// Bits per minute, weighed by risk.
    pub score: f64,
}

/// Suspects that a next test is chosen for.
const LIVE: usize = 240;
/// Share of the weight below which a suspect is left out of the choice.
const FAINT: f64 = 2e-4;
/// Minutes a step of risk weighs as, over the test's own (judgement).
const RISK: f64 = 0.25;
/// Bits below which a test tells nothing.
const NOTHING: f64 = 0.01;

/// Live suspects and their odds among themselves.
pub(super) fn live(weighed: &Weighed) -> Vec<usize> {
    let mut all: Vec<usize> = (0..weighed.odds.len()).collect();
    all.sort_by(|a, b| weighed.odds[*b].total_cmp(&weighed.odds[*a]));
    all.truncate(LIVE);
    all.retain(|at| weighed.odds[*at] > FAINT * weighed.odds[all_first(weighed)]);
    all
}

fn all_first(weighed: &Weighed) -> usize {
    let odds = weighed.odds.iter().enumerate();
    odds.max_by(|a, b| a.1.total_cmp(b.1))
        .map_or(0, |(at, _)| at)
}

/// Tests ranked, best first.
///
/// # Errors
/// When the table of tests cannot be read.
pub(super) fn ranked(
    scene: &Scene<'_>,
    evidence: &Evidence,
    weighed: &Weighed,
    groups: &[Group],
) -> Result<Vec<Ranked>, OutOfTable> {
    let live = live(weighed);
    // Every part that is unplugged asks for it: known before two threads do.
    if let (Some(fuse), Some(state)) = (evidence.fuse, usual_state(scene, evidence)) {
        outcomes(scene, evidence, &Trial::lamp_for(fuse, state), &live);
    }
    let probes = probes(scene, evidence, groups);
    let one = |probe: &Probe| -> Result<Ranked, OutOfTable> {
        let cost = test_cost(cost_name(scene, probe))?.value;
        let outcomes = predict(scene, evidence, probe, &live);
        let bits = bits(scene, weighed, &live, &outcomes);
        let minutes = cost.minutes * (1.0 + RISK * f64::from(cost.risk));
        Ok(Ranked {
            score: bits / minutes,
            probe: probe.clone(),
            cost,
            outcomes,
            bits,
        })
    };
    // Every other probe to a second thread: those of one kind stand together.
    let mut all: Vec<Ranked> = std::thread::scope(|scope| {
        let odd = scope.spawn(|| {
            let odd = probes.iter().skip(1).step_by(2);
            odd.map(one).collect::<Result<Vec<_>, _>>()
        });
        let even: Result<Vec<_>, _> = probes.iter().step_by(2).map(one).collect();
        let odd = odd.join().unwrap_or(Ok(Vec::new()))?;
        let (mut even, mut odd) = (even?.into_iter(), odd.into_iter());
        let mut all = Vec::with_capacity(probes.len());
        loop {
            let pair = (even.next(), odd.next());
            if pair.0.is_none() && pair.1.is_none() {
                return Ok(all);
            }
            all.extend(pair.0);
            all.extend(pair.1);
        }
    })?;
    all.retain(|test| test.bits >= NOTHING);
    all.sort_by(|a, b| b.score.total_cmp(&a.score));
    Ok(all)
}

fn cost_name(scene: &Scene<'_>, probe: &Probe) -> &'static str {
    match probe {
        Probe::Trial(trial) => match trial.test {
            TestKind::Lamp => "lamp",
            TestKind::Unplug => match trial.at {
                Spot::Part(part)
                    if matches!(scene.frame.circuit.part(part).device, Device::Plug(_)) =>
                {
                    "split"
                }
                _ => "unplug",
            },
            TestKind::Swap => "swap",
            TestKind::Bridge => "bridge",
            TestKind::Direct | TestKind::Bench => "direct",
            TestKind::Wiggle => "wiggle",
            TestKind::Tug | TestKind::Clean => "tug",
            TestKind::Continuity => "beeper",
            TestKind::NewFuse => "new-fuse",
            _ => match trial.at {
                Spot::Wire(_) => "look-along",
                _ => "look",
            },
        },
        Probe::Reading(figure) => match (figure.quantity, figure.at) {
            (Quantity::Ohms, _) => "ohms",
            (Quantity::Amps, Spot::Fuse(_)) if figure.state == Some(scene.off()) => "pull-fuse",
            (Quantity::Amps, _) => "amps",
            (_, Spot::Terminal(end))
                if matches!(
                    scene
                        .frame
                        .circuit
                        .part(scene.frame.circuit.terminal(end).part)
                        .device,
                    Device::Battery(_)
                ) =>
            {
                "battery"
            }
            _ => "volts",
        },
    }
}

/// What a probe would show under each of `live`.
pub(super) fn predict(
    scene: &Scene<'_>,
    evidence: &Evidence,
    probe: &Probe,
    live: &[usize],
) -> Outcomes {
    match probe {
        Probe::Trial(trial) => outcomes(scene, evidence, trial, live),
        Probe::Reading(figure) => {
            let values = seen(scene, evidence, figure, live);
            binned(figure.quantity, &values)
        }
    }
}

/// A reading as ranges a person tells apart, with the meter's error.
fn binned(quantity: Quantity, values: &[f64]) -> Outcomes {
    let (words, edges, relative): (&[&'static str], &[f64], bool) = match quantity {
        Quantity::Volts => (
            &[
                "under 1 V",
                "1 to 6 V",
                "6 to 10.5 V",
                "10.5 to 11.9 V",
                "over 11.9 V",
            ],
            &[1.0, 6.0, 10.5, 11.9],
            false,
        ),
        Quantity::Ohms => (
            &[
                "under 0.5 ohm",
                "0.5 to 3 ohm",
                "3 to 30 ohm",
                "30 to 10 000 ohm",
                "open",
            ],
            &[0.5, 3.0, 30.0, 1e4],
            true,
        ),
        _ => (
            &[
                "under 0.05 A",
                "0.05 to 1 A",
                "1 to 4 A",
                "4 to 10 A",
                "10 to 30 A",
                "over 30 A",
            ],
            &[0.05, 1.0, 4.0, 10.0, 30.0],
            true,
        ),
    };
    let below = |value: f64, edge: f64| {
        let z = if relative {
            ((edge + 1e-3).ln() - (value.abs() + 1e-3).ln()) / 0.25
        } else {
            (edge - value.abs()) / 0.3
        };
        super::opening::normal(z)
    };
    let odds = values.iter().map(|value| {
        let mut last = 0.0;
        let mut odds: Vec<f64> = Vec::with_capacity(words.len());
        for edge in edges {
            let share = below(*value, *edge);
            odds.push(share - last);
            last = share;
        }
        odds.push(1.0 - last);
        odds.iter()
            .map(|odds| 0.98 * odds + 0.02 / words.len() as f64)
            .collect()
    });
    Outcomes {
        words: words.to_vec(),
        odds: odds.collect(),
    }
}

/// Mutual information of outcome and group, bits.
fn bits(scene: &Scene<'_>, weighed: &Weighed, live: &[usize], outcomes: &Outcomes) -> f64 {
    let count = outcomes.words.len();
    let mut by_group: Vec<(usize, f64, Vec<f64>)> = Vec::new();
    let mut all = vec![0.0; count];
    let mut total = 0.0;
    for (at, odds) in live.iter().zip(&outcomes.odds) {
        let weight = weighed.odds[*at];
        total += weight;
        let own = by_group
            .iter()
            .position(|(first, _, _)| scene.suspects[*first].is_like(&scene.suspects[*at]));
        let own = own.unwrap_or_else(|| {
            by_group.push((*at, 0.0, vec![0.0; count]));
            by_group.len() - 1
        });
        by_group[own].1 += weight;
        for (column, share) in odds.iter().enumerate() {
            by_group[own].2[column] += weight * share;
            all[column] += weight * share;
        }
    }
    let mut bits = 0.0;
    for (_, weight, shares) in &by_group {
        for (share, sum) in shares.iter().zip(&all) {
            if *share > 0.0 {
                bits += share / total * ((share / weight) / (sum / total)).log2();
            }
        }
    }
    bits
}

/// The test in words.
pub(super) fn in_words(scene: &Scene<'_>, probe: &Probe) -> String {
    match probe {
        Probe::Trial(trial) => trial_words(scene, trial),
        Probe::Reading(figure) => reading_words(scene, figure),
    }
}

fn reading_words(scene: &Scene<'_>, figure: &Figure) -> String {
    let at = super::weighing::spot_name(scene, figure.at);
    let state = figure
        .state
        .map(|state| scene.frame.circuit.states[state].name.clone())
        .unwrap_or_default();
    match figure.quantity {
        Quantity::Volts => format!(
            "volts at {at}: red lead on {at}, black lead on the battery's minus post, everything plugged in and on, state `{state}`"
        ),
        Quantity::Ohms => {
            let loads = if figure.unplugged.is_empty() {
                "loads plugged in"
            } else {
                "every load unplugged"
            };
            let switches = match figure.state {
                Some(_) => format!(", switches set as for `{state}`"),
                None => String::new(),
            };
            format!(
                "ohms to ground: battery off, {at} out, one lead on its load-side clip, the other on the battery's minus cable, {loads}{switches}"
            )
        }
        _ if figure.state == Some(scene.off()) => format!(
            "amperes through {at}, state `{state}`: a meter in the battery's minus lead, pull {at} and read by how much it falls"
        ),
        _ => format!(
            "amperes through {at}, state `{state}`: the clamp round the one wire at its load side"
        ),
    }
}

/// The name of a probe's test, and what it is done at, for a log.
pub(super) fn named(scene: &Scene<'_>, probe: &Probe) -> (&'static str, String) {
    let at = |spot| {
        super::weighing::spot_name(scene, spot)
            .replace('`', "")
            .replace("the wire ", "")
    };
    match probe {
        Probe::Trial(trial) => (trial.test.word(), at(trial.at)),
        Probe::Reading(figure) => (figure.quantity.word(), at(figure.at)),
    }
}
