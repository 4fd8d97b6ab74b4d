//! One fuse tried with other ratings: what each would do on the same load,
//! starts, stalls and wires. Nothing here is advice to fit one.

use super::case::Case;
use super::{Report, Verdict, report};
use crate::circuit::Circuit;
use crate::circuit::zones::{Written, fuse_name, fuses, set_rating, written};
use crate::quantities::Amps;
use crate::solving::SolveError;

/// A rating with the report of the fuse that has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// The rating.
    pub rating: Amps,
    /// Whether it is more than what is fitted, and more than its label.
    pub above_fitted: bool,
    /// The label's rating, where this one is above it.
    pub above_label: Option<Amps>,
    /// Every check.
    pub report: Report,
}

impl Tried {
    /// The worst verdict.
    pub fn worst(&self) -> Verdict {
        self.report.worst()
    }
}

/// Tries ratings in the place of a fuse or breaker; nothing where the circuit
/// has none of that name.
///
/// # Errors
/// As [`study`](super::study), for a rating its family is not made in too.
pub fn tried(circuit: &Circuit, name: &str, ratings: &[Amps]) -> Result<Vec<Tried>, SolveError> {
    let mut all = fuses(circuit).into_iter();
    let Some(id) = all.find(|id| fuse_name(circuit, *id) == name) else {
        return Ok(Vec::new());
    };
    let Some(Written {
        rating: fitted,
        label,
        ..
    }) = written(circuit, id)
    else {
        return Ok(Vec::new());
    };
    let mut tried = Vec::new();
    for &rating in ratings {
        let mut other = circuit.clone();
        set_rating(&mut other, id, rating);
        let case = Case::of(&other)?;
        let Some(fuse) = case.fuses.iter().find(|fuse| fuse.id == id) else {
            continue;
        };
        tried.push(Tried {
            rating,
            above_fitted: rating > fitted.value,
            above_label: label
                .map(|label| label.value)
                .filter(|label| rating > *label),
            report: report(&case, fuse, &mut Vec::new())?,
        });
    }
    Ok(tried)
}
