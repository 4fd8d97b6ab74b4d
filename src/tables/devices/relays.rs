//! Relays and starter solenoids by class.

use crate::quantities::{Amps, Band, Celsius, Ohms, Seconds, Volts};
use crate::sources::Sourced;
use crate::tables::{OutOfTable, figure, interpolation, need, row_named};

/// A relay by its class, coil at 20 degrees C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RelayClass {
    /// Coil; for a shift solenoid its hold winding.
    pub coil: Band<Ohms>,
    /// Winding of a shift solenoid that only pulls in, through the motor.
    pub pull_in_winding: Option<Band<Ohms>>,
    /// Voltage from which it closes; grows with coil temperature.
    pub pull_in: Band<Volts>,
    /// Voltage below which it opens; grows with coil temperature.
    pub drop_out: Band<Volts>,
    /// Main contact.
    pub contact: Band<Ohms>,
    /// Continuous current of the closing contact.
    pub continuous: Amps,
    /// Continuous current of the opening contact, where there is one.
    pub continuous_opening: Option<Amps>,
    /// Time to close at its voltage.
    pub operate: Seconds,
    /// Time to open, without a diode.
    pub release: Seconds,
    /// Resistor across the coil, where one is usual.
    pub suppression: Option<Ohms>,
}

/// A relay by its class name: "plug-in", "micro plug-in", "starter-solenoid",
/// "shift-solenoid".
///
/// # Errors
/// When there is no such class; the refusal lists them.
pub fn relay_class(name: &str) -> Result<Sourced<RelayClass>, OutOfTable> {
    let table = need("relay-classes")?;
    let row = row_named(table, "class", name.trim(), "relay class")?;
    let of = |column: &str| figure(table, row, column);
    let ohms = |low: &str, typical: &str, high: &str, unit: f64| -> Result<_, OutOfTable> {
        Ok(Band::new(
            Ohms::new(of(low)? * unit),
            Ohms::new(of(typical)? * unit),
            Ohms::new(of(high)? * unit),
        ))
    };
    let volts = |low: &str, typical: &str, high: &str| -> Result<_, OutOfTable> {
        Ok(Band::new(
            Volts::new(of(low)?),
            Volts::new(of(typical)?),
            Volts::new(of(high)?),
        ))
    };
    let pull_in_winding = match table.number(row, "winding_ohm") {
        Some(_) => Some(ohms(
            "winding_low_ohm",
            "winding_ohm",
            "winding_high_ohm",
            1.0,
        )?),
        None => None,
    };
    Ok(Sourced::new(
        RelayClass {
            coil: ohms("coil_low_ohm", "coil_ohm", "coil_high_ohm", 1.0)?,
            pull_in_winding,
            pull_in: volts("pull_in_low_v", "pull_in_v", "pull_in_high_v")?,
            drop_out: volts("drop_out_low_v", "drop_out_v", "drop_out_high_v")?,
            contact: ohms(
                "contact_low_mohm",
                "contact_mohm",
                "contact_high_mohm",
                1e-3,
            )?,
            continuous: Amps::new(of("continuous_a")?),
            continuous_opening: table.number(row, "opening_a").map(Amps::new),
            operate: Seconds::new(of("operate_ms")? / 1000.0),
            release: Seconds::new(of("release_ms")? / 1000.0),
            suppression: table.number(row, "suppression_ohm").map(Ohms::new),
        },
        table.row_source(row),
    ))
}

/// Continuous current of a contact at an ambient, from its rating at 23 degrees
/// C: in the proportion 30, 20, 15 A at 23, 85, 105 degrees C.
///
/// # Errors
/// Above 105 degrees C.
pub fn contact_current_at(rating: Amps, ambient: Celsius) -> Result<Sourced<Amps>, OutOfTable> {
    let table = need("relay-derating")?;
    let points: Vec<(f64, f64)> = (0..table.rows.len())
        .filter_map(|row| {
            Some((
                table.number(row, "ambient_degc")?,
                table.number(row, "continuous_a")?,
            ))
        })
        .collect();
    let first = points.first().copied().unwrap_or((23.0, 1.0));
    let amps = interpolation::between(&points, ambient.si().max(first.0)).ok_or_else(|| {
        OutOfTable::new(
            format!("no relay rating at {ambient}"),
            "it is listed up to 105 degrees C",
            &table.id,
        )
    })?;
    Ok(Sourced::new(
        Amps::new(rating.si() * amps / first.1),
        table.source.clone(),
    ))
}
