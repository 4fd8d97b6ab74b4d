//! What a set of readings says about a part that was bench-tested.
//!
//! Every condition of the part is simulated in the rig with drawn tolerances and
//! severities; the likelihood of the readings under the meter's error and the
//! model's own spread (`kernel`) times the odds of the table `condition-priors`
//! gives the odds of each. Readings that no condition explains fall to
//! `none-of-these`, whose likelihood is even over everything that can be shown.
//!
//! # Limits
//! One fault at a time. Odds are worth as much as the priors and ranges behind
//! them, which are judgement; a test holds them against another generator.
//!
//! # Source
//! Bayes' rule by importance sampling; textbook statistics.

mod battery;
mod estimates;
mod evidence;
mod fault;
mod kernel;
mod next;
mod odds;
mod ohms;
mod pump;
mod question;
mod relay;
mod screen;
mod sentences;
mod slip;
mod specimen;
mod suits;
mod verdict;
mod words;

pub use estimates::Estimate;
pub use evidence::{Evidence, Measure, OPEN_OHM, Run, RunKind};
pub use odds::{NONE_OF_THESE, Priors, PriorsError};
pub use ohms::{HARNESS, OhmsQuestion, interpret_ohms};
pub use question::{Examined, Interpretation, Question, Verdict};
pub use screen::document;
pub use specimen::SPECIMENS;
pub use suits::{
    Held, NotKnown, Replacement, Suits, Unsuitable, document as suits_document, suits,
};
pub use verdict::interpret;
