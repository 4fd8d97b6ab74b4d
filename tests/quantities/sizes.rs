//! Wire sizes as text, and the area of a gauge by its definition.

use super::agree;
use ampkeel::quantities::{WireSize, parse_size};
use ampkeel::tables::conductors::{area, area_cmil};
use std::f64::consts::PI;

#[test]
fn the_sizes_people_write_are_read() {
    for (text, expected) in [
        ("16 AWG", WireSize::Awg(16)),
        ("16awg", WireSize::Awg(16)),
        ("AWG 16", WireSize::Awg(16)),
        ("16 ga", WireSize::Awg(16)),
        ("16 gauge", WireSize::Awg(16)),
        ("#16", WireSize::Awg(16)),
        ("16 SAE", WireSize::Sae(16)),
        ("16\u{a0}sae", WireSize::Sae(16)),
        ("1 AWG", WireSize::Awg(1)),
        ("1/0 AWG", WireSize::Awg(0)),
        ("0 AWG", WireSize::Awg(0)),
        ("2/0 AWG", WireSize::Awg(-1)),
        ("00 AWG", WireSize::Awg(-1)),
        ("4/0 AWG", WireSize::Awg(-3)),
        ("2/0 SAE", WireSize::Sae(-1)),
        ("2.5 mm2", WireSize::Metric(2.5)),
        ("2.5mm\u{b2}", WireSize::Metric(2.5)),
        ("2.5 mm^2", WireSize::Metric(2.5)),
        ("50 sqmm", WireSize::Metric(50.0)),
    ] {
        assert_eq!(parse_size(text), Ok(expected), "{text}");
    }
}

#[test]
fn a_printed_size_reads_back_as_itself() {
    let gauges = (-3..=22).flat_map(|n| [WireSize::Awg(n), WireSize::Sae(n)]);
    let areas = [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 95.0, 120.0].map(WireSize::Metric);
    for size in gauges.chain(areas) {
        assert_eq!(parse_size(&size.to_string()), Ok(size));
    }
}

#[test]
fn a_bare_gauge_is_refused_with_what_it_could_be() {
    for text in ["16", " 16 ", "2/0"] {
        let error = parse_size(text).unwrap_err();
        let hint = error.hint.unwrap();
        let number = text.trim();
        for suggestion in [format!("\"{number} AWG\""), format!("\"{number} SAE\"")] {
            assert!(hint.contains(&suggestion), "{hint}");
            let suggested = suggestion.trim_matches('"');
            assert!(parse_size(suggested).is_ok(), "{suggested}");
        }
    }
    assert!(
        parse_size("16")
            .unwrap_err()
            .hint
            .unwrap()
            .contains("\"16 mm2\"")
    );
    // No area is written 2/0.
    assert!(!parse_size("2/0").unwrap_err().hint.unwrap().contains("mm2"));
}

#[test]
fn what_is_no_size_is_refused_with_text_to_type() {
    for (text, hint) in [
        ("2,5 mm2", "\"2.5 mm2\""),
        ("2.5 mm", "\"2.5 mm2\""),
        ("", "\"16 AWG\""),
        ("thick", "\"16 AWG\""),
        ("5/0 AWG", "1/0 to 4/0"),
        ("-16 AWG", "\"16 AWG\""),
        ("99 AWG", "\"16 AWG\""),
        ("1.5 SAE", "\"16 SAE\""),
        ("-2.5 mm2", "\"2.5 mm2\""),
        ("0 mm2", "\"2.5 mm2\""),
        ("inf mm2", "\"2.5 mm2\""),
        ("nan mm2", "\"2.5 mm2\""),
        ("1e999 mm2", "\"2.5 mm2\""),
    ] {
        let error = parse_size(text).unwrap_err();
        let given = error.hint.unwrap_or_default();
        assert!(given.contains(hint), "{text:?}: {given}");
    }
}

#[test]
fn the_area_of_a_gauge_follows_the_standard_formula() {
    // ASTM B258: diameter 0.005 in at 36, 0.46 in at 4/0, 39 equal ratios between.
    for number in -3..=22_i32 {
        let written = match number {
            1.. => format!("{number} AWG"),
            _ => format!("{}/0 AWG", 1 - number),
        };
        let diameter_mil = 5.0 * 92f64.powf(f64::from(36 - number) / 39.0);
        let size = parse_size(&written).unwrap();
        let cmil = area_cmil(size).unwrap().value;
        assert!(
            agree(cmil, diameter_mil.powi(2), 1e-12),
            "{written}: {cmil}"
        );
        let mm2 = area(size).unwrap().value.si();
        let expected = PI / 4.0 * (diameter_mil * 0.0254).powi(2);
        assert!(agree(mm2, expected, 1e-12), "{written}: {mm2}");
    }
    let thickest = area_cmil(WireSize::Awg(-3)).unwrap().value;
    assert!(agree(thickest, 460.0 * 460.0, 1e-12));
}
