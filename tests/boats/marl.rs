//! Marl: a tiller outboard with a shift solenoid and a two-field tilt motor.

use super::{Solved, solved, within};

const BATTERY: &str = "small-battery";

fn boat() -> Solved {
    solved("marl-tiller-9hp.toml")
}

#[test]
fn marl_is_healthy_and_draws_what_its_head_says() {
    let boat = boat();
    boat.is_healthy();
    within(boat.battery_a("prime", BATTERY), 2.0, 3.0);
    within(boat.fuse_a("start", "main-breaker"), 10.0, 15.0);
    within(boat.amps("start", "starter"), 55.0, 70.0);
    assert!(boat.volts("start", "starter") > 10.0);
    for (state, moved, still) in [("tilt-up", "up", "down"), ("tilt-down", "down", "up")] {
        within(boat.amps(state, "tilt"), 8.0, 12.0);
        within(boat.fuse_a(state, "tilt-breaker"), 8.0, 12.0);
        within(boat.state(state).chargers["lighting-coil"], 7.99, 8.01);
        let wire = |field: &str| {
            let end = format!("tilt.{field}");
            let wires = boat.state(state).wires.iter();
            let mut of_field = wires.filter(|wire| wire.to == end || wire.from == end);
            of_field.next().expect("a wire").current_a.abs()
        };
        within(wire(moved), 8.0, 12.0);
        within(wire(still), 0.0, 1e-6);
    }
}

#[test]
fn a_shift_solenoid_lets_go_when_the_button_does() {
    // Its second winding would feed the first one from the made contact for
    // ever; having the same turns the other way, it undoes its pull instead.
    let boat = boat();
    assert!(boat.pulled_in("start", "shift-solenoid"));
    assert!(!boat.pulled_in("running", "shift-solenoid"));
    within(boat.amps("running", "starter"), -1e-6, 1e-6);
}

#[test]
fn marls_blocking_diode_keeps_its_share_of_the_charge() {
    let boat = boat();
    within(boat.state("running").chargers["lighting-coil"], 1.5, 2.5);
    within(
        boat.between("running", "blocking.anode", "blocking.cathode"),
        0.5,
        0.8,
    );
    within(-boat.battery_a("running", BATTERY), 0.7, 1.3);
    within(boat.battery_a("off", BATTERY), -1e-6, 1e-6);
}
