//! Flint: lights, livewell and horn on a small battery and a lighting coil.

use super::{solved, within};

const BATTERY: &str = "lighting-battery";

#[test]
fn flint_has_no_violation_and_balances_its_lamps_with_the_lighting_coil() {
    let boat = solved("flint-carburetted-two-stroke.toml");
    boat.is_healthy();
    assert_eq!(boat.cautions(), [("battery-voltage-high", BATTERY)]);
    let lamps = ["bow-light", "stern-light", "white-light"];
    let drawn: f64 = lamps.iter().map(|lamp| boat.amps("night", lamp)).sum();
    within(drawn, 2.3, 2.8);
    within(boat.state("night").chargers["lighting-coil"], 2.99, 3.01);
    within(boat.battery_a("night", BATTERY), -0.7, 0.7);
    within(boat.battery_a("anchored", BATTERY), 0.5, 1.0);
    within(boat.amps("anchored", "white-light"), 0.5, 1.0);
    within(boat.battery_a("fishing", BATTERY), 2.0, 4.0);
    within(boat.amps("horn", "horn"), 2.99, 3.01);
    within(boat.state("horn").fuses["board.horn"].load_pct, 59.0, 61.0);
}

#[test]
fn flint_without_a_regulator_lifts_a_full_battery_above_15_volts() {
    let boat = solved("flint-carburetted-two-stroke.toml");
    within(boat.battery_a("wide-open", BATTERY), -2.0, -1.0);
    assert!(boat.battery_v("wide-open", BATTERY) > 15.0);
    for part in boat.state("wide-open").parts.values() {
        assert!(part.current_a.unwrap_or(0.0).abs() < 1e-6);
    }
}
