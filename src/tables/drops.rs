//! Voltage drop as the rules reckon it: their constants and their limits.
//!
//! Rule drop = rho x current x length / area, with the length of the whole
//! conductor out and back. The constants are the rules' own and are not what a
//! meter shows.
//!
//! Used by sizing, the drop verdict and the service-test checks.

use super::conductors::MM2_PER_CMIL;
use super::{OutOfTable, figure, need, row_named};
use crate::quantities::Fraction;
use crate::sources::{Source, Sourced};

/// Whose formula a rule drop follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DropBasis {
    /// ABYC E-11: K = 10.75 ohm circular mil per foot.
    Abyc,
    /// ISO 10133: 0.0164 ohm square millimetre per metre.
    Iso,
}

impl DropBasis {
    /// The word in circuit files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Abyc => "abyc",
            Self::Iso => "iso",
        }
    }

    /// Reads the word back.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Abyc, Self::Iso]
            .into_iter()
            .find(|basis| basis.word() == word)
    }
}

/// A constant of a drop formula in both its customary units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleConstant {
    /// Ohm square millimetre per metre of conductor.
    pub rho_ohm_mm2_per_m: f64,
    /// Ohm circular mil per foot of conductor.
    pub k_ohm_cmil_per_ft: f64,
}

/// How much a circuit may lose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DropClass {
    /// Feeders, navigation lights, blowers, pumps, electronics: 3 %.
    Critical,
    /// Everything else: 10 %.
    Other,
}

/// The constant of a basis, from the figure its document prints.
///
/// # Errors
/// When the table cannot be read.
///
/// # Source
/// ABYC E-11; ISO 10133 annex.
pub fn rule_constant(basis: DropBasis) -> Result<Sourced<RuleConstant>, OutOfTable> {
    let table = need("drop-constants")?;
    // ohm cmil/ft to ohm mm2/m.
    let unit = MM2_PER_CMIL / 0.3048;
    let (name, document) = match basis {
        DropBasis::Abyc => ("ABYC E-11, CM = 10.75 I L/E", "ABYC E-11"),
        DropBasis::Iso => ("ISO 10133 annex, E = 0.0164 I L/S", "ISO 10133"),
    };
    let row = row_named(table, "formula", name, "formula")?;
    let value = match basis {
        DropBasis::Abyc => {
            let k = figure(table, row, "k_ohm_cmil_per_ft")?;
            RuleConstant {
                rho_ohm_mm2_per_m: k * unit,
                k_ohm_cmil_per_ft: k,
            }
        }
        DropBasis::Iso => {
            let rho = figure(table, row, "rho_ohm_mm2_per_m")?;
            RuleConstant {
                rho_ohm_mm2_per_m: rho,
                k_ohm_cmil_per_ft: rho / unit,
            }
        }
    };
    let standing = table.row_source(row).standing;
    Ok(Sourced::new(
        value,
        Source::new(document, "voltage-drop formula", standing),
    ))
}

/// Largest drop a basis allows, as a share of the nominal voltage.
///
/// # Errors
/// When the table cannot be read.
pub fn drop_limit(basis: DropBasis, class: DropClass) -> Result<Sourced<Fraction>, OutOfTable> {
    let table = need("drop-limits")?;
    let authority = match basis {
        DropBasis::Abyc => "ABYC E-11",
        DropBasis::Iso => "ISO 10133",
    };
    let rows: Vec<usize> = (0..table.rows.len())
        .filter(|&row| table.text(row, "authority") == Some(authority))
        .collect();
    // Each authority has two rows: the critical circuits, then the others.
    let row = match (class, rows.as_slice()) {
        (DropClass::Critical, [row, ..]) | (DropClass::Other, [_, row, ..]) => *row,
        _ => {
            return Err(OutOfTable::new(
                format!("no drop limit of {authority}"),
                "the table lists ABYC E-11 and ISO 10133",
                &table.id,
            ));
        }
    };
    let percent = figure(table, row, "limit")?;
    let standing = table.row_source(row).standing;
    Ok(Sourced::new(
        Fraction::new(percent / 100.0),
        Source::new(authority, "voltage-drop limits", standing),
    ))
}

/// A limit of a service test in the unit its row names, by the row's words.
///
/// # Errors
/// When there is no such test; the refusal lists them.
pub fn service_limit(test: &str) -> Result<Sourced<f64>, OutOfTable> {
    let (id, column, value) = if need("service-drop-limits")?.find("test", test).is_some() {
        ("service-drop-limits", "test", "limit")
    } else {
        ("drop-limits", "circuits", "limit")
    };
    let table = need(id)?;
    let row = row_named(table, column, test, "service test")?;
    Ok(Sourced::new(
        figure(table, row, value)?,
        table.row_source(row),
    ))
}
