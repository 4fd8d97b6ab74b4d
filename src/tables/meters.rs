//! What a hand meter adds to a circuit, how far it is off, and what leakage
//! readings mean.
//!
//! Used by the bench and interpret studies.

use super::{OutOfTable, figure, need, row_named};
use crate::quantities::{Band, Fraction, Ohms};
use crate::sources::{Source, Sourced, Standing};

/// How current is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Meter {
    /// A clamp around the wire: adds nothing.
    Clamp,
    /// The meter's ampere jack, in the wire.
    Jack,
}

impl Meter {
    /// The word in circuit files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Clamp => "clamp",
            Self::Jack => "jack",
        }
    }

    /// Reads the word back.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Clamp, Self::Jack]
            .into_iter()
            .find(|meter| meter.word() == word)
    }
}

/// What is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MeterReading {
    /// Volts on the 20 V range; the figure `plus` is in volts.
    Volts,
    /// Millivolts on the 200 mV range; `plus` in volts.
    Millivolts,
    /// Ohms on the lowest range with the leads not nulled; `plus` in ohms.
    Ohms,
    /// Amperes through the jack; `plus` in amperes.
    JackAmps,
    /// Amperes by a 40 to 60 A clamp, zeroed; `plus` in amperes.
    ClampAmps,
    /// Amperes by a 400 to 600 A clamp, for starters; `plus` in amperes.
    LargeClampAmps,
    /// Speed from eight or more humps of ripple.
    Speed,
}

/// Error of a reading: `share` of it and `plus`, in the unit of the reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Share of the reading.
    pub share: Fraction,
    /// Fixed part, in volts, ohms or amperes.
    pub plus: f64,
}

/// Series resistance a current reading puts in the circuit, leads included.
///
/// # Errors
/// When the table cannot be read.
pub fn burden(meter: Meter) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    match meter {
        Meter::Clamp => Ok(Sourced::new(
            Band::exactly(Ohms::new(0.0)),
            Source::new(
                "a clamp is not in the circuit",
                "",
                Standing::CommonPractice,
            ),
        )),
        Meter::Jack => resistance_of("ampere jack with leads and probe contact"),
    }
}

/// Resistance of a pair of clip leads, 1 m long.
///
/// # Errors
/// When the table cannot be read.
pub fn clip_leads() -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    resistance_of("pair of clip leads, 1 m")
}

/// Resistance of a pair of probe leads.
///
/// # Errors
/// When the table cannot be read.
pub fn probe_leads() -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    resistance_of("pair of probe leads")
}

/// Resistance of the meter's volts input.
///
/// # Errors
/// When the table cannot be read.
pub fn volts_input() -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    resistance_of("volts input")
}

fn resistance_of(item: &str) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    let table = need("meter-burden")?;
    let row = row_named(table, "item", item, "item")?;
    let ohms = |column: &str| figure(table, row, column).map(Ohms::new);
    Ok(Sourced::new(
        Band::new(ohms("low_ohm")?, ohms("typical_ohm")?, ohms("high_ohm")?),
        table.row_source(row),
    ))
}

/// Accuracy to assume of an unknown meter.
///
/// # Errors
/// When the table cannot be read.
pub fn accuracy(reading: MeterReading) -> Result<Sourced<Accuracy>, OutOfTable> {
    let table = need("meter-accuracy")?;
    let name = match reading {
        MeterReading::Volts => "dc volts, 20 V range",
        MeterReading::Millivolts => "dc millivolts, 200 mV range",
        MeterReading::Ohms => "ohms, lowest range",
        MeterReading::JackAmps => "dc amps, 10 A jack",
        MeterReading::ClampAmps => "dc clamp, 40 to 60 A range",
        MeterReading::LargeClampAmps => "dc clamp, 400 to 600 A range",
        MeterReading::Speed => "speed from ripple, 8 humps or more",
    };
    let row = row_named(table, "reading", name, "reading")?;
    Ok(Sourced::new(
        Accuracy {
            share: Fraction::new(figure(table, row, "percent")? / 100.0),
            plus: figure(table, row, "plus")?,
        },
        table.row_source(row),
    ))
}

/// What a reading to ground from the load side of an empty fuse holder means,
/// with every load unplugged and the battery off.
///
/// # Errors
/// When the resistance is negative.
pub fn leak_meaning(reading: Ohms) -> Result<Sourced<&'static str>, OutOfTable> {
    let table = need("leak-readings")?;
    let row = (0..table.rows.len()).find(|&row| {
        let unplugged = table
            .text(row, "connected")
            .is_some_and(|words| words.starts_with("loads unplugged"));
        let low = table.number(row, "low_ohm");
        let high = table.number(row, "high_ohm");
        unplugged
            && low.is_some_and(|low| low <= reading.si())
            && high.is_some_and(|high| reading.si() <= high)
    });
    let found = row.and_then(|row| Some((row, table.text(row, "meaning")?)));
    match found {
        Some((row, meaning)) => Ok(Sourced::new(meaning, table.row_source(row))),
        None => Err(OutOfTable::new(
            format!("no meaning for a reading of {reading}"),
            "readings are zero or more",
            &table.id,
        )),
    }
}

/// Spread of a reading beside the meter's own error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Error of an instrument that is no multimeter, in the unit of the reading.
    pub gauge: Option<Accuracy>,
    /// Share by which real parts differ from the model.
    pub model: Fraction,
}

/// Spread of a reading: `volts`, `amps`, `speed` (rpm), `pressure` (kPa), `ohms`,
/// `millivolts`, `peak` (A), `settling` (ms), `ac volts`, `diode range`.
///
/// # Errors
/// When there is no such reading.
pub fn reading_spread(reading: &str) -> Result<Sourced<Spread>, OutOfTable> {
    let table = need("reading-spread")?;
    let row = row_named(table, "reading", reading, "reading")?;
    let share = |percent: f64| Fraction::new(percent / 100.0);
    let gauge = table
        .number(row, "gauge_percent")
        .zip(table.number(row, "gauge_plus"))
        .map(|(percent, plus)| Accuracy {
            share: share(percent),
            plus,
        });
    let model = share(figure(table, row, "model_percent")?);
    Ok(Sourced::new(Spread { gauge, model }, table.row_source(row)))
}
