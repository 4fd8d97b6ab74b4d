//! Puts a rating into a circuit.

use crate::circuit::zones::FuseId;
use crate::circuit::{Circuit, Device};
use crate::quantities::Amps;

/// Sets the fitted rating of a fuse or breaker, amperes.
pub(super) fn set_rating(circuit: &mut Circuit, id: FuseId, rating_a: f64) {
    let rating = match (&mut circuit.parts[id.part.0].device, id.slot) {
        (Device::Fuse(fuse), _) => &mut fuse.rating,
        (Device::Breaker(breaker), _) => &mut breaker.rating,
        (Device::FuseBlock(block), Some(slot)) => &mut block.slots[slot].fuse.rating,
        _ => return,
    };
    rating.value = Amps::new(rating_a);
}
