//! Heater whose first current is a multiple of its steady one:
//! `i = g (1 + (inrush - 1)(1 - s)) v`, `s' = (on - s) / tau`, where `on` rises to
//! 1 at a quarter of the nominal volts.
//!
//! # Limits
//! The time constant is this project's judgement: a sensor heater settles
//! within half a minute.

use super::{MOST, Remembers, Slopes, States};

/// Time constant of warming, seconds.
const TAU_S: f64 = 10.0;

/// A heater.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Warming {
    warm_s: f64,
    inrush: f64,
    v_nominal_v: f64,
}

impl Warming {
    /// Makes a cold one from its warm resistance.
    pub(in crate::transients) fn new(warm_ohm: f64, inrush: f64, v_nominal_v: f64) -> Self {
        Self {
            warm_s: 1.0 / warm_ohm,
            inrush,
            v_nominal_v,
        }
    }

    /// State at rest at a voltage.
    pub(in crate::transients) fn settled(&self, v: f64) -> f64 {
        self.on(v).0
    }

    /// Conductance at a state, siemens.
    pub(in crate::transients) fn siemens(&self, x: &States) -> f64 {
        self.warm_s * (1.0 + (self.inrush - 1.0) * (1.0 - x[0]))
    }

    fn on(&self, v: f64) -> (f64, f64) {
        let share = 4.0 * v.abs() / self.v_nominal_v;
        if share < 1.0 {
            (share, 4.0 * v.signum() / self.v_nominal_v)
        } else {
            (1.0, 0.0)
        }
    }
}

impl Remembers for Warming {
    fn scales(&self) -> &[f64] {
        &[0.1]
    }

    fn current(&self, x: &States, v: f64) -> f64 {
        self.siemens(x) * v
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let mut f = [0.0; MOST];
        f[0] = (self.on(v).0 - x[0]) / TAU_S;
        (self.current(x, v), f)
    }

    fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes) {
        let (i, f) = self.value(x, v);
        slopes.i = i;
        slopes.i_v = self.siemens(x);
        slopes.f = f;
        slopes.i_x[0] = -self.warm_s * (self.inrush - 1.0) * v;
        slopes.f_v[0] = self.on(v).1 / TAU_S;
        slopes.f_x[0][0] = -1.0 / TAU_S;
    }
}
