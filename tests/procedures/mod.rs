//! Bench procedures: the expected readings against independent figures, the
//! cautions, and the command.

mod batteries;
mod cautions;
mod command;
mod coverage;
mod coverage_of_parts;
mod every_caution;
mod every_part;
mod harness;
pub(crate) mod lehmer;
mod loop_by_hand;
mod meters;
mod parts_by_hand;
mod trade_figures;
mod trade_figures_of_parts;

use ampkeel::bench::{
    Kind, Options, Procedure, Reading, Rig, SEED, Subject, air, procedure, usual,
};
use ampkeel::circuit::Circuit;
use ampkeel::devices::MotorModel;
use ampkeel::quantities::{Celsius, Pascals};
use ampkeel::reading::read;
use ampkeel::span::CircuitText;

/// A class alone on the usual rig, changed by `options`.
fn rigged(class: &str, options: &Options) -> (Subject, Rig) {
    let air = options.temperature.unwrap_or(Celsius::new(20.0));
    let mut subject = Subject::of_class(class, air).expect("class");
    if let Kind::Motor(motor) = &mut subject.kind {
        **motor = motor.at_pressure(Pascals::new(0.0));
    }
    let usual = usual(&subject).expect("usual");
    let rig = Rig::new(None, options, usual).expect("rig");
    (subject, rig)
}

fn steps_of(class: &str) -> Procedure {
    let (subject, rig) = rigged(class, &Options::default());
    procedure(&subject, &rig, SEED).expect("procedure")
}

/// A circuit from its text, which must have no mistake.
fn circuit(text: &str) -> Circuit {
    let reading = read(&CircuitText::new("test.toml", text));
    assert!(reading.circuit.is_some(), "{:?}", reading.findings);
    reading.circuit.expect("sound")
}

/// A part of a circuit on the usual rig of that circuit.
fn rigged_part(circuit: &Circuit, name: &str) -> (Subject, Rig) {
    let options = Options::default();
    let id = circuit.find(name).expect("part");
    let subject = Subject::of_part(circuit, id, air(Some(circuit), &options)).expect("steps");
    let usual = usual(&subject).expect("usual");
    let rig = Rig::new(Some(circuit), &options, usual).expect("rig");
    (subject, rig)
}

fn steps_of_part(circuit: &Circuit, name: &str) -> Procedure {
    let (subject, rig) = rigged_part(circuit, name);
    procedure(&subject, &rig, SEED).expect("procedure")
}

fn reading<'a>(procedure: &'a Procedure, quantity: &str) -> &'a Reading {
    let mut all = procedure.steps.iter().flat_map(|step| &step.expect);
    all.find(|reading| reading.quantity == quantity)
        .unwrap_or_else(|| panic!("no {quantity}"))
}

fn typical(procedure: &Procedure, quantity: &str) -> f64 {
    reading(procedure, quantity).typical.expect("computed")
}

fn motor(subject: &Subject) -> &MotorModel {
    match &subject.kind {
        Kind::Motor(motor) => motor,
        other => panic!("{other:?} is no motor"),
    }
}
