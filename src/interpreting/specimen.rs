//! Specimens of each condition and what they would show.

use super::Measure;
use super::aim::decades_density;
use crate::bench::Draws;
use crate::quantities::{Band, Ohms};

/// Ohms of what is open: beyond a hand meter's open reading
/// ([`super::OPEN_OHM`]), so that every error leaves it open.
pub(super) const OPEN_OHM: f64 = 1e7;
/// Specimens drawn of each condition.
pub const SPECIMENS: usize = 4096;

/// What a specimen shows in one run; what is not a number is not predicted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Seen([f64; Measure::COUNT]);

impl Seen {
    /// Nothing predicted.
    pub(super) const NOTHING: Self = Self([f64::NAN; Measure::COUNT]);

    pub(super) fn get(&self, measure: Measure) -> f64 {
        self.0[measure as usize]
    }

    #[must_use]
    pub(super) fn with(mut self, measure: Measure, value: f64) -> Self {
        self.0[measure as usize] = value;
        self
    }
}

/// One specimen with one condition.
#[derive(Debug, Clone)]
pub(super) struct Specimen {
    /// Density of what was read and drawn from: battery at rest, pressure.
    pub weight: f64,
    /// What it shows, a run at a time; runs that were not made come last.
    pub runs: Vec<Seen>,
    /// Resistance of its winding, ohms; not a number where it has none.
    pub winding_ohm: f64,
}

/// All specimens of one condition.
#[derive(Debug, Clone)]
pub(super) struct Group {
    /// The condition's word.
    pub condition: &'static str,
    /// Its odds before anything was read.
    pub prior: f64,
    /// What it brings along of the readings that are drawn from.
    pub brings: Vec<Brings>,
    /// Its specimens.
    pub specimens: Vec<Specimen>,
}

/// A reading that specimens are drawn from: what a condition brings along.
#[derive(Debug, Clone, Copy)]
pub(super) struct Brings {
    pub what: &'static str,
    pub measure: Measure,
    pub low: f64,
    pub high: f64,
    /// How far below and above these ends it is still met.
    pub beyond: (f64, f64),
    pub read: f64,
}

impl Brings {
    /// One that is met nowhere beyond the ends of its range.
    pub(super) const fn within(
        what: &'static str,
        measure: Measure,
        range: Band<f64>,
        read: f64,
    ) -> Self {
        Self {
            what,
            measure,
            low: range.low,
            high: range.high,
            beyond: (0.0, 0.0),
            read,
        }
    }
}

/// Share of surprises in what a condition is expected to bring along: a gauge
/// or battery in fifty shows something else.
const SURPRISES: f64 = 0.02;

/// How a figure lies within its range.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Shape {
    /// As a triangle over its three ends.
    Triangle,
    /// Evenly over decades.
    Decades,
    /// Evenly.
    Even,
}

/// A range and a floor of surprises up to `most`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Expected {
    pub band: Band<f64>,
    pub most: f64,
    shape: Shape,
}

impl Expected {
    pub(super) const fn new(low: f64, typical: f64, high: f64, most: f64) -> Self {
        let band = Band { low, typical, high };
        Self {
            band,
            most,
            shape: Shape::Triangle,
        }
    }

    /// Evenly over the decades between two figures above zero.
    pub(super) fn decades(low: f64, high: f64, most: f64) -> Self {
        let band = Band {
            low,
            typical: (low * high).sqrt(),
            high,
        };
        Self {
            band,
            most,
            shape: Shape::Decades,
        }
    }

    /// Evenly between two figures.
    pub(super) const fn evenly(low: f64, high: f64, most: f64) -> Self {
        let band = Band {
            low,
            typical: 0.5 * (low + high),
            high,
        };
        Self {
            band,
            most,
            shape: Shape::Even,
        }
    }

    pub(super) fn draw(&self, draws: &mut Draws) -> f64 {
        match self.shape {
            Shape::Triangle => draws.of(self.band),
            Shape::Decades => draws.decades(self.band.low, self.band.high),
            Shape::Even => draws.between(self.band.low, self.band.high),
        }
    }

    /// Density of a figure.
    fn density(&self, at: f64) -> f64 {
        let own = match self.shape {
            Shape::Triangle => triangle_density(&self.band, at),
            Shape::Decades => decades_density((self.band.low, self.band.high), at),
            Shape::Even if (self.band.low..=self.band.high).contains(&at) => {
                1.0 / (self.band.high - self.band.low)
            }
            Shape::Even => 0.0,
        };
        (1.0 - SURPRISES) * own + SURPRISES / self.most
    }

    /// A figure near what was read, and the density of that; else a draw.
    pub(super) fn given(&self, read: Option<f64>, deviation: f64, draws: &mut Draws) -> (f64, f64) {
        match read {
            Some(read) => {
                let near = (read + deviation * normal(draws)).max(0.0);
                (near, self.density(near))
            }
            None => (self.draw(draws), 1.0),
        }
    }
}

/// Density of a figure that lies as a triangle over its three ends.
pub(super) fn triangle_density(band: &Band<f64>, at: f64) -> f64 {
    let Band { low, typical, high } = *band;
    let peak = 2.0 / (high - low);
    if at < low || at > high {
        0.0
    } else if at < typical {
        peak * (at - low) / (typical - low)
    } else if high > typical {
        peak * (high - at) / (high - typical)
    } else {
        peak
    }
}

/// Share of sound contacts that are better than their table lists (judgement).
const BETTER: f64 = 0.15;
/// The best of them, against the least that is listed.
const BEST: f64 = 0.1;

/// Ohms of a sound contact: a table's range ends where its readings did, and a
/// good one may lie below it.
pub(super) fn sound_contact(listed: &Band<Ohms>, draws: &mut Draws) -> f64 {
    let least = listed.low.si();
    if least > 0.0 && draws.chance(BETTER) {
        return draws.decades(BEST * least, least);
    }
    draws.quantity(listed)
}

/// A draw of the standard normal curve: twelve even ones less six.
pub(super) fn normal(draws: &mut Draws) -> f64 {
    (0..12).map(|_| draws.between(0.0, 1.0)).sum::<f64>() - 6.0
}
