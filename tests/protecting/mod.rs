//! `protect`: every fuse against hand calculations and independent integrators.

mod command;
mod feeds;
mod labels;
mod selectivity;
mod shorts;
mod starts;
mod stories;

use ampkeel::protecting::{Check, Kind, Report, Study, study};
use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use std::path::Path;

/// A circuit of the folder `circuits`.
fn text_of(file: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits");
    std::fs::read_to_string(folder.join(file)).expect("a circuit")
}

fn studied(text: &str) -> Study {
    let reading = read(&CircuitText::new("test.toml", text));
    let circuit = reading
        .circuit
        .unwrap_or_else(|| panic!("unsound: {:?}", reading.findings));
    study(&circuit).expect("solved")
}

#[track_caller]
fn fuse<'a>(study: &'a Study, name: &str) -> &'a Report {
    let found = study.fuses.iter().find(|fuse| fuse.name == name);
    found.unwrap_or_else(|| panic!("no fuse `{name}`"))
}

#[track_caller]
fn check(report: &Report, kind: Kind) -> &Check {
    let found = report.checks.iter().find(|check| check.kind == kind);
    found.unwrap_or_else(|| panic!("no {} for `{}`", kind.word(), report.name))
}

#[track_caller]
fn figure(check: &Check, key: &str) -> Option<f64> {
    let found = check.figures.iter().find(|figure| figure.0 == key);
    found
        .unwrap_or_else(|| panic!("no {key} in {}", check.sentence))
        .1
}
