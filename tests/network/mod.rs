//! The network solver against textbook values, laws of circuits, and a general simulator.

mod against_simulator;
pub(crate) mod harness;
