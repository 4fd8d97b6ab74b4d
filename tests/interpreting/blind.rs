//! Blind recovery: hidden condition, hidden figures, meter error.
//!
//! `AMPKEEL_BLIND_CASES=2000 cargo test --test main blind -- --nocapture` prints
//! the figures of a longer run; a hundred or so of each are held in every run.

use super::blind_truth::{Lehmer, Pump, Shown, shown};
use super::tally::{Tally, cases, drawn_from, read};
use super::{RPM, known, of_class, usual_rig};
use ampkeel::interpreting::{
    Evidence, Examined, Measure, Priors, Question, Run, RunKind, interpret,
};

/// What is read of it; volts and amperes alone where `few`.
fn evidence(shown: &Shown, few: bool, draw: &mut Lehmer) -> Evidence {
    let mut readings = vec![
        (Measure::Volts, read(shown.volts, 0.008, 0.02, draw)),
        (Measure::Amps, read(shown.amps, 0.025, 0.1, draw)),
    ];
    if !few {
        readings.push((Measure::Speed, read(shown.speed, 0.01, 0.0, draw)));
        readings.push((Measure::Pressure, read(shown.pressure_pa, 0.02, 3e3, draw)));
    }
    Evidence {
        rest_v: (!few).then(|| read(shown.rest_v, 0.008, 0.02, draw)),
        fuse: None,
        runs: vec![Run {
            kind: Some(RunKind::AtPressure),
            readings,
        }],
    }
}

/// A series: the pump known by a working point or by its class alone.
fn series(is_known: bool, few: bool, cases: usize, seed: u64) -> Tally {
    let odds = drawn_from("pump", |_| true);
    let mut draw = Lehmer(seed);
    let mut tally = Tally::default();
    for case in 0..cases {
        let kind = Pump::of_type(&mut draw);
        let truth = draw.pick(&odds);
        let one = kind.one(&mut draw);
        let evidence = evidence(&shown(truth, one, &mut draw), few, &mut draw);
        let examined = if is_known {
            specified(&kind)
        } else {
            of_class("high-pressure fuel pump")
        };
        let question = Question {
            title: "pump".to_owned(),
            priors: Priors::of_part(examined.part(), &[]).expect("priors"),
            examined,
            rig: usual_rig(),
            evidence,
            seed: case as u64 + 1,
        };
        tally.take(truth, &interpret(&question).expect("solved"));
    }
    tally
}

/// The working point its data sheet would give.
fn specified(kind: &Pump) -> Examined {
    let (amps, speed) = kind.settle(12.0, 0.0, kind.set_pa);
    known(12.0, amps, kind.set_pa / 1000.0, speed / RPM)
}

#[test]
fn with_a_known_working_point_and_five_readings_the_first_verdict_is_mostly_right() {
    let tally = series(true, false, cases(80), 20_231);
    tally.print("known working point, five readings");
    assert!(tally.first >= 0.85 * tally.cases, "{tally:?}");
}

#[test]
fn with_the_class_alone_nine_in_ten_sets_hold_the_truth() {
    let tally = series(false, false, cases(60), 77_003);
    tally.print("class alone, five readings");
    tally.hold_coverage();
}

#[test]
fn with_volts_and_amperes_alone_nine_in_ten_sets_hold_the_truth() {
    for (is_known, seed) in [(true, 5_557), (false, 9_001)] {
        let tally = series(is_known, true, cases(40), seed);
        tally.print(if is_known {
            "known working point, two readings"
        } else {
            "class alone, two readings"
        });
        tally.hold_coverage();
    }
}
