//! Figures of a dimension known only when the file is read.

use crate::quantities::{
    AmpHours, Amps, Celsius, CubicMetresPerSecond, Dimension, Fraction, Metres, Ohms, Pascals,
    QuantityError, RadiansPerSecond, Seconds, SquareMillimetres, Volts, Watts, parse_band,
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

/// Reads a figure of a dimension known only now: low, typical, high.
pub(super) fn measure(dimension: Dimension, text: &str) -> Result<(f64, f64, f64), QuantityError> {
    by_dimension!(dimension, Kind => {
        let band = parse_band::<Kind>(text)?;
        Ok((band.low.si(), band.typical.si(), band.high.si()))
    })
}

/// Prints a figure of a dimension known only now.
pub(super) fn printed(dimension: Dimension, base: f64) -> String {
    by_dimension!(dimension, Kind => Kind::new(base).to_string())
}
