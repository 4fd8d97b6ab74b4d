//! What readings of parts on a bench or in a harness are held against.
//!
//! Used by the bench study.

use super::{OutOfTable, figure, need, row_named};
use crate::quantities::{Amps, Band, Ohms, Watts};
use crate::sources::Sourced;

/// A limit with one end or both, in the unit its row names: volts or ohms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Least, where there is one.
    pub low: Option<f64>,
    /// Most, where there is one.
    pub high: Option<f64>,
}

/// Limits of a bench reading, by the words of its row.
///
/// # Errors
/// When there is no such row; the refusal lists them.
pub fn bench_limit(item: &str) -> Result<Sourced<Limits>, OutOfTable> {
    let table = need("bench-limits")?;
    let row = row_named(table, "item", item, "bench reading")?;
    let limits = Limits {
        low: table.number(row, "low"),
        high: table.number(row, "high"),
    };
    Ok(Sourced::new(limits, table.row_source(row)))
}

/// A filament lamp that loads a contact.
#[derive(Debug, Clone, PartialEq)]
pub struct TestLamp {
    /// What to ask for in a shop.
    pub name: &'static str,
    /// Watts at 12 V.
    pub power: Band<Watts>,
}

/// The largest test lamp of at most so many watts, else the smallest there is.
///
/// # Errors
/// When the table cannot be read.
pub fn test_lamp(most: Watts) -> Result<Sourced<TestLamp>, OutOfTable> {
    let table = need("test-lamps")?;
    let fits = |row: &usize| {
        table
            .number(*row, "typical_w")
            .is_some_and(|watts| watts <= most.si())
    };
    // Rows run from the smallest lamp up.
    let row = (0..table.rows.len()).rev().find(fits).unwrap_or(0);
    let watts = |column: &str| figure(table, row, column).map(Watts::new);
    let lamp = TestLamp {
        name: table.text(row, "lamp").unwrap_or_default(),
        power: Band::new(watts("low_w")?, watts("typical_w")?, watts("high_w")?),
    };
    Ok(Sourced::new(lamp, table.row_source(row)))
}

/// One line of [`leaks`]: from, to, and what a reading between them means.
pub type Leak = (Ohms, Ohms, &'static str);

/// What ohms to ground mean with every load unplugged, highest first.
///
/// # Errors
/// When the table cannot be read.
pub fn leaks() -> Result<Vec<Leak>, OutOfTable> {
    let table = need("leak-readings")?;
    let unplugged = |row: &usize| {
        table
            .text(*row, "connected")
            .is_some_and(|words| words.starts_with("loads unplugged"))
    };
    (0..table.rows.len())
        .filter(unplugged)
        .map(|row| {
            let ohms = |column: &str| figure(table, row, column).map(Ohms::new);
            let meaning = table.text(row, "meaning").unwrap_or_default();
            Ok((ohms("low_ohm")?, ohms("high_ohm")?, meaning))
        })
        .collect()
}

/// Ohms to ground of something that stays plugged in, by its words.
///
/// # Errors
/// When there is no such row.
pub fn plugged_in(connected: &str) -> Result<Sourced<(Ohms, Ohms)>, OutOfTable> {
    let table = need("leak-readings")?;
    let row = row_named(table, "connected", connected, "connected part")?;
    let ohms = |column: &str| figure(table, row, column).map(Ohms::new);
    Ok(Sourced::new(
        (ohms("low_ohm")?, ohms("high_ohm")?),
        table.row_source(row),
    ))
}

/// What an opened fuse looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DeadFuse {
    /// What opened it.
    pub cause: &'static str,
    /// Its element.
    pub element: &'static str,
    /// Its body.
    pub body: &'static str,
    /// What to ask first.
    pub ask: &'static str,
}

/// Every look of an opened fuse, in the order of the table.
///
/// # Errors
/// When the table cannot be read.
pub fn dead_fuses() -> Result<Vec<DeadFuse>, OutOfTable> {
    let table = need("failed-element")?;
    let of = |row: usize, column: &str| table.text(row, column).unwrap_or_default();
    Ok((0..table.rows.len())
        .map(|row| DeadFuse {
            cause: of(row, "cause"),
            element: of(row, "element"),
            body: of(row, "body"),
            ask: of(row, "ask_first"),
        })
        .collect())
}

/// Ohms of a charging coil between two leads, by the most its system gives:
/// to 7.5 A, to 20 A, above.
///
/// # Errors
/// When the table cannot be read.
pub fn charging_coil(output: Amps) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    let table = need("charging-ohms")?;
    let system = if output.si() <= 7.5 {
        "4 to 6 hp, 6 to 7 A"
    } else if output.si() <= 20.0 {
        "9, 14 and 16 A"
    } else {
        "three-phase per pair, large four-stroke"
    };
    let row = row_named(table, "system", system, "system")?;
    let ohms = |column: &str| figure(table, row, column).map(Ohms::new);
    Ok(Sourced::new(
        Band::between(ohms("low_ohm")?, ohms("high_ohm")?),
        table.row_source(row),
    ))
}

/// Volts of a charging row: both ends, where given.
///
/// # Errors
/// When there is no such row.
pub fn charging_volts(item: &str) -> Result<Sourced<Limits>, OutOfTable> {
    let table = need("charging-volts")?;
    let row = row_named(table, "item", item, "charging row")?;
    let limits = Limits {
        low: table.number(row, "low_v"),
        high: table.number(row, "high_v"),
    };
    Ok(Sourced::new(limits, table.row_source(row)))
}

/// Ohms of an engine's load, where its row has them.
///
/// # Errors
/// When there is no such load, or it has no ohms.
pub fn engine_load_ohms(load: &str) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    let table = need("engine-loads")?;
    let row = row_named(table, "load", load, "engine load")?;
    let ohms = |column: &str| figure(table, row, column).map(Ohms::new);
    Ok(Sourced::new(
        Band::new(ohms("low_ohm")?, ohms("typical_ohm")?, ohms("high_ohm")?),
        table.row_source(row),
    ))
}
