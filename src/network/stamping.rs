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
        let old = store[place.from as usize];
        let new = &mut store[place.to as usize];
        for lane in 0..W {
            new[lane] = old[lane] + scale[lane] * conductance[lane];
        }
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
        let from = &known.voltages[stamp.from as usize];
        let to = &known.voltages[stamp.to as usize];
        let mut v = [0.0; W];
        for lane in 0..W {
            v[lane] = match known.flat {
                Some(load_v) => L::flat_v(&lane_of(p, lane), load_v),
                None => from[lane] - to[lane],
            };
        }
        let mut conductance = [0.0; W];
        let mut i0 = [0.0; W];
        for lane in 0..W {
            let (i, slope) = L::current(&lane_of(p, lane), v[lane]);
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
    for ((stamp, p), state) in stamps(known.layout, law).iter().zip(chunks).zip(states) {
        let from = &known.voltages[stamp.from as usize];
        let to = &known.voltages[stamp.to as usize];
        let mut conductance = [0.0; W];
        let mut i0 = [0.0; W];
        for lane in 0..W {
            let lane_p = lane_of(p, lane);
            // A branch out of circuit has no voltage of its own to settle at.
            let v = if p[0][lane] > 0.0 {
                from[lane] - to[lane]
            } else {
                0.0
            };
            let i = L::clamp(&lane_p, state.conductance[lane] * v + state.i0[lane]);
            let (drop, slope) = L::drop(&lane_p, i);
            let off = (v - drop).abs();
            distance[lane] = if off > distance[lane] {
                off
            } else {
                distance[lane]
            };
            let g = 1.0 / slope;
            let rest = i - g * drop;
            let is_active = known.active[lane] > 0.0;
            state.conductance[lane] = if is_active {
                g
            } else {
                state.conductance[lane]
            };
            state.i0[lane] = if is_active { rest } else { state.i0[lane] };
            conductance[lane] = p[0][lane] * g;
            i0[lane] = p[0][lane] * rest;
        }
        put(stamp, store, &conductance, &i0);
    }
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
