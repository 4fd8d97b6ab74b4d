//! Starts through a fuse, against the reference integrator with everything
//! written out here.

use super::{check, figure, fuse, studied};
use crate::heating::by_hand::{blade, blade_pace};
use crate::transients::reference::integrate;
use ampkeel::protecting::{Kind, Verdict};
use ampkeel::quantities::Amps;
use ampkeel::tables::contacts::{ContactKind, contact};
use ampkeel::tables::fuses::{Edge, FuseStyle, cold_resistance};
use approx::assert_relative_eq;

/// Something behind one fuse on a battery of 12.6 V and 80 mohm, wires without
/// resistance, air of 25 degC in which the rating is whole.
fn behind(rating: &str, load: &str) -> String {
    format!(
        r#"format = 1
[ambient]
bench = "25 degC"
[defaults.part]
place = "bench"
[defaults.wire]
size = "4/0 AWG"
length = "1 mm"
joints = "0 ohm"
insulation = "105 degC"
[battery.house]
open-volts = "12.6 V"
resistance = "80 mohm"
[fuse.guard]
style = "blade"
rating = "{rating}"
{load}
[[run]]
through = ["house.plus", "guard", "one.plus"]
back = ["one.minus", "house.minus"]
"#
    )
}

/// Ohms of a cold blade fuse in its clips.
fn fuse_ohm(rating_a: f64) -> f64 {
    let cold = cold_resistance(FuseStyle::Blade, Amps::new(rating_a)).expect("table");
    let clips = contact(ContactKind::FuseClips).expect("table");
    cold.value.typical.si() + clips.value.typical.si()
}

/// The high-pressure pump of the references: 0.55 ohm at 20 degC, 0.8 V, 0.0138 V s
/// (0.2 %/K less when warm), 0.3 mH, 8e-6 kg m2, 0.0375 N m and 8e-8 N m s2.
#[test]
fn a_pump_starts_through_its_fuse_as_the_reference_integrator_has_it() {
    let study = studied(&behind(
        "10 A",
        "[pump.one]\nclass = \"high-pressure fuel pump\"",
    ));
    let found = check(fuse(&study, "guard"), Kind::Start);
    let r = 0.55 * (234.5 + 25.0) / 254.5;
    let k = 0.0138 * (1.0 - 0.002 * 5.0);
    let ohm = 0.080 + fuse_ohm(10.0) + r;
    let rates = |_: f64, y: &[f64; 4]| {
        let brush = 0.8 * (y[0] / 0.3).clamp(-1.0, 1.0);
        let torque = k * y[0] - 0.0375 - 8e-8 * y[1] * y[1];
        let turns = y[1] > 0.0 || torque > 0.0;
        let pace = blade_pace(Edge::Early, y[0] / 10.0);
        let square = (y[0] / 10.0).powi(2);
        let [(a, tau), (b, slow)] = [blade(Edge::Early)[0], blade(Edge::Early)[1]];
        [
            (12.6 - ohm * y[0] - brush - k * y[1]) / 3e-4,
            if turns { torque / 8e-6 } else { 0.0 },
            pace * (a * square - y[2]) / tau,
            pace * (b * square - y[3]) / slow,
        ]
    };
    // Settled: within a twentieth of the way from its peak to what it runs at.
    let (mut peak, mut trace) = ((0.0, 0.0), Vec::new());
    integrate(rates, (0.0, [0.0; 4]), 0.5, |_, now| {
        if now.1[0] > peak.1 {
            peak = (now.0, now.1[0]);
        }
        trace.push(*now);
        false
    });
    let runs_a = trace.last().expect("steps").1[0];
    let threshold = runs_a + 0.05 * (peak.1 - runs_a);
    let settled = trace
        .iter()
        .rposition(|now| now.1[0] > threshold)
        .expect("falls");
    let heat = trace[..=settled]
        .iter()
        .map(|now| now.1[2] + now.1[3])
        .fold(0.0, f64::max);
    let of = |key| figure(found, key).expect("a figure");
    assert_relative_eq!(of("peak_a"), peak.1, max_relative = 1e-3);
    assert!((of("peak_s") - peak.0).abs() < 2e-4);
    assert_relative_eq!(of("settled_s"), trace[settled].0, max_relative = 0.03);
    assert_relative_eq!(of("heat_earliest"), heat, max_relative = 0.02);
    assert_eq!(found.verdict, Verdict::Holds);
}

