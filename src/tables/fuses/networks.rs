//! Thermal networks of fuses and breakers: du/dt = (a m^2 - u)/tau, open at
//! sum u = 1, with m the current over the rating.

use super::style::{FuseStyle, within_range};
use crate::quantities::{Amps, Seconds};
use crate::sources::Sourced;
use crate::tables::{OutOfTable, interpolation, need};

/// Which of the three instances of a fuse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edge {
    /// Opens first.
    Early,
    /// Through the geometric mean of the gates.
    Nominal,
    /// Opens last.
    Late,
}

impl Edge {
    /// All three, early to late.
    pub const ALL: [Self; 3] = [Self::Early, Self::Nominal, Self::Late];

    /// The word in the tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Early => "early",
            Self::Nominal => "nominal",
            Self::Late => "late",
        }
    }
}

/// One thermal state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermalState {
    /// Share of the melting heat it settles at when the current is the rating.
    pub a: f64,
    /// Time constant.
    pub tau: Seconds,
}

fn states(
    family: &str,
    rating_a: f64,
    edge: Edge,
) -> Result<Sourced<Vec<ThermalState>>, OutOfTable> {
    let table = need("fuse-networks")?;
    let rows: Vec<usize> = (0..table.rows.len())
        .filter(|&row| {
            let above = table.number(row, "rating_above_a").unwrap_or(0.0);
            let to = table.number(row, "rating_to_a").unwrap_or(0.0);
            table.text(row, "family") == Some(family)
                && table.text(row, "edge") == Some(edge.word())
                && above < rating_a
                && rating_a <= to
        })
        .collect();
    let source = match rows.first() {
        Some(&row) => table.row_source(row),
        None => {
            return Err(OutOfTable::new(
                format!("no thermal network for {family}"),
                "blade, high-current-blade, strip, glass, slow-glass and breaker have one",
                &table.id,
            ));
        }
    };
    let states = rows
        .into_iter()
        .filter_map(|row| {
            Some(ThermalState {
                a: table.number(row, "a")?,
                tau: Seconds::new(table.number(row, "tau_s")?),
            })
        })
        .collect();
    Ok(Sourced::new(states, source))
}

/// Thermal network of a fuse.
///
/// # Limits
/// Passive: the blade early network is up to 1.6 x later than its gate; see
/// [`early_stretch`].
///
/// # Errors
/// When the family is not made in this rating.
pub fn network(
    style: FuseStyle,
    rating: Amps,
    edge: Edge,
) -> Result<Sourced<Vec<ThermalState>>, OutOfTable> {
    within_range(style, rating)?;
    states(style.gate_family(), rating.si(), edge)
}

/// Thermal network of a thermal breaker.
///
/// # Errors
/// When the table cannot be read.
pub fn breaker_network(edge: Edge) -> Result<Sourced<Vec<ThermalState>>, OutOfTable> {
    states("breaker", 10.0, edge)
}

/// Factor by which the blade early network must run faster to meet its gate,
/// interpolated in the logarithm of the multiple; 1 outside 1.1 to 6 x and for
/// families whose early network meets its gates.
///
/// # Errors
/// When the table cannot be read.
pub fn early_stretch(style: FuseStyle, multiple: f64) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("early-stretch")?;
    let points: Vec<(f64, f64)> = (0..table.rows.len())
        .filter_map(|row| {
            Some((
                table.number(row, "multiple")?.ln(),
                table.number(row, "factor")?,
            ))
        })
        .collect();
    let applies = matches!(style, FuseStyle::Blade | FuseStyle::MiniBlade) && multiple > 0.0;
    let factor = if applies {
        interpolation::between(&points, multiple.ln()).unwrap_or(1.0)
    } else {
        1.0
    };
    Ok(Sourced::new(factor, table.source.clone()))
}
