//! Whether a fuse suits a wire whose size nobody read.
//!
//! What such a wire is taken for goes by the fuse before it, so it can say nothing
//! of whether that very fuse suits it: a larger fuse would seem to thicken the
//! wire. The fuse is held against the thinnest wire found behind any fuse.

use super::judge::LEGAL_SHARE;
use crate::circuit::{Circuit, FuseBasis};
use crate::devices::wire_of_size;
use crate::quantities::WireSize;
use crate::tables::unwritten::{HangsOn, thinnest_behind_a_fuse};

/// AWG sizes from thin to thick; 0 is 1/0 and -3 is 4/0.
const AWG: [i32; 15] = [20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3];

/// What a wire would let stand before it, were it of a size, amperes: by the
/// chosen basis.
fn most_a(circuit: &Circuit, wire: usize, size: WireSize) -> Option<f64> {
    let model = wire_of_size(circuit, &circuit.wires[wire], size).ok()?;
    let allowed = model.allowed.ok()?;
    Some(match circuit.limits.fuse_basis {
        FuseBasis::Cfr150 => LEGAL_SHARE * allowed.table.value.si(),
        FuseBasis::Iso100 | FuseBasis::LoadAnd100 => allowed.corrected.si(),
    })
}

/// Whether it cannot be told that a fuse of a rating, amperes, suits a wire: its
/// size was guessed by a fuse, and the thinnest it may be does not bear that one.
pub fn is_guessed(circuit: &Circuit, wire: usize, rating_a: f64) -> bool {
    let hangs_on = circuit.wires[wire].unwritten.size;
    if !matches!(hangs_on, Some(HangsOn::Fuse(_))) {
        return false;
    }
    let most = thinnest_behind_a_fuse().ok();
    let most = most.and_then(|size| most_a(circuit, wire, size));
    most.is_none_or(|most| rating_a > most)
}

/// The thinnest AWG size that bears a fuse of a rating, amperes, where a wire lies.
pub fn least_for(circuit: &Circuit, wire: usize, rating_a: f64) -> Option<WireSize> {
    let sizes = AWG.into_iter().map(WireSize::Awg);
    let mut bears =
        sizes.filter(|size| most_a(circuit, wire, *size).is_some_and(|most_a| rating_a <= most_a));
    bears.next()
}
