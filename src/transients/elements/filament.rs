//! Lamp: resistance `r` over that at the nominal volts, heated by its power.
//!
//! `i = i_n x / r`, `x = v / v_n`; `r' = (x^2 / r - loss(r)) / tau`. From
//! r = 0.725 (half the nominal volts) the loss is the one whose rest is the
//! steady law, `x = (r - 0.45) / 0.55`; below it falls as `r^4` to nothing at
//! the cold resistance, one over the first current as a multiple.
//!
//! # Limits
//! Below half its nominal volts the steady law is outside its range and the
//! rest differs from it. `tau` is this project's judgement: a lamp of 5 to
//! 25 W is hot within a tenth of a second.

use super::{MOST, Remembers, Slopes, States};

/// Heat to warm up fully over the nominal power, seconds.
const TAU_S: f64 = 0.04;
/// Resistance share at half the nominal volts.
const LAW_FROM: f64 = 0.725;

/// A lamp.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Filament {
    v_nominal_v: f64,
    i_nominal_a: f64,
    /// Cold over nominal resistance.
    cold: f64,
}

impl Filament {
    /// Makes a cold one whose first current is `inrush` times the nominal.
    pub(in crate::transients) fn new(v_nominal_v: f64, i_nominal_a: f64, inrush: f64) -> Self {
        Self {
            v_nominal_v,
            i_nominal_a,
            cold: (1.0 / inrush).clamp(0.02, 0.6),
        }
    }

    /// State when cold.
    pub(in crate::transients) fn cold(&self) -> f64 {
        self.cold
    }

    /// State at rest at a voltage.
    pub(in crate::transients) fn settled(&self, v: f64) -> f64 {
        let share = (v / self.v_nominal_v).abs();
        (0.45 + 0.55 * share).max(self.cold)
    }

    /// Conductance at a state, siemens.
    pub(in crate::transients) fn siemens(&self, x: &States) -> f64 {
        self.i_nominal_a / (self.v_nominal_v * x[0].max(self.cold * 0.5))
    }

    /// Loss over the nominal power, and its slope.
    fn loss(&self, r: f64) -> (f64, f64) {
        let law = |r: f64| {
            let x = (r - 0.45) / 0.55;
            (x * x / r, (2.0 * x / 0.55 - x * x / r) / r)
        };
        if r >= LAW_FROM {
            return law(r);
        }
        let (at, fourth) = (law(LAW_FROM).0, self.cold.powi(4));
        let over = at / (LAW_FROM.powi(4) - fourth);
        (over * (r.powi(4) - fourth), over * 4.0 * r.powi(3))
    }
}

impl Remembers for Filament {
    fn scales(&self) -> &[f64] {
        &[0.01]
    }

    fn current(&self, x: &States, v: f64) -> f64 {
        self.siemens(x) * v
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let share = v / self.v_nominal_v;
        let i = self.current(x, v);
        let mut f = [0.0; MOST];
        f[0] = (share * i / self.i_nominal_a - self.loss(x[0]).0) / TAU_S;
        (i, f)
    }

    fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes) {
        let (i, f) = self.value(x, v);
        let share = v / self.v_nominal_v;
        slopes.i = i;
        slopes.i_v = self.siemens(x);
        slopes.f = f;
        slopes.i_x[0] = -i / x[0];
        slopes.f_v[0] = 2.0 * share / (self.v_nominal_v * x[0] * TAU_S);
        slopes.f_x[0][0] = (-share * share / (x[0] * x[0]) - self.loss(x[0]).1) / TAU_S;
    }
}
