//! Star-mesh elimination of a lane group, and the way back.
//!
//! Pivot with conductance `g0` to the reference, `c_i` to later nodes and
//! injected current `b`: `l_i = c_i / (g0 + sum c)`, then `g0_i += l_i g0`,
//! `b_i += l_i b`, `c_ij += l_i c_j`; back: `v = b / (g0 + sum c) + sum l_i v_i`.
//! A pivot without conductance stays at 0 V: it is the local reference of a part
//! joined to nothing else.

use super::plan::Layout;
use super::symbolic::{Entry, Move, Pivot};

/// A pivot row of up to this many entries is held in registers.
const MOST_UNROLLED: usize = 4;

/// Eliminates the static pivots, injected currents left alone; returns the
/// smallest pivot sum of each lane.
#[inline(always)]
pub(crate) fn eliminate_static<const W: usize>(
    layout: &Layout,
    store: &mut [[f64; W]],
) -> [f64; W] {
    let at = layout.symbolic.static_at;
    let mut lowest = [f64::INFINITY; W];
    for (position, pivot) in layout.symbolic.pivots[..layout.statics].iter().enumerate() {
        eliminate::<W, false, true>(layout, store, position, pivot, at, &mut lowest);
    }
    lowest
}

/// Eliminates the other pivots; returns the smallest pivot sum of each lane,
/// `lowest` (that of the static pivots) included.
/// `KEEP` keeps the reciprocal sums for later right-hand sides.
#[inline(always)]
pub(crate) fn eliminate_step<const W: usize, const KEEP: bool>(
    layout: &Layout,
    store: &mut [[f64; W]],
    mut lowest: [f64; W],
) -> [f64; W] {
    let at = layout.symbolic.work_at;
    for (position, pivot) in layout
        .symbolic
        .pivots
        .iter()
        .enumerate()
        .skip(layout.statics)
    {
        eliminate::<W, true, KEEP>(layout, store, position, pivot, at, &mut lowest);
    }
    lowest
}

#[inline(always)]
fn eliminate<const W: usize, const INJECTED: bool, const KEEP: bool>(
    layout: &Layout,
    store: &mut [[f64; W]],
    position: usize,
    pivot: &Pivot,
    at: usize,
    lowest: &mut [f64; W],
) {
    let count = pivot.count as usize;
    let first = pivot.first_entry as usize;
    let first_update = pivot.first_update as usize;
    let step = Step {
        entries: &layout.symbolic.entries[first..first + count],
        updates: &layout.symbolic.updates
            [first_update..first_update + count * count.saturating_sub(1) / 2],
        pivot,
        conductances_at: at,
        rows_at: at + layout.pivots + first,
        injected_at: layout.symbolic.injected_at,
        position,
    };
    match count {
        0 => step.unrolled::<W, 0, INJECTED, KEEP>(store, lowest),
        1 => step.unrolled::<W, 1, INJECTED, KEEP>(store, lowest),
        2 => step.unrolled::<W, 2, INJECTED, KEEP>(store, lowest),
        3 => step.unrolled::<W, 3, INJECTED, KEEP>(store, lowest),
        MOST_UNROLLED => step.unrolled::<W, MOST_UNROLLED, INJECTED, KEEP>(store, lowest),
        _ => step.looped::<W, INJECTED, KEEP>(store, lowest),
    }
}

/// One pivot with its slices of the plan.
struct Step<'a> {
    entries: &'a [Entry],
    updates: &'a [Move],
    pivot: &'a Pivot,
    conductances_at: usize,
    rows_at: usize,
    injected_at: usize,
    position: usize,
}

