//! Currents as they run: constant, falling, repeated. In multiples of the
//! fuse's rating in its air.

/// A stretch of current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// Multiple of the rating at its start.
    pub from: f64,
    /// Multiple it falls towards; the same for a constant current.
    pub towards: f64,
    /// Time in which 63 % of the way is gone, seconds; not used where constant.
    pub decay_s: f64,
    /// How long it lasts, seconds; infinite for good.
    pub lasts_s: f64,
}

impl Course {
    /// A constant current.
    pub const fn constant(multiple: f64, lasts_s: f64) -> Self {
        Self {
            from: multiple,
            towards: multiple,
            decay_s: 1.0,
            lasts_s,
        }
    }

    /// A current that falls (or rises) exponentially.
    pub const fn falling(from: f64, towards: f64, decay_s: f64, lasts_s: f64) -> Self {
        Self {
            from,
            towards,
            decay_s,
            lasts_s,
        }
    }

    /// Whether it does not change.
    pub fn is_constant(&self) -> bool {
        (self.from - self.towards).abs() <= 1e-12 * self.from.abs()
    }

    /// Multiple at a time after its start.
    pub fn at(&self, t: f64) -> f64 {
        if self.is_constant() {
            return self.from;
        }
        self.towards + (self.from - self.towards) * (-t / self.decay_s).exp()
    }

    /// The part of it that starts later.
    #[must_use]
    pub fn later(&self, t: f64, lasts_s: f64) -> Self {
        Self {
            from: self.at(t),
            lasts_s,
            ..*self
        }
    }
}

/// Courses one after the other, and how often.
#[derive(Debug, Clone, PartialEq)]
pub struct Duty {
    /// The courses of one round.
    pub courses: Vec<Course>,
    /// How many rounds; 1 for a single pulse.
    pub rounds: u32,
}

impl Duty {
    /// One round.
    pub fn once(courses: Vec<Course>) -> Self {
        Self { courses, rounds: 1 }
    }
}
