//! What a figure may be: no less than nothing, and no more than a table has.

use super::read_text;
use ampkeel::quantities::{Dimension, WireSize};
use ampkeel::reading::{Field, Takes, catalogue};
use ampkeel::solving::solve;

/// Every figure a field takes, with its dimension and its lower limit.
fn figures(field: &Field, takes: Takes, into: &mut Vec<(String, Dimension, f64)>) {
    match takes {
        Takes::Figure(dimension, limits) | Takes::Range(dimension, limits) => {
            assert!(limits.low < limits.high, "{}", field.key);
            into.push((field.key.to_owned(), dimension, limits.low));
        }
        Takes::List(inner) | Takes::EachHop(inner) | Takes::ByPart(inner) => {
            figures(field, *inner, into);
        }
        Takes::Table(fields) => {
            for inner in fields {
                figures(inner, inner.takes, into);
            }
        }
        _ => {}
    }
}

#[test]
fn nothing_but_a_temperature_may_be_below_zero() {
    let mut all = Vec::new();
    for field in catalogue().iter().flat_map(|table| table.fields) {
        figures(field, field.takes, &mut all);
    }
    assert!(all.len() > 60, "{}", all.len());
    for (key, dimension, low) in all {
        if dimension == Dimension::Temperature {
            // Nothing on a boat is colder than the coldest air, -89 degC.
            assert!(low >= -90.0, "`{key}` may be {low} degC");
        } else {
            assert!(low >= 0.0, "`{key}` may be {low}");
        }
    }
}

/// A lamp on wire of one size.
fn lamp_on(size: WireSize) -> String {
    format!(
        "format = 1\n[battery.house]\nminus = \"ground\"\n[stud.ground]\n\
         [fuse.main]\nstyle = \"blade\"\nrating = \"5 A\"\nin = \"house.plus\"\n\
         [load.lamp]\nlamp = \"10 W\"\nminus = \"ground\"\n\
         [[run]]\nthrough = [\"main.out\", \"lamp.plus\"]\nlengths = [\"9 ft\"]\nsize = \"{size}\"\n"
    )
}

#[test]
fn every_size_the_reader_takes_is_one_the_tables_can_solve() {
    let gauges = (-3..=40).flat_map(|n| [WireSize::Awg(n), WireSize::Sae(n)]);
    let areas = (1..=2500).map(|tenths| WireSize::Metric(f64::from(tenths) / 10.0));
    let mut taken = Vec::new();
    for size in gauges.chain(areas) {
        let reading = read_text(&lamp_on(size));
        let Some(circuit) = reading.circuit else {
            assert_eq!(reading.findings[0].code.name(), "out-of-range", "{size}");
            continue;
        };
        let solved = solve(&circuit).unwrap_or_else(|why| panic!("{size}: {why}"));
        assert_eq!(solved.states.len(), 1, "{size}");
        taken.push(size.to_string());
    }
    // What a chandler sells is taken, what nobody makes is not.
    for sold in [
        "18 AWG", "16 SAE", "4/0 AWG", "1.5 mm2", "2.5 mm2", "95 mm2",
    ] {
        assert!(taken.iter().any(|size| size == sold), "{sold} is refused");
    }
    for odd in ["30 AWG", "9 SAE", "2.7 mm2", "250 mm2"] {
        assert!(taken.iter().all(|size| size != odd), "{odd} is taken");
    }
}

/// A line that is no TOML does not hide what is wrong elsewhere.
#[test]
fn mistakes_beside_a_broken_line_are_told_in_the_same_run() {
    let text = "format = 1\ntitel = typo\n[fuse.f]\nstyle = \"balde\"\nrating = \"1,5 A\"\n";
    let found = ampkeel::reading::read(&ampkeel::span::CircuitText::new("x.toml", text)).findings;
    let codes: Vec<&str> = found.iter().map(|finding| finding.code.name()).collect();
    assert_eq!(codes, ["toml-syntax", "unknown-word", "bad-figure"]);
}
