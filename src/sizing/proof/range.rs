//! A stretch of numbers that surely holds an unknown one.

/// From the least to the most that something can be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Range {
    /// The least.
    pub low: f64,
    /// The most.
    pub high: f64,
}

/// Room for rounding at every cut, relative and absolute: far above what a
/// handful of operations loses, far below what any limit notices.
const ROOM: f64 = 1e-12;

impl Range {
    /// One number.
    pub(super) const fn exactly(value: f64) -> Self {
        Self {
            low: value,
            high: value,
        }
    }

    /// As far either way.
    pub(super) const fn within(most: f64) -> Self {
        Self {
            low: -most,
            high: most,
        }
    }

    /// Width.
    pub(super) fn width(self) -> f64 {
        self.high - self.low
    }

    /// The least and the most of some numbers.
    pub(super) fn over(values: impl IntoIterator<Item = f64>) -> Self {
        let empty = Self {
            low: f64::INFINITY,
            high: f64::NEG_INFINITY,
        };
        values.into_iter().fold(empty, |all, value| Self {
            low: all.low.min(value),
            high: all.high.max(value),
        })
    }

    /// What holds either of two.
    pub(super) fn or(self, other: Self) -> Self {
        Self {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }

    /// What holds both, with room for rounding; none where they part.
    pub(super) fn and(self, other: Self) -> Option<Self> {
        let room = |value: f64| ROOM * (1.0 + value.abs());
        let low = self.low.max(other.low - room(other.low));
        let high = self.high.min(other.high + room(other.high));
        (low <= high).then_some(Self { low, high })
    }

    /// Sum of two.
    pub(super) fn plus(self, other: Self) -> Self {
        Self {
            low: self.low + other.low,
            high: self.high + other.high,
        }
    }

    /// Difference of two.
    pub(super) fn less(self, other: Self) -> Self {
        Self {
            low: self.low - other.high,
            high: self.high - other.low,
        }
    }

    /// Times a range above zero.
    pub(super) fn times(self, by: Self) -> Self {
        Self::over([
            self.low * by.low,
            self.low * by.high,
            self.high * by.low,
            self.high * by.high,
        ])
    }

    /// Over a range above zero.
    pub(super) fn over_positive(self, by: Self) -> Self {
        self.times(Self {
            low: 1.0 / by.high,
            high: 1.0 / by.low,
        })
    }

    /// The largest absolute value.
    pub(super) fn most(self) -> f64 {
        self.low.abs().max(self.high.abs())
    }

    /// The least absolute value.
    pub(super) fn least(self) -> f64 {
        if self.low > 0.0 {
            self.low
        } else if self.high < 0.0 {
            -self.high
        } else {
            0.0
        }
    }

    /// The other way round.
    pub(super) fn turned(self) -> Self {
        Self {
            low: -self.high,
            high: -self.low,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Range;

    #[test]
    fn what_holds_both_is_nothing_where_they_part() {
        let one = Range {
            low: 1.0,
            high: 2.0,
        };
        let other = Range {
            low: 1.5,
            high: 4.0,
        };
        let both = one.and(other).expect("they meet");
        assert!((both.low - 1.5).abs() < 1e-11 && (both.high - 2.0).abs() < 1e-11);
        let apart = Range {
            low: 2.1,
            high: 3.0,
        };
        assert_eq!(one.and(apart), None);
    }

    #[test]
    fn products_and_quotients_hold_every_pair() {
        let one = Range {
            low: -2.0,
            high: 3.0,
        };
        let by = Range {
            low: 0.5,
            high: 4.0,
        };
        assert_eq!(
            one.times(by),
            Range {
                low: -8.0,
                high: 12.0
            }
        );
        assert_eq!(
            one.over_positive(by),
            Range {
                low: -4.0,
                high: 6.0
            }
        );
        assert!((one.least(), one.most()) == (0.0, 3.0));
    }
}
