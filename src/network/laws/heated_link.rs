//! Link that heats with its current up to a cap:
//! `v = i (r_contacts + r_cold (1 + min(beta (i^2 + extra), rise_cap)))`.

use super::{CurrentLaw, descend, odd};
use crate::network::parameters::{ParameterError, finite_not_negative, positive};

/// Parameters of [`Law::HeatedLink`](crate::network::Law::HeatedLink).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatedLink {
    /// Constant series resistance, ohm, zero or more.
    pub r_contacts_ohm: f64,
    /// Resistance of the cold link, ohm, above zero.
    pub r_cold_ohm: f64,
    /// Relative resistance rise per ampere squared, 1/A^2, zero or more.
    pub beta_per_a2: f64,
    /// Mean-square ripple current that heats too, A^2, zero or more.
    pub extra_a2: f64,
    /// Largest relative resistance rise, zero or more.
    pub rise_cap: f64,
}

impl HeatedLink {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 6;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        finite_not_negative("r_contacts_ohm", self.r_contacts_ohm)?;
        positive("r_cold_ohm", self.r_cold_ohm)?;
        finite_not_negative("beta_per_a2", self.beta_per_a2)?;
        finite_not_negative("extra_a2", self.extra_a2)?;
        finite_not_negative("rise_cap", self.rise_cap)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        [
            0.0,
            self.r_contacts_ohm,
            self.r_cold_ohm,
            self.beta_per_a2,
            self.extra_a2,
            self.rise_cap,
        ]
    }
}

impl CurrentLaw<6> for HeatedLink {
    #[inline(always)]
    fn drop(p: &[f64; 6], i: f64) -> (f64, f64) {
        let [_, r_contacts, r_cold, beta, extra, cap] = *p;
        let free = beta * (i * i + extra);
        let rise = if free < cap { free } else { cap };
        let steeper = if free < cap { 2.0 * beta * i * i } else { 0.0 };
        (
            i * (r_contacts + r_cold * (1.0 + rise)),
            r_contacts + r_cold * (1.0 + rise + steeper),
        )
    }

    #[inline(always)]
    fn clamp(_: &[f64; 6], i: f64) -> f64 {
        i
    }

    #[inline(always)]
    fn inside(_: &[f64; 6], i: f64) -> f64 {
        i
    }

    fn current(p: &[f64; 6], v: f64) -> f64 {
        let [_, r_contacts, r_cold, beta, extra, cap] = *p;
        // The true resistance is the smaller of capped and uncapped, so the current is the larger.
        let a = v.abs();
        let capped = a / (r_contacts + r_cold * (1.0 + cap));
        let mut uncapped_parameters = *p;
        uncapped_parameters[5] = f64::INFINITY;
        let cold = a / (r_contacts + r_cold * (1.0 + beta * extra));
        let uncapped = descend::<Self, 6>(&uncapped_parameters, a, cold);
        odd(v, if capped > uncapped { capped } else { uncapped })
    }
}
