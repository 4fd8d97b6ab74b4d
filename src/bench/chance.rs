//! Draws of figures within their ranges, from a printed seed.

use super::COVERAGE;
use crate::quantities::{Band, Quantity};

/// A seeded source of draws: the same seed gives the same draws.
#[derive(Debug, Clone)]
pub struct Draws {
    rng: fastrand::Rng,
    seed: u64,
}

impl Draws {
    /// Starts from a seed.
    pub fn seeded(seed: u64) -> Self {
        Self {
            rng: fastrand::Rng::with_seed(seed),
            seed,
        }
    }

    /// The seed it started from.
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// A figure of a range: triangular, its peak at the typical figure.
    pub fn of(&mut self, band: Band<f64>) -> f64 {
        let width = band.high - band.low;
        if width <= 0.0 {
            return band.typical;
        }
        let share = self.rng.f64();
        let peak = (band.typical - band.low) / width;
        if share < peak {
            band.low + width * (share * peak).sqrt()
        } else {
            band.high - width * ((1.0 - share) * (1.0 - peak)).sqrt()
        }
    }

    /// A quantity of a range, in its base unit.
    pub fn quantity<Q: Quantity>(&mut self, band: &Band<Q>) -> f64 {
        self.of(band.si())
    }

    /// Anywhere between two figures, all alike.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.rng.f64()
    }

    /// Anywhere between two figures above zero, every decade alike.
    pub fn decades(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.rng.f64())
    }

    /// True so many times in one.
    pub fn chance(&mut self, share: f64) -> bool {
        self.rng.f64() < share
    }
}

/// The range with as many specimens below it as above, `COVERAGE` inside;
/// widened where needed to hold `typical`.
pub(super) fn range(mut sample: Vec<f64>, typical: f64) -> Band<f64> {
    sample.sort_by(f64::total_cmp);
    let outside = ((1.0 - COVERAGE) / 2.0 * sample.len() as f64) as usize;
    let low = sample.get(outside).copied().unwrap_or(typical);
    let high = sample.iter().rev().nth(outside).copied().unwrap_or(typical);
    Band {
        low: low.min(typical),
        typical,
        high: high.max(typical),
    }
}
