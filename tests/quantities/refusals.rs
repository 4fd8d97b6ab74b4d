//! What is refused, and the text that is offered instead.

use super::{figure, range};
use ampkeel::quantities::Dimension;
use proptest::prelude::*;

/// Text, dimension, part of the message, part of the hint.
const REFUSED: &[(&str, Dimension, &str, &str)] = &[
    ("4,3 m", Dimension::Length, "comma", "\"4.3 m\""),
    ("4,3", Dimension::Length, "comma", "\"4.3\""),
    ("2,6 to 3,8 A", Dimension::Current, "comma", "\"3.8 A\""),
    // Three digits after it: the comma could part thousands.
    (
        "1,100 rpm",
        Dimension::Speed,
        "comma",
        "\"1.100 rpm\", or \"1100 rpm\"",
    ),
    ("16", Dimension::Current, "no unit", "\"16 A\""),
    ("16", Dimension::Length, "no unit", "\"16 m\""),
    ("4 to 6", Dimension::Length, "no unit", "\"6 m\""),
    (
        "14 ft",
        Dimension::Current,
        "ft measures length",
        "\"15 A\"",
    ),
    ("12 V", Dimension::Length, "V measures voltage", "\"14 ft\""),
    (
        "85 Ah",
        Dimension::Current,
        "Ah measures battery capacity",
        "\"15 A\"",
    ),
    (
        "50 mm",
        Dimension::Area,
        "mm measures length",
        "\"2.5 mm2\"",
    ),
    (
        "14 fet",
        Dimension::Length,
        "`fet` is not a unit of length",
        "\"14 ft\"",
    ),
    (
        "50 dgeC",
        Dimension::Temperature,
        "`dgeC` is not",
        "\"50 degC\"",
    ),
    ("5900 rmp", Dimension::Speed, "`rmp` is not", "\"5900 rpm\""),
    ("80 mohms x", Dimension::Resistance, "is not a unit", "mohm"),
    (
        "2 furlongs",
        Dimension::Length,
        "`furlongs` is not a unit",
        "m, ft, in",
    ),
    (
        "3.8 to 2.6 A",
        Dimension::Current,
        "runs downwards",
        "\"2.6 to 3.8 A\"",
    ),
    ("3 A +/- -1 A", Dimension::Current, "negative", "+/- 1 A"),
    ("3 A +/- -10 %", Dimension::Current, "negative", "+/- 10 %"),
    (
        "3 A +/-",
        Dimension::Current,
        "does not begin with a number",
        "\"12 V\"",
    ),
    (
        "A",
        Dimension::Current,
        "does not begin with a number",
        "\"15 A\"",
    ),
    (
        "about 5 A",
        Dimension::Current,
        "does not begin with a number",
        "\"15 A\"",
    ),
    ("", Dimension::Current, "nothing is written", "\"15 A\""),
    (
        " \t\u{a0}",
        Dimension::Length,
        "nothing is written",
        "\"14 ft\"",
    ),
    (
        "nan V",
        Dimension::Voltage,
        "does not begin with a number",
        "\"12.6 V\"",
    ),
    (
        "inf A",
        Dimension::Current,
        "does not begin with a number",
        "\"15 A\"",
    ),
    (
        "-infinity A",
        Dimension::Current,
        "does not begin with a number",
        "\"15 A\"",
    ),
    (
        "1e999 A",
        Dimension::Current,
        "too large",
        "check the figure",
    ),
    (
        "1e308 kA",
        Dimension::Current,
        "too large",
        "check the figure",
    ),
    ("1/0 in", Dimension::Length, "too large", "check the figure"),
    (
        "1e308 A +/- 100 %",
        Dimension::Current,
        "too large",
        "check the figure",
    ),
    (
        "1e308 A +/- 1e308 A",
        Dimension::Current,
        "too large",
        "check the figure",
    ),
    (
        "\u{661}\u{662} V",
        Dimension::Voltage,
        "does not begin with a number",
        "\"12.6 V\"",
    ),
    (
        "\u{ff11}\u{ff12} V",
        Dimension::Voltage,
        "does not begin with a number",
        "\"12.6 V\"",
    ),
    ("12 V\u{200b}", Dimension::Voltage, "is not a unit", "V"),
    ("12 \u{1f50b}", Dimension::Voltage, "is not a unit", "V, mV"),
    ("12,\u{e9} V", Dimension::Voltage, "is not a unit", "V, mV"),
];

