//! What is printed reads back as the same figure, within its digits.

use super::{figure, printed};
use ampkeel::quantities::{Dimension, units_of};
use proptest::prelude::*;

/// Half of the last digit of a printed figure, in the base unit.
fn half_a_digit(dimension: Dimension, text: &str) -> f64 {
    let (number, unit) = text.split_once(' ').expect("figure and unit");
    let unit = unit.replace('\u{b0}', "deg");
    let factor = units_of(dimension)
        .iter()
        .find(|known| known.symbol == unit)
        .unwrap_or_else(|| panic!("`{text}` is not in a unit of {}", dimension.word()))
        .factor;
    let decimals = number.split_once('.').map_or(0, |(_, after)| after.len());
    let mut step = 10f64.powi(-i32::try_from(decimals).expect("few digits"));
    // A tachometer's last digit: full tens from a thousand up.
    if dimension == Dimension::Speed && number.trim_start_matches('-').len() > 3 {
        step = 10.0;
    }
    step * factor / 2.0
}

fn dimensions() -> impl Strategy<Value = Dimension> {
    proptest::sample::select(Dimension::ALL.to_vec())
}

proptest! {
    #![proptest_config(crate::cases(4000))]

    #[test]
    fn a_printed_figure_reads_back_within_its_last_digit(
        dimension in dimensions(),
        magnitude in -7.0..6.0_f64,
        negative in any::<bool>(),
    ) {
        let size = 10f64.powf(magnitude);
        let value = if negative { -size } else { size };
        let text = printed(dimension, value);
        let read = figure(dimension, &text);
        prop_assert!(read.is_ok(), "{text}: {read:?}");
        let off = (read.unwrap_or(f64::NAN) - value).abs();
        let allowed = half_a_digit(dimension, &text) + 1e-12 * size;
        prop_assert!(off <= allowed, "{value} is printed as {text}");
    }

    #[test]
    fn three_digits_at_least_are_left_of_a_current(magnitude in -5.9..3.0_f64) {
        let value = 10f64.powf(magnitude);
        let read = figure(Dimension::Current, &printed(Dimension::Current, value));
        let off = (read.unwrap_or(f64::NAN) - value).abs();
        prop_assert!(off <= 0.005_000_1 * value, "{}", printed(Dimension::Current, value));
    }
}

#[test]
fn figures_are_printed_as_a_meter_would_show_them() {
    for (dimension, base, expected) in [
        (Dimension::Voltage, 12.634, "12.63 V"),
        (Dimension::Voltage, 0.0, "0 V"),
        (Dimension::Voltage, 0.0123, "12.3 mV"),
        (Dimension::Current, 0.001_234, "1.23 mA"),
        (Dimension::Current, 9.996, "10.0 A"),
        (Dimension::Current, 99.97, "100 A"),
        (Dimension::Current, 0.099_97, "100 mA"),
        (Dimension::Current, -0.0, "0 A"),
        (Dimension::Current, 106.27, "106 A"),
        (Dimension::Resistance, 0.08, "80.0 mohm"),
        (Dimension::Temperature, -0.3, "0 \u{b0}C"),
        (Dimension::Speed, 617.846_555, "5900 rpm"),
        (Dimension::Share, 0.0334, "3.3 %"),
        (Dimension::Share, 0.334, "33 %"),
        (Dimension::Time, 150.0, "2.50 min"),
        (Dimension::Pressure, 296_475.0, "296 kPa"),
    ] {
        assert_eq!(printed(dimension, base), expected);
    }
}
