//! Wire: `i = v / (joints + r (1 + y))`, `y' = (kappa i^2 (1 + y) - y) / tau`.
//!
//! `y` is the rise of the copper's resistance over that at the temperature of
//! the air. At rest `1 + y = 1 / (1 - kappa i^2)`, the law of the steady state,
//! so the end of a long run is the ampacity's temperature; `tau` makes the
//! first instant adiabatic heating of the copper (IEC 60949: 3.45 J/(K cm3)).
//!
//! # Limits
//! The insulation's own heat is left out, which is the hot side: for a few
//! seconds up to twice the true rise. At the melting point of copper the wire
//! burns through.

use super::{MOST, Remembers, Slopes, States};

/// A wire.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Wire {
    joints_ohm: f64,
    cold_ohm: f64,
    kappa_per_a2: f64,
    tau_s: f64,
    /// Mean square of the current over the square of its mean, for pulsed loads.
    pulse: f64,
    /// Relative rise of resistance per kelvin, from the air's temperature.
    alpha_per_k: f64,
    /// Burnt through.
    pub(in crate::transients) burnt: bool,
}

impl Wire {
    /// Makes a sound wire.
    pub(in crate::transients) fn new(
        joints_ohm: f64,
        cold_ohm: f64,
        kappa_per_a2: f64,
        tau_s: f64,
        pulse: f64,
        alpha_per_k: f64,
    ) -> Self {
        Self {
            joints_ohm,
            cold_ohm,
            kappa_per_a2,
            tau_s,
            pulse,
            alpha_per_k,
            burnt: false,
        }
    }

    /// The share `from..to` of its length, with the joint of that end.
    pub(in crate::transients) fn part(&self, share: f64) -> Self {
        Self {
            joints_ohm: 0.5 * self.joints_ohm,
            cold_ohm: self.cold_ohm * share,
            ..self.clone()
        }
    }

    /// State at rest with a current.
    pub(in crate::transients) fn settled(&self, i: f64) -> f64 {
        let heat = self.kappa_per_a2 * self.pulse * i * i;
        heat / (1.0 - heat).max(1e-3)
    }

    /// Rise over the air, kelvin.
    pub(in crate::transients) fn rise_k(&self, x: &States) -> f64 {
        x[0] / self.alpha_per_k
    }

    fn ohms(&self, y: f64) -> f64 {
        self.joints_ohm + self.cold_ohm * (1.0 + y)
    }
}

impl Remembers for Wire {
    fn scales(&self) -> &[f64] {
        &[0.01]
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let mut f = [0.0; MOST];
        let i = if self.burnt { 0.0 } else { v / self.ohms(x[0]) };
        let heat = self.kappa_per_a2 * self.pulse * i * i;
        f[0] = (heat * (1.0 + x[0]) - x[0]) / self.tau_s;
        (i, f)
    }

    fn slopes(&self, x: &States, v: f64) -> Slopes {
        let (i, f) = self.value(x, v);
        let mut slopes = Slopes {
            i,
            f,
            ..Slopes::default()
        };
        let kappa = self.kappa_per_a2 * self.pulse;
        let mut own = (kappa * i * i - 1.0) / self.tau_s;
        if !self.burnt {
            let ohms = self.ohms(x[0]);
            slopes.i_v = 1.0 / ohms;
            slopes.i_x[0] = -i * self.cold_ohm / ohms;
            let by_i = 2.0 * kappa * i * (1.0 + x[0]) / self.tau_s;
            slopes.f_v[0] = by_i * slopes.i_v;
            own += by_i * slopes.i_x[0];
        }
        slopes.f_x[0][0] = own;
        slopes
    }
}
