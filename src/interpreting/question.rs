//! What is asked, and what is answered.

use super::Estimate;
use super::evidence::{Evidence, Measure};
use super::odds::Priors;
use crate::bench::Rig;
use crate::devices::{MotorModel, RelayModel};
use crate::tables::cautions::Caution;

/// What was examined.
#[derive(Debug, Clone, PartialEq)]
pub enum Examined {
    /// A pump with a turning armature, and whether it pumps petrol.
    Pump(Box<MotorModel>, bool),
    /// A relay.
    Relay(Box<RelayModel>),
    /// The rig's own battery.
    Battery,
}

impl Examined {
    /// The kind of part, as the priors call it.
    pub const fn part(&self) -> &'static str {
        match self {
            Self::Pump(..) => "pump",
            Self::Relay(_) => "relay",
            Self::Battery => "battery",
        }
    }

    /// What can be read of it.
    pub fn measures(&self) -> Vec<Measure> {
        use Measure as M;
        match self {
            Self::Pump(motor, _) => {
                let all = Measure::ALL.into_iter().filter(|of| *of != M::PullIn);
                let builds = motor.parameters.ap_per_pa.typical > 0.0;
                all.filter(|of| builds || *of != M::Pressure).collect()
            }
            Self::Relay(_) => {
                vec![
                    M::Volts,
                    M::Amps,
                    M::PostVolts,
                    M::Ohms,
                    M::Millivolts,
                    M::PullIn,
                ]
            }
            Self::Battery => vec![M::Volts, M::PostVolts, M::Amps],
        }
    }
}

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
