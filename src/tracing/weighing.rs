//! Evidence held against every suspect.
//!
//! Each piece of evidence gives every suspect the odds of being seen if that
//! suspect were the fault. People err: nothing they say has odds of nought.

mod complaint;
mod figures;
mod lamps;
mod notices;
mod outcomes;
mod words;

use super::evidence::Evidence;
use super::scene::Scene;

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
    let mut items = complaint::items(scene, evidence);
    items.extend(notices::items(scene, evidence));
    let before = odds(scene, &items);
    // Only what is still a suspect is simulated again for tests.
    let most = before.iter().copied().fold(0.0, f64::max);
    let live: Vec<usize> = (0..before.len())
        .filter(|at| before[*at] > FAINT * most)
        .collect();
    for figure in &evidence.figures {
        items.push(figures::item(scene, evidence, figure, &live));
    }
    for done in &evidence.tests {
        items.extend(outcomes::item_done(scene, evidence, done, &live));
    }
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
