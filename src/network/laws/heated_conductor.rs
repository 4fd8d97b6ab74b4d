//! Metal heated by its own current, behind a joint that is not:
//! `v = i (r_joint + r_ambient / (1 - kappa (i^2 + extra)))`.
//!
//! Derived: with resistance `r (1 + alpha (T - T0))` and temperature
//! `T = T_ambient + R_th r(T) (i^2 + extra)`, the resistance solves to
//! `r_ambient / (1 - kappa (i^2 + extra))`, `kappa = alpha r(T0) R_th`.

use super::{CurrentLaw, descend, odd};
use crate::network::parameters::{ParameterError, finite_not_negative, positive};

/// Parameters of [`Law::HeatedConductor`](crate::network::Law::HeatedConductor).
///
/// # Limits
/// The current stays below `sqrt(1/kappa_per_a2 - extra_a2)`, where the model's
/// temperature grows without bound; whether the metal survives is not asked here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatedConductor {
    /// Constant series resistance that does not heat the metal, ohm, zero or more.
    pub r_joint_ohm: f64,
    /// Resistance of the metal at ambient temperature, ohm, above zero.
    pub r_ambient_ohm: f64,
    /// Relative resistance rise per ampere squared, 1/A^2, zero or more.
    pub kappa_per_a2: f64,
    /// Mean-square ripple current that heats too, A^2, zero or more.
    pub extra_a2: f64,
}

impl HeatedConductor {
    /// Number of stored parameters.
    pub(crate) const STORED: usize = 6;

    /// A Newton iterate may come this close to the pole: resistance 64 times that without heat.
    const CLOSEST_TO_POLE: f64 = 1.0 / 64.0;

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        finite_not_negative("r_joint_ohm", self.r_joint_ohm)?;
        positive("r_ambient_ohm", self.r_ambient_ohm)?;
        finite_not_negative("kappa_per_a2", self.kappa_per_a2)?;
        finite_not_negative("extra_a2", self.extra_a2)?;
        positive(
            "1 - kappa_per_a2 * extra_a2",
            1.0 - self.kappa_per_a2 * self.extra_a2,
        )
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        let margin = 1.0 - self.kappa_per_a2 * self.extra_a2;
        let most_a = (margin * (1.0 - Self::CLOSEST_TO_POLE) / self.kappa_per_a2).sqrt();
        [
            0.0,
            self.r_joint_ohm,
            self.r_ambient_ohm,
            self.kappa_per_a2,
            margin,
            most_a,
        ]
    }
}

impl CurrentLaw<6> for HeatedConductor {
    #[inline(always)]
    fn drop(p: &[f64; 6], i: f64) -> (f64, f64) {
        let [_, r_joint, r_ambient, kappa, margin, _] = *p;
        let heat = kappa * i * i;
        let inverse = 1.0 / (margin - heat);
        let hot = r_ambient * inverse;
        (
            i * (r_joint + hot),
            r_joint + hot * (1.0 + 2.0 * heat * inverse),
        )
    }

    #[inline(always)]
    fn clamp(p: &[f64; 6], i: f64) -> f64 {
        let most = p[5];
        let upper = if i < most { i } else { most };
        if upper > -most { upper } else { -most }
    }

    #[inline(always)]
    fn inside(p: &[f64; 6], i: f64) -> f64 {
        let near = Self::clamp(p, i);
        if p[3] * i * i < p[4] { i } else { near }
    }

    fn current(p: &[f64; 6], v: f64) -> f64 {
        let [_, _, r_ambient, kappa, margin, _] = *p;
        // Without the joint the law is a quadratic; its root bounds the current from above.
        let a = v.abs();
        let upper = 2.0 * margin * a
            / (r_ambient + (r_ambient * r_ambient + 4.0 * kappa * margin * a * a).sqrt());
        odd(v, descend::<Self, 6>(p, a, upper))
    }
}
