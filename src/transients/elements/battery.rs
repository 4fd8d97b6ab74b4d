//! Battery: `i = (v - emf + s) / r0`, `s' = (r1 out - s) / 20 s`, with `out` the
//! current it gives; while it is charged the slow part is what its charging
//! resistance has over `r0`.
//!
//! # Limits
//! Its charge stays what it is: half an hour at 20 A takes 10 Ah, which is not
//! counted. Open volts and resistances are those of the steady state.

use super::{MOST, Remembers, Slopes, States};

/// Time constant of the slow part, seconds: the references' battery model.
const SLOW_S: f64 = 20.0;

/// A battery.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Battery {
    emf_v: f64,
    fast_ohm: f64,
    slow_ohm: f64,
    slow_charging_ohm: f64,
}

impl Battery {
    /// Makes a rested one from its open volts, fast and slow resistance, and
    /// the whole resistance against charging.
    pub(in crate::transients) fn new(
        emf_v: f64,
        fast_ohm: f64,
        slow_ohm: f64,
        charging_ohm: f64,
    ) -> Self {
        Self {
            emf_v,
            fast_ohm: fast_ohm.max(1e-6),
            slow_ohm,
            slow_charging_ohm: (charging_ohm - fast_ohm).max(0.0),
        }
    }

    /// Volts behind the fast resistance, and that resistance.
    pub(in crate::transients) fn behind(&self, x: &States) -> (f64, f64) {
        (self.emf_v - x[0], self.fast_ohm)
    }

    /// State at rest with a current into its plus.
    pub(in crate::transients) fn settled(&self, i: f64) -> f64 {
        -i * self.slow(i)
    }

    fn slow(&self, i: f64) -> f64 {
        if i > 0.0 {
            self.slow_charging_ohm
        } else {
            self.slow_ohm
        }
    }
}

impl Remembers for Battery {
    fn scales(&self) -> &[f64] {
        &[0.1]
    }

    fn current(&self, x: &States, v: f64) -> f64 {
        (v - self.emf_v + x[0]) / self.fast_ohm
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let i = self.current(x, v);
        let mut f = [0.0; MOST];
        f[0] = (self.settled(i) - x[0]) / SLOW_S;
        (i, f)
    }

    fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes) {
        let (i, f) = self.value(x, v);
        slopes.i = i;
        slopes.i_v = 1.0 / self.fast_ohm;
        slopes.f = f;
        slopes.i_x[0] = slopes.i_v;
        let by_i = -self.slow(i) / SLOW_S;
        slopes.f_v[0] = by_i * slopes.i_v;
        slopes.f_x[0][0] = by_i * slopes.i_x[0] - 1.0 / SLOW_S;
    }
}
