//! Input capacitor of electronics: `i = (v - u) / r`, `u' = i / c`.
//!
//! # Limits
//! The resistance follows from the first current the file names; the capacity
//! is this project's judgement.

use super::{MOST, Remembers, Slopes, States};

/// A capacitor behind a resistance.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Capacitor {
    /// Series resistance, ohms.
    pub(in crate::transients) ohm: f64,
    farad: f64,
}

impl Capacitor {
    /// Makes an empty one.
    pub(in crate::transients) fn new(ohm: f64, farad: f64) -> Self {
        Self { ohm, farad }
    }
}

impl Remembers for Capacitor {
    fn scales(&self) -> &[f64] {
        &[1.0]
    }

    fn current(&self, x: &States, v: f64) -> f64 {
        (v - x[0]) / self.ohm
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let i = self.current(x, v);
        let mut f = [0.0; MOST];
        f[0] = i / self.farad;
        (i, f)
    }

    fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes) {
        let (i, f) = self.value(x, v);
        slopes.i = i;
        slopes.i_v = 1.0 / self.ohm;
        slopes.f = f;
        slopes.i_x[0] = -slopes.i_v;
        slopes.f_v[0] = slopes.i_v / self.farad;
        slopes.f_x[0][0] = -slopes.i_v / self.farad;
    }
}
