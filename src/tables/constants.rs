//! Single constants of copper and insulation, each with its source.
//!
//! Used by the wire models: resistance, heat, and short-time heating.

use super::{OutOfTable, figure, need, row_named};
use crate::sources::{Source, Sourced, Standing};

/// A constant of the table `copper` by its name there, in the unit it prints.
///
/// # Errors
/// When there is no such constant; the refusal lists them.
pub fn constant(name: &str) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("copper")?;
    let row = row_named(table, "quantity", name, "constant")?;
    Ok(Sourced::new(
        figure(table, row, "value")?,
        table.row_source(row),
    ))
}

/// Constant of the IEC short-time formula k = c sqrt(ln(1 + (Tf - Ti)/(234.5 +
/// Ti))), in A s^0.5/mm2.
///
/// # Errors
/// When the table cannot be read.
///
/// # Source
/// IEC 60949.
pub fn short_time_constant() -> Result<Sourced<f64>, OutOfTable> {
    let table = need("short-time-constants")?;
    let row = row_named(table, "form", "IEC", "form")?;
    Ok(Sourced::new(
        figure(table, row, "constant")?,
        table.row_source(row),
    ))
}

/// Short-time factor k from start to end temperature, A s^0.5/mm2.
///
/// # Limits
/// No heat is lost: the answer is low beyond about 5 s.
///
/// # Errors
/// When the end is not above the start, or the start is below -200 degC.
///
/// # Source
/// IEC 60364-5-54 and IEC 60949; agrees with the published 115 (70 to 160),
/// 143 (90 to 250) and 141 (60 to 200).
pub fn short_time_factor(start_degc: f64, end_degc: f64) -> Result<Sourced<f64>, OutOfTable> {
    let constant = short_time_constant()?;
    if !(start_degc > -200.0 && end_degc > start_degc) {
        return Err(OutOfTable::new(
            format!("no short-time factor from {start_degc} to {end_degc} degrees C"),
            "the end must be hotter than the start",
            "short-time-factors",
        ));
    }
    let zero_degc = 234.5;
    let k = constant.value
        * ((end_degc - start_degc) / (zero_degc + start_degc))
            .ln_1p()
            .sqrt();
    Ok(Sourced::new(k, constant.source))
}

/// End temperature of insulation in a short circuit, degrees C: PVC, or
/// cross-linked.
///
/// # Errors
/// When the table cannot be read.
///
/// # Source
/// IEC 60724.
pub fn short_time_end(cross_linked: bool) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("short-time-factors")?;
    let case = if cross_linked {
        "XLPE of 125 degC wire"
    } else {
        "PVC 70 degC"
    };
    let row = row_named(table, "case", case, "insulation")?;
    // The end temperatures were read; only the factors k are worked out.
    let source = Source::new("IEC 60724", "end temperature", Standing::Published);
    Ok(Sourced::new(figure(table, row, "end_degc")?, source))
}
