//! Fuse or breaker: `du_k/dt = (a_k m^2 - u_k) / tau_k`, opens when the sum
//! reaches 1; `m` is the current over the rating at its temperature, and
//! `i = v / (clips + cold (1 + min(gain u, cap)))`.
//!
//! The gain is such that the resistance at rest is that of the steady state.
//! What a link needs to know is its list of [`Thermal`] states: any network
//! driven by the current's square that opens at 1 can take its place.
//!
//! # Limits
//! The passive networks of `fuse-networks`; the early edge of small blades is
//! up to 1.6 x later than its gate between 1.6 and 3.5 x. No arc: opening is
//! at once. A breaker does not re-close by itself.

use super::{MOST, Remembers, Slopes, States};

/// One thermal state of a link.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::transients) struct Thermal {
    /// Share of the opening heat it settles at when the current is the rating.
    pub(in crate::transients) a: f64,
    /// Time constant, seconds.
    pub(in crate::transients) tau_s: f64,
}

/// A fuse or breaker.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Link {
    clips_ohm: f64,
    cold_ohm: f64,
    /// Largest relative rise of the element's resistance.
    cap: f64,
    gain: f64,
    rating_a: f64,
    thermal: Vec<Thermal>,
    /// Mean square of the current over the square of its mean, for pulsed loads.
    pub(in crate::transients) pulse: f64,
    /// Whether it opens at all.
    pub(in crate::transients) opens: bool,
    /// Has opened.
    pub(in crate::transients) open: bool,
}

const SCALES: [f64; MOST] = [0.01; MOST];

impl Link {
    /// Makes a cold one; its resistance rises by `cap` at most, and by
    /// `at_rating` times the share of heat (see [`Link::with_rise`]).
    pub(in crate::transients) fn new(
        clips_ohm: f64,
        cold_ohm: f64,
        cap: f64,
        rating_a: f64,
        thermal: Vec<Thermal>,
    ) -> Self {
        Self {
            clips_ohm,
            cold_ohm,
            cap,
            gain: cap,
            rating_a,
            thermal,
            pulse: 1.0,
            opens: true,
            open: false,
        }
    }

    /// Sets the rise of resistance per ampere squared at rest.
    pub(in crate::transients) fn with_rise(mut self, per_a2: f64) -> Self {
        let settled: f64 = self.thermal.iter().map(|state| state.a).sum();
        if settled > 0.0 {
            self.gain = per_a2 * self.rating_a * self.rating_a / settled;
        }
        self
    }

    /// Sum of the states: 1 is open.
    pub(in crate::transients) fn heat(x: &States) -> f64 {
        x.iter().sum()
    }

    /// States at rest with a current.
    pub(in crate::transients) fn settled(&self, i: f64) -> States {
        let mut x = [0.0; MOST];
        let square = self.square(i);
        for (x, state) in x.iter_mut().zip(&self.thermal) {
            *x = state.a * square;
        }
        x
    }

    fn square(&self, i: f64) -> f64 {
        self.pulse * i * i / (self.rating_a * self.rating_a)
    }

    /// Resistance and its slope by heat.
    fn ohms(&self, heat: f64) -> (f64, f64) {
        let free = self.gain * heat;
        let (rise, slope) = if free < self.cap {
            (free, self.gain)
        } else {
            (self.cap, 0.0)
        };
        (
            self.clips_ohm + self.cold_ohm * (1.0 + rise),
            self.cold_ohm * slope,
        )
    }
}

impl Remembers for Link {
    fn scales(&self) -> &[f64] {
        &SCALES[..self.thermal.len()]
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let i = if self.open {
            0.0
        } else {
            v / self.ohms(Self::heat(x)).0
        };
        let square = self.square(i);
        let mut f = [0.0; MOST];
        for (at, state) in self.thermal.iter().enumerate() {
            f[at] = (state.a * square - x[at]) / state.tau_s;
        }
        (i, f)
    }

    fn slopes(&self, x: &States, v: f64) -> Slopes {
        let (i, f) = self.value(x, v);
        let mut slopes = Slopes {
            i,
            f,
            ..Slopes::default()
        };
        let (ohms, by_heat) = self.ohms(Self::heat(x));
        let (i_v, i_u) = if self.open {
            (0.0, 0.0)
        } else {
            (1.0 / ohms, -i * by_heat / ohms)
        };
        let square_by_i = 2.0 * self.pulse * i / (self.rating_a * self.rating_a);
        slopes.i_v = i_v;
        for (row, state) in self.thermal.iter().enumerate() {
            slopes.i_x[row] = i_u;
            let by_i = state.a * square_by_i / state.tau_s;
            slopes.f_v[row] = by_i * i_v;
            for column in 0..self.thermal.len() {
                slopes.f_x[row][column] = by_i * i_u;
            }
            slopes.f_x[row][row] -= 1.0 / state.tau_s;
        }
        slopes
    }
}
