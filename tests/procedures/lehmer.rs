//! Draws that share nothing with those of the code.

use ampkeel::quantities::{Band, Quantity};

/// A multiplicative congruential generator (Park and Miller 1988).
pub(crate) struct Lehmer(pub(crate) u64);

impl Lehmer {
    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        self.0 as f64 / 2_147_483_647.0
    }

    /// Triangular by rejection, to share nothing with the inverse in the code.
    pub(crate) fn within<Q: Quantity>(&mut self, band: &Band<Q>) -> f64 {
        self.of(band.low.si(), band.typical.si(), band.high.si())
    }

    pub(crate) fn of(&mut self, low: f64, peak: f64, high: f64) -> f64 {
        if high <= low {
            return peak;
        }
        loop {
            let x = low + (high - low) * self.share();
            let height = if x < peak {
                (x - low) / (peak - low)
            } else {
                (high - x) / (high - peak)
            };
            if self.share() < height {
                return x;
            }
        }
    }
}
