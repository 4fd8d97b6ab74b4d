//! Every suspect of a circuit, generated from its parts and wires.
//!
//! Each cause has its weight from the table; it is shared among the places
//! where the cause may sit, and among its degrees there.

mod electrical;
mod fuses;
mod loads;
mod wires;

use super::cause::Cause;
use super::evidence::Complaint;
use super::frame::Frame;
use super::suspect::{Site, Suspect};
use crate::tables::OutOfTable;
use crate::tables::tracing::{WeightColumn, cause_weights};
pub(super) use electrical::reversal;
use std::collections::BTreeMap;
pub(super) use wires::{joint_at, short_at};

/// Collects suspects.
pub(super) struct Gathering<'f, 'c> {
    frame: &'f Frame<'c>,
    complaint: Complaint,
    suspects: Vec<Suspect>,
}

impl Gathering<'_, '_> {
    fn push(&mut self, suspect: Suspect) {
        self.suspects.push(suspect);
    }

    fn opens(&self) -> bool {
        self.complaint == Complaint::FuseOpens
    }
}

/// The column of weights of a complaint.
pub(super) const fn column(complaint: Complaint) -> WeightColumn {
    match complaint {
        Complaint::FuseOpens => WeightColumn::FuseOpens,
        Complaint::LoadDead | Complaint::LoadWeak | Complaint::DiedTogether => {
            WeightColumn::DeadOrWeak
        }
        Complaint::Drain => WeightColumn::Drain,
        Complaint::Reversed => WeightColumn::Reversed,
    }
}

/// All suspects of a complaint, weights adding up to 1; `own` weights of causes
/// take the place of the table's.
///
/// # Errors
/// When a table cannot be read.
pub(super) fn suspects(
    frame: &Frame<'_>,
    complaint: Complaint,
    own: &[(Cause, f64)],
) -> Result<Vec<Suspect>, OutOfTable> {
    let mut gathering = Gathering {
        frame,
        complaint,
        suspects: Vec::new(),
    };
    wires::gather(&mut gathering);
    loads::gather(&mut gathering);
    electrical::gather(&mut gathering);
    fuses::gather(&mut gathering);
    let mut weights: BTreeMap<Cause, f64> = BTreeMap::new();
    for (word, weight) in cause_weights(column(complaint))?.value {
        if let Some(cause) = Cause::from_word(word) {
            weights.insert(cause, weight);
        }
    }
    weights.extend(own.iter().copied());
    Ok(shared(gathering.suspects, &weights))
}

/// Shares each cause's weight among its suspects.
fn shared(mut suspects: Vec<Suspect>, weights: &BTreeMap<Cause, f64>) -> Vec<Suspect> {
    let mut totals: BTreeMap<Cause, f64> = BTreeMap::new();
    for suspect in &suspects {
        *totals.entry(suspect.cause).or_default() += suspect.weight;
    }
    for suspect in &mut suspects {
        let total = totals[&suspect.cause].max(f64::MIN_POSITIVE);
        let weight = weights.get(&suspect.cause).copied().unwrap_or(0.0);
        suspect.weight *= weight / total;
    }
    suspects.retain(|suspect| suspect.weight > 0.0);
    let all: f64 = suspects.iter().map(|suspect| suspect.weight).sum();
    for suspect in &mut suspects {
        suspect.weight /= all;
    }
    suspects
}

/// Degrees of a bad joint, ohms, with their shares (judgement): from what a
/// heavy load feels to what only a meter looks through.
const JOINTS: [(f64, f64); 8] = [
    (0.03, 0.1),
    (0.1, 0.15),
    (0.3, 0.2),
    (1.0, 0.2),
    (4.0, 0.15),
    (20.0, 0.1),
    (300.0, 0.06),
    // A green film: a meter sees through it, nothing else does.
    (5e5, 0.04),
];

/// Degrees of a short that its place on the wire decides too, ohms, with their
/// shares (judgement).
const BOLTED: [(f64, f64); 2] = [(0.01, 0.55), (0.08, 0.17)];

/// Degrees of a short with ohms well above a wire's: where it sits hardly
/// matters, but whether a fuse holds goes by them.
const RESISTIVE: [(f64, f64); 4] = [(0.25, 0.1), (0.6, 0.08), (1.3, 0.05), (2.6, 0.05)];

/// Ohms of what is as good as open.
const OPEN_OHM: f64 = 1e7;

fn site_of(part: crate::circuit::PartId) -> Site {
    Site::Part(part)
}
