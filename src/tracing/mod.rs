//! Why a fuse keeps opening, why a load is dead or weak: candidate faults
//! injected into the circuit, weighed by what was seen.
//!
//! [`trace`] generates every fault that may sit in the circuit, with its place;
//! solves each in every state; weighs it by the evidence; and ranks the next
//! tests by what they tell per minute.
//!
//! # Limits
//! One fault at a time unless none explains what was seen. Steady solutions:
//! starts and inrush are left out, wires have the temperature of the air.
//! Weights and odds of what people notice are judgement.

mod answer;
mod apart;
mod candidates;
mod cause;
mod contacts;
mod evidence;
mod frame;
mod grounds;
mod groups;
mod memory;
mod next;
mod opening;
mod pairs;
mod plain;
mod plan;
mod probes;
mod refine;
mod rest;
mod scene;
mod screen;
mod simulate;
mod sites;
mod suspect;
mod telling;
mod told;
mod warnings;
mod weighing;

pub use answer::{Answer, CauseOdds, NextTest, OutcomeView, Tracer, trace};
pub use cause::Cause;
pub use evidence::{
    Before, Complaint, Done, Element, Evidence, Figure, Quantity, SignKind, Spot, TestKind, When,
};

pub use next::Probe;
pub use plan::Plan;
pub use rest::with_rest;
pub use screen::document as trace_document;
pub use weighing::Trial;

use crate::solving::SolveError;
use crate::tables::OutOfTable;

/// Why nothing could be traced.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TraceError {
    /// The circuit makes no network.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// A figure no table has.
    #[error(transparent)]
    Table(#[from] OutOfTable),
}
