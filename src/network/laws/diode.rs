//! Diode by a hyperbola, without library functions:
//! `i = h(v - v_drop) / r_on - leak`, `h(u) = u/2 + sqrt(u^2/4 + e)`.
//!
//! `e = l (l + v_drop)` with `l = leak r_on` makes `h(-v_drop) = l`, so the
//! current is zero at 0 V, tends to `(v - v_drop) / r_on` forward and to `-leak`
//! (1 microampere) backward; it is smooth and strictly increasing throughout.

use super::VoltageLaw;
use crate::network::parameters::{ParameterError, finite_not_negative, positive};

/// Parameters of [`Law::Diode`](crate::network::Law::Diode).
///
/// # Limits
/// Breakdown and temperature are not modelled. Leakage is at most 1 microampere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diode {
    /// Forward drop at the knee, volts, zero or more.
    pub v_drop_v: f64,
    /// Slope resistance above the knee, ohm, above zero.
    pub r_on_ohm: f64,
}

impl Diode {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 4;

    /// Reverse current far below zero volts, amperes.
    const LEAK_A: f64 = 1e-6;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        finite_not_negative("v_drop_v", self.v_drop_v)?;
        positive("r_on_ohm", self.r_on_ohm)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        let at_zero = Self::LEAK_A * self.r_on_ohm;
        [
            0.0,
            self.v_drop_v,
            1.0 / self.r_on_ohm,
            at_zero * (at_zero + self.v_drop_v),
        ]
    }
}

impl VoltageLaw<4> for Diode {
    #[inline(always)]
    fn flat_v(_: &[f64; 4], _: f64) -> f64 {
        0.0
    }

    #[inline(always)]
    fn current(p: &[f64; 4], v: f64) -> (f64, f64) {
        let [_, v_drop, g_on, e] = *p;
        let half = 0.5 * (v - v_drop);
        let root = (half * half + e).sqrt();
        // Below the knee `half + root` would cancel; the conjugate form does not.
        let h = if half > 0.0 {
            half + root
        } else {
            e / (root - half)
        };
        (h * g_on - Self::LEAK_A, g_on * (0.5 * h / root))
    }
}
