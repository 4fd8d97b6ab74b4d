//! Figures worked out from readings, against a hidden truth: another generator
//! (other brush and friction laws, tolerances that lean) makes pump, leads and
//! readings; nine in ten ranges must hold the true figure.

use super::blind_truth::{Lehmer, Pump};
use super::{RPM, known, usual_rig};
use ampkeel::interpreting::{
    Estimate, Evidence, Examined, Interpretation, Measure, Priors, Question, Run, RunKind,
    interpret,
};
use std::collections::BTreeMap;

/// One pump on one bench.
struct Bench {
    kind: Pump,
    pump: Pump,
    emf_v: f64,
    battery_ohm: f64,
    leads_ohm: f64,
}

impl Bench {
    fn draw(draw: &mut Lehmer) -> Self {
        let kind = Pump::of_type(draw);
        Self {
            kind,
            pump: kind.one(draw),
            emf_v: draw.between(12.4, 12.8),
            battery_ohm: draw.between(0.006, 0.012),
            leads_ohm: draw.between(0.06, 0.14),
        }
    }

    /// Readings of a run: volts, amperes, posts, speed.
    fn read(&self, pump: &Pump, pressure_pa: f64, draw: &mut Lehmer) -> Run {
        let path_ohm = self.battery_ohm + self.leads_ohm;
        let (amps, speed) = pump.settle(self.emf_v, path_ohm, pressure_pa);
        let posts = self.emf_v - self.battery_ohm * amps;
        let mut read = |value: f64, share: f64, plus: f64| {
            (value + draw.between(-1.0, 1.0) * (share * value + plus)).max(0.0)
        };
        let readings = vec![
            (
                Measure::Volts,
                read(posts - self.leads_ohm * amps, 0.008, 0.02),
            ),
            (Measure::Amps, read(amps, 0.025, 0.1)),
            (Measure::PostVolts, read(posts, 0.008, 0.02)),
            (
                Measure::Speed,
                if speed > 0.0 {
                    read(speed, 0.01, 0.0)
                } else {
                    0.0
                },
            ),
        ];
        Run {
            kind: Some(RunKind::AtPressure),
            readings,
        }
    }
}

