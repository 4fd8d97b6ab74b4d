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

mod aim;
mod battery;
mod charger;
mod charger_output;
mod charger_trial;
mod charger_words;
mod charging_balance;
mod coil;
mod contact;
mod contact_trial;
mod contact_words;
mod diode;
mod estimates;
mod evidence;
mod examined;
mod family;
mod fault;
mod fuse_rating;
mod joint;
mod kernel;
mod load;
mod measure;
mod motor_words;
mod motors;
mod next;
mod odds;
mod ohms;
mod ohms_words;
mod pulse;
mod pump;
mod question;
mod ranges;
mod relay;
mod relay_trial;
mod relay_words;
mod screen;
mod sentences;
mod short;
mod slip;
mod specimen;
mod stuck;
mod suits;
mod supply;
mod surface;
mod verdict;
mod words;

pub use coil::{CoilPart, Tried};
pub use contact::{ContactPart, Sort};
pub use estimates::Estimate;
pub use evidence::{Evidence, Run, RunKind};
pub use examined::{Examined, NotExamined};
pub use measure::{Measure, OPEN_OHM, OPEN_V};
pub use odds::{NONE_OF_THESE, Priors, PriorsError};
pub use ohms::{DIGIT_OHM, HARNESS, OhmsQuestion, interpret_ohms};
pub use question::{Interpretation, Question, Verdict};
pub use screen::document;
pub use specimen::SPECIMENS;
pub use suits::{
    Held, NotKnown, Replacement, Suits, Unsuitable, document as suits_document, suits,
};
pub use verdict::interpret;
