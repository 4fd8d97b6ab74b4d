//! Constant current above the cut-off, proportional below it, odd.

use super::{VoltageLaw, odd};
use crate::network::parameters::{ParameterError, finite_not_negative, positive};

/// Parameters of [`Law::ConstantCurrent`](crate::network::Law::ConstantCurrent).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConstantCurrent {
    /// Current above the cut-off, amperes, zero or more.
    pub i_a: f64,
    /// Cut-off voltage, volts, above zero.
    pub v_cut_v: f64,
}

impl ConstantCurrent {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 4;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        finite_not_negative("i_a", self.i_a)?;
        positive("v_cut_v", self.v_cut_v)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        [0.0, self.i_a, self.v_cut_v, self.i_a / self.v_cut_v]
    }
}

impl VoltageLaw<4> for ConstantCurrent {
    #[inline(always)]
    fn flat_v(_: &[f64; 4], load_v: f64) -> f64 {
        load_v
    }

    #[inline(always)]
    fn current(p: &[f64; 4], v: f64) -> (f64, f64) {
        let [_, i, cut, below] = *p;
        let up = v.abs() > cut;
        (
            if up { odd(v, i) } else { below * v },
            if up { 0.0 } else { below },
        )
    }
}
