//! Circuits followed in time: against an independent integrator, a circuit
//! simulator, published and derived figures, and laws that hold whatever happens.

mod command;
mod deck;
mod ends;
mod findings;
mod fuse_heat;
mod jams;
mod laws;
mod mutations;
mod pump_start;
pub(crate) mod reference;
mod relays;
mod shorts;
mod simulator;

use ampkeel::circuit::{Circuit, Condition};
use ampkeel::devices::{Model, MotorModel, RunningLaw, resolve};
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
    *run.column(subject, quantity)
        .unwrap()
        .values
        .last()
        .unwrap()
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

/// Heat of the fuel pump's winding: 0.34 g of copper by the watt of 12 V and
/// 4.92 A (references), 393 J/(kg K) near 100 degC.
const FUEL_PUMP_J_PER_K: f64 = 0.34e-3 * 12.0 * 4.92 * 393.0;

/// The same with more between battery and pump, or another state.
fn pump_on_a_battery(replaced: &[(&str, &str)]) -> String {
    let mut text = PUMP_ON_A_BATTERY.to_owned();
    for (old, new) in replaced {
        assert!(text.contains(old), "{old}");
        text = text.replacen(old, new, 1);
    }
    text
}

/// The figures of a motor as the devices resolve them, and its law when healthy.
#[track_caller]
fn motor(circuit: &Circuit, name: &str) -> (MotorModel, RunningLaw) {
    let resolved = resolve(circuit).unwrap();
    let Model::Motor(model) = resolved.part(circuit.find(name).unwrap()) else {
        panic!("{name} is no motor");
    };
    (model.as_ref().clone(), model.law(Condition::Healthy))
}

/// Value of a quantity at a moment, along the straight line between samples.
#[track_caller]
fn at(run: &Transient, subject: &str, quantity: &str, time_s: f64) -> f64 {
    let values = &run.column(subject, quantity).unwrap().values;
    let after = run.times_s.partition_point(|&t| t < time_s).max(1);
    let (t0, t1) = (run.times_s[after - 1], run.times_s[after]);
    let share = if t1 > t0 {
        (time_s - t0) / (t1 - t0)
    } else {
        1.0
    };
    values[after - 1] + share * (values[after] - values[after - 1])
}

/// Integral over time by straight lines between samples.
fn integral(run: &Transient, value: impl Fn(usize) -> f64) -> f64 {
    let moments = 1..run.times_s.len();
    let pieces =
        moments.map(|n| 0.5 * (value(n) + value(n - 1)) * (run.times_s[n] - run.times_s[n - 1]));
    pieces.sum()
}
