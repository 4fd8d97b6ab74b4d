//! Typed quantities: the units people write, and how figures are printed.
//!
//! A figure enters the program as text with a unit ("14 ft", "2.6 to 3.8 A"),
//! is kept in one base unit a dimension (SI, but square millimetres, degrees
//! Celsius and ampere-hours), and leaves through [`mod@print`]. Bare `f64` lives
//! only inside the numerics, with a unit suffix in its name.
//!
//! Used by every other module; uses none.

mod band;
mod known_later;
mod parse;
pub mod print;
mod size;
mod types;
mod units;

pub use band::Band;
pub use known_later::{parse_band_in, print_in};
pub use parse::{QuantityError, parse, parse_band};
pub use size::{SizeSystem, WireSize, parse_size};
pub use types::{
    AmpHours, Amps, Celsius, CubicMetresPerSecond, Fraction, Metres, Ohms, Pascals, Quantity,
    RadiansPerSecond, Seconds, SquareMillimetres, Volts, Watts,
};
pub use units::{Dimension, Unit, units_of};
