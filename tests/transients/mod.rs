//! Circuits followed in time: against an independent integrator, a circuit
//! simulator, published and derived figures, and laws that hold whatever happens.

mod reference;
mod pump_start;

use ampkeel::circuit::Circuit;
use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use ampkeel::transients::{Scenario, Transient, run};

/// The circuit of a text, which must have no mistake.
#[track_caller]
fn circuit(text: &str) -> Circuit {
    let reading = read(&CircuitText::new("test.toml", text));
    let findings = reading.findings.iter();
    let said: Vec<String> = findings
        .map(|finding| format!("{}: {}", finding.code.name(), finding.statement))
        .collect();
    let found = reading.circuit.clone();
    found.unwrap_or_else(|| panic!("{}\n{text}", said.join("\n")))
}

#[track_caller]
fn followed(text: &str, scenario: &Scenario) -> Transient {
    run(&circuit(text), scenario).unwrap()
}

/// Peak of a quantity with its time.
#[track_caller]
fn peak(run: &Transient, subject: &str, quantity: &str) -> (f64, f64) {
    run.column(subject, quantity).unwrap().peak(&run.times_s)
}

/// Last value of a quantity.
#[track_caller]
fn last(run: &Transient, subject: &str, quantity: &str) -> f64 {
    *run.column(subject, quantity).unwrap().values.last().unwrap()
}

/// Asserts that `found` is `expected` but for a share of it.
#[track_caller]
fn near(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "found {found}, expected {expected} within {share:e} of it"
    );
}

/// A fuel pump on a battery of 12.6 V through 0.12 ohm in all: the circuit of the
/// references' table of pump conditions.
const PUMP_ON_A_BATTERY: &str = "\
format = 1
[ambient]
bench = \"20 degC\"
[defaults.part]
place = \"bench\"
[defaults.wire]
size = \"4/0 AWG\"
length = \"1 mm\"
joints = \"0 ohm\"
insulation = \"105 degC\"
[battery.house]
open-volts = \"12.6 V\"
resistance = \"120 mohm\"
[pump.pump]
class = \"high-pressure fuel pump\"
[[wire]]
from = \"house.plus\"
to = \"pump.plus\"
[[wire]]
from = \"pump.minus\"
to = \"house.minus\"
";
