//! Bench procedures: the expected readings against independent figures, the
//! cautions, and the command.

mod cautions;
mod command;
mod coverage;
mod loop_by_hand;
mod trade_figures;

use ampkeel::bench::{Kind, Options, Procedure, Reading, Rig, SEED, Subject, procedure, usual};
use ampkeel::devices::MotorModel;
use ampkeel::quantities::{Celsius, Pascals};

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
