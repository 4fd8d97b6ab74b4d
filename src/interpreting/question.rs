//! What is asked, and what is answered.

use super::evidence::Evidence;
use super::odds::Priors;
use super::{Estimate, Examined};
use crate::bench::Rig;
use crate::tables::cautions::Caution;

/// A part, its rig, and what was read.
#[derive(Debug, Clone)]
pub struct Question {
    /// The part in words.
    pub title: String,
    /// What it is.
    pub examined: Examined,
    /// The rig.
    pub rig: Rig,
    /// The readings.
    pub evidence: Evidence,
    /// Odds before anything was read.
    pub priors: Priors,
    /// Seed of the draws.
    pub seed: u64,
}

/// One condition with its odds.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The condition's word.
    pub condition: &'static str,
    /// What that is, in a few words.
    pub means: &'static str,
    /// Its odds; all of them add up to 1.
    pub probability: f64,
    /// What it would show, beside what was read.
    pub because: String,
}

/// What the readings say.
#[derive(Debug, Clone, PartialEq)]
pub struct Interpretation {
    /// The part in words.
    pub title: String,
    /// The rig in words, or the boat's feed.
    pub rig: String,
    /// Whether it was read in the boat.
    pub in_boat: bool,
    /// Every caution that applies.
    pub cautions: Vec<Caution>,
    /// The answer in one sentence.
    pub statement: String,
    /// All conditions, likeliest first.
    pub conditions: Vec<Verdict>,
    /// Conditions these readings do not tell from the likeliest.
    pub twins: Vec<&'static str>,
    /// Figures worked out.
    pub estimates: Vec<Estimate>,
    /// Why the readings cannot be, with the likeliest slip.
    pub impossible: Option<String>,
    /// The reading that would separate the conditions best.
    pub next_reading: Option<String>,
    /// More to know.
    pub notes: Vec<String>,
    /// Seed of the draws.
    pub seed: u64,
}
