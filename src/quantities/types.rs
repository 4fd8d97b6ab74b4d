//! One newtype a dimension, and the products between them.

use super::units::Dimension;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// What every typed quantity can do: say its dimension, and go to and from
/// the base unit.
pub trait Quantity: Copy + PartialOrd {
    /// The dimension, for parsing, printing and messages.
    const DIMENSION: Dimension;
    /// Makes the quantity from a figure in its base unit.
    fn new(base: f64) -> Self;
    /// Returns the figure in the base unit.
    fn si(self) -> f64;
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $dimension:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Makes the quantity from a figure in its base unit.
            pub const fn new(base: f64) -> Self {
                Self(base)
            }

            /// Returns the figure in the base unit.
            pub const fn si(self) -> f64 {
                self.0
            }
        }

        impl Quantity for $name {
            const DIMENSION: Dimension = Dimension::$dimension;
            fn new(base: f64) -> Self {
                Self(base)
            }
            fn si(self) -> f64 {
                self.0
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&super::print::quantity(*self))
            }
        }
    };
}

quantity!(
    /// Electric potential, volts.
    Volts, Voltage
);
quantity!(
    /// Current, amperes.
    Amps, Current
);
quantity!(
    /// Resistance, ohms.
    Ohms, Resistance
);
quantity!(
    /// Power, watts.
    Watts, Power
);
quantity!(
    /// Length, metres.
    Metres, Length
);
quantity!(
    /// Area of a conductor, square millimetres.
    SquareMillimetres, Area
);
quantity!(
    /// Temperature, degrees Celsius. A difference of temperatures is a bare
    /// `f64` with the suffix `_k`, never this type.
    Celsius, Temperature
);
quantity!(
    /// Pressure, pascals.
    Pascals, Pressure
);
quantity!(
    /// Speed of rotation, radians per second.
    RadiansPerSecond, Speed
);
quantity!(
    /// Electric charge, ampere-hours.
    AmpHours, Charge
);
quantity!(
    /// A share; 1 is the whole. Written in percent.
    Fraction, Share
);
quantity!(
    /// Time, seconds.
    Seconds, Time
);
quantity!(
    /// Flow of a liquid, cubic metres per second.
    CubicMetresPerSecond, Flow
);

macro_rules! product {
    ($a:ident * $b:ident = $c:ident) => {
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c(self.0 * other.0)
            }
        }
        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                $c(self.0 * other.0)
            }
        }
        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b(self.0 / other.0)
            }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a(self.0 / other.0)
            }
        }
    };
}

product!(Amps * Ohms = Volts);
product!(Amps * Volts = Watts);
