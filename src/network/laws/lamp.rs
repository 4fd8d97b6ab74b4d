//! Filament: `i = i_nominal x / (0.45 + 0.55 |x|)`, `x = v / v_nominal`.

use super::{VoltageLaw, odd};
use crate::network::parameters::{ParameterError, finite_not_negative, positive};

/// Parameters of [`Law::Lamp`](crate::network::Law::Lamp).
///
/// # Limits
/// Steady filament; a fit for half to one and a quarter times the nominal voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lamp {
    /// Nominal voltage, volts, above zero.
    pub v_nominal_v: f64,
    /// Current at the nominal voltage, amperes, zero or more.
    pub i_nominal_a: f64,
}

impl Lamp {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 3;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        positive("v_nominal_v", self.v_nominal_v)?;
        finite_not_negative("i_nominal_a", self.i_nominal_a)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        [0.0, 1.0 / self.v_nominal_v, self.i_nominal_a]
    }
}

impl VoltageLaw<3> for Lamp {
    #[inline(always)]
    fn flat_v(_: &[f64; 3], load_v: f64) -> f64 {
        load_v
    }

    #[inline(always)]
    fn current(p: &[f64; 3], v: f64) -> (f64, f64) {
        let [_, per_volt, i_nominal] = *p;
        let x = v.abs() * per_volt;
        let inverse = 1.0 / (0.45 + 0.55 * x);
        (
            odd(v, i_nominal * x * inverse),
            i_nominal * per_volt * (0.45 * inverse * inverse),
        )
    }
}
