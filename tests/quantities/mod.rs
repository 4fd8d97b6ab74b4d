//! Figures with units: what people write, what is refused, what is printed.

mod factors;
mod forms;
mod printing;
mod refusals;
mod sizes;

use ampkeel::quantities::{
    AmpHours, Amps, Band, Celsius, CubicMetresPerSecond, Dimension, Fraction, Metres, Ohms,
    Pascals, Quantity, QuantityError, RadiansPerSecond, Seconds, SquareMillimetres, Volts, Watts,
    parse, parse_band,
};

/// Evaluates `$made` with `$kind` standing for the quantity of a dimension.
macro_rules! by_dimension {
    ($dimension:expr, $kind:ident => $made:expr) => {
        by_dimension!(@ $dimension, $kind, $made,
            Voltage Volts, Current Amps, Resistance Ohms, Power Watts, Length Metres,
            Area SquareMillimetres, Temperature Celsius, Pressure Pascals,
            Speed RadiansPerSecond, Charge AmpHours, Share Fraction, Time Seconds,
            Flow CubicMetresPerSecond)
    };
    (@ $dimension:expr, $kind:ident, $made:expr, $($name:ident $quantity:ident),*) => {
        match $dimension {
            $(Dimension::$name => {
                type $kind = $quantity;
                $made
            })*
        }
    };
}

/// Reads one figure of a dimension, in its base unit.
fn figure(dimension: Dimension, text: &str) -> Result<f64, QuantityError> {
    by_dimension!(dimension, Kind => parse::<Kind>(text).map(Kind::si))
}

/// Reads a range of a dimension: low, typical, high in its base unit.
fn range(dimension: Dimension, text: &str) -> Result<[f64; 3], QuantityError> {
    fn plain<Q: Quantity>(band: Band<Q>) -> [f64; 3] {
        [band.low.si(), band.typical.si(), band.high.si()]
    }
    by_dimension!(dimension, Kind => parse_band::<Kind>(text).map(plain))
}

/// Prints a figure of a dimension from its base unit.
fn printed(dimension: Dimension, base: f64) -> String {
    by_dimension!(dimension, Kind => Kind::new(base).to_string())
}

/// Whether two figures agree to `share` of the larger.
fn agree(one: f64, other: f64, share: f64) -> bool {
    (one - other).abs() <= share * one.abs().max(other.abs())
}
