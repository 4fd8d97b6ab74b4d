//! Every unit against an independent units library, or against its definition
//! built up in that library where it has the unit rounded or not at all.

use super::{agree, figure};
use ampkeel::quantities::{Dimension, units_of};
use std::f64::consts::PI;
use uom::si::angular_velocity::{radian_per_second, revolution_per_minute, revolution_per_second};
use uom::si::area::square_millimeter;
use uom::si::electric_charge::{ampere_hour, milliampere_hour};
use uom::si::electric_current::{ampere, kiloampere, microampere, milliampere};
use uom::si::electric_potential::{kilovolt, microvolt, millivolt, volt};
use uom::si::electrical_resistance::{kiloohm, megaohm, microohm, milliohm, ohm};
use uom::si::f64::{
    AngularVelocity, Area, ElectricCharge, ElectricCurrent, ElectricPotential,
    ElectricalResistance, Force, Length, Mass, Power, Pressure, Ratio, ThermodynamicTemperature,
    Time, Volume, VolumeRate,
};
use uom::si::force::{kilogram_force, newton};
use uom::si::length::{centimeter, foot, inch, meter, mil, millimeter, yard};
use uom::si::mass::{gram, kilogram};
use uom::si::power::{kilowatt, milliwatt, watt};
use uom::si::pressure::{bar, kilopascal, megapascal, millibar, pascal};
use uom::si::ratio::{percent, ratio};
use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin};
use uom::si::time::{hour, microsecond, millisecond, minute, second};
use uom::si::volume::liter;
use uom::si::volume_rate::cubic_meter_per_second;

/// A figure in a unit, turned into the base unit of its dimension.
type Conversion = fn(f64) -> f64;

/// Goes through one quantity of the library: into this unit, out of that one.
macro_rules! by_library {
    ($quantity:ident: $from:ident => $to:ident) => {
        |figure| $quantity::new::<$from>(figure).get::<$to>()
    };
}

/// The avoirdupois pound under standard gravity: exactly 453.59237 g by the
/// agreement of 1959.
fn pounds_force(count: f64) -> Force {
    let pound_kg = Mass::new::<gram>(453.592_37).get::<kilogram>();
    Force::new::<kilogram_force>(count * pound_kg)
}

/// Area of a circle one mil across, by definition one circular mil.
fn circular_mils(count: f64) -> Area {
    let across = Length::new::<mil>(1.0);
    across * across * (PI / 4.0 * count)
}

/// The US liquid gallon is 231 cubic inches.
fn gallons(count: f64) -> Volume {
    let edge = Length::new::<inch>(1.0);
    edge * edge * edge * (231.0 * count)
}

fn per<T: uom::si::time::Unit + uom::Conversion<f64, T = f64>>(volume: Volume) -> f64 {
    let rate: VolumeRate = volume / Time::new::<T>(1.0);
    rate.get::<cubic_meter_per_second>()
}

fn on_area(force: Force, side: Length) -> f64 {
    let pressure: Pressure = force / (side * side);
    pressure.get::<pascal>()
}

/// Mechanical horsepower: 550 foot pounds-force a second.
fn horsepower(count: f64) -> f64 {
    let power: Power =
        pounds_force(550.0 * count) * Length::new::<foot>(1.0) / Time::new::<second>(1.0);
    power.get::<watt>()
}

