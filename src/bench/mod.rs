//! Bench tests: what to do with a part on the bench, in which order, and what
//! the meter should show on this very rig.
//!
//! [`procedure`] takes a [`Subject`] (a part of a circuit or a class alone)
//! and a [`Rig`] (battery, leads, inline fuse, meter), and works the expected
//! readings out: the part's model stands in the rig's loop, every range is
//! drawn anew for each of some thousand specimens, the loop is solved, and the
//! meter's own error is added. A reading's range holds nine in ten of them.
//!
//! # Limits
//! Steady readings after the first second of at most ten; no inrush, no
//! warming. Ranges are drawn as triangles between their ends with the peak at
//! the typical figure, each on its own (judgement).

mod aboard;
mod assembly;
mod battery;
mod bend;
mod chance;
mod charging;
mod circuit_loop;
mod consumers;
mod drive;
mod engine_words;
mod expectation;
mod fuses;
mod harness;
mod heavy;
mod in_circuit;
mod joints;
mod lamp;
mod load;
mod part;
mod plain_class;
mod preparation;
mod primary;
mod pulse;
mod pump;
mod relay;
mod rig;
mod screen;
mod shift;
mod solenoid;
mod starter;
mod steps;
mod subject;
mod switch;
mod taking;

pub use aboard::{Aboard, LOAD_TIMES, Thevenin};
pub use assembly::fits_lead;
pub use bend::Bend;
pub use chance::Draws;
pub use circuit_loop::{Feed, Load, Settled, settled};
pub use expectation::{Expectation, expectation, expectations, free_current};
pub use harness::procedure as harness;
pub use harness::{FILM, Standing, ground, ohms_between};
pub use lamp::{lamp_for, lit};
pub use part::{
    BatteryPart, ChargerPart, Cranks, DrivePart, Fastened, FusePart, PlugPart, PrimaryPart,
    SolenoidPart, SwitchPart,
};
pub use plain_class::PLAIN_CLASSES;
pub use preparation::{fuse_opens, fuse_words, small_fuse, usual};
pub use pump::usual_pressure;
pub use rig::{Options, Rig, Usual, air};
pub use screen::document;
pub use steps::{Jack, Logged, Procedure, Quantity, Reading, Run, Signature, Step, Unit};
pub use subject::{Kind, Subject, classes};
pub use taking::testable;

use crate::network::{Failure, SetError};
use crate::quantities::WireSize;
use crate::solving::SolveError;
use crate::tables::OutOfTable;

/// Share of sound parts, read with a sound meter, whose reading lies inside a range.
pub const COVERAGE: f64 = 0.9;
/// Specimens drawn for each reading.
pub const SPECIMENS: usize = 4096;
/// Seed of the draws where none is asked for.
pub const SEED: u64 = 1;

/// Why no procedure can be given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refused {
    /// A figure no table has.
    #[error(transparent)]
    OutOfTable(#[from] OutOfTable),
    /// The rig's loop has no operating point.
    #[error("the rig has no operating point: {0}")]
    Unsolved(#[from] Failure),
    /// A figure of the loop that its law does not allow.
    #[error("a figure of rig or part is out of range: {0}")]
    Figure(#[from] SetError),
    /// Jump cables that a starter would burn.
    #[error(
        "{given} is too thin for a starter's cables, which nothing guards: {least} at least (judgement)"
    )]
    ThinCables {
        /// The size given.
        given: WireSize,
        /// The thinnest that is let carry a starter.
        least: WireSize,
    },
    /// A resistance of the ampere jack where a clamp reads the current.
    #[error(
        "`--meter-resistance` is that of the ampere jack, and a clamp adds none: add `--meter jack`, or leave it out"
    )]
    ClampResistance,
    /// A part that a state does not feed.
    #[error("`{part}` gets no volts in the state `{state}`; it is fed in: {fed}")]
    NotFed {
        /// The part.
        part: String,
        /// The state.
        state: String,
        /// The states that feed it.
        fed: String,
    },
    /// A circuit that gives no feed.
    #[error("the circuit gives no feed: {0}")]
    NoFeed(String),
    /// Wiring that makes no network.
    #[error("the wiring makes no network: {0}")]
    Wiring(String),
    /// A fuse the circuit does not have.
    #[error("no fuse is called `{name}`; this circuit has: {known}")]
    NoFuse {
        /// What was asked for.
        name: String,
        /// What there is.
        known: String,
    },
    /// A rating no fuse or breaker of its family has.
    #[error("no {family} is made for {}; they are made in {known} A", crate::quantities::print::nominal(*.rating))]
    NotMade {
        /// The family.
        family: String,
        /// The rating asked for.
        rating: crate::quantities::Amps,
        /// The ratings there are.
        known: String,
    },
    /// A part without bench steps.
    #[error(
        "no bench steps for the {kind} `{name}`: a module's outputs cannot be judged from outside; test what hangs on them, then swap the module for one known to be good"
    )]
    NoSteps {
        /// The part.
        name: String,
        /// Its kind, as files write it.
        kind: &'static str,
    },
}

impl From<SolveError> for Refused {
    fn from(why: SolveError) -> Self {
        match why {
            SolveError::Table(why) => Self::OutOfTable(why),
            SolveError::Plan(why) => Self::Wiring(why.to_string()),
        }
    }
}

/// The steps for a part on a rig, with the readings to expect.
///
/// # Errors
/// A figure no table has, or a rig without an operating point.
pub fn procedure(subject: &Subject, rig: &Rig, seed: u64) -> Result<Procedure, Refused> {
    let mut draws = Draws::seeded(seed);
    let found = match &subject.kind {
        Kind::Motor(motor) => pump::procedure(subject, motor, rig, &mut draws),
        Kind::Pulse(pump) => pulse::procedure(subject, pump, rig, &mut draws),
        Kind::Relay(relay) => relay::procedure(subject, relay, rig, &mut draws),
        Kind::Drive(part) => drive::procedure(subject, part, rig, &mut draws),
        Kind::Starter(motor) => starter::procedure(subject, motor, rig, &mut draws),
        Kind::Solenoid(part) => solenoid::procedure(subject, part, rig, &mut draws),
        Kind::Primary(part) => primary::procedure(subject, part, rig, &mut draws),
        Kind::Load(model) => load::procedure(subject, model, rig, &mut draws),
        Kind::Charger(part) => charging::procedure(subject, part, rig, &mut draws),
        Kind::Fuses(fuses) => fuses::procedure(subject, fuses, rig, &mut draws),
        Kind::Breaker(model) => fuses::breaker(subject, model, rig, &mut draws),
        Kind::Switch(part) => switch::procedure(subject, part, rig, &mut draws),
        Kind::Battery(part) => battery::procedure(subject, part, rig, &mut draws),
        Kind::Diode(model) => joints::diode(subject, model, rig, &mut draws),
        Kind::Plug(part) => joints::plug(subject, part, rig, &mut draws),
        Kind::Stud(wires) => joints::stud(subject, wires, rig, &mut draws),
    };
    Ok(engine_words::fitting(found?, rig.engine))
}