/// A lamp of 60 W, ten times its current when cold: 12 V / 50 A is 0.24 ohm. With
/// 80 mohm of battery and the fuse that is 12.6 V over all of them.
#[test]
fn a_cold_lamp_is_seen_at_its_fuse() {
    let study = studied(&behind(
        "7.5 A",
        "[load.one]\nlamp = \"60 W\"\ninrush = \"50 A\"",
    ));
    let found = check(fuse(&study, "guard"), Kind::Start);
    assert_eq!(found.about.as_deref(), Some("one"));
    assert!(
        found.sentence.contains("at first (`one`)"),
        "{}",
        found.sentence
    );
    let expected = 12.6 / (0.080 + fuse_ohm(7.5) + 0.24);
    assert_relative_eq!(
        figure(found, "peak_a").expect("peaks"),
        expected,
        max_relative = 5e-3
    );
    assert!(figure(found, "settled_s").expect("settles") < 0.2);
}

/// Electronics of 12 W that take 15 A at first: 14 A at 12 V is 0.857 ohm in front
/// of 1000 uF, gone within milliseconds; no 2 A fuse opens on it... a 1 A one may.
#[test]
fn a_filling_capacitor_is_seen_at_its_fuse() {
    let load = "[load.one]\npower = \"12 W\"\ninrush = \"15 A\"";
    let study = studied(&behind("2 A", load));
    let found = check(fuse(&study, "guard"), Kind::Start);
    // At the first instant 12 W take 12/v beside v/0.857, behind all resistance.
    let (r, s) = (0.080 + fuse_ohm(2.0), 12.0 / 14.0);
    let share = 1.0 + r / s;
    let v = (12.6 + (12.6_f64.powi(2) - 4.0 * share * 12.0 * r).sqrt()) / (2.0 * share);
    let expected = v / s + 12.0 / v;
    assert_relative_eq!(
        figure(found, "peak_a").expect("peaks"),
        expected,
        max_relative = 1e-3
    );
    // 1/2 of (13.6 A)^2 times r c of about a millisecond is 0.09 A2s; the early 2 A
    // blade melts at 0.72 x 4 = 2.9 A2s: a thirtieth.
    let heat = figure(found, "heat_earliest").expect("warms");
    assert!((0.01..0.1).contains(&heat), "{heat}");
    assert_eq!(found.verdict, Verdict::Holds);
}

/// A fuse that opens on every start is named, never with a larger one.
#[test]
fn a_fuse_too_quick_for_a_start_is_told() {
    let study = studied(&behind(
        "3 A",
        "[pump.one]\nclass = \"high-pressure fuel pump\"",
    ));
    let found = check(fuse(&study, "guard"), Kind::Start);
    assert_eq!(found.verdict, Verdict::Caution);
    let finding = study
        .findings
        .iter()
        .find(|f| f.code.name() == "fuse-opens-at-start")
        .expect("told");
    assert!(
        finding
            .hint
            .as_deref()
            .is_some_and(|hint| hint.contains("never fit a larger"))
    );
    assert!(!finding.sizing_can_mend);
}

/// A load that takes no more at first than in the end has no start to tell.
#[test]
fn a_plain_resistance_has_no_inrush() {
    let study = studied(&behind("5 A", "[load.one]\nresistance = \"6 ohm\""));
    let kinds: Vec<Kind> = fuse(&study, "guard")
        .checks
        .iter()
        .map(|c| c.kind)
        .collect();
    assert!(!kinds.contains(&Kind::Start));
}

/// A pulsed pump draws what its coil lets through: of 8 ohm at 20 degC, 8.16 ohm
/// at 25 degC, behind 12.6 V less a millivolt or two some 1.54 A. Copper
/// 0.00393 /K (IEC 60028).
#[test]
fn a_pulsed_pump_draws_by_its_coil_and_has_no_run_up() {
    let pump = "[pump.one]\nclass = \"solenoid lift pump\"\nresistance = \"8 ohm\"\n";
    let found = studied(&behind("5 A", pump));
    let start = check(fuse(&found, "guard"), Kind::Start);
    assert_eq!(start.verdict, Verdict::Holds);
    let warm_ohm = 8.0 * (1.0 + 0.003_93 * 5.0);
    let peak_a = figure(start, "peak_a").unwrap();
    assert_relative_eq!(peak_a, 12.6 / warm_ohm, max_relative = 0.02);
}
