//! Wire: `i = v / (joints + copper (1 + alpha c))`, with the heat of copper `c`
//! and insulation wall `w`, kelvin above the air, by the law of [`WireBody`].
//!
//! At rest its copper has the temperature of the ampacity's law; over short
//! times its own heat alone.
//!
//! # Limits
//! No heat flows along it. Without a published ampacity it keeps the
//! temperature of the air, as in the steady state. At the melting point of
//! copper it burns through.

use super::{MOST, Remembers, Slopes, States};
use crate::heating::{WireBody, WireHeat};

/// A wire.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Wire {
    joints_ohm: f64,
    cold_ohm: f64,
    /// Mean square of the current over the square of its mean, for pulsed loads.
    pulse: f64,
    body: Option<WireBody>,
    /// Burnt through.
    pub(in crate::transients) burnt: bool,
}

/// Kelvin that count as small.
const SCALE_K: f64 = 10.0;

const fn heat(x: &States) -> WireHeat {
    WireHeat {
        copper_k: x[0],
        wall_k: x[1],
    }
}

impl Wire {
    /// Makes a sound wire from its joints and its copper in the air's
    /// temperature.
    pub(in crate::transients) fn new(
        joints_ohm: f64,
        cold_ohm: f64,
        pulse: f64,
        body: Option<WireBody>,
    ) -> Self {
        Self {
            joints_ohm,
            cold_ohm,
            pulse,
            body,
            burnt: false,
        }
    }

    /// A share of its length, with the joint of one end.
    pub(in crate::transients) fn part(&self, share: f64) -> Self {
        Self {
            joints_ohm: 0.5 * self.joints_ohm,
            cold_ohm: self.cold_ohm * share,
            ..self.clone()
        }
    }

    /// States at rest with a current.
    pub(in crate::transients) fn settled(&self, i: f64) -> States {
        let mut x = [0.0; MOST];
        if let Some(body) = &self.body {
            let settled = body.settled_under(self.pulse * i * i);
            (x[0], x[1]) = (settled.copper_k, settled.wall_k);
        }
        x
    }

    /// Resistance, and what a kelvin of copper adds to it.
    fn ohms(&self, x: &States) -> (f64, f64) {
        let (share, per_k) = match &self.body {
            Some(body) => body.ohms_over_cold(heat(x)),
            None => (1.0, 0.0),
        };
        (
            self.joints_ohm + self.cold_ohm * share,
            self.cold_ohm * per_k,
        )
    }
}

impl Remembers for Wire {
    fn scales(&self) -> &[f64] {
        &[SCALE_K, SCALE_K]
    }

    fn current(&self, x: &States, v: f64) -> f64 {
        if self.burnt { 0.0 } else { v / self.ohms(x).0 }
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let mut f = [0.0; MOST];
        let i = self.current(x, v);
        if let Some(body) = &self.body {
            let rates = body.rates(heat(x), self.pulse * i * i);
            (f[0], f[1]) = (rates.copper_k, rates.wall_k);
        }
        (i, f)
    }

    fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes) {
        if !self.burnt {
            let (ohms, per_k) = self.ohms(x);
            slopes.i = v / ohms;
            slopes.i_v = 1.0 / ohms;
            slopes.i_x[0] = -slopes.i * per_k / ohms;
        }
        let Some(body) = &self.body else {
            return;
        };
        let square = self.pulse * slopes.i * slopes.i;
        let rates = body.rates(heat(x), square);
        (slopes.f[0], slopes.f[1]) = (rates.copper_k, rates.wall_k);
        let [copper, wall] = body.matrix(square);
        let by_i = 2.0 * self.pulse * slopes.i * body.copper_by_square(heat(x));
        slopes.f_v[0] = by_i * slopes.i_v;
        slopes.f_x[0][0] = copper[0] + by_i * slopes.i_x[0];
        slopes.f_x[0][1] = copper[1];
        slopes.f_x[1][0] = wall[0];
        slopes.f_x[1][1] = wall[1];
    }
}