impl Step<'_> {
    #[inline(always)]
    fn unrolled<const W: usize, const C: usize, const INJECTED: bool, const KEEP: bool>(
        &self,
        store: &mut [[f64; W]],
        lowest: &mut [f64; W],
    ) {
        let Some(entries) = self.entries.first_chunk::<C>() else {
            return;
        };
        let to_reference = store[self.pivot.to_reference as usize];
        let mut row = [[0.0; W]; C];
        let mut sum = to_reference;
        for at in 0..C {
            row[at] = store[entries[at].conductance as usize];
            sum = add(&sum, &row[at]);
        }
        let inverse = invert(&sum, lowest);
        let injected = if INJECTED {
            store[self.pivot.injected as usize]
        } else {
            [0.0; W]
        };
        let mut share = [[0.0; W]; C];
        for at in 0..C {
            share[at] = multiply(&row[at], &inverse);
            self.pass_on::<W, INJECTED>(store, &entries[at], &share[at], &to_reference, &injected);
        }
        let mut updates = self.updates.iter();
        for at in 0..C {
            for other in at + 1..C {
                if let Some(update) = updates.next() {
                    store[update.to as usize] =
                        fused(&store[update.from as usize], &share[at], &row[other]);
                }
            }
        }
        for at in 0..C {
            store[self.rows_at + at] = share[at];
        }
        self.finish::<W, INJECTED, KEEP>(store, &injected, &inverse);
    }

    #[inline(always)]
    fn looped<const W: usize, const INJECTED: bool, const KEEP: bool>(
        &self,
        store: &mut [[f64; W]],
        lowest: &mut [f64; W],
    ) {
        let to_reference = store[self.pivot.to_reference as usize];
        let mut sum = to_reference;
        for entry in self.entries {
            sum = add(&sum, &store[entry.conductance as usize]);
        }
        let inverse = invert(&sum, lowest);
        let injected = if INJECTED {
            store[self.pivot.injected as usize]
        } else {
            [0.0; W]
        };
        let mut updates = self.updates.iter();
        for (at, entry) in self.entries.iter().enumerate() {
            let share = multiply(&store[entry.conductance as usize], &inverse);
            self.pass_on::<W, INJECTED>(store, entry, &share, &to_reference, &injected);
            for (other, update) in self.entries[at + 1..].iter().zip(&mut updates) {
                let conductance = store[other.conductance as usize];
                store[update.to as usize] =
                    fused(&store[update.from as usize], &share, &conductance);
            }
            store[self.rows_at + at] = share;
        }
        self.finish::<W, INJECTED, KEEP>(store, &injected, &inverse);
    }

    /// Gives a later node its share of what hung on the pivot.
    #[inline(always)]
    fn pass_on<const W: usize, const INJECTED: bool>(
        &self,
        store: &mut [[f64; W]],
        entry: &Entry,
        share: &[f64; W],
        to_reference: &[f64; W],
        injected: &[f64; W],
    ) {
        let later = entry.row as usize;
        store[self.conductances_at + later] =
            fused(&store[entry.to_reference as usize], share, to_reference);
        if INJECTED {
            store[self.injected_at + later] =
                fused(&store[entry.injected as usize], share, injected);
        }
    }

    #[inline(always)]
    fn finish<const W: usize, const INJECTED: bool, const KEEP: bool>(
        &self,
        store: &mut [[f64; W]],
        injected: &[f64; W],
        inverse: &[f64; W],
    ) {
        if INJECTED {
            store[self.injected_at + self.position] = multiply(injected, inverse);
        }
        if KEEP {
            store[self.conductances_at + self.position] = *inverse;
        }
    }
}

#[inline(always)]
fn add<const W: usize>(a: &[f64; W], b: &[f64; W]) -> [f64; W] {
    let mut out = [0.0; W];
    for lane in 0..W {
        out[lane] = a[lane] + b[lane];
    }
    out
}

#[inline(always)]
fn multiply<const W: usize>(a: &[f64; W], b: &[f64; W]) -> [f64; W] {
    let mut out = [0.0; W];
    for lane in 0..W {
        out[lane] = a[lane] * b[lane];
    }
    out
}

/// `a + b c`, rounded twice.
#[inline(always)]
fn fused<const W: usize>(a: &[f64; W], b: &[f64; W], c: &[f64; W]) -> [f64; W] {
    let mut out = [0.0; W];
    for lane in 0..W {
        out[lane] = a[lane] + b[lane] * c[lane];
    }
    out
}

/// Reciprocal of a pivot sum, zero where there is no positive conductance.
#[inline(always)]
fn invert<const W: usize>(sum: &[f64; W], lowest: &mut [f64; W]) -> [f64; W] {
    let mut out = [0.0; W];
    for lane in 0..W {
        let inverse = 1.0 / sum[lane];
        out[lane] = if sum[lane] > 0.0 { inverse } else { 0.0 };
        lowest[lane] = if sum[lane] < lowest[lane] {
            sum[lane]
        } else {
            lowest[lane]
        };
    }
    out
}

/// Voltages of the pivots solved at every step; returns the largest change of each lane.
/// Lanes with `active` zero keep theirs.
#[inline(always)]
pub(crate) fn back_substitute<const W: usize>(
    layout: &Layout,
    store: &[[f64; W]],
    active: &[f64; W],
    voltages: &mut [[f64; W]],
) -> [f64; W] {
    let symbolic = &layout.symbolic;
    let active = *active;
    let mut step = [0.0; W];
    for (position, pivot) in symbolic
        .pivots
        .iter()
        .enumerate()
        .skip(layout.statics)
        .rev()
    {
        let mut v = store[symbolic.injected_at + position];
        let first = pivot.first_entry as usize;
        let entries = &symbolic.entries[first..first + pivot.count as usize];
        let shares = &store[symbolic.work_at + layout.pivots + first..][..entries.len()];
        for (entry, share) in entries.iter().zip(shares) {
            v = fused(&v, share, &voltages[entry.row as usize]);
        }
        let old = voltages[position];
        for lane in 0..W {
            let change = (v[lane] - old[lane]).abs();
            step[lane] = if change > step[lane] {
                change
            } else {
                step[lane]
            };
            v[lane] = if active[lane] > 0.0 {
                v[lane]
            } else {
                old[lane]
            };
        }
        voltages[position] = v;
    }
    step
}

/// Voltages of the pivots eliminated once per solve.
#[inline(always)]
pub(crate) fn back_substitute_static<const W: usize>(
    layout: &Layout,
    store: &[[f64; W]],
    voltages: &mut [[f64; W]],
) {
    let symbolic = &layout.symbolic;
    for (position, pivot) in symbolic.pivots[..layout.statics].iter().enumerate().rev() {
        let mut v = [0.0; W];
        let first = pivot.first_entry as usize;
        let entries = &symbolic.entries[first..first + pivot.count as usize];
        let shares = &store[symbolic.static_at + layout.pivots + first..][..entries.len()];
        for (entry, share) in entries.iter().zip(shares) {
            v = fused(&v, share, &voltages[entry.row as usize]);
        }
        voltages[position] = v;
    }
}
