//! Loads and solenoids by class.

use crate::quantities::{Amps, Band, Ohms, Volts, Watts};
use crate::sources::Sourced;
use crate::tables::{OutOfTable, figure, need, row_named};

/// How the current of a load follows its voltage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadLaw {
    /// Electronics behind a converter: the same power at any voltage.
    Power,
    /// The same current at any voltage.
    Current,
    /// A resistance.
    Resistance,
    /// A filament, hot at its voltage.
    Lamp,
    /// Draws nothing from the battery.
    None,
}

/// A load by its class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadClass {
    /// Its law.
    pub law: LoadLaw,
    /// Voltage the currents belong to.
    pub at: Volts,
    /// Current at that voltage.
    pub current: Band<Amps>,
    /// Current on switching on, as a multiple, where it is higher.
    pub inrush: Option<Band<f64>>,
    /// Voltage below which it shuts down, where it does.
    pub cut_off: Option<Volts>,
}

impl LoadClass {
    /// Power at its voltage.
    pub fn power(&self) -> Band<Watts> {
        Band::new(
            self.current.low * self.at,
            self.current.typical * self.at,
            self.current.high * self.at,
        )
    }

    /// Resistance at its voltage; `None` for a load that draws nothing.
    pub fn resistance(&self) -> Option<Band<Ohms>> {
        let draws = self.current.low.si() > 0.0;
        draws.then(|| {
            Band::new(
                self.at / self.current.high,
                self.at / self.current.typical,
                self.at / self.current.low,
            )
        })
    }
}

/// A load by its class name.
///
/// # Errors
/// When there is no such class; the refusal lists them.
pub fn load_class(name: &str) -> Result<Sourced<LoadClass>, OutOfTable> {
    let table = need("load-classes")?;
    let row = row_named(table, "class", name.trim(), "load class")?;
    let law = match table.text(row, "law") {
        Some("power") => LoadLaw::Power,
        Some("current") => LoadLaw::Current,
        Some("resistance") => LoadLaw::Resistance,
        Some("lamp") => LoadLaw::Lamp,
        _ => LoadLaw::None,
    };
    let amps = |column: &str| figure(table, row, column).map(Amps::new);
    let inrush = table.number(row, "inrush_typical").map(|typical| Band {
        low: table.number(row, "inrush_low").unwrap_or(typical),
        typical,
        high: table.number(row, "inrush_high").unwrap_or(typical),
    });
    Ok(Sourced::new(
        LoadClass {
            law,
            at: Volts::new(figure(table, row, "volts_v")?),
            current: Band::new(amps("low_a")?, amps("typical_a")?, amps("high_a")?),
            inrush,
            cut_off: table.number(row, "cut_off_v").map(Volts::new),
        },
        table.row_source(row),
    ))
}

/// A solenoid by its class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolenoidClass {
    /// Coil at 20 degrees C.
    pub coil: Band<Ohms>,
    /// Current its driver holds it with, where the driver limits it.
    pub hold: Option<Band<Amps>>,
    /// Current its driver pulls it in with, where the driver limits it.
    pub peak: Option<Amps>,
}

/// A solenoid by its class name.
///
/// # Errors
/// When there is no such class; the refusal lists them.
pub fn solenoid_class(name: &str) -> Result<Sourced<SolenoidClass>, OutOfTable> {
    let table = need("solenoid-classes")?;
    let row = row_named(table, "class", name.trim(), "solenoid class")?;
    let ohms = |column: &str| figure(table, row, column).map(Ohms::new);
    let amps = |column: &str| table.number(row, column).map(Amps::new);
    let hold = match (
        amps("hold_low_a"),
        amps("hold_typical_a"),
        amps("hold_high_a"),
    ) {
        (Some(low), Some(typical), Some(high)) => Some(Band::new(low, typical, high)),
        _ => None,
    };
    Ok(Sourced::new(
        SolenoidClass {
            coil: Band::new(ohms("low_ohm")?, ohms("typical_ohm")?, ohms("high_ohm")?),
            hold,
            peak: amps("peak_a"),
        },
        table.row_source(row),
    ))
}
