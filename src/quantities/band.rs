//! A figure as a range: low, typical, high.

use super::types::Quantity;
use std::ops::Add;

/// A range of a quantity. `low <= typical <= high`; a plain figure has all
/// three alike.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Band<Q> {
    /// The smallest value.
    pub low: Q,
    /// The value used where one is needed.
    pub typical: Q,
    /// The largest value.
    pub high: Q,
}

impl<Q: Quantity> Band<Q> {
    /// Makes a band from its three figures, in any order of the ends.
    pub fn new(low: Q, typical: Q, high: Q) -> Self {
        if low.si() <= high.si() {
            Self { low, typical, high }
        } else {
            Self {
                low: high,
                typical,
                high: low,
            }
        }
    }

    /// A plain figure, without a range.
    pub fn exactly(value: Q) -> Self {
        Self {
            low: value,
            typical: value,
            high: value,
        }
    }

    /// A figure with the same share either side: `0.1` for plus or minus ten
    /// percent.
    pub fn within(typical: Q, share: f64) -> Self {
        let reach = (typical.si() * share).abs();
        Self {
            low: Q::new(typical.si() - reach),
            typical,
            high: Q::new(typical.si() + reach),
        }
    }

    /// From low and high alone; the middle is typical.
    pub fn between(low: Q, high: Q) -> Self {
        Self::new(low, Q::new(f64::midpoint(low.si(), high.si())), high)
    }

    /// Whether low and high differ.
    pub fn is_range(&self) -> bool {
        self.low.si() < self.high.si()
    }

    /// The three figures in the base unit.
    pub fn si(&self) -> Band<f64> {
        Band {
            low: self.low.si(),
            typical: self.typical.si(),
            high: self.high.si(),
        }
    }

    /// Multiplies all three by a positive factor.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let by = |q: Q| Q::new(q.si() * factor);
        Self::new(by(self.low), by(self.typical), by(self.high))
    }
}

impl Band<f64> {
    /// All three times a factor above zero.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self {
            low: self.low * factor,
            typical: self.typical * factor,
            high: self.high * factor,
        }
    }
}

impl Add for Band<f64> {
    type Output = Self;
    /// End to end: what follows one another in a line.
    fn add(self, other: Self) -> Self {
        Self {
            low: self.low + other.low,
            typical: self.typical + other.typical,
            high: self.high + other.high,
        }
    }
}
