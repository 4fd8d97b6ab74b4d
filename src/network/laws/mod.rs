//! One file per law: its parameters, their checks, and its equations.
//!
//! Only `+ - * /`, square roots and selects are used, so that every build of
//! the same source gives the same bits. Slot 0 of each stored parameter set is
//! the branch's scale; the law itself fills the slots after it.

use super::branch::Law;

pub(crate) mod charger;
pub(crate) mod conductor;
pub(crate) mod constant_current;
pub(crate) mod constant_power;
pub(crate) mod diode;
pub(crate) mod heated_conductor;
pub(crate) mod heated_link;
pub(crate) mod lamp;
pub(crate) mod motor;
pub(crate) mod supply;

/// A law whose current is a closed form of its voltage.
///
/// `N` counts the stored parameters, the scale in slot 0 included.
pub(crate) trait VoltageLaw<const N: usize> {
    /// Voltage at which the law is linearised in a flat start, volts;
    /// `load_v` is the nominal voltage of loads.
    fn flat_v(p: &[f64; N], load_v: f64) -> f64;

    /// Voltage at which the law is linearised first where a start has `v` volts.
    #[inline(always)]
    fn first_v(_: &[f64; N], v: f64) -> f64 {
        v
    }

    /// Current (amperes) and slope (siemens) at `v` volts, scale not applied.
    fn current(p: &[f64; N], v: f64) -> (f64, f64);
}

/// A law whose voltage is a closed form of its current, odd and increasing;
/// the current is kept as a state beside the node voltages.
pub(crate) trait CurrentLaw<const N: usize> {
    /// Voltage (volts) and slope (ohm) at `i` amperes.
    fn drop(p: &[f64; N], i: f64) -> (f64, f64);

    /// Brings a Newton iterate back to where the law is defined.
    fn clamp(p: &[f64; N], i: f64) -> f64;

    /// Keeps a settled current wherever the law has one, and an impossible one within reach.
    fn inside(p: &[f64; N], i: f64) -> f64;

    /// Current at `v` volts, solved to rounding. The start is an upper bound,
    /// so Newton on the convex branch descends without overshoot.
    fn current(p: &[f64; N], v: f64) -> f64;
}

/// Descends from `upper`, at or above the root, to `drop(i) = v`, `v >= 0`.
pub(crate) fn descend<L: CurrentLaw<N>, const N: usize>(p: &[f64; N], v: f64, upper: f64) -> f64 {
    let mut i = upper;
    for _ in 0..200 {
        let (f, r) = L::drop(p, i);
        let next = i - (f - v) / r;
        if !(next < i) || i - next <= 1e-16 * i {
            return i;
        }
        i = next;
    }
    i
}

/// `value` with the sign of `v`.
#[inline(always)]
pub(crate) fn odd(v: f64, value: f64) -> f64 {
    if v < 0.0 { -value } else { value }
}

/// Current (amperes) and slope (siemens) of a branch at `v` volts by its exact
/// law, scale applied; `p` is its stored parameter set.
pub(crate) fn exact(law: Law, p: &[f64], v: f64) -> (f64, f64) {
    match law {
        Law::Conductor => {
            let conductance = p[0] * p[1];
            (conductance * v, conductance)
        }
        Law::HeatedConductor => by_current::<heated_conductor::HeatedConductor, 6>(p, v),
        Law::HeatedLink => by_current::<heated_link::HeatedLink, 6>(p, v),
        Law::Supply => by_voltage::<supply::Supply, 4>(p, v),
        Law::Charger => by_voltage::<charger::Charger, 4>(p, v),
        Law::Motor => by_voltage::<motor::Motor, 11>(p, v),
        Law::Lamp => by_voltage::<lamp::Lamp, 3>(p, v),
        Law::ConstantPower => by_voltage::<constant_power::ConstantPower, 4>(p, v),
        Law::ConstantCurrent => by_voltage::<constant_current::ConstantCurrent, 4>(p, v),
        Law::Diode => by_voltage::<diode::Diode, 4>(p, v),
    }
}

fn by_voltage<L: VoltageLaw<N>, const N: usize>(p: &[f64], v: f64) -> (f64, f64) {
    let Some(p) = p.first_chunk::<N>() else {
        return (0.0, 0.0);
    };
    let (i, slope) = L::current(p, v);
    (p[0] * i, p[0] * slope)
}

fn by_current<L: CurrentLaw<N>, const N: usize>(p: &[f64], v: f64) -> (f64, f64) {
    let Some(p) = p.first_chunk::<N>() else {
        return (0.0, 0.0);
    };
    if p[0] == 0.0 {
        return (0.0, 0.0);
    }
    let i = L::current(p, v);
    (p[0] * i, p[0] / L::drop(p, i).1)
}
