//! From branch parameters and voltages to conductances and injected currents.

use super::branch::Law;
use super::laws::{CurrentLaw, VoltageLaw};
use super::plan::Layout;
use super::symbolic::Stamp;
use super::{
    Charger, ConstantCurrent, ConstantPower, Diode, HeatedConductor, HeatedLink, Lamp, Motor,
    Supply,
};

/// What a lane group's stamps read.
pub(crate) struct Known<'a, const W: usize> {
    /// The plan.
    pub(crate) layout: &'a Layout,
    /// The parameter store.
    pub(crate) parameters: &'a [[f64; W]],
    /// Voltages by position, the reference's zero last.
    pub(crate) voltages: &'a [[f64; W]],
    /// Lanes still moving (1) and lanes that keep their states (0).
    pub(crate) active: &'a [f64; W],
    /// Whether this is the first step.
    pub(crate) is_first: bool,
    /// Nominal load voltage of a flat start's first step.
    pub(crate) flat: Option<f64>,
}

/// State of a branch solved for its current: the line `i = conductance v + i0` last used.
#[derive(Debug, Clone, Copy)]
pub(crate) struct State<const W: usize> {
    /// Slope, siemens.
    pub(crate) conductance: [f64; W],
    /// Current at 0 V, amperes.
    pub(crate) i0: [f64; W],
}

/// Adds the linear branches.
#[inline(always)]
pub(crate) fn stamp_linear<const W: usize>(
    layout: &Layout,
    parameters: &[[f64; W]],
    store: &mut [[f64; W]],
) {
    let range = layout.parameters_of_law[Law::Conductor as usize].clone();
    for (place, [scale, conductance]) in layout
        .symbolic
        .linear
        .iter()
        .zip(parameters[range].as_chunks::<2>().0)
    {
        let (scale, conductance) = (*scale, *conductance);
        let mut sum = store[place.from as usize];
        for lane in 0..W {
            sum[lane] += scale[lane] * conductance[lane];
        }
        store[place.to as usize] = sum;
    }
}

/// Adds the other branches, linearised at the present voltages and states.
///
/// Returns the largest distance (volts) of any state from its law.
#[inline(always)]
pub(crate) fn stamp_step<const W: usize>(
    known: &Known<'_, W>,
    states: &mut [State<W>],
    store: &mut [[f64; W]],
) -> [f64; W] {
    let mut distance = [0.0; W];
    let (conductors, links) =
        states.split_at_mut(known.layout.of_law[Law::HeatedConductor as usize].len());
    stamp_state::<HeatedConductor, 6, W>(
        known,
        Law::HeatedConductor,
        conductors,
        store,
        &mut distance,
    );
    stamp_state::<HeatedLink, 6, W>(known, Law::HeatedLink, links, store, &mut distance);
    stamp_law::<Supply, 4, W>(known, Law::Supply, store);
    stamp_law::<Charger, 4, W>(known, Law::Charger, store);
    stamp_law::<Motor, 11, W>(known, Law::Motor, store);
    stamp_law::<Lamp, 3, W>(known, Law::Lamp, store);
    stamp_law::<ConstantPower, 4, W>(known, Law::ConstantPower, store);
    stamp_law::<ConstantCurrent, 4, W>(known, Law::ConstantCurrent, store);
    stamp_law::<Diode, 4, W>(known, Law::Diode, store);
    distance
}

/// The stamps of one law.
#[inline(always)]
fn stamps(layout: &Layout, law: Law) -> &[Stamp] {
    let linear = layout.of_law[Law::Conductor as usize].len();
    let range = &layout.of_law[law as usize];
    &layout.symbolic.stamps[range.start - linear..range.end - linear]
}

// In the two functions below everything is copied to locals first and written back
// last: only then does the compiler know that no write changes what a later lane reads.

