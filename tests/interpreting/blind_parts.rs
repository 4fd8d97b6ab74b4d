//! Blind recovery of every other family: hidden condition, hidden figures, meter
//! error; the class alone is known.
//!
//! `AMPKEEL_BLIND_CASES=2000 cargo test --test main blind -- --nocapture` prints
//! the figures of a longer run.

use super::blind_truth::Lehmer;
use super::tally::{Tally, cases, drawn_from, read};
use super::truth_coils::{Shows, primer, pulsed, relay};
use super::truth_contacts::{fuse, switch};
use super::truth_motors::turns;
use super::truth_supplies::{battery, charger};
use super::{of_class, rig_of};
use ampkeel::interpreting::{Evidence, Measure, Priors, Question, Run, RunKind, interpret};

/// A hidden part: what it shows with a condition.
type Truth = fn(&str, &mut Lehmer) -> Shows;

/// What a meter makes of a figure; clamps of 2.5 %, the ampere jack of 2 %.
fn metered(measure: Measure, value: f64, class: &str, draw: &mut Lehmer) -> f64 {
    let jack = class == "plug-in";
    let large = class.starts_with("starter");
    match measure {
        Measure::Volts | Measure::PostVolts | Measure::PullIn => read(value, 0.008, 0.02, draw),
        Measure::Amps if jack => read(value, 0.02, 0.05, draw),
        Measure::Amps if large => read(value, 0.025, 0.8, draw),
        Measure::Amps | Measure::Peak | Measure::LoadAmps => read(value, 0.025, 0.1, draw),
        Measure::Millivolts => read(value, 0.008, 0.0003, draw),
        Measure::AcVolts => read(value, 0.03, 0.015, draw),
        Measure::Speed => read(value, 0.01, 0.0, draw),
        // Leads that are not nulled add up to 0.3 ohm.
        Measure::Ohms | Measure::PullOhms | Measure::ToGround | Measure::PlusToGround => {
            read(value, 0.015, 0.0, draw) + draw.between(0.0, 0.3)
        }
        Measure::Forward | Measure::Backward => read(value, 0.01, 0.005, draw),
        _ => value,
    }
}

fn evidence(shows: &Shows, class: &str, draw: &mut Lehmer) -> Evidence {
    let mut run = |readings: &[(Measure, f64)], kind: Option<RunKind>| Run {
        kind,
        readings: readings
            .iter()
            .map(|(measure, value)| (*measure, metered(*measure, *value, class, draw)))
            .collect(),
    };
    let mut runs = Vec::new();
    if !shows.on.is_empty() {
        runs.push(run(&shows.on, None));
    }
    if !shows.off.is_empty() {
        runs.push(run(&shows.off, Some(RunKind::Off)));
    }
    Evidence {
        rest_v: Some(read(shows.rest_v, 0.008, 0.02, draw)),
        fuse: None,
        runs,
    }
}

fn series(class: &str, truth: Truth, usual: usize, seed: u64) -> Tally {
    let examined = of_class(class);
    let rig = rig_of(class);
    let can: Vec<&str> = conditions(class);
    let odds = drawn_from(examined.part(), |word| can.contains(&word));
    let mut draw = Lehmer(seed);
    let mut tally = Tally::default();
    for case in 0..cases(usual) {
        let condition = draw.pick(&odds);
        let shows = truth(condition, &mut draw);
        let question = Question {
            title: class.to_owned(),
            priors: Priors::of_part(examined.part(), &[]).expect("priors"),
            examined: examined.clone(),
            rig: rig.clone(),
            evidence: evidence(&shows, class, &mut draw),
            seed: case as u64 + 1,
        };
        tally.take(condition, &interpret(&question).expect("solved"));
    }
    tally.print(class);
    tally.hold_coverage();
    tally
}

/// The conditions that a class can have, from an interpretation of nothing.
fn conditions(class: &str) -> Vec<&'static str> {
    let examined = of_class(class);
    let question = Question {
        title: class.to_owned(),
        priors: Priors::of_part(examined.part(), &[]).expect("priors"),
        examined,
        rig: rig_of(class),
        evidence: Evidence::default(),
        seed: 1,
    };
    let found = interpret(&question).expect("solved");
    found.conditions.iter().map(|v| v.condition).collect()
}

fn motor(class: &str, condition: &str, draw: &mut Lehmer) -> Shows {
    let found = turns(class, condition, draw);
    Shows {
        rest_v: found.rest_v,
        on: vec![
            (Measure::Volts, found.volts),
            (Measure::Amps, found.amps),
            (Measure::Speed, found.speed),
        ],
        off: Vec::new(),
    }
}

#[test]
fn relays_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series("plug-in", relay, 60, 4_021);
}

#[test]
fn batteries_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series("battery", battery, 100, 8_117);
}

#[test]
fn starters_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series(
        "starter 50 hp",
        |condition, draw| motor("starter 50 hp", condition, draw),
        40,
        31_337,
    );
}

#[test]
fn trim_motors_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series(
        "trim",
        |condition, draw| motor("trim", condition, draw),
        40,
        60_013,
    );
}

#[test]
fn solenoids_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series("primer", primer, 60, 1_009);
}

#[test]
fn pulsed_pumps_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series("solenoid lift pump", pulsed, 50, 12_553);
}

#[test]
fn rectifiers_and_stators_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series("charger", charger, 60, 77_977);
}

#[test]
fn fuses_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series("blade fuse 15 A", fuse, 60, 15_485);
}

#[test]
fn switches_are_recovered_and_nine_in_ten_sets_hold_the_truth() {
    series("rocker switch", switch, 60, 2_221);
}
