//! Continuous current of wire, and its factors for engine spaces and bundles.
//!
//! AWG and SAE sizes take the row of the same number in 33 CFR 183.425 table 5,
//! as the law reads, though SAE wire has less copper. Metric sizes take ISO
//! 10133 annex A, recalled. Insulation rounds down to a column; unknown
//! insulation takes the 60 degree column.
//!
//! Used by sizing, protection and the wire temperature model.

use super::conductors::{area, gauge_row, gauges_of, standard_sizes};
use super::{OutOfTable, Table, figure, need};
use crate::quantities::{Amps, Celsius, SizeSystem, WireSize};
use crate::sources::Sourced;

/// A continuous current and the cell it was read from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ampacity {
    /// Continuous current at 30 degrees C in the open.
    pub current: Amps,
    /// The insulation column that was read.
    pub column: Celsius,
    /// The row that was read.
    pub row: WireSize,
}

/// Continuous current at 30 degrees C, not in an engine space, not bundled.
///
/// # Errors
/// When the size has no row or the insulation is below 60 degrees C.
///
/// # Source
/// 33 CFR 183.425 table 5; ISO 10133 annex A (unverified) for metric wire.
pub fn ampacity(
    size: WireSize,
    insulation: Option<Celsius>,
) -> Result<Sourced<Ampacity>, OutOfTable> {
    let table = need(match size.system() {
        SizeSystem::Metric => "ampacity-iso-10133",
        SizeSystem::Awg | SizeSystem::Sae => "ampacity-cfr",
    })?;
    let (column, name) = insulation_column(table, insulation)?;
    let (row, row_size) = match size {
        WireSize::Metric(mm2) => metric_row(table, mm2)?,
        WireSize::Awg(number) | WireSize::Sae(number) => {
            let row = gauge_row(table, "size", number).ok_or_else(|| {
                OutOfTable::new(
                    format!("no ampacity for {size}"),
                    format!("the law lists {} AWG", gauges_of(table)),
                    &table.id,
                )
            })?;
            (row, size)
        }
    };
    let current = Amps::new(figure(table, row, &name)?);
    Ok(Sourced::new(
        Ampacity {
            current,
            column,
            row: row_size,
        },
        table.row_source(row),
    ))
}

/// What a size may carry at most, also for one between or below the rows: the
/// figure of the next thicker size listed.
///
/// # Errors
/// As [`ampacity`], for insulation, and for a size thicker than all rows.
pub fn ampacity_at_most(
    size: WireSize,
    insulation: Option<Celsius>,
) -> Result<Sourced<Ampacity>, OutOfTable> {
    let exact = ampacity(size, insulation);
    if exact.is_ok() {
        return exact;
    }
    let copper = area(size)?.value;
    let is_thicker = |listed: &WireSize| area(*listed).is_ok_and(|found| found.value >= copper);
    let mut figures = standard_sizes(size.system())?
        .into_iter()
        .filter(is_thicker)
        .map(|listed| ampacity(listed, insulation));
    figures.find(Result::is_ok).unwrap_or(exact)
}

/// The largest column at or below the insulation: its temperature and name.
fn insulation_column(
    table: &Table,
    insulation: Option<Celsius>,
) -> Result<(Celsius, String), OutOfTable> {
    let wanted_degc = insulation.map_or(60.0, Celsius::si);
    let columns: Vec<(f64, &str)> = table
        .columns
        .iter()
        .filter_map(|column| {
            let middle = column
                .name
                .strip_prefix("insulation_")?
                .strip_suffix("_a")?;
            Some((middle.parse().ok()?, column.name.as_str()))
        })
        .collect();
    columns
        .iter()
        .rev()
        .find(|(degc, _)| *degc <= wanted_degc)
        .map(|(degc, name)| (Celsius::new(*degc), (*name).to_owned()))
        .ok_or_else(|| {
            let list: Vec<String> = columns.iter().map(|(degc, _)| degc.to_string()).collect();
            OutOfTable::new(
                format!(
                    "no ampacity for insulation of {}",
                    Celsius::new(wanted_degc)
                ),
                format!("insulation is listed at {} degrees C", list.join(", ")),
                &table.id,
            )
        })
}

fn metric_row(table: &Table, mm2: f64) -> Result<(usize, WireSize), OutOfTable> {
    let areas: Vec<f64> = (0..table.rows.len())
        .filter_map(|row| table.number(row, "area_mm2"))
        .collect();
    let last = areas.last().copied().unwrap_or(0.0);
    let found = areas.iter().rposition(|area| *area <= mm2 + 1e-9);
    match found {
        Some(row) if mm2 <= last + 1e-9 => Ok((row, WireSize::Metric(areas[row]))),
        _ => Err(OutOfTable::new(
            format!("no ampacity for {mm2} mm2"),
            "it lists 0.75 to 120 mm2; an area between rows takes the row below",
            &table.id,
        )),
    }
}

/// Factor on the ampacity for wire in an engine space.
///
/// # Errors
/// When the insulation is not listed; ISO 10133 allows no 60 degree insulation
/// in engine spaces.
///
/// # Source
/// 33 CFR 183.425 table 5 note 1 (only the 105 degree factor was read); ISO
/// 10133 annex A note (unverified) for metric wire.
pub fn engine_space_factor(
    system: SizeSystem,
    insulation: Option<Celsius>,
) -> Result<Sourced<f64>, OutOfTable> {
    let table = need(match system {
        SizeSystem::Metric => "engine-space-factors-iso",
        SizeSystem::Awg | SizeSystem::Sae => "engine-space-factors-cfr",
    })?;
    let wanted_degc = insulation.map_or(60.0, Celsius::si);
    let row = (0..table.rows.len()).rev().find(|&row| {
        table
            .number(row, "insulation_degc")
            .is_some_and(|degc| degc <= wanted_degc)
    });
    let row = row.ok_or_else(|| {
        let has = match system {
            SizeSystem::Metric => "metric wire needs 70 degrees C or better there",
            SizeSystem::Awg | SizeSystem::Sae => "insulation is listed from 60 degrees C",
        };
        OutOfTable::new(
            format!(
                "no engine-space factor for insulation of {}",
                Celsius::new(wanted_degc)
            ),
            has,
            &table.id,
        )
    })?;
    Ok(Sourced::new(
        figure(table, row, "factor")?,
        table.row_source(row),
    ))
}

/// Factor on the ampacity for a number of loaded conductors together.
///
/// # Limits
/// Law at 50 V and above only; below it is advice.
///
/// # Errors
/// When the number is zero.
///
/// # Source
/// 33 CFR 183.425 table 5 note 2.
pub fn bundle_factor(conductors: u32) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("bundle-factors-cfr")?;
    let count = f64::from(conductors);
    let row = (0..table.rows.len()).find(|&row| {
        let from = table.number(row, "conductors_from");
        let to = table.number(row, "conductors_to");
        from.is_some_and(|from| from <= count) && to.is_some_and(|to| count <= to)
    });
    let row = row.ok_or_else(|| {
        OutOfTable::new(
            format!("no bundle factor for {conductors} conductors"),
            "it counts from one conductor",
            &table.id,
        )
    })?;
    Ok(Sourced::new(
        figure(table, row, "factor")?,
        table.row_source(row),
    ))
}
