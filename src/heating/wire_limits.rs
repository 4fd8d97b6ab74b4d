//! What an insulation stands, by time: its short-time end temperature up to 5 s,
//! its class from half an hour on, straight in the logarithm of time between.
//!
//! # Source
//! End temperatures of IEC 60724 (160 degC for PVC, 250 for cross-linked); the
//! line between 5 s and half an hour is judgement: half an hour is the longest
//! a fuse may take at 1.35 times its rating, and nothing published was found.

use super::wire::{CROSS_LINKED_DEGC, WireBody, WireHeat};
use crate::devices::WireModel;
use crate::quantities::Celsius;
use crate::sources::Sourced;
use crate::tables::constants::short_time_end;
use crate::tables::{OutOfTable, constants};

/// Longest time the adiabatic formula is for, seconds.
pub const ADIABATIC_S: f64 = 5.0;
/// Time from which only the class counts, seconds.
const CLASS_FROM_S: f64 = 1800.0;

/// Temperature an insulation may reach in a short circuit of up to 5 s.
///
/// # Errors
/// When the table cannot be read.
///
/// # Source
/// IEC 60724: PVC 160 degC, cross-linked polyethylene 250 degC. Below 125 degC
/// class the insulation is taken for PVC, the lower of the two.
pub fn end_temperature(class: Celsius) -> Result<Sourced<Celsius>, OutOfTable> {
    let cross_linked = class.si() >= CROSS_LINKED_DEGC;
    short_time_end(cross_linked).map(|found| found.map(Celsius::new))
}

/// The limits of one wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireLimits {
    /// Class of its insulation.
    pub class: Celsius,
    /// Short-time end temperature.
    pub end: Celsius,
    /// Copper area, mm2.
    pub area_mm2: f64,
}

impl WireLimits {
    /// The limits of a wire; none where no ampacity is published for it.
    ///
    /// # Errors
    /// When the table of end temperatures cannot be read.
    pub fn of(model: &WireModel) -> Result<Option<Self>, OutOfTable> {
        let Ok(allowed) = &model.allowed else {
            return Ok(None);
        };
        Ok(Some(Self {
            class: allowed.class,
            end: end_temperature(allowed.class)?.value,
            area_mm2: model.area_mm2,
        }))
    }

    /// Highest temperature allowed after a time.
    pub fn allowed(&self, seconds: f64) -> Celsius {
        let share = (seconds / ADIABATIC_S).ln() / (CLASS_FROM_S / ADIABATIC_S).ln();
        let share = share.clamp(0.0, 1.0);
        let fall_k = (self.end.si() - self.class.si()).max(0.0);
        Celsius::new(self.end.si() - share * fall_k)
    }

    /// How long a wire stands a constant current; none for good.
    pub fn stands_s(&self, body: &WireBody, heat: WireHeat, current_a: f64) -> Option<f64> {
        body.first(heat, current_a, |t, degc| degc >= self.allowed(t).si())
    }

    /// The same by the adiabatic formula alone: no heat lost, none in the wall.
    ///
    /// # Errors
    /// When the wire starts at or above its end temperature.
    pub fn adiabatic_s(&self, start: Celsius, current_a: f64) -> Result<f64, OutOfTable> {
        let k = constants::short_time_factor(start.si(), self.end.si())?.value;
        let root = k * self.area_mm2 / current_a;
        Ok(root * root)
    }
}
