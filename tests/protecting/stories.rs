//! A stalled high-pressure pump on the gabbro boat, with 7.5, 10 and 15 A, cold
//! and at 50 degC: the story told must be that of an independent integration.
//!
//! Independent: the feed from two solved states written into the file; winding
//! heated in small steps; fuse by Runge-Kutta on the networks of the references
//! with its clock matched to the gates, all written out here.

use super::{check, figure, fuse, studied, text_of};
use crate::heating::by_hand::{blade, blade_gate_s, blade_pace};
use ampkeel::protecting::{Kind, Verdict};
use ampkeel::reading::read;
use ampkeel::solving::solve;
use ampkeel::span::CircuitText;
use ampkeel::tables::fuses::Edge;
use approx::assert_relative_eq;

fn gabbro(rating: &str, engine_space: &str) -> String {
    let text = text_of("gabbro-injected-outboard.toml");
    let changed = text
        .replace("fuel = \"10 A\"", &format!("fuel = \"{rating}\""))
        .replace(
            "engine-space = \"50 degC\"",
            &format!("engine-space = \"{engine_space}\""),
        );
    assert!(rating == "10 A" || changed.contains(&format!("fuel = \"{rating}\"")));
    changed
}

/// Volts and amperes of the pump running and locked in one and the same state,
/// and the amperes of its fuse beside it.
fn readings(text: &str) -> [(f64, f64, f64); 2] {
    let text = text.to_owned()
        + "\n[state.cruise-seized]\nlike = \"cruise\"\nset = { key = \"run\" }\nafter = \"idle\"\ncharging = { stator = \"15 A\" }\nduty = { injector-1 = \"40 %\", injector-2 = \"40 %\", injector-3 = \"40 %\" }\ncondition = { high-pressure = \"locked\" }\n";
    let reading = read(&CircuitText::new("test.toml", &*text));
    let circuit = reading
        .circuit
        .unwrap_or_else(|| panic!("{:?}", reading.findings));
    let solution = solve(&circuit).expect("solved");
    ["cruise", "cruise-seized"].map(|name| {
        let state = solution
            .states
            .iter()
            .find(|s| s.name == name)
            .expect("state");
        let part = &state.parts["high-pressure"];
        let fuse = &state.fuses["engine-fuses.fuel"];
        (
            part.voltage_v.expect("fed"),
            part.current_a.expect("fed"),
            fuse.current_a,
        )
    })
}

/// What becomes of a winding past 155 degC.
#[derive(Clone, Copy, PartialEq)]
enum Beyond {
    /// Its current goes on.
    Held,
    /// Its copper stays whole: it heats on and loses its rise, with half its
    /// copper in half of the 60 s.
    Whole,
}

/// Latest opening with the winding heated without loss by half its copper up to
/// 155 degC.
fn latest_s(
    beyond: Beyond,
    effective_a: f64,
    feed_v: f64,
    feed_ohm: f64,
    cold_ohm: f64,
    start_degc: f64,
) -> Option<f64> {
    // 0.34 g/W of 12 V x 4.9 A, 393 J/(kg K), half of it.
    let j_per_k = 0.5 * 0.34e-3 * 12.0 * 4.9 * 393.0;
    let mut degc = start_degc;
    let mut u = [0.0f64; 3];
    let mut t = 0.0;
    let mut pace_at = (0.0, 1.0);
    while t < 4000.0 {
        let ohm = cold_ohm * (234.5 + degc) / (234.5 + start_degc);
        let amps = (feed_v - 0.8) / (feed_ohm + ohm);
        let m: f64 = amps / effective_a;
        let at = m.max(1.35 * (1.0 + 1e-9));
        if (at - pace_at.0).abs() > 1e-9 {
            pace_at = (at, blade_pace(Edge::Late, at));
        }
        let h = if degc < 155.0 { 2e-3 } else { 2e-2 };
        let before: f64 = u.iter().sum();
        for (value, (a, tau)) in u.iter_mut().zip(blade(Edge::Late)) {
            // Midpoint rule.
            let slope = |x: f64| pace_at.1 * (a * m * m - x) / tau;
            let half = *value + 0.5 * h * slope(*value);
            *value += h * slope(half);
        }
        let after: f64 = u.iter().sum();
        if after >= 1.0 {
            return Some(t + h * (1.0 - before) / (after - before));
        }
        degc += h * amps * amps * ohm / j_per_k;
        if degc >= 155.0 {
            degc = match beyond {
                Beyond::Held => 155.0,
                Beyond::Whole => degc - h * (degc - start_degc) / 30.0,
            };
        }
        t += h;
    }
    None
}

