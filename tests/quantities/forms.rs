//! The forms people write, each with its value worked out by hand.

use super::{agree, range};
use ampkeel::quantities::Dimension;

/// One figure: text, dimension, value in the base unit.
const FIGURES: &[(&str, Dimension, f64)] = &[
    ("14 ft", Dimension::Length, 4.267_2),
    ("14ft", Dimension::Length, 4.267_2),
    ("4.3 m", Dimension::Length, 4.3),
    ("14 ft 6 in", Dimension::Length, 4.419_6),
    ("14'6\"", Dimension::Length, 4.419_6),
    ("14\u{2032}\u{a0}6\u{2033}", Dimension::Length, 4.419_6),
    ("-14 ft 6 in", Dimension::Length, -4.419_6),
    ("1/2 in", Dimension::Length, 0.012_7),
    ("1-1/2 in", Dimension::Length, 0.038_1),
    ("1 1/2 in", Dimension::Length, 0.038_1),
    ("\u{bd} in", Dimension::Length, 0.012_7),
    ("1\u{bd} in", Dimension::Length, 0.038_1),
    ("1 \u{bd} in", Dimension::Length, 0.038_1),
    ("2\u{bc} in", Dimension::Length, 0.057_15),
    ("2\u{be} in", Dimension::Length, 0.069_85),
    ("-1 1/2 in", Dimension::Length, -0.038_1),
    ("2.5 mm2", Dimension::Area, 2.5),
    ("2.5 mm\u{b2}", Dimension::Area, 2.5),
    ("15 A", Dimension::Current, 15.0),
    ("15 amps", Dimension::Current, 15.0),
    ("15 Amps", Dimension::Current, 15.0),
    ("1.5e1 A", Dimension::Current, 15.0),
    ("+15 A", Dimension::Current, 15.0),
    (".5 A", Dimension::Current, 0.5),
    ("5. A", Dimension::Current, 5.0),
    ("5 \u{b5}A", Dimension::Current, 5e-6),
    ("5 \u{3bc}A", Dimension::Current, 5e-6),
    ("12v", Dimension::Voltage, 12.0),
    ("80 mohm", Dimension::Resistance, 0.08),
    ("80 m\u{2126}", Dimension::Resistance, 0.08),
    ("80 m\u{3a9}", Dimension::Resistance, 0.08),
    ("85 Ah", Dimension::Charge, 85.0),
    ("50 degC", Dimension::Temperature, 50.0),
    ("50 \u{b0}C", Dimension::Temperature, 50.0),
    ("122 degF", Dimension::Temperature, 50.0),
    ("-40 \u{b0}F", Dimension::Temperature, -40.0),
    ("\u{2212}15 degC", Dimension::Temperature, -15.0),
    ("293.15 K", Dimension::Temperature, 20.0),
    ("300 kPa", Dimension::Pressure, 300_000.0),
    // 43 x 0.45359237 x 9.80665 / 0.0254^2
    ("43 psi", Dimension::Pressure, 296_474.563_606_239_5),
    // 5900 x pi / 30
    ("5900 rpm", Dimension::Speed, 617.846_555_205_993_1),
    ("3 %", Dimension::Share, 0.03),
    ("3%", Dimension::Share, 0.03),
    ("100 ms", Dimension::Time, 0.1),
    ("2 min", Dimension::Time, 120.0),
    ("90 L/h", Dimension::Flow, 2.5e-5),
    // 1100 x 3.785411784 L / 3600 s
    ("1100 gal/h", Dimension::Flow, 1.156_653_600_666_666_7e-3),
];

#[test]
fn one_figure_is_read_in_the_unit_it_is_written_in() {
    for (text, dimension, expected) in FIGURES {
        let [low, typical, high] = range(*dimension, text).unwrap();
        assert!(
            low == typical && typical == high,
            "{text} has become a range"
        );
        assert!(agree(typical, *expected, 1e-12), "{text}: {typical}");
        let spaced = range(*dimension, &format!("  {text}\t")).unwrap();
        assert_eq!(spaced, [low, typical, high], "{text} with blanks around");
    }
}

/// A range: text, dimension, low, typical, high.
const RANGES: &[(&str, Dimension, [f64; 3])] = &[
    ("2.6 to 3.8 A", Dimension::Current, [2.6, 3.2, 3.8]),
    ("2.6 A to 3.8 A", Dimension::Current, [2.6, 3.2, 3.8]),
    ("2600 mA to 3.8 A", Dimension::Current, [2.6, 3.2, 3.8]),
    ("2.6..3.8 A", Dimension::Current, [2.6, 3.2, 3.8]),
    ("2.6\u{2013}3.8 A", Dimension::Current, [2.6, 3.2, 3.8]),
    ("4.9 A +/- 10 %", Dimension::Current, [4.41, 4.9, 5.39]),
    ("4.9 A \u{b1}10%", Dimension::Current, [4.41, 4.9, 5.39]),
    ("3.2 A +/- 0.6 A", Dimension::Current, [2.6, 3.2, 3.8]),
    ("3.2 +/- 0.6 A", Dimension::Current, [2.6, 3.2, 3.8]),
    ("3.2 A +/- 600 mA", Dimension::Current, [2.6, 3.2, 3.8]),
    ("-5 to 5 degC", Dimension::Temperature, [-5.0, 0.0, 5.0]),
    // A reach is a difference: 18 F of it are 10 C, with no offset.
    (
        "122 degF +/- 18 degF",
        Dimension::Temperature,
        [40.0, 50.0, 60.0],
    ),
    (
        "-10 degC +/- 10 %",
        Dimension::Temperature,
        [-11.0, -10.0, -9.0],
    ),
    ("80 to 100 %", Dimension::Share, [0.8, 0.9, 1.0]),
    ("4 to 4 m", Dimension::Length, [4.0, 4.0, 4.0]),
];

#[test]
fn a_range_is_read_with_its_middle() {
    for (text, dimension, expected) in RANGES {
        let read = range(*dimension, text).unwrap();
        for (read, expected) in read.iter().zip(expected) {
            assert!(
                (read - expected).abs() <= 1e-12 * (1.0 + expected.abs()),
                "{text}: {read}"
            );
        }
    }
}
