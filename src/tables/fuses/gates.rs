//! Opening gates: by each multiple of the rating, the earliest and the latest.

use super::style::{FuseStyle, within_range};
use crate::quantities::{Amps, Seconds};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::{OutOfTable, Table, need};

/// One gate, from cold at 23 degrees C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gate {
    /// Current over rating.
    pub multiple: f64,
    /// It opens no sooner; infinite where it never opens, `None` where nothing
    /// is promised.
    pub earliest: Option<Seconds>,
    /// It opens no later; `None` where it need not open.
    pub latest: Option<Seconds>,
    /// The weaker standing of the two edges.
    pub standing: Standing,
}

fn gate(table: &Table, row: usize) -> Option<Gate> {
    let earliest = table.number(row, "earliest_s").map(Seconds::new);
    let latest = table
        .number(row, "latest_s")
        .filter(|seconds| seconds.is_finite())
        .map(Seconds::new);
    Some(Gate {
        multiple: table.number(row, "multiple")?,
        earliest,
        latest,
        standing: table.row_source(row).standing,
    })
}

fn sorted(mut gates: Vec<Gate>, source: Source) -> Sourced<Vec<Gate>> {
    gates.sort_by(|a, b| a.multiple.total_cmp(&b.multiple));
    let standing = gates
        .iter()
        .map(|gate| gate.standing)
        .max()
        .unwrap_or(source.standing);
    Sourced::new(gates, Source { standing, ..source })
}

/// Gates of a fuse, by rising multiple; the source carries the weakest standing.
///
/// Blades take the widest band of the competing tables. Glass takes published
/// latest times at 1.35 and 2.0 x; its earliest times, and everything above
/// 2 x, are a band assumed for modelling.
///
/// # Errors
/// When the family is not made in this rating.
pub fn gates(style: FuseStyle, rating: Amps) -> Result<Sourced<Vec<Gate>>, OutOfTable> {
    within_range(style, rating)?;
    match style {
        FuseStyle::Blade | FuseStyle::MiniBlade | FuseStyle::HighCurrentBlade => {
            let table = need("gates-blade")?;
            let set = style.gate_family();
            Ok(sorted(
                of_set(table, |row| table.text(row, "set") == Some(set)),
                table.source.clone(),
            ))
        }
        FuseStyle::Strip => {
            let table = need("gates-strip")?;
            Ok(sorted(of_set(table, |_| true), table.source.clone()))
        }
        FuseStyle::Glass | FuseStyle::SlowGlass => glass(style, rating),
    }
}

fn of_set(table: &Table, keep: impl Fn(usize) -> bool) -> Vec<Gate> {
    (0..table.rows.len())
        .filter(|&row| keep(row))
        .filter_map(|row| gate(table, row))
        .collect()
}

fn glass(style: FuseStyle, rating: Amps) -> Result<Sourced<Vec<Gate>>, OutOfTable> {
    let table = need("gates-glass")?;
    let band = format!("{style}, model band");
    let hold = format!("{style}, hold");
    let rows = of_set(table, |row| match table.text(row, "set") {
        Some(set) if set == band => {
            let above = table.number(row, "rating_from_a").unwrap_or(f64::INFINITY);
            let to = table.number(row, "rating_to_a").unwrap_or(0.0);
            above < rating.si() && rating.si() <= to
        }
        Some(set) if set == hold => table.number(row, "multiple") == Some(1.10),
        _ => false,
    });
    Ok(sorted(rows, table.source.clone()))
}

/// Hold and trip window of a thermal breaker at 25 degrees C.
///
/// # Errors
/// When the table cannot be read.
///
/// # Source
/// UL 1077 trip window; the earliest time at 1.35 x is assumed (20 s).
pub fn breaker_gates() -> Result<Sourced<Vec<Gate>>, OutOfTable> {
    let table = need("gates-breaker")?;
    let rows = of_set(table, |row| {
        let assumed = table.text(row, "set") == Some("model band");
        assumed || table.number(row, "multiple") != Some(1.35)
    });
    Ok(sorted(rows, table.source.clone()))
}
