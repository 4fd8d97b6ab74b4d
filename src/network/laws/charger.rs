//! Regulated, limited delivery: current out of plus is
//! `clamp((v_set - v) / r_regulator, 0, i_max)`.

use super::VoltageLaw;
use crate::network::parameters::{ParameterError, finite, finite_not_negative, positive};

/// Parameters of [`Law::Charger`](crate::network::Law::Charger).
///
/// `from` is plus; a delivering charger has a negative current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charger {
    /// Most it delivers, amperes, zero or more.
    pub i_max_a: f64,
    /// Voltage at which delivery ends, volts.
    pub v_set_v: f64,
    /// Droop of the regulator, ohm, above zero.
    pub r_regulator_ohm: f64,
}

impl Charger {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 4;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        finite_not_negative("i_max_a", self.i_max_a)?;
        finite("v_set_v", self.v_set_v)?;
        positive("r_regulator_ohm", self.r_regulator_ohm)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        [0.0, self.i_max_a, self.v_set_v, 1.0 / self.r_regulator_ohm]
    }
}

impl VoltageLaw<4> for Charger {
    #[inline(always)]
    fn flat_v(p: &[f64; 4], _: f64) -> f64 {
        p[2]
    }

    /// Regulating, as far as that goes: from a flat piece, a step may land on the other
    /// and back for ever; from the steep one between them it lands on the right one.
    #[inline(always)]
    fn first_v(p: &[f64; 4], v: f64) -> f64 {
        let [_, most, v_set, g] = *p;
        // Well inside, so that rounding leaves it there.
        let (low, high) = (v_set - 0.75 * most / g, v_set - 0.25 * most / g);
        let above = if v > low { v } else { low };
        if above < high { above } else { high }
    }

    #[inline(always)]
    fn current(p: &[f64; 4], v: f64) -> (f64, f64) {
        let [_, most, v_set, g] = *p;
        let free = (v_set - v) * g;
        let below = if free < most { free } else { most };
        let delivered = if below > 0.0 { below } else { 0.0 };
        let regulating = free >= 0.0 && free <= most;
        (-delivered, if regulating { g } else { 0.0 })
    }
}