struct Story {
    verdict: Verdict,
    sentence: String,
    latest_s: Option<f64>,
}

fn story(rating: &str, rating_a: f64, engine_space: &str, degc: f64) -> Story {
    let text = gabbro(rating, engine_space);
    let study = studied(&text);
    let found = check(fuse(&study, "engine-fuses.fuel"), Kind::Stall).clone();
    let [(run_v, run_a, fuse_a), (locked_v, locked_a, _)] = readings(&text);
    // No other load hangs on this fuse.
    assert!((fuse_a - run_a).abs() < 0.02);
    let feed_ohm = (run_v - locked_v) / (locked_a - run_a);
    let feed_v = run_v + feed_ohm * run_a;
    // Zinc at 420 degC: the fuse's rating in this air.
    let effective_a = rating_a * ((420.0 - degc) / 395.0f64).sqrt();
    let cold_ohm = (locked_v - 0.8) / locked_a;
    // The class's locked over running current gives 0.552 ohm at 20 degC.
    let by_class = 0.552 * (234.5 + degc) / 254.5;
    assert_relative_eq!(cold_ohm, by_class, max_relative = 0.01);
    let cold_a = figure(&found, "stall_cold_a").expect("draws");
    assert_relative_eq!(cold_a, locked_a, max_relative = 2e-3);
    let multiple = locked_a / effective_a;
    let earliest = figure(&found, "opens_earliest_s");
    if multiple > 1.35 {
        // Warm from running it opens sooner than from cold.
        assert!(earliest.expect("may") <= blade_gate_s(Edge::Early, multiple) * 1.001);
    }
    let [latest, whole] = [
        (Beyond::Held, "opens_latest_s"),
        (Beyond::Whole, "opens_latest_whole_s"),
    ]
    .map(|(beyond, name)| {
        let expected = latest_s(beyond, effective_a, feed_v, feed_ohm, cold_ohm, degc);
        let latest = figure(&found, name);
        assert_eq!(
            latest.is_some(),
            expected.is_some(),
            "{name}, {rating} at {engine_space}: {latest:?} {expected:?}"
        );
        if let (Some(latest), Some(expected)) = (latest, expected) {
            assert_relative_eq!(latest, expected, max_relative = 0.03);
        }
        latest
    });
    // An opening is promised only by the current of whole copper.
    let is_told = study.findings.iter().any(|finding| {
        finding.code.name() == "stall-not-cleared" && finding.subject == "engine-fuses.fuel"
    });
    assert!(is_told || whole.is_some(), "{}", found.sentence);
    Story {
        verdict: found.verdict,
        sentence: format!("{}. {}", found.sentence, found.more.join(". ")),
        latest_s: latest,
    }
}

#[test]
fn seven_and_a_half_amperes_open_on_a_stalled_pump_within_seconds() {
    for (space, degc) in [("20 degC", 20.0), ("50 degC", 50.0)] {
        let told = story("7.5 A", 7.5, space, degc);
        assert!(told.latest_s.expect("opens") < 30.0, "{}", told.sentence);
        assert!(
            told.sentence.contains("it opens between"),
            "{}",
            told.sentence
        );
    }
}

#[test]
fn ten_amperes_open_on_a_stalled_pump_but_not_in_time_for_its_winding() {
    for (space, degc) in [("20 degC", 20.0), ("50 degC", 50.0)] {
        let told = story("10 A", 10.0, space, degc);
        assert_eq!(told.verdict, Verdict::Caution);
        assert!(told.latest_s.is_none_or(|s| s > 60.0), "{}", told.sentence);
        assert!(told.sentence.contains("155"), "{}", told.sentence);
        assert!(told.sentence.contains("7.50 A still carries its load") || degc < 30.0);
    }
}

#[test]
fn fifteen_amperes_need_never_open_on_a_stalled_pump() {
    for (space, degc) in [("20 degC", 20.0), ("50 degC", 50.0)] {
        let told = story("15 A", 15.0, space, degc);
        assert_eq!(told.verdict, Verdict::Caution);
        assert_eq!(told.latest_s, None);
        assert!(
            told.sentence.contains("or never") || told.sentence.contains("will not open"),
            "{}",
            told.sentence
        );
        assert!(told.sentence.contains("thermal cut-out"));
        assert!(
            !told.sentence.contains("20.0 A still"),
            "never a larger fuse"
        );
    }
}
