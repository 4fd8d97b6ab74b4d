//! Whole circuits through the library: laws, histories, hand calculation,
//! published examples.

mod balance;
mod by_hand;
mod example_list;
mod examples;
mod generated;
mod parts_by_hand;
mod protection;
mod relays;

use std::path::Path;

use ampkeel::circuit::Circuit;
use ampkeel::reading::read;
use ampkeel::solving::{Solution, StateSolution, solve};
use ampkeel::span::CircuitText;

/// The circuit of a text, which must have no mistake.
#[track_caller]
pub(crate) fn circuit(text: &str) -> Circuit {
    let reading = read(&CircuitText::new("test.toml", text));
    let findings = reading.findings.iter();
    let said: Vec<String> = findings
        .map(|finding| format!("{}: {}", finding.code.name(), finding.statement))
        .collect();
    reading
        .circuit
        .clone()
        .unwrap_or_else(|| panic!("{}\n{text}", said.join("\n")))
}

#[track_caller]
fn solved(text: &str) -> Solution {
    solve(&circuit(text)).unwrap()
}

/// The only state of a circuit.
#[track_caller]
fn only(text: &str) -> StateSolution {
    let mut solution = solved(text);
    assert_eq!(solution.states.len(), 1, "{:?}", solution.findings);
    solution.states.remove(0)
}

fn state<'a>(solution: &'a Solution, name: &str) -> &'a StateSolution {
    let mut states = solution.states.iter();
    states.find(|state| state.name == name).unwrap()
}

/// Every example circuit by its file's name.
pub(crate) fn examples() -> Vec<(String, Circuit)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<_> = ["circuits", "circuits/devices"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    paths.sort();
    assert!(paths.len() > 20, "example circuits are missing");
    let named = paths.iter().map(|path| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        (name, circuit(&std::fs::read_to_string(path).unwrap()))
    });
    named.collect()
}

fn example(path: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits");
    std::fs::read_to_string(root.join(path)).unwrap()
}

/// What a finding of this code is about, where there is one.
fn subject_of<'a>(solution: &'a Solution, code: &str) -> Option<&'a str> {
    let mut findings = solution.findings.iter();
    let found = findings.find(|finding| finding.code.name() == code)?;
    Some(&found.subject)
}

/// Volts of a connected terminal.
#[track_caller]
fn volts(state: &StateSolution, label: &str) -> f64 {
    state.terminals_v[label].unwrap()
}

/// Current through a load, plus to minus.
#[track_caller]
fn amps(state: &StateSolution, load: &str) -> f64 {
    state.parts[load].current_a.unwrap()
}

/// Volts across a load, plus less minus.
#[track_caller]
fn across(state: &StateSolution, load: &str) -> f64 {
    state.parts[load].voltage_v.unwrap()
}

/// Asserts that `found` is `expected` but for a share of it.
#[track_caller]
fn near(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "found {found}, expected {expected} within {share:e} of it"
    );
}

/// What every wire has where only the stated resistances should count: a tenth
/// of a microhm of copper, no joints.
const BARE_WIRES: &str = "\
[ambient]
bench = \"20 degC\"
[defaults.part]
place = \"bench\"
[defaults.wire]
size = \"4/0 AWG\"
length = \"1 mm\"
joints = \"0 ohm\"
insulation = \"105 degC\"
place = \"bench\"
";
