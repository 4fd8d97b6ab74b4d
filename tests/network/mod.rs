//! The network solver against textbook values, laws of circuits, and a general simulator.

mod against_simulator;
pub(crate) mod harness;
mod random_circuits;
mod refusals;
mod textbook;

/// Asserts that `found` is within `tolerance` of `expected`.
#[track_caller]
pub(crate) fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found:e}, expected {expected:e} within {tolerance:e}"
    );
}
