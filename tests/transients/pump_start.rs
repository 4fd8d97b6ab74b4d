//! A pump starting, against the reference integrator and the references' own
//! figures.

use super::reference::{Moment, crossing, integrate};
use super::{PUMP_ON_A_BATTERY, at, circuit, followed, last, motor, near, peak};
use ampkeel::transients::{Scenario, What};

#[test]
fn the_usual_fuel_pump_peaks_at_16_9_amperes_and_settles_within_70_ms() {
    let run = followed(PUMP_ON_A_BATTERY, &Scenario::new("on", 0.5));
    let (peak_s, peak_a) = peak(&run, "pump", "current_a");
    near(peak_a, 16.9, 0.02);
    near(peak_s, 2e-3, 0.15);
    near(last(&run, "pump", "current_a"), 4.92, 0.01);
    near(last(&run, "pump", "speed_rpm"), 5885.0, 0.005);
    let current = run.column("pump", "current_a").unwrap();
    let settled = 1.1 * last(&run, "pump", "current_a");
    let last_above = current.values.iter().rposition(|&a| a > settled).unwrap();
    near(run.times_s[last_above], 0.070, 0.05);
}

/// Standing until `k i` passes the torque, then turning: `[i, w]`.
struct Reference {
    turns: Moment<2>,
    peak: Moment<2>,
    end: Moment<2>,
}

fn reference(emf_v: f64, ohm: f64, end_s: f64) -> Reference {
    let (model, law) = motor(&circuit(PUMP_ON_A_BATTERY), "pump");
    let (l, j) = (model.parameters.l.typical, model.parameters.j.typical);
    let volts = |i: f64, w: f64| {
        let brush = law.v_brush_v * (i / 0.3).clamp(-1.0, 1.0);
        emf_v - (ohm + law.r_ohm) * i - brush - law.k_v_s * w
    };
    let standing = |_: f64, y: &[f64; 2]| [volts(y[0], 0.0) / l, 0.0];
    let past = |y: &[f64; 2]| law.k_v_s * y[0] - law.forward_nm;
    let mut bracket = None;
    integrate(standing, (0.0, [0.0; 2]), 0.01, |before, after| {
        if past(&after.1) >= 0.0 {
            bracket = Some((*before, *after));
        }
        bracket.is_some()
    });
    let (before, after) = bracket.unwrap();
    let turns = crossing(standing, &before, &after, past);
    let turning = |_: f64, y: &[f64; 2]| {
        let torque = law.k_v_s * y[0] - law.forward_nm - law.drag_nm_s2 * y[1] * y[1];
        [volts(y[0], y[1]) / l, torque / j]
    };
    let mut peak = turns;
    integrate(turning, turns, 0.01, |_, after| {
        if after.1[0] > peak.1[0] {
            peak = *after;
        }
        false
    });
    let end = integrate(turning, turns, end_s, |_, _| false);
    Reference { turns, peak, end }
}

#[test]
fn a_starting_pump_follows_the_reference_integrator() {
    let expected = reference(12.6, 0.12, 0.05);
    let run = followed(PUMP_ON_A_BATTERY, &Scenario::new("on", 0.05));
    let turns = run.first(What::Turns, "pump").unwrap();
    assert!((turns - expected.turns.0).abs() < 1e-9, "{turns}");
    let (peak_s, peak_a) = peak(&run, "pump", "current_a");
    near(peak_a, expected.peak.1[0], 1e-5);
    near(peak_s, expected.peak.0, 0.01);
    near(last(&run, "pump", "current_a"), expected.end.1[0], 1e-5);
    let rpm = expected.end.1[1] * 60.0 / std::f64::consts::TAU;
    near(last(&run, "pump", "speed_rpm"), rpm, 1e-5);
}

#[test]
fn a_tighter_tolerance_comes_closer_to_the_reference() {
    let expected = reference(12.6, 0.12, 0.05);
    let off = |tolerance: f64| {
        let scenario = Scenario {
            tolerance,
            ..Scenario::new("on", 0.05)
        };
        let run = followed(PUMP_ON_A_BATTERY, &scenario);
        (last(&run, "pump", "current_a") - expected.end.1[0]).abs()
    };
    let errors = [1e-4, 1e-6, 1e-8].map(off);
    assert!(
        errors[0] < 1e-2 && errors[1] < 1e-4 && errors[2] < 2e-6,
        "{errors:?}"
    );
}

#[test]
fn the_energy_of_a_start_is_all_accounted_for() {
    let scenario = Scenario {
        tolerance: 1e-9,
        ..Scenario::new("on", 0.1)
    };
    let run = followed(PUMP_ON_A_BATTERY, &scenario);
    let (model, law) = motor(&circuit(PUMP_ON_A_BATTERY), "pump");
    let column = |quantity: &str| &run.column("pump", quantity).unwrap().values;
    let (i, rpm) = (column("current_a"), column("speed_rpm"));
    let w = |n: usize| rpm[n] * std::f64::consts::TAU / 60.0;
    let end = i.len() - 1;
    let given = super::integral(&run, |n| 12.6 * i[n]);
    let heat = super::integral(&run, |n| {
        let brush = law.v_brush_v * (i[n] / 0.3).clamp(-1.0, 1.0);
        (0.12 + law.r_ohm) * i[n] * i[n] + brush * i[n]
    });
    let shaft = super::integral(&run, |n| {
        (law.forward_nm + law.drag_nm_s2 * w(n) * w(n)) * w(n)
    });
    let p = &model.parameters;
    let stored = 0.5 * (p.l.typical * i[end] * i[end] + p.j.typical * w(end) * w(end));
    near(heat + shaft + stored, given, 2e-4);
    assert!(stored > 0.02 * given && shaft > 0.05 * given);
}

#[test]
fn between_samples_a_trace_stays_near_the_reference() {
    let run = followed(PUMP_ON_A_BATTERY, &Scenario::new("on", 0.05));
    for time_s in [0.5e-3, 1.5e-3, 5e-3, 20e-3] {
        let expected = reference(12.6, 0.12, time_s).end.1[0];
        near(at(&run, "pump", "current_a", time_s), expected, 2e-3);
    }
}
