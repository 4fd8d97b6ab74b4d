//! Shafts that jam: winding heat, falling current, and what comes loose again.

use super::reference::integrate;
use super::{FUEL_PUMP_J_PER_K, at, circuit, followed, last, motor, near, pump_on_a_battery};
use ampkeel::transients::{Scenario, What};

/// Battery resistance that gives 17 A into the locked pump: (12.6 - 0.8) V / 17 A less 0.55 ohm.
const SEVENTEEN_AMPERES: (&str, &str) = ("120 mohm", "144.118 mohm");

fn jammed(duration_s: f64) -> Scenario {
    Scenario {
        from: Some("on".into()),
        locked: vec!["pump".into()],
        ..Scenario::new("on", duration_s)
    }
}

#[test]
fn a_locked_fuel_pump_at_17_amperes_heats_by_20_kelvin_a_second() {
    let text = pump_on_a_battery(&[SEVENTEEN_AMPERES]);
    let run = followed(&text, &jammed(0.3));
    near(at(&run, "pump", "current_a", 0.02), 17.0, 0.01);
    let rate =
        (at(&run, "pump", "winding_degc", 0.12) - at(&run, "pump", "winding_degc", 0.02)) / 0.1;
    near(rate, 20.0, 0.05);
}

#[test]
fn a_jam_of_a_minute_follows_the_reference_integrator() {
    let text = pump_on_a_battery(&[SEVENTEEN_AMPERES]);
    let built = circuit(&text);
    let (model, law) = motor(&built, "pump");
    let run = followed(&text, &jammed(60.0));
    let settled = at(&run, "pump", "current_a", 0.0);
    let l = model.parameters.l.typical;
    let rates = |_: f64, y: &[f64; 2]| {
        let r = law.r_ohm * (1.0 + y[1] / 254.5);
        let volts = 12.6 - 0.144_118 * y[0] - r * y[0] - law.v_brush_v;
        [volts / l, y[0] * y[0] * r / FUEL_PUMP_J_PER_K - y[1] / 60.0]
    };
    let (_, end) = integrate(rates, (0.0, [settled, 0.0]), 60.0, |_, _| false);
    near(last(&run, "pump", "current_a"), end[0], 1e-5);
    near(last(&run, "pump", "winding_degc"), 20.0 + end[1], 1e-5);
    let current = run.column("pump", "current_a").unwrap();
    assert!(last(&run, "pump", "current_a") < 0.6 * current.peak(&run.times_s).1);
    assert!(run.first(What::WindingHot, "pump").is_some());
    assert_eq!(last(&run, "pump", "speed_rpm"), 0.0);
}

#[test]
fn a_pump_below_its_breakaway_voltage_never_turns() {
    // Torque 0.0375 N m over k 0.0138 asks for 2.717 A: 0.8 V + 0.67 ohm x 2.717 A = 2.62 V.
    let below = pump_on_a_battery(&[("\"12.6 V\"", "\"2.60 V\"")]);
    let above = pump_on_a_battery(&[("\"12.6 V\"", "\"2.64 V\"")]);
    let scenario = Scenario::new("on", 1.0);
    assert_eq!(followed(&below, &scenario).first(What::Turns, "pump"), None);
    let run = followed(&above, &scenario);
    assert!(run.first(What::Turns, "pump").is_some());
    assert!(last(&run, "pump", "speed_rpm") > 0.0);
}