#[test]
fn what_cannot_be_meant_is_refused_with_text_to_type() {
    for (text, dimension, message, hint) in REFUSED {
        let error = range(*dimension, text).unwrap_err();
        let given = error.hint.unwrap_or_default();
        assert!(
            error.message.contains(message),
            "{text:?}: {}",
            error.message
        );
        assert!(given.contains(hint), "{text:?}: {given}");
    }
}

#[test]
fn a_number_of_any_length_is_read_or_refused() {
    let nines = "9".repeat(5000);
    let error = figure(Dimension::Current, &format!("{nines} A")).unwrap_err();
    assert!(error.message.ends_with("is too large to be meant"));
    let zeros = format!("{}15 A", "0".repeat(5000));
    assert_eq!(figure(Dimension::Current, &zeros), Ok(15.0));
    let places = format!("0.{}1 A", "0".repeat(5000));
    assert_eq!(figure(Dimension::Current, &places), Ok(0.0));
}

#[test]
fn a_range_is_refused_where_one_figure_is_needed() {
    let error = figure(Dimension::Current, "2.6 to 3.8 A").unwrap_err();
    assert!(error.message.contains("is a range"), "{}", error.message);
    assert_eq!(
        error.hint.as_deref(),
        Some("write one figure, for example \"3.20 A\"")
    );
}

/// Texts near what people write: pieces of figures, units and separators.
fn near_figures() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        "[0-9]{1,4}",
        "[0-9]{300,400}",
        Just("e308".to_owned()),
        Just("1/0".to_owned()),
        Just("1-1/".to_owned()),
        "[-+.,'\"/ %#eE]",
        Just(" to ".to_owned()),
        Just("..".to_owned()),
        Just("+/-".to_owned()),
        "(V|mA|ohm|ft|in|m|mm2|AWG|SAE|ga|degC|degF|K|psi|rpm|Ah|%|h|gal/h|hp)",
        "[\u{bd}\u{bc}\u{b1}\u{b0}\u{b2}\u{2013}\u{2014}\u{2126}\u{b5}\u{a0}\u{2032}\u{2033}\u{feff}\u{1f50b}]",
    ];
    proptest::collection::vec(piece, 0..9).prop_map(|pieces| pieces.concat())
}

/// Holds that a text is refused with words, or gives three plain numbers in order.
fn refused_or_plain(text: &str) -> Result<(), TestCaseError> {
    for dimension in Dimension::ALL {
        match range(dimension, text) {
            Ok([low, typical, high]) => {
                prop_assert!(
                    low.is_finite() && high.is_finite(),
                    "{text:?}: {low} to {high}"
                );
                prop_assert!(low <= typical && typical <= high, "{text:?}");
            }
            Err(error) => prop_assert!(!error.message.is_empty() && error.hint.is_some()),
        }
    }
    if let Ok(ampkeel::quantities::WireSize::Metric(mm2)) = ampkeel::quantities::parse_size(text) {
        prop_assert!(mm2.is_finite() && mm2 > 0.0, "{text:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(crate::cases(2000))]

    #[test]
    fn any_text_is_refused_or_gives_plain_numbers(text in any::<String>()) {
        refused_or_plain(&text)?;
    }

    #[test]
    fn any_text_near_a_figure_is_refused_or_gives_plain_numbers(text in near_figures()) {
        refused_or_plain(&text)?;
    }
}
