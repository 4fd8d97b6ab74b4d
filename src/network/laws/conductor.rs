//! Constant conductance: `i = g v`.

use crate::network::parameters::{ParameterError, finite_not_negative, positive};

/// Parameters of [`Law::Conductor`](crate::network::Law::Conductor).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conductor {
    /// Conductance, siemens; zero is truly open.
    pub conductance_s: f64,
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "every law is checked and stored through the same macro, by reference"
)]
impl Conductor {
    /// Open: carries no current at any voltage.
    pub const OPEN: Self = Self { conductance_s: 0.0 };

    /// Number of stored parameters.
    pub(crate) const STORED: usize = 2;

    /// Makes a conductor of `resistance_ohm`.
    ///
    /// # Errors
    /// Zero, negative, infinite or not a number: a branch without resistance is
    /// one node, not a branch. Open is [`Conductor::OPEN`].
    pub fn from_resistance(resistance_ohm: f64) -> Result<Self, ParameterError> {
        positive("resistance_ohm", resistance_ohm)?;
        positive("conductance_s", 1.0 / resistance_ohm)?;
        Ok(Self {
            conductance_s: 1.0 / resistance_ohm,
        })
    }

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        finite_not_negative("conductance_s", self.conductance_s)
    }

    pub(crate) fn stored(&self) -> [f64; Self::STORED] {
        [0.0, self.conductance_s]
    }
}
