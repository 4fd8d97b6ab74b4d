//! The units people write, one table a dimension.
//!
//! Factors are exact by definition (inch, foot, pound and their pressure) or
//! conventional (horsepower); each is checked against an independent units
//! library in the tests.

/// What a figure measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Volts.
    Voltage,
    /// Amperes.
    Current,
    /// Ohms.
    Resistance,
    /// Watts.
    Power,
    /// Metres.
    Length,
    /// Square millimetres.
    Area,
    /// Degrees Celsius.
    Temperature,
    /// Pascals.
    Pressure,
    /// Radians per second.
    Speed,
    /// Ampere-hours.
    Charge,
    /// Percent.
    Share,
    /// Seconds.
    Time,
    /// Cubic metres per second.
    Flow,
}

impl Dimension {
    /// All dimensions.
    pub const ALL: [Self; 13] = [
        Self::Voltage,
        Self::Current,
        Self::Resistance,
        Self::Power,
        Self::Length,
        Self::Area,
        Self::Temperature,
        Self::Pressure,
        Self::Speed,
        Self::Charge,
        Self::Share,
        Self::Time,
        Self::Flow,
    ];

    /// The word of the trade for it, as messages use it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Resistance => "resistance",
            Self::Power => "power",
            Self::Length => "length",
            Self::Area => "area",
            Self::Temperature => "temperature",
            Self::Pressure => "pressure",
            Self::Speed => "speed",
            Self::Charge => "battery capacity",
            Self::Share => "percentage",
            Self::Time => "time",
            Self::Flow => "flow",
        }
    }

    /// The word with its article, for sentences.
    pub const fn with_article(self) -> &'static str {
        match self {
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::Resistance => "a resistance",
            Self::Power => "a power",
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Temperature => "a temperature",
            Self::Pressure => "a pressure",
            Self::Speed => "a speed",
            Self::Charge => "a battery capacity",
            Self::Share => "a percentage",
            Self::Time => "a time",
            Self::Flow => "a flow",
        }
    }

    /// The unit shown first when a figure comes without one.
    pub fn first_unit(self) -> &'static str {
        units_of(self).first().map_or("", |unit| unit.symbol)
    }
}

/// One unit: its symbol, other spellings, and the way to the base unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The spelling this program writes.
    pub symbol: &'static str,
    /// Other spellings it reads.
    pub aliases: &'static [&'static str],
    /// Base unit = figure * factor + offset.
    pub factor: f64,
    /// Zero but for temperatures.
    pub offset: f64,
    /// Whether capitals do not matter. Never where `m` and `M` could be mixed up.
    pub any_case: bool,
}

const fn unit(
    symbol: &'static str,
    aliases: &'static [&'static str],
    factor: f64,
    any_case: bool,
) -> Unit {
    Unit {
        symbol,
        aliases,
        factor,
        offset: 0.0,
        any_case,
    }
}

/// One metre is 1/0.3048 ft by definition.
const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;
/// Pound-force per square inch: 0.45359237 kg * 9.80665 m/s2 / (0.0254 m)^2.
const PSI_PA: f64 = 0.453_592_37 * 9.806_65 / (INCH_M * INCH_M);
/// A circular mil is the area of a circle of 0.001 in.
const CIRCULAR_MIL_MM2: f64 = std::f64::consts::PI / 4.0 * 0.0254 * 0.0254;
const TURN_RAD: f64 = 2.0 * std::f64::consts::PI;
const LITRE_M3: f64 = 1e-3;
/// US gallon: 231 cubic inches.
const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;

