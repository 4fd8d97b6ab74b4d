//! Figures of a dimension known only when a file or a study names it.

use super::{
    AmpHours, Amps, Band, Celsius, CubicMetresPerSecond, Dimension, Fraction, Metres, Ohms,
    Pascals, QuantityError, RadiansPerSecond, Seconds, SquareMillimetres, Volts, Watts, parse_band,
};

macro_rules! by_dimension {
    ($dimension:expr, $kind:ident => $made:expr) => {
        match $dimension {
            Dimension::Voltage => {
                type $kind = Volts;
                $made
            }
            Dimension::Current => {
                type $kind = Amps;
                $made
            }
            Dimension::Resistance => {
                type $kind = Ohms;
                $made
            }
            Dimension::Power => {
                type $kind = Watts;
                $made
            }
            Dimension::Length => {
                type $kind = Metres;
                $made
            }
            Dimension::Area => {
                type $kind = SquareMillimetres;
                $made
            }
            Dimension::Temperature => {
                type $kind = Celsius;
                $made
            }
            Dimension::Pressure => {
                type $kind = Pascals;
                $made
            }
            Dimension::Speed => {
                type $kind = RadiansPerSecond;
                $made
            }
            Dimension::Charge => {
                type $kind = AmpHours;
                $made
            }
            Dimension::Share => {
                type $kind = Fraction;
                $made
            }
            Dimension::Time => {
                type $kind = Seconds;
                $made
            }
            Dimension::Flow => {
                type $kind = CubicMetresPerSecond;
                $made
            }
        }
    };
}

/// Reads a figure or range of a dimension, in its base unit.
///
/// # Errors
/// As [`parse_band`].
pub fn parse_band_in(dimension: Dimension, text: &str) -> Result<Band<f64>, QuantityError> {
    by_dimension!(dimension, Kind => Ok(parse_band::<Kind>(text)?.si()))
}

/// Prints a figure of a dimension with its unit.
pub fn print_in(dimension: Dimension, base: f64) -> String {
    by_dimension!(dimension, Kind => Kind::new(base).to_string())
}
