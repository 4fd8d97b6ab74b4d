//! Electromotive force behind a resistance that depends on the direction of
//! current: `i = (v - emf) / r`, `r_ohm` while delivering, `r_charge_ohm` while taking.

use super::VoltageLaw;
use crate::network::parameters::{ParameterError, finite, positive};

/// Parameters of [`Law::Supply`](crate::network::Law::Supply).
///
/// `from` is plus, `to` is minus; the current counts from plus through the
/// supply to minus, so a delivering supply has a negative current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// Open-circuit voltage, volts.
    pub emf_v: f64,
    /// Resistance while delivering, ohm, above zero.
    pub r_ohm: f64,
    /// Resistance while current flows into plus, ohm, above zero.
    pub r_charge_ohm: f64,
}

impl Supply {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 4;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        finite("emf_v", self.emf_v)?;
        positive("r_ohm", self.r_ohm)?;
        positive("r_charge_ohm", self.r_charge_ohm)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        [0.0, self.emf_v, 1.0 / self.r_ohm, 1.0 / self.r_charge_ohm]
    }
}

impl VoltageLaw<4> for Supply {
    #[inline(always)]
    fn flat_v(_: &[f64; 4], _: f64) -> f64 {
        0.0
    }

    #[inline(always)]
    fn current(p: &[f64; 4], v: f64) -> (f64, f64) {
        let [_, emf, g, g_charge] = *p;
        let slope = if v > emf { g_charge } else { g };
        ((v - emf) * slope, slope)
    }
}