const CHECKS: &[(Dimension, &str, Conversion)] = &[
    (
        Dimension::Voltage,
        "V",
        by_library!(ElectricPotential: volt => volt),
    ),
    (
        Dimension::Voltage,
        "mV",
        by_library!(ElectricPotential: millivolt => volt),
    ),
    (
        Dimension::Voltage,
        "uV",
        by_library!(ElectricPotential: microvolt => volt),
    ),
    (
        Dimension::Voltage,
        "kV",
        by_library!(ElectricPotential: kilovolt => volt),
    ),
    (
        Dimension::Current,
        "A",
        by_library!(ElectricCurrent: ampere => ampere),
    ),
    (
        Dimension::Current,
        "mA",
        by_library!(ElectricCurrent: milliampere => ampere),
    ),
    (
        Dimension::Current,
        "uA",
        by_library!(ElectricCurrent: microampere => ampere),
    ),
    (
        Dimension::Current,
        "kA",
        by_library!(ElectricCurrent: kiloampere => ampere),
    ),
    (
        Dimension::Resistance,
        "ohm",
        by_library!(ElectricalResistance: ohm => ohm),
    ),
    (
        Dimension::Resistance,
        "mohm",
        by_library!(ElectricalResistance: milliohm => ohm),
    ),
    (
        Dimension::Resistance,
        "uohm",
        by_library!(ElectricalResistance: microohm => ohm),
    ),
    (
        Dimension::Resistance,
        "kohm",
        by_library!(ElectricalResistance: kiloohm => ohm),
    ),
    (
        Dimension::Resistance,
        "Mohm",
        by_library!(ElectricalResistance: megaohm => ohm),
    ),
    (Dimension::Power, "W", by_library!(Power: watt => watt)),
    (
        Dimension::Power,
        "mW",
        by_library!(Power: milliwatt => watt),
    ),
    (Dimension::Power, "kW", by_library!(Power: kilowatt => watt)),
    (Dimension::Power, "hp", horsepower),
    (Dimension::Length, "m", by_library!(Length: meter => meter)),
    (Dimension::Length, "ft", by_library!(Length: foot => meter)),
    (Dimension::Length, "in", by_library!(Length: inch => meter)),
    (
        Dimension::Length,
        "cm",
        by_library!(Length: centimeter => meter),
    ),
    (
        Dimension::Length,
        "mm",
        by_library!(Length: millimeter => meter),
    ),
    (Dimension::Length, "yd", by_library!(Length: yard => meter)),
    (
        Dimension::Area,
        "mm2",
        by_library!(Area: square_millimeter => square_millimeter),
    ),
    (Dimension::Area, "cmil", |n| {
        circular_mils(n).get::<square_millimeter>()
    }),
    (Dimension::Area, "kcmil", |n| {
        circular_mils(1e3 * n).get::<square_millimeter>()
    }),
    (
        Dimension::Temperature,
        "degC",
        by_library!(ThermodynamicTemperature: degree_celsius => degree_celsius),
    ),
    (
        Dimension::Temperature,
        "degF",
        by_library!(ThermodynamicTemperature: degree_fahrenheit => degree_celsius),
    ),
    (
        Dimension::Temperature,
        "K",
        by_library!(ThermodynamicTemperature: kelvin => degree_celsius),
    ),
    (
        Dimension::Pressure,
        "kPa",
        by_library!(Pressure: kilopascal => pascal),
    ),
    (Dimension::Pressure, "psi", |n| {
        on_area(pounds_force(n), Length::new::<inch>(1.0))
    }),
    (
        Dimension::Pressure,
        "bar",
        by_library!(Pressure: bar => pascal),
    ),
    (
        Dimension::Pressure,
        "Pa",
        by_library!(Pressure: pascal => pascal),
    ),
    (
        Dimension::Pressure,
        "MPa",
        by_library!(Pressure: megapascal => pascal),
    ),
    (
        Dimension::Pressure,
        "mbar",
        by_library!(Pressure: millibar => pascal),
    ),
    (Dimension::Pressure, "kg/cm2", |n| {
        on_area(
            Force::new::<kilogram_force>(n),
            Length::new::<centimeter>(1.0),
        )
    }),
    (
        Dimension::Speed,
        "rpm",
        by_library!(AngularVelocity: revolution_per_minute => radian_per_second),
    ),
    (
        Dimension::Speed,
        "rad/s",
        by_library!(AngularVelocity: radian_per_second => radian_per_second),
    ),
    (
        Dimension::Speed,
        "rev/s",
        by_library!(AngularVelocity: revolution_per_second => radian_per_second),
    ),
    (
        Dimension::Charge,
        "Ah",
        by_library!(ElectricCharge: ampere_hour => ampere_hour),
    ),
    (
        Dimension::Charge,
        "mAh",
        by_library!(ElectricCharge: milliampere_hour => ampere_hour),
    ),
    (Dimension::Share, "%", by_library!(Ratio: percent => ratio)),
    (Dimension::Time, "s", by_library!(Time: second => second)),
    (
        Dimension::Time,
        "ms",
        by_library!(Time: millisecond => second),
    ),
    (
        Dimension::Time,
        "us",
        by_library!(Time: microsecond => second),
    ),
    (Dimension::Time, "min", by_library!(Time: minute => second)),
    (Dimension::Time, "h", by_library!(Time: hour => second)),
    (Dimension::Flow, "L/h", |n| {
        per::<hour>(Volume::new::<liter>(n))
    }),
    (Dimension::Flow, "L/min", |n| {
        per::<minute>(Volume::new::<liter>(n))
    }),
    (Dimension::Flow, "gal/h", |n| per::<hour>(gallons(n))),
    (Dimension::Flow, "gal/min", |n| per::<minute>(gallons(n))),
];

