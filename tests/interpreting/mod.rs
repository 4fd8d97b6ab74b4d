//! Readings interpreted: published cases, signatures, blind recovery, the command.

mod aboard;
mod blind;
mod blind_parts;
mod blind_truth;
mod boat_command;
mod command;
mod contradictions;
mod families;
mod figures;
mod gaps;
mod hidden_figures;
mod honest_limits;
mod jam;
mod ohms;
mod peaks;
mod shorts;
mod signatures;
mod slips;
mod suits;
mod tally;
mod truth_coils;
mod truth_contacts;
mod truth_motors;
mod truth_supplies;
mod workshop;

use ampkeel::bench::{Options, Rig, Subject, Usual, usual};
use ampkeel::circuit::{BenchMeter, Given, MotorSpec, WorkingPoint};
use ampkeel::devices::{Model, pump_alone};
use ampkeel::interpreting::{
    Evidence, Examined, Interpretation, Measure, Priors, Question, Run, RunKind, interpret,
};
use ampkeel::quantities::{Amps, Band, Celsius, Ohms, Pascals, Quantity, RadiansPerSecond, Volts};
use ampkeel::span::Span;

const RPM: f64 = std::f64::consts::TAU / 60.0;

fn given<Q: Quantity>(value: f64) -> Given<Band<Q>> {
    Given::new(Band::exactly(Q::new(value)), Span::default())
}

/// A fuel pump known by one working point: volts, amperes, kilopascals, rpm.
fn known(volts: f64, amps: f64, kpa: f64, rpm: f64) -> Examined {
    let spec = MotorSpec {
        at: Some(WorkingPoint {
            voltage: given(volts),
            current: given(amps),
            pressure: Some(given::<Pascals>(kpa * 1000.0)),
            speed: Some(given::<RadiansPerSecond>(rpm * RPM)),
        }),
        ..MotorSpec::default()
    };
    match pump_alone(&spec, "pump", Celsius::new(20.0))
        .expect("class")
        .0
    {
        Model::Motor(motor) => Examined::Pump(motor, true),
        other => panic!("{other:?}"),
    }
}

/// A part of which only the class is known.
fn of_class(class: &str) -> Examined {
    let subject = Subject::of_class(class, Celsius::new(20.0)).expect("class");
    Examined::of(&subject).expect("one part")
}

/// The rig that its class takes where nothing is given.
fn rig_of(class: &str) -> Rig {
    let subject = Subject::of_class(class, Celsius::new(20.0)).expect("class");
    let usual = usual(&subject).expect("usual");
    Rig::new(None, &Options::default(), usual).expect("rig")
}

fn usual_rig() -> Rig {
    let usual = Usual {
        fuse: Amps::new(15.0),
        meter: BenchMeter::Clamp,
        lead_size: ampkeel::quantities::WireSize::Awg(14),
        heavy: false,
    };
    Rig::new(None, &Options::default(), usual).expect("rig")
}

/// The rig of the references' signatures: 12.6 V through 0.12 ohm.
fn reference_rig() -> Rig {
    let mut rig = usual_rig();
    rig.battery = Band::within(Ohms::new(0.01), 0.2);
    rig.leads = Band::within(Ohms::new(0.11), 0.2);
    rig.fuse.cold = Band::exactly(Ohms::new(1e-5));
    rig.fuse.clips = Band::exactly(Ohms::new(0.0));
    rig.open_volts = Band::new(Volts::new(12.3), Volts::new(12.6), Volts::new(12.8));
    rig
}

fn run(readings: &[(Measure, f64)]) -> Run {
    Run {
        kind: None,
        readings: readings.to_vec(),
    }
}

/// A run against the working pressure.
fn at_pressure(readings: &[(Measure, f64)]) -> Run {
    Run {
        kind: Some(RunKind::AtPressure),
        ..run(readings)
    }
}

fn asked(examined: Examined, rig: Rig, rest_v: Option<f64>, runs: Vec<Run>) -> Interpretation {
    let priors = Priors::of_part(examined.part(), &[]).expect("priors");
    let question = Question {
        title: "part".to_owned(),
        examined,
        rig,
        evidence: Evidence {
            rest_v,
            fuse: None,
            runs,
        },
        priors,
        seed: 1,
    };
    interpret(&question).expect("solved")
}

fn first(found: &Interpretation) -> &'static str {
    found.conditions[0].condition
}

fn odds(found: &Interpretation, condition: &str) -> f64 {
    let verdict = found.conditions.iter().find(|v| v.condition == condition);
    verdict.expect("a condition").probability
}
