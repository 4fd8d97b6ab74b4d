//! One fuse tried with other ratings: what each would do on the same load,
//! starts, stalls and wires. Nothing here is advice to fit one.

use super::case::Case;
use super::{Report, Verdict, report};
use crate::circuit::zones::{FuseId, fuse_name, fuses};
use crate::circuit::{Circuit, Device};
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
    let (fitted, label) = rating_of(circuit, id);
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
            above_fitted: rating > fitted,
            above_label: label.filter(|label| rating > *label),
            report: report(&case, fuse, &mut Vec::new())?,
        });
    }
    Ok(tried)
}

/// What is fitted, and what its label says.
fn rating_of(circuit: &Circuit, id: FuseId) -> (Amps, Option<Amps>) {
    let (rating, label) = match (&circuit.part(id.part).device, id.slot) {
        (Device::Fuse(fuse), _) => (fuse.rating, fuse.label),
        (Device::Breaker(breaker), _) => (breaker.rating, breaker.label),
        (Device::FuseBlock(block), Some(slot)) => {
            let fuse = &block.slots[slot].fuse;
            (fuse.rating, fuse.label)
        }
        _ => return (Amps::new(0.0), None),
    };
    (rating.value, label.map(|given| given.value))
}

fn set_rating(circuit: &mut Circuit, id: FuseId, rating: Amps) {
    let part = &mut circuit.parts[id.part.0];
    match (&mut part.device, id.slot) {
        (Device::Fuse(fuse), _) => fuse.rating.value = rating,
        (Device::Breaker(breaker), _) => breaker.rating.value = rating,
        (Device::FuseBlock(block), Some(slot)) => block.slots[slot].fuse.rating.value = rating,
        _ => {}
    }
}
