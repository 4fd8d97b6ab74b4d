//! Constant power: `i = p / v` above the cut-off, `i = p v / v_cut^2` below it, odd.

use super::{VoltageLaw, odd};
use crate::network::parameters::{ParameterError, finite_not_negative, positive};

/// Parameters of [`Law::ConstantPower`](crate::network::Law::ConstantPower).
///
/// # Limits
/// The only law whose current falls as voltage rises, so a weak supply can
/// have no solution above the cut-off: see [`Outcome::collapsed`](crate::network::Outcome::collapsed).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConstantPower {
    /// Power above the cut-off, watts, zero or more.
    pub p_w: f64,
    /// Cut-off voltage, volts, above zero.
    pub v_cut_v: f64,
}

impl ConstantPower {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 4;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        finite_not_negative("p_w", self.p_w)?;
        positive("v_cut_v", self.v_cut_v)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        [
            0.0,
            self.p_w,
            self.v_cut_v,
            self.p_w / (self.v_cut_v * self.v_cut_v),
        ]
    }
}

impl VoltageLaw<4> for ConstantPower {
    #[inline(always)]
    fn flat_v(_: &[f64; 4], load_v: f64) -> f64 {
        load_v
    }

    #[inline(always)]
    fn current(p: &[f64; 4], v: f64) -> (f64, f64) {
        let [_, power, cut, below] = *p;
        let a = v.abs();
        let up = a > cut;
        let i = power / a;
        let steep = -i / a;
        (
            if up { odd(v, i) } else { below * v },
            if up { steep } else { below },
        )
    }
}
