//! Heat of a locked winding.

use crate::quantities::{Celsius, Seconds};
use crate::sources::Sourced;
use crate::tables::{OutOfTable, figure, need, row_named};

/// What a winding takes before its insulation fails.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindingHeat {
    /// Copper by the watt of rated input, kilograms.
    pub copper_kg_per_w: f64,
    /// Factor by which that may be off, either way.
    pub spread: f64,
    /// Temperature its insulation stands.
    pub limit: Celsius,
    /// Time in which it loses 63 % of its rise while it stands.
    pub cools: Seconds,
}

/// Heat of windings of small motors.
///
/// # Errors
/// When the table cannot be read.
pub fn winding_heat() -> Result<Sourced<WindingHeat>, OutOfTable> {
    let table = need("winding-heat")?;
    let of = |name: &str| -> Result<f64, OutOfTable> {
        let row = row_named(table, "quantity", name, "quantity")?;
        figure(table, row, "value")
    };
    Ok(Sourced::new(
        WindingHeat {
            copper_kg_per_w: of("copper by rated input")? / 1000.0,
            spread: of("spread of the copper, factor either way")?,
            limit: Celsius::new(of("limit of the winding's insulation, class F")?),
            cools: Seconds::new(of(
                "time in which a standing winding loses 63 % of its rise",
            )?),
        },
        table.source.clone(),
    ))
}