#[inline(always)]
fn stamp_law<L: VoltageLaw<N>, const N: usize, const W: usize>(
    known: &Known<'_, W>,
    law: Law,
    store: &mut [[f64; W]],
) {
    let parameters = &known.parameters[known.layout.parameters_of_law[law as usize].clone()];
    for (stamp, p) in stamps(known.layout, law)
        .iter()
        .zip(parameters.as_chunks::<N>().0)
    {
        let p = *p;
        let mut v = known.across(stamp);
        if let Some(load_v) = known.flat {
            for lane in 0..W {
                v[lane] = L::flat_v(&lane_of(&p, lane), load_v);
            }
        } else if known.is_first {
            for lane in 0..W {
                v[lane] = L::first_v(&lane_of(&p, lane), v[lane]);
            }
        }
        let mut conductance = [0.0; W];
        let mut i0 = [0.0; W];
        for lane in 0..W {
            let (i, slope) = L::current(&lane_of(&p, lane), v[lane]);
            conductance[lane] = p[0][lane] * slope;
            i0[lane] = p[0][lane] * (i - slope * v[lane]);
        }
        put(stamp, store, &conductance, &i0);
    }
}

#[inline(always)]
fn stamp_state<L: CurrentLaw<N>, const N: usize, const W: usize>(
    known: &Known<'_, W>,
    law: Law,
    states: &mut [State<W>],
    store: &mut [[f64; W]],
    distance: &mut [f64; W],
) {
    let parameters = &known.parameters[known.layout.parameters_of_law[law as usize].clone()];
    let chunks = parameters.as_chunks::<N>().0;
    let active = *known.active;
    let mut furthest = *distance;
    for ((stamp, p), state) in stamps(known.layout, law).iter().zip(chunks).zip(states) {
        let p = *p;
        let old = *state;
        let v = across_in_circuit(&p[0], &known.across(stamp));
        let mut new = old;
        let mut conductance = [0.0; W];
        let mut i0 = [0.0; W];
        for lane in 0..W {
            let lane_p = lane_of(&p, lane);
            let i = L::clamp(&lane_p, old.conductance[lane] * v[lane] + old.i0[lane]);
            let (drop, slope) = L::drop(&lane_p, i);
            let off = (v[lane] - drop).abs();
            furthest[lane] = if off > furthest[lane] {
                off
            } else {
                furthest[lane]
            };
            let g = 1.0 / slope;
            let rest = i - g * drop;
            conductance[lane] = p[0][lane] * g;
            i0[lane] = p[0][lane] * rest;
            new.conductance[lane] = if active[lane] > 0.0 {
                g
            } else {
                old.conductance[lane]
            };
            new.i0[lane] = if active[lane] > 0.0 {
                rest
            } else {
                old.i0[lane]
            };
        }
        *state = new;
        put(stamp, store, &conductance, &i0);
    }
    *distance = furthest;
}

impl<const W: usize> Known<'_, W> {
    /// Voltages across a branch.
    #[inline(always)]
    fn across(&self, stamp: &Stamp) -> [f64; W] {
        let from = self.voltages[stamp.from as usize];
        let to = self.voltages[stamp.to as usize];
        let mut v = [0.0; W];
        for lane in 0..W {
            v[lane] = from[lane] - to[lane];
        }
        v
    }
}

/// Voltages at which states settle: a branch out of circuit has none of its own.
#[inline(always)]
pub(crate) fn across_in_circuit<const W: usize>(scale: &[f64; W], across: &[f64; W]) -> [f64; W] {
    let mut v = [0.0; W];
    for lane in 0..W {
        v[lane] = if scale[lane] > 0.0 { across[lane] } else { 0.0 };
    }
    v
}

/// One lane of a parameter set.
#[inline(always)]
pub(crate) fn lane_of<const N: usize, const W: usize>(p: &[[f64; W]; N], lane: usize) -> [f64; N] {
    let mut out = [0.0; N];
    for slot in 0..N {
        out[slot] = p[slot][lane];
    }
    out
}

#[inline(always)]
fn put<const W: usize>(
    stamp: &Stamp,
    store: &mut [[f64; W]],
    conductance: &[f64; W],
    i0: &[f64; W],
) {
    let mut sum = store[stamp.conductance.from as usize];
    let mut leaves = store[stamp.leaves.from as usize];
    let mut enters = store[stamp.enters.from as usize];
    for lane in 0..W {
        sum[lane] += conductance[lane];
        leaves[lane] -= i0[lane];
        enters[lane] += i0[lane];
    }
    store[stamp.conductance.to as usize] = sum;
    store[stamp.leaves.to as usize] = leaves;
    store[stamp.enters.to as usize] = enters;
}
