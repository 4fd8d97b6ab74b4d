//! Numbered work steps with the readings to expect.

/// One step of work.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Step {
    /// What to do, as an order.
    pub action: String,
    /// What to look out for; shown before the action.
    pub cautions: Vec<String>,
    /// Where the meter's leads or its clamp go.
    pub meter: Option<String>,
    /// What the meter should show.
    pub expected: Vec<Expected>,
    /// Figures to hold the readings against.
    pub notes: Vec<String>,
    /// What a reading outside means.
    pub outside: Vec<String>,
    /// When to stop at once.
    pub stop_if: Option<String>,
}

/// A reading to take, with a blank to write it into.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expected {
    /// What is read: `current`, `volts at the pump`.
    pub quantity: String,
    /// What to expect, printed: `2.6 to 3.8 A, most likely 3.1 A`.
    pub range: String,
    /// Unit after the blank; `None` for a reading without a blank, empty for a
    /// blank without a unit.
    pub blank: Option<String>,
}

impl Expected {
    /// A reading with a blank followed by its unit.
    pub fn new(
        quantity: impl Into<String>,
        range: impl Into<String>,
        unit: impl Into<String>,
    ) -> Self {
        Self {
            quantity: quantity.into(),
            range: range.into(),
            blank: Some(unit.into()),
        }
    }

    /// A reading that needs no writing down: `the lamp lights`.
    pub fn to_see(quantity: impl Into<String>, range: impl Into<String>) -> Self {
        Self {
            quantity: quantity.into(),
            range: range.into(),
            blank: None,
        }
    }
}
