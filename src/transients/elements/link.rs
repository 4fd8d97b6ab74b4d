//! Fuse or breaker: heat by the law of [`Element`], opens when it reaches 1,
//! and `i = v / (clips + cold (1 + min(gain u, cap)))`.
//!
//! The gain is such that the resistance at rest is that of the steady state.
//!
//! # Limits
//! No arc: opening is at once.

use super::{MOST, Remembers, Slopes, States};
use crate::heating::Element;

/// A fuse or breaker.
#[derive(Debug, Clone)]
pub(in crate::transients) struct Link {
    clips_ohm: f64,
    cold_ohm: f64,
    /// Largest relative rise of the element's resistance.
    cap: f64,
    gain: f64,
    /// One over the square of the rating in its air, per ampere squared.
    square_per_a2: f64,
    /// Which instance it is.
    element: Element,
    /// Whether it opens at all.
    pub(in crate::transients) opens: bool,
    /// Has opened.
    pub(in crate::transients) open: bool,
    /// Closes by itself once it has cooled.
    pub(in crate::transients) closes_again: bool,
}

/// Heat that counts as small: half of what opens it.
const SCALES: [f64; MOST] = [0.5; MOST];
/// The heat of one that has opened for good no longer counts.
const NO_MATTER: [f64; MOST] = [f64::INFINITY; MOST];

impl Link {
    /// Makes a cold one; its resistance rises by `cap` at most.
    pub(in crate::transients) fn new(
        clips_ohm: f64,
        cold_ohm: f64,
        cap: f64,
        rating_a: f64,
        element: Element,
    ) -> Self {
        Self {
            clips_ohm,
            cold_ohm,
            cap,
            gain: cap,
            square_per_a2: 1.0 / (rating_a * rating_a),
            element,
            opens: true,
            open: false,
            closes_again: false,
        }
    }

    /// Sets the rise of resistance per ampere squared at rest.
    pub(in crate::transients) fn with_rise(mut self, per_a2: f64) -> Self {
        let settled = self.element.settled(1.0).total();
        if settled > 0.0 {
            self.gain = per_a2 / (self.square_per_a2 * settled);
        }
        self
    }

    /// Sets the mean square of the current over the square of its mean, for
    /// pulsed loads.
    pub(in crate::transients) fn with_pulse(mut self, pulse: f64) -> Self {
        self.square_per_a2 *= pulse;
        self
    }

    /// Sum of the states: 1 is open.
    pub(in crate::transients) fn heat(x: &States) -> f64 {
        x.iter().sum()
    }

    /// States at rest with a current.
    pub(in crate::transients) fn settled(&self, i: f64) -> States {
        let mut x = [0.0; MOST];
        let square = self.square_per_a2 * i * i;
        for (x, state) in x.iter_mut().zip(&self.element.states) {
            *x = state.a * square;
        }
        x
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
        let scales = if self.open && !self.closes_again {
            &NO_MATTER
        } else {
            &SCALES
        };
        &scales[..self.element.states.len()]
    }

    fn current(&self, x: &States, v: f64) -> f64 {
        if self.open {
            0.0
        } else {
            v / self.ohms(Self::heat(x)).0
        }
    }

    fn value(&self, x: &States, v: f64) -> (f64, States) {
        let i = self.current(x, v);
        let drive = self.element.drive(self.square_per_a2 * i * i);
        let mut f = [0.0; MOST];
        for (at, state) in self.element.states.iter().enumerate() {
            f[at] = drive.rate(state, x[at]);
        }
        (i, f)
    }

    fn slopes(&self, x: &States, v: f64, slopes: &mut Slopes) {
        let (ohms, by_heat) = self.ohms(Self::heat(x));
        let i_u = if self.open {
            0.0
        } else {
            slopes.i = v / ohms;
            slopes.i_v = 1.0 / ohms;
            -slopes.i * by_heat / ohms
        };
        let i = slopes.i;
        let drive = self.element.drive(self.square_per_a2 * i * i);
        let square_by_i = 2.0 * self.square_per_a2 * i;
        let count = self.element.states.len();
        for (row, state) in self.element.states.iter().enumerate() {
            slopes.f[row] = drive.rate(state, x[row]);
            slopes.i_x[row] = i_u;
            let by_i = drive.by_square(state, x[row]) * square_by_i;
            slopes.f_v[row] = by_i * slopes.i_v;
            for column in 0..count {
                slopes.f_x[row][column] = by_i * i_u;
            }
            slopes.f_x[row][row] += drive.by_heat(state);
        }
    }
}
