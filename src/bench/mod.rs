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

mod chance;
mod circuit_loop;
mod expectation;
mod preparation;
mod pulse;
mod pump;
mod relay;
mod rig;
mod screen;
mod steps;
mod subject;

pub use chance::Draws;
pub use circuit_loop::{Feed, Load, Settled, settled};
pub use expectation::{Expectation, expectation, expectations};
pub use preparation::{fuse_words, usual};
pub use rig::{Options, Rig, Usual, air};
pub use screen::document;
pub use steps::{Procedure, Reading, Signature, Step, Unit};
pub use subject::{Kind, Subject, classes};

use crate::network::Failure;
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
    /// A part without bench steps.
    #[error("bench steps are for pumps and relays; `{name}` is a {kind}")]
    NoSteps {
        /// The part.
        name: String,
        /// Its kind, as files write it.
        kind: &'static str,
    },
}

/// The steps for a part on a rig, with the readings to expect.
///
/// # Errors
/// A figure no table has, or a rig without an operating point.
pub fn procedure(subject: &Subject, rig: &Rig, seed: u64) -> Result<Procedure, Refused> {
    let mut draws = Draws::seeded(seed);
    match &subject.kind {
        Kind::Motor(motor) => pump::procedure(subject, motor, rig, &mut draws),
        Kind::Pulse(pump) => pulse::procedure(subject, pump, rig, &mut draws),
        Kind::Relay(relay) => relay::procedure(subject, relay, rig, &mut draws),
    }
}
