//! Evidence held against every suspect.
//!
//! Each piece of evidence gives every suspect the odds of being seen if that
//! suspect were the fault. People err: nothing they say has odds of nought.

mod complaint;
mod figures;
mod lamps;
mod new_fuse;
mod notices;
mod outcomes;
mod words;

use super::evidence::Evidence;
use super::scene::Scene;
use std::collections::BTreeSet;

pub(super) use complaint::{states_in_words, states_of};
pub(super) use figures::seen;
pub(super) use notices::spot_name;
pub use outcomes::Trial;
pub(super) use outcomes::{Outcomes, outcomes, usual_state};
pub(super) use words::in_words as trial_words;

/// Odds below which no word of a person takes a suspect (judgement).
const SLIP: f64 = 0.02;
/// Odds that the complaint itself is a slip: the wrong fuse, a wrong time (judgement).
const RARE_SLIP: f64 = 0.004;
/// Share of the weight below which a suspect is not simulated again.
const FAINT: f64 = 1e-5;
/// Odds of all those together from which they are, after all.
const OTHERS: f64 = 0.01;

/// One piece of evidence with what it does to every suspect.
#[derive(Debug, Clone)]
pub(super) struct Item {
    /// The evidence in words.
    pub label: String,
    /// Logarithm of its odds under each suspect.
    pub ln: Vec<f64>,
}

/// All evidence weighed.
#[derive(Debug, Clone)]
pub(super) struct Weighed {
    /// Each piece.
    pub items: Vec<Item>,
    /// Odds of each suspect; they add up to 1.
    pub odds: Vec<f64>,
}

/// Weighs all evidence.
pub(super) fn weigh(scene: &Scene<'_>, evidence: &Evidence) -> Weighed {
    let told = scene.memory.items(scene.suspects.len(), || {
        let mut told = complaint::items(scene, evidence);
        told.extend(notices::items(scene, evidence));
        told
    });
    let before = odds(scene, &told);
    // Only what is still a suspect is simulated again for tests.
    let most = before.iter().copied().fold(0.0, f64::max);
    let all: Vec<usize> = (0..before.len()).collect();
    let live: Vec<usize> = all
        .iter()
        .copied()
        .filter(|at| before[*at] > FAINT * most)
        .collect();
    let weighed = with_tests(scene, evidence, &told, &live);
    let is_live: BTreeSet<usize> = live.iter().copied().collect();
    let others = all.iter().filter(|at| !is_live.contains(at));
    let others: f64 = others.map(|at| weighed.odds[*at]).sum();
    if others < OTHERS {
        return weighed;
    }
    // The tests speak against all of them: one of the others it may be.
    with_tests(scene, evidence, &told, &all)
}

/// What was told, and every reading and test held against the live suspects. The others
/// are taken to show each as well as the best of those.
fn with_tests(scene: &Scene<'_>, evidence: &Evidence, told: &[Item], live: &[usize]) -> Weighed {
    let figures = evidence.figures.iter();
    let figures = figures.map(|figure| figures::item(scene, evidence, figure, live));
    let tests = evidence.tests.iter();
    let tests = tests.filter_map(|done| outcomes::item_done(scene, evidence, done, live));
    let mut tried: Vec<Item> = figures.chain(tests).collect();
    for item in &mut tried {
        let best = live.iter().map(|at| item.ln[*at]);
        let best = best.fold(f64::NEG_INFINITY, f64::max);
        let mut ln = vec![best; item.ln.len()];
        for at in live {
            ln[*at] = item.ln[*at];
        }
        item.ln = ln;
    }
    let items = [told, &tried].concat();
    let odds = odds(scene, &items);
    Weighed { items, odds }
}

fn odds(scene: &Scene<'_>, items: &[Item]) -> Vec<f64> {
    let ln = |at: usize| {
        scene.suspects[at].weight.ln() + items.iter().map(|item| item.ln[at]).sum::<f64>()
    };
    let all: Vec<f64> = (0..scene.suspects.len()).map(ln).collect();
    let most = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let shares: Vec<f64> = all.iter().map(|ln| (ln - most).exp()).collect();
    let total: f64 = shares.iter().sum();
    shares.into_iter().map(|share| share / total).collect()
}

/// An item from odds of each suspect, kept above what a slip allows.
fn item(label: String, odds: impl Iterator<Item = f64>) -> Item {
    firm(label, SLIP, odds)
}

/// An item with slips of its own rarity.
fn firm(label: String, slip: f64, odds: impl Iterator<Item = f64>) -> Item {
    Item {
        label,
        ln: odds
            .map(|odds| (slip + (1.0 - slip) * odds.max(0.0)).ln())
            .collect(),
    }
}

/// A soft step: 0 well below, 1 well above.
fn above(value: f64, at: f64, width: f64) -> f64 {
    1.0 / (1.0 + (-(value - at) / width).exp())
}
