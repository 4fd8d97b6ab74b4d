//! The published tables: transcription, lookups, refusals.
//!
//! Expected figures are those of the documents, named beside each, or worked
//! from a formula written out in the test; never from the program itself.

mod ampacity;
mod batteries;
mod cautions;
mod conductors;
mod devices;
mod drops;
mod files;
mod fuses;
mod meters;
mod networks;

/// Asserts that two figures agree within a share of the expected one.
#[track_caller]
fn near(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "found {found}, expected {expected} within {} %",
        share * 100.0
    );
}
