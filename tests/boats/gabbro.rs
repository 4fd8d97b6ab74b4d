//! Gabbro: an injected outboard, sound in every state.

use super::{Solved, solved, within};

const BATTERY: &str = "cranking";
/// What has to be within 3 % by the rule and by the meter.
const CRITICAL: [&str; 8] = [
    "high-pressure",
    "lift-pump",
    "coil-1",
    "coil-2",
    "coil-3",
    "injector-1",
    "injector-2",
    "injector-3",
];

fn boat() -> Solved {
    solved("gabbro-injected-outboard.toml")
}

#[test]
fn gabbro_is_healthy_by_the_rule_and_by_the_meter() {
    let boat = boat();
    boat.is_healthy();
    assert_eq!(boat.cautions(), []);
    let mut fed = 0;
    for state in boat.states.iter().filter(|state| !state.what_if) {
        for part in CRITICAL {
            if state.parts[part].current_a.unwrap_or(0.0) > 1e-3 {
                within(boat.rule_pct(&state.name, part), 0.0, 3.0);
                within(boat.meter_pct(&state.name, part), 0.0, 3.0);
                fed += 1;
            }
        }
    }
    // Two pumps in five states, coils and injectors in four of them.
    assert_eq!(fed, 2 * 5 + 6 * 4);
}

#[test]
fn gabbro_draws_in_each_state_what_its_head_says() {
    let boat = boat();
    within(boat.battery_a("off", BATTERY), 1.0e-3, 1.5e-3);
    within(boat.battery_a("key-on", BATTERY), 7.5, 8.5);
    within(boat.amps("start", "starter"), 90.0, 100.0);
    assert!(boat.volts("start", "starter") > 10.0);
    assert!(boat.volts("start", "high-pressure") > 11.0);
    for relay in ["main-relay", "fuel-relay", "starter-relay"] {
        assert!(boat.pulled_in("start", relay), "{relay}");
    }
    within(boat.state("idle").chargers["stator"], 1.99, 2.01);
    within(boat.battery_a("idle", BATTERY), 7.0, 8.0);
    let stator = boat.state("cruise").chargers["stator"];
    within(stator, 14.5, 15.01);
    let charge = -boat.battery_a("cruise", BATTERY);
    within(charge, 1.0, 4.0);
    within(stator - charge, 11.0, 13.0);
    within(boat.amps("trim-up", "trim-motor"), 14.0, 16.0);
    let more = boat.battery_a("trim-up", BATTERY) - boat.battery_a("idle", BATTERY);
    within(more, 14.0, 16.0);
}

#[test]
fn gabbros_seized_pump_is_shown_and_not_judged() {
    let boat = boat();
    assert!(boat.state("pump-seized").what_if);
    let seized = boat.amps("pump-seized", "high-pressure");
    let running = boat.amps("key-on", "high-pressure");
    within(seized / running, 3.0, 4.0);
    let fuse = &boat.state("pump-seized").fuses["engine-fuses.fuel"];
    assert!(fuse.rating_a == 10.0 && fuse.current_a > 1.5 * fuse.rating_a);
    let notes = boat.found(ampkeel::findings::Severity::Note);
    assert_eq!(notes, [("state-not-judged", "")]);
}