const VOLTAGE: &[Unit] = &[
    unit("V", &["volt", "volts"], 1.0, true),
    unit("mV", &["millivolt", "millivolts"], 1e-3, false),
    unit("uV", &["microvolt", "microvolts"], 1e-6, false),
    unit("kV", &["kilovolt", "kilovolts"], 1e3, false),
];
const CURRENT: &[Unit] = &[
    unit("A", &["amp", "amps", "ampere", "amperes"], 1.0, true),
    unit(
        "mA",
        &["milliamp", "milliamps", "milliampere", "milliamperes"],
        1e-3,
        false,
    ),
    unit(
        "uA",
        &["microamp", "microamps", "microampere", "microamperes"],
        1e-6,
        false,
    ),
    unit(
        "kA",
        &["kiloamp", "kiloamps", "kiloampere", "kiloamperes"],
        1e3,
        false,
    ),
];
const RESISTANCE: &[Unit] = &[
    unit("ohm", &["ohms"], 1.0, true),
    unit("mohm", &["milliohm", "milliohms"], 1e-3, false),
    unit("uohm", &["microohm", "microohms", "microhm"], 1e-6, false),
    unit("kohm", &["kiloohm", "kiloohms", "kilohm"], 1e3, false),
    unit("Mohm", &["megaohm", "megaohms", "megohm"], 1e6, false),
];
const POWER: &[Unit] = &[
    unit("W", &["watt", "watts"], 1.0, true),
    unit("mW", &["milliwatt", "milliwatts"], 1e-3, false),
    unit("kW", &["kilowatt", "kilowatts"], 1e3, false),
    unit(
        "hp",
        &["horsepower"],
        550.0 * FOOT_M * 0.453_592_37 * 9.806_65,
        true,
    ),
];
const LENGTH: &[Unit] = &[
    unit("m", &["metre", "metres", "meter", "meters"], 1.0, false),
    unit("ft", &["foot", "feet", "'"], FOOT_M, true),
    unit("in", &["inch", "inches", "\""], INCH_M, true),
    unit(
        "cm",
        &["centimetre", "centimetres", "centimeter", "centimeters"],
        1e-2,
        false,
    ),
    unit(
        "mm",
        &["millimetre", "millimetres", "millimeter", "millimeters"],
        1e-3,
        false,
    ),
    unit("yd", &["yard", "yards"], 0.9144, true),
];
const AREA: &[Unit] = &[
    unit("mm2", &["mm^2", "sqmm", "sq mm"], 1.0, false),
    unit(
        "cmil",
        &["circular mil", "circular mils"],
        CIRCULAR_MIL_MM2,
        true,
    ),
    unit("kcmil", &["MCM"], 1e3 * CIRCULAR_MIL_MM2, false),
];
const TEMPERATURE: &[Unit] = &[
    unit("degC", &["deg C", "C", "celsius"], 1.0, true),
    Unit {
        symbol: "degF",
        aliases: &["deg F", "F", "fahrenheit"],
        factor: 5.0 / 9.0,
        offset: -160.0 / 9.0,
        any_case: true,
    },
    Unit {
        symbol: "K",
        aliases: &["kelvin"],
        factor: 1.0,
        offset: -273.15,
        any_case: false,
    },
];
const PRESSURE: &[Unit] = &[
    unit("kPa", &["kilopascal", "kilopascals"], 1e3, false),
    unit("psi", &["lbf/in2"], PSI_PA, true),
    unit("bar", &["bars"], 1e5, true),
    unit("Pa", &["pascal", "pascals"], 1.0, false),
    unit("MPa", &["megapascal", "megapascals"], 1e6, false),
    unit("mbar", &["millibar", "hPa"], 1e2, false),
    unit("kg/cm2", &["kgf/cm2"], 98_066.5, false),
];
const SPEED: &[Unit] = &[
    unit("rpm", &["rev/min", "r/min", "1/min"], TURN_RAD / 60.0, true),
    unit("rad/s", &["radians/s"], 1.0, false),
    unit("rev/s", &["r/s"], TURN_RAD, false),
];
const CHARGE: &[Unit] = &[
    unit(
        "Ah",
        &[
            "A h",
            "amp hours",
            "amp-hours",
            "ampere hours",
            "ampere-hours",
        ],
        1.0,
        true,
    ),
    unit("mAh", &["milliamp hours"], 1e-3, false),
];
const SHARE: &[Unit] = &[unit("%", &["percent", "pct"], 0.01, true)];
const TIME: &[Unit] = &[
    unit("s", &["sec", "second", "seconds"], 1.0, false),
    unit("ms", &["millisecond", "milliseconds"], 1e-3, false),
    unit("us", &["microsecond", "microseconds"], 1e-6, false),
    unit("min", &["minute", "minutes"], 60.0, false),
    unit("h", &["hr", "hour", "hours"], 3600.0, false),
];
const FLOW: &[Unit] = &[
    unit(
        "L/h",
        &["l/h", "litre/h", "litres/h"],
        LITRE_M3 / 3600.0,
        false,
    ),
    unit("L/min", &["l/min"], LITRE_M3 / 60.0, false),
    unit("gal/h", &["gph", "gal/hr"], GALLON_M3 / 3600.0, true),
    unit("gal/min", &["gpm"], GALLON_M3 / 60.0, true),
];

/// Returns the units of a dimension, the commonest first.
pub const fn units_of(dimension: Dimension) -> &'static [Unit] {
    match dimension {
        Dimension::Voltage => VOLTAGE,
        Dimension::Current => CURRENT,
        Dimension::Resistance => RESISTANCE,
        Dimension::Power => POWER,
        Dimension::Length => LENGTH,
        Dimension::Area => AREA,
        Dimension::Temperature => TEMPERATURE,
        Dimension::Pressure => PRESSURE,
        Dimension::Speed => SPEED,
        Dimension::Charge => CHARGE,
        Dimension::Share => SHARE,
        Dimension::Time => TIME,
        Dimension::Flow => FLOW,
    }
}

/// Finds a unit of this dimension by any of its spellings.
pub(super) fn find(dimension: Dimension, spelling: &str) -> Option<&'static Unit> {
    let units = units_of(dimension);
    let exact = units
        .iter()
        .find(|unit| unit.symbol == spelling || unit.aliases.contains(&spelling));
    exact.or_else(|| {
        let folded = spelling.to_lowercase();
        units
            .iter()
            .filter(|unit| unit.any_case)
            .find(|unit| {
                unit.symbol.to_lowercase() == folded
                    || unit.aliases.iter().any(|a| a.to_lowercase() == folded)
            })
            .or_else(|| {
                // A word of four letters or more cannot be a prefix mix-up.
                let word = |name: &&str| name.len() >= 4 && name.to_lowercase() == folded;
                units.iter().find(|unit| unit.aliases.iter().any(&word))
            })
    })
}

/// Finds which dimension a spelling belongs to, if any.
pub(super) fn dimension_of(spelling: &str) -> Option<(Dimension, &'static Unit)> {
    Dimension::ALL
        .into_iter()
        .find_map(|dimension| find(dimension, spelling).map(|unit| (dimension, unit)))
}
