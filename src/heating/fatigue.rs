//! How many starts an element stands: the published chart of pulses.
//!
//! share = 0.807 N^-0.113 of the melting heat by number of pulses, so N =
//! (0.807/f)^8.85, with f the peak heat of one start from cold.
//!
//! # Limits
//! The chart is of wire-element fuses, 100 to 100 000 pulses at least 10 s
//! apart; that blade fuses follow it is judgement.

use crate::sources::{Source, Sourced};
use crate::tables::OutOfTable;
use crate::tables::fuses::pulse_share;

/// Starts before fatigue.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Life {
    /// Fewer than the chart's first point of 100.
    Short,
    /// So many.
    Starts(f64),
    /// More than the chart's last point of 100 000.
    Long,
}

/// Fewest and most pulses of the chart.
const CHART: [f64; 2] = [100.0, 100_000.0];

/// Starts whose peak heat from cold is so large a share of melting.
///
/// # Errors
/// When the table cannot be read.
pub fn starts_before_fatigue(peak: f64) -> Result<Sourced<Life>, OutOfTable> {
    let few = pulse_share(CHART[0])?;
    let many = pulse_share(CHART[1])?;
    let life = if peak >= few.value {
        Life::Short
    } else if peak <= many.value {
        Life::Long
    } else {
        // The fit between its two ends, by logarithms.
        let slope = (many.value / few.value).ln() / (CHART[1] / CHART[0]).ln();
        Life::Starts(CHART[0] * ((peak / few.value).ln() / slope).exp())
    };
    let source: Source = few.source;
    Ok(Sourced::new(life, source))
}