/// Figures that the conversions are tried at; temperatures have an offset.
const FIGURES: [f64; 4] = [1.0, 14.0, 122.0, 0.3];

#[test]
fn every_unit_is_checked_once_and_every_check_is_of_a_unit() {
    let mut units: Vec<(Dimension, &str)> = Dimension::ALL
        .into_iter()
        .flat_map(|dimension| {
            units_of(dimension)
                .iter()
                .map(move |u| (dimension, u.symbol))
        })
        .collect();
    let mut checked: Vec<(Dimension, &str)> = CHECKS.iter().map(|c| (c.0, c.1)).collect();
    units.sort_unstable();
    checked.sort_unstable();
    assert_eq!(units, checked);
}

#[test]
fn every_unit_converts_as_the_units_library_does() {
    for (dimension, symbol, expected) in CHECKS {
        for at in FIGURES {
            let read = figure(*dimension, &format!("{at} {symbol}")).unwrap();
            let expected = expected(at);
            // Near the zero of an offset scale only the offset's own digits are left.
            let scale = expected.abs().max(if *dimension == Dimension::Temperature {
                273.15
            } else {
                0.0
            });
            assert!(
                (read - expected).abs() <= 1e-12 * scale,
                "{at} {symbol}: {read} read, {expected} expected"
            );
        }
    }
}

#[test]
fn a_newton_of_the_library_is_the_kilogram_force_over_standard_gravity() {
    // Guards the definitions above: 9.80665 m/s2 is exact.
    let read = Force::new::<kilogram_force>(1.0).get::<newton>();
    assert!(agree(read, 9.806_65, 1e-15));
}

#[test]
fn every_spelling_of_a_unit_reads_the_same() {
    for dimension in Dimension::ALL {
        for unit in units_of(dimension) {
            let expected = figure(dimension, &format!("7.5 {}", unit.symbol)).unwrap();
            for spelling in unit.aliases {
                // "7.51/min" would be another number.
                let close = if spelling.starts_with(|c: char| c.is_ascii_digit()) {
                    format!("7.5\t{spelling}")
                } else {
                    format!("7.5{spelling}")
                };
                for text in [format!("7.5 {spelling}"), close] {
                    assert_eq!(figure(dimension, &text).as_ref(), Ok(&expected), "{text}");
                }
            }
        }
    }
}

#[test]
fn capitals_never_turn_one_unit_into_another() {
    for dimension in Dimension::ALL {
        let exact = |text: &str| {
            units_of(dimension)
                .iter()
                .any(|unit| unit.symbol == text || unit.aliases.contains(&text))
        };
        for unit in units_of(dimension) {
            let expected = figure(dimension, &format!("7.5 {}", unit.symbol)).unwrap();
            for spelling in std::iter::once(&unit.symbol).chain(unit.aliases) {
                for other in [spelling.to_uppercase(), spelling.to_lowercase()] {
                    if exact(&other) {
                        continue;
                    }
                    if let Ok(read) = figure(dimension, &format!("7.5 {other}")) {
                        assert_eq!(read, expected, "{other} is read as another unit");
                    }
                }
            }
        }
    }
    for (dimension, text) in [
        (Dimension::Current, "5 MA"),
        (Dimension::Voltage, "5 MV"),
        (Dimension::Resistance, "5 MOHM"),
        (Dimension::Pressure, "5 mpa"),
        (Dimension::Length, "5 M"),
    ] {
        assert!(figure(dimension, text).is_err(), "{text} is read");
    }
}

#[test]
fn no_spelling_stands_for_two_dimensions() {
    let mut seen = std::collections::BTreeMap::new();
    for dimension in Dimension::ALL {
        for unit in units_of(dimension) {
            for spelling in std::iter::once(&unit.symbol).chain(unit.aliases) {
                let before = seen.insert(*spelling, (dimension, unit.symbol));
                assert_eq!(before, None, "`{spelling}` is taken twice");
            }
        }
    }
}
