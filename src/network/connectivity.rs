//! Which nodes hang together with the reference through branches in circuit.
//!
//! The elimination pattern played through with one bit a lane instead of numbers:
//! a conductance is there or not, so the answer is exact.

use super::branch::Law;
use super::plan::Layout;
use super::symbolic::BIN;

/// One bit a lane for every position.
#[derive(Debug, Clone, Default)]
pub(crate) struct Reach {
    /// Joined to the reference.
    pub(crate) joined: Vec<u8>,
    /// Eliminated last of a part that is not joined to the reference.
    pub(crate) is_root: Vec<u8>,
}

/// Follows the branches whose scale is above zero and whose law can carry current.
pub(crate) fn follow<const W: usize>(layout: &Layout, parameters: &[[f64; W]]) -> Reach {
    let symbolic = &layout.symbolic;
    let pivots = layout.pivots;
    let mut masks = vec![0_u8; pivots + symbolic.entries.len()];
    for at in 0..layout.sorted.len() {
        if let Some(slot) = slot_of(layout, at) {
            masks[slot] |= lanes_in_circuit(layout, parameters, at);
        }
    }
    let mut is_root = vec![0; pivots + 1];
    for (position, pivot) in symbolic.pivots.iter().enumerate() {
        let base = if position < layout.statics {
            symbolic.static_at
        } else {
            symbolic.work_at
        };
        let first = pivot.first_entry as usize;
        let count = pivot.count as usize;
        let mut joined = masks[position];
        let mut updates = symbolic.updates[pivot.first_update as usize..].iter();
        for at in 0..count {
            let mask = masks[pivots + first + at];
            joined |= mask;
            let later = symbolic.entries[first + at].row as usize;
            masks[later] |= mask & masks[position];
            for other in at + 1..count {
                if let Some(update) = updates.next() {
                    masks[update.to as usize - base] |= mask & masks[pivots + first + other];
                }
            }
        }
        is_root[position] = !joined;
    }
    let mut joined = vec![u8::MAX; pivots + 1];
    for (position, pivot) in symbolic.pivots.iter().enumerate().rev() {
        let first = pivot.first_entry as usize;
        joined[position] =
            (first..first + pivot.count as usize).fold(masks[position], |mask, entry| {
                mask | masks[pivots + entry] & joined[symbolic.entries[entry].row as usize]
            });
    }
    Reach { joined, is_root }
}

/// Index of a branch's conductance: its position if it ends at the reference,
/// else the number of pivots plus its entry; none where both ends are one node.
pub(crate) fn slot_of(layout: &Layout, sorted: usize) -> Option<usize> {
    let symbolic = &layout.symbolic;
    let linear = symbolic.linear.len();
    let (place, base) = match symbolic.linear.get(sorted) {
        Some(place) => (place.to, symbolic.static_at),
        None => (
            symbolic.stamps[sorted - linear].conductance.to,
            symbolic.work_at,
        ),
    };
    (place != BIN).then(|| place as usize - base)
}

fn lanes_in_circuit<const W: usize>(layout: &Layout, parameters: &[[f64; W]], sorted: usize) -> u8 {
    let first = layout.parameters_at(sorted);
    // The stored parameter without which the law carries nothing.
    let key = match layout.sorted[sorted].law {
        Law::Conductor | Law::Charger | Law::ConstantPower | Law::ConstantCurrent => 1,
        Law::Lamp
        | Law::HeatedConductor
        | Law::HeatedLink
        | Law::Supply
        | Law::Motor
        | Law::Diode => 2,
    };
    (0..W).fold(0, |mask, lane| {
        let is_in = parameters[first][lane] > 0.0 && parameters[first + key][lane] != 0.0;
        mask | u8::from(is_in) << lane
    })
}