/// How often each range held the truth, of how many.
#[derive(Default)]
struct Tally(BTreeMap<&'static str, (u32, u32)>);

impl Tally {
    fn take(&mut self, found: &Interpretation, words: &'static str, truth: f64) {
        let is_it = |estimate: &&Estimate| estimate.quantity.contains(words);
        let Some(one) = found.estimates.iter().find(is_it) else {
            return;
        };
        let entry = self.0.entry(words).or_default();
        entry.1 += 1;
        entry.0 += u32::from(one.low <= truth && truth <= one.high);
    }

    #[allow(clippy::print_stdout, reason = "the figures of a run are its result")]
    fn hold(&self, words: &str, least_cases: u32) {
        let (held, of) = self.0.get(words).copied().unwrap_or_default();
        println!("{words}: {held} of {of}");
        assert!(of >= least_cases, "{words}: only {of} cases");
        let share = f64::from(held) / f64::from(of);
        // Three standard deviations below nine in ten.
        let slack = 3.0 * (0.9 * 0.1 / f64::from(of)).sqrt();
        assert!(share >= 0.9 - slack, "{words}: {held} of {of}");
    }
}

const CASES: u64 = 120;

#[test]
fn nine_in_ten_ranges_hold_the_hidden_figure() {
    let mut tally = Tally::default();
    let mut draw = Lehmer(4_711);
    for case in 0..CASES {
        let bench = Bench::draw(&mut draw);
        let held = Pump {
            friction_nm: 100.0,
            ..bench.pump
        };
        let runs = vec![
            bench.read(&bench.pump, bench.kind.set_pa, &mut draw),
            bench.read(&held, bench.kind.set_pa, &mut draw),
        ];
        let turning = asked(&bench, vec![runs[0].clone()], case);
        let truth = &runs[0];
        let get = |measure| truth.get(measure).expect("read");
        // Apparent resistance of this very run: what both meters should have shown.
        let (amps, _) = bench.pump.settle(
            bench.emf_v,
            bench.battery_ohm + bench.leads_ohm,
            bench.kind.set_pa,
        );
        let volts = bench.emf_v - (bench.battery_ohm + bench.leads_ohm) * amps;
        assert!((get(Measure::Volts) - volts).abs() < 0.2);
        tally.take(&turning, "apparent resistance", volts / amps);
        tally.take(&turning, "leads and joints from the posts", bench.leads_ohm);
        tally.take(&turning, "back-EMF constant, if winding", bench.pump.k);
        tally.take(
            &turning,
            "winding resistance, brushes taken out",
            bench.pump.r_ohm,
        );
        // A stalled and a turning run together are no one pump with one fault: the
        // figures must stand all the same.
        let both = asked(&bench, runs, case);
        tally.take(&both, "winding resistance by two runs", bench.pump.r_ohm);
        tally.take(&both, "back-EMF constant by two runs", bench.pump.k);
        tally.take(
            &both,
            "by the fall of volts from run to run",
            bench.battery_ohm + bench.leads_ohm,
        );
        tally.take(
            &both,
            "the battery alone, by the fall of its posts",
            bench.battery_ohm,
        );
    }
    for words in [
        "apparent resistance",
        "leads and joints from the posts",
        "back-EMF constant, if winding",
        "winding resistance, brushes taken out",
        "winding resistance by two runs",
        "back-EMF constant by two runs",
        "by the fall of volts from run to run",
        "the battery alone, by the fall of its posts",
    ] {
        tally.hold(words, 100);
    }
}

fn asked(bench: &Bench, runs: Vec<Run>, case: u64) -> Interpretation {
    let (amps, speed) = bench.kind.settle(12.0, 0.0, bench.kind.set_pa);
    let examined: Examined = known(12.0, amps, bench.kind.set_pa / 1000.0, speed / RPM);
    let question = Question {
        title: "pump".to_owned(),
        priors: Priors::of_part(examined.part(), &[]).expect("priors"),
        examined,
        rig: usual_rig(),
        evidence: Evidence {
            rest_v: None,
            fuse: None,
            runs,
        },
        seed: case + 1,
    };
    interpret(&question).expect("solved")
}

/// Two runs with no noise, by hand: 12.0 V at 4.92 A and 616 rad/s, 10.49 V at 17.61
/// A held: R = (10.49 - 0.8)/17.61 = 0.550, k = (12.01 - 0.8 - 4.92 R)/616.3 = 0.0138;
/// the way is (12.01 - 10.49)/(17.61 - 4.92) = 0.120 ohm.
#[test]
fn two_runs_give_winding_constant_and_way_and_each_says_which_it_is() {
    let runs = [(12.01, 4.92, 5885.0), (10.49, 17.61, 0.0)].map(|(volts, amps, rpm)| Run {
        kind: Some(RunKind::AtPressure),
        readings: vec![
            (Measure::Volts, volts),
            (Measure::Amps, amps),
            (Measure::Speed, rpm * RPM),
        ],
    });
    let mut draw = Lehmer(1);
    let found = asked(&Bench::draw(&mut draw), runs.to_vec(), 0);
    let near = |words: &str, wanted: f64, within: f64| {
        let one = found.estimates.iter().find(|e| e.quantity.contains(words));
        let one = one.unwrap_or_else(|| panic!("{words}: {:?}", found.estimates));
        assert!((one.value / wanted - 1.0).abs() < within, "{one:?}");
        assert!(one.low < wanted && wanted < one.high, "{one:?}");
    };
    near("winding resistance by two runs", 0.550, 0.04);
    near("back-EMF constant by two runs", 0.0138, 0.03);
    near("by the fall of volts from run to run", 0.120, 0.01);
    let apparent: Vec<&str> = found
        .estimates
        .iter()
        .map(|e| e.quantity.as_str())
        .filter(|words| words.contains("apparent"))
        .collect();
    assert!(
        apparent[0].starts_with("run 1: ") && apparent[1].starts_with("run 2: "),
        "{apparent:?}"
    );
}
