//! Shorts, overloads, place and breaking capacity against hand calculation.

use super::{check, figure, fuse, studied};
use ampkeel::protecting::{Kind, Verdict};
use ampkeel::quantities::Amps;
use ampkeel::tables::contacts::{ContactKind, contact};
use ampkeel::tables::fuses::{FuseStyle, cold_resistance};
use approx::assert_relative_eq;

/// Battery of 12.6 V and 20 mohm, a fuse on its post, one wire out and one back
/// of known length without joints.
fn loop_of(rating: &str, size: &str, length: &str, insulation: &str, extra: &str) -> String {
    format!(
        r#"format = 1
[battery.start]
open-volts = "12.6 V"
resistance = "20 mohm"
minus = "ground"
[stud.ground]
[fuse.only]
style = "blade"
rating = "{rating}"
in = "start.plus"
[load.heater]
resistance = "6 ohm"
[defaults.wire]
size = "{size}"
insulation = "{insulation}"
tinned = false
joints = "0 ohm"
[[run]]
through = ["only.out", "heater.plus"]
lengths = ["{length}"]
back = ["heater.minus", "ground"]
back-lengths = ["{length}"]
{extra}
"#
    )
}

/// Volts over battery, clips and cold element: I = 12.6/(0.020 + R).
#[test]
fn the_available_current_is_open_volts_over_fast_battery_and_fuse() {
    let study = studied(&loop_of("10 A", "16 AWG", "3 m", "105 degC", ""));
    let report = fuse(&study, "only");
    let cold = cold_resistance(FuseStyle::Blade, Amps::new(10.0))
        .expect("table")
        .value
        .typical
        .si();
    // 10 A type C: 7.69 mohm was read.
    assert_relative_eq!(cold, 7.69e-3, max_relative = 0.01);
    let clips = contact(ContactKind::FuseClips)
        .expect("table")
        .value
        .typical
        .si();
    let bolted = contact(ContactKind::BoltedJoint)
        .expect("table")
        .value
        .typical
        .si();
    let expected = 12.6 / (0.020 + cold + clips + bolted);
    assert_relative_eq!(
        report.fault.expect("fed").si(),
        expected,
        max_relative = 1e-6
    );
    let found = check(report, Kind::Breaking);
    assert_eq!(found.verdict, Verdict::Holds);
    assert_relative_eq!(figure(found, "breaks_a").expect("published"), 1000.0);
}

/// Softest short: the wire there and back hot, everything at its high end.
/// 16 AWG plain: 17.241/1.309 x 1.02 = 13.43 ohm/km at 20 degC.
#[test]
fn a_short_at_the_far_end_draws_what_the_loop_lets_through() {
    let study = studied(&loop_of("10 A", "16 AWG", "3 m", "105 degC", ""));
    let found = check(fuse(&study, "only"), Kind::Short);
    let per_m = 0.017_241 / 1.309 * 1.02;
    let cold = 3.0 * per_m * (1.0 + 0.00393 * 10.0);
    let hot = cold * (234.5 + 105.0) / (234.5 + 30.0);
    let element = cold_resistance(FuseStyle::Blade, Amps::new(10.0))
        .expect("table")
        .value;
    let clips = contact(ContactKind::FuseClips).expect("table").value;
    let bolted = contact(ContactKind::BoltedJoint).expect("table").value;
    let softest = 12.6
        / (0.020 + 1.59 * element.high.si() + clips.high.si() + 2.0 * bolted.high.si() + 2.0 * hot);
    let hardest = 12.6 / (0.020 + element.low.si() + clips.low.si() + bolted.low.si() + cold);
    assert_relative_eq!(
        figure(found, "least_a").expect("fed"),
        softest,
        max_relative = 0.02
    );
    assert_relative_eq!(
        figure(found, "most_a").expect("fed"),
        hardest,
        max_relative = 0.01
    );
    assert_eq!(found.verdict, Verdict::Holds);
}

/// 60 m of 18 AWG out and 60 m back, hot, is some 3 ohm: 4 A flow, and a 10 A
/// fuse never opens, but the wire carries its 10 A for good. A 40 A fuse before
/// 14 AWG of 60 degC class (20 A), 60 m: some 10 A. With 15 m about 32 A flow:
/// 1.6 times what the wire may carry, and 40 A never opens on it.
#[test]
fn a_short_that_no_fuse_ends_is_a_violation_unless_the_wire_carries_it() {
    let calm = studied(&loop_of("10 A", "18 AWG", "60 m", "60 degC", ""));
    let found = check(fuse(&calm, "only"), Kind::Short);
    assert!(figure(found, "least_a").expect("fed") < 10.0);
    assert_eq!(found.verdict, Verdict::Holds, "{}", found.sentence);
    let bad = studied(&loop_of("40 A", "14 AWG", "15 m", "60 degC", ""));
    let found = check(fuse(&bad, "only"), Kind::Short);
    assert_eq!(found.verdict, Verdict::Violation, "{}", found.sentence);
    assert_eq!(figure(found, "opens_latest_s"), None);
    let codes: Vec<&str> = bad.findings.iter().map(|f| f.code.name()).collect();
    assert!(codes.contains(&"short-not-cleared"), "{codes:?}");
}

/// The largest fuse by 33 CFR 183.455 before 14 AWG at 105 degC is 52.5 A; 40 A
/// is legal and may run 1.35 x 40 = 54 A for half an hour: 1.5 times its 35 A.
/// 15 A may run 20 A, within 35 A.
#[test]
fn a_legal_fuse_may_still_outlast_its_wire() {
    let legal = studied(&loop_of("40 A", "14 AWG", "2 m", "105 degC", ""));
    let found = check(fuse(&legal, "only"), Kind::Overload);
    assert_eq!(found.verdict, Verdict::Caution, "{}", found.sentence);
    let rules = check(fuse(&legal, "only"), Kind::Wire);
    assert_eq!(rules.verdict, Verdict::Caution);
    let allows: Vec<(&str, Option<f64>)> =
        rules.rules.iter().map(|(b, a)| (b.as_str(), *a)).collect();
    assert_eq!(
        allows,
        [
            ("ours", Some(35.0)),
            ("33-cfr-183.455", Some(52.5)),
            ("iso-10133", Some(35.0)),
            ("faa-ac-43.13-1b", Some(15.0))
        ]
    );
    let safe = studied(&loop_of("15 A", "14 AWG", "2 m", "105 degC", ""));
    assert_eq!(
        check(fuse(&safe, "only"), Kind::Overload).verdict,
        Verdict::Holds
    );
    let note = check(fuse(&safe, "only"), Kind::Hold);
    assert_eq!(note.verdict, Verdict::Note);
    // 1.35 x 15 A x 0.994 (30 degC air) in 14 AWG: (20.1/35)^2 of 75 K, less what
    // cooler copper saves: kappa I^2 = 0.00393 x 75/(1.334) x 0.330 = 0.0729.
    let settled = 1.0393 / (1.0 - 0.0729);
    assert_relative_eq!(
        figure(note, "wire_degc").expect("settles"),
        (settled - 1.0) / 0.00393 + 20.0,
        epsilon = 0.5
    );
}

/// 7 in is 0.178 m; 40 in (1.016 m) and 72 in (1.829 m) ask for a sheath.
#[test]
fn wire_before_the_fuse_is_judged_by_its_length() {
    let with = |length: &str, sheath: bool| {
        let text = loop_of("10 A", "12 AWG", "2 m", "105 degC", "")
            .replace("in = \"start.plus\"\n", "")
            + &format!(
                "[[wire]]\nfrom = \"start.plus\"\nto = \"only.in\"\nlength = \"{length}\"\nsheath = {sheath}\n"
            );
        let study = studied(&text);
        let found = check(fuse(&study, "only"), Kind::Place).verdict;
        let codes: Vec<String> = study
            .findings
            .iter()
            .map(|f| f.code.name().to_owned())
            .collect();
        (found, codes)
    };
    assert_eq!(with("6 in", false).0, Verdict::Holds);
    assert_eq!(with("39 in", true).0, Verdict::Holds);
    assert_eq!(with("70 in", true).0, Verdict::Holds);
    let (verdict, codes) = with("39 in", false);
    assert_eq!(verdict, Verdict::Caution);
    assert!(codes.contains(&"wire-unprotected".to_owned()));
    for sheath in [true, false] {
        let (verdict, codes) = with("80 in", sheath);
        assert_eq!(verdict, Verdict::Violation);
        assert!(codes.contains(&"wire-unprotected-far".to_owned()));
    }
}

/// A load straight on the battery: nothing protects its wire.
#[test]
fn a_load_without_any_fuse_is_named() {
    let text = loop_of("10 A", "12 AWG", "2 m", "105 degC", "")
        + "[load.radio]\nresistance = \"12 ohm\"\nminus = \"ground\"\n[[wire]]\nfrom = \"start.plus\"\nto = \"radio.plus\"\nlength = \"3 m\"\n";
    let study = studied(&text);
    assert_eq!(study.bare.len(), 1);
    assert_eq!(study.bare[0].1.verdict, Verdict::Violation);
    assert!(
        study
            .findings
            .iter()
            .any(|f| f.subject == "start.plus to radio.plus")
    );
}
