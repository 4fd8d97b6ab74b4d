//! Gneiss: a diesel with two batteries behind splitting diodes.

use super::{Solved, solved, within};

const HOUSE: &str = "house-battery";
const START: &str = "start-battery";

fn boat() -> Solved {
    solved("gneiss-inboard-diesel.toml")
}

#[test]
fn gneiss_is_healthy_and_keeps_its_batteries_apart() {
    let boat = boat();
    boat.is_healthy();
    within(boat.battery_a("at-anchor", HOUSE), 8.0, 11.0);
    within(boat.battery_a("at-anchor", START), -1e-6, 1e-6);
    within(boat.fuse_a("glow", "glow"), 28.0, 32.0);
    within(boat.battery_a("glow", START), 28.0, 33.0);
    within(boat.state("glow").fuses["glow"].load_pct, 58.0, 62.0);
    within(boat.amps("start", "starter"), 140.0, 165.0);
    assert!(boat.volts("start", "starter") > 9.5);
    // The panel hangs on the other battery.
    let notices = boat.volts("start", "instruments") - boat.volts("glow", "instruments");
    within(notices, -0.01, 0.01);
    within(boat.amps("stopping", "stop-solenoid"), 7.0, 9.0);
    within(boat.battery_a("house-flat", HOUSE), -1e-6, 1e-6);
    assert!(boat.amps("house-flat", "instruments") > 1.0);
    assert!(boat.battery_a("house-flat", START) > 1.0);
}

#[test]
fn gneiss_charges_through_diodes_that_keep_their_share() {
    let boat = boat();
    within(boat.state("motoring").chargers["alternator"], 15.0, 20.0);
    for (diode, battery) in [("split-house", HOUSE), ("split-start", START)] {
        let kept = boat.between(
            "motoring",
            &format!("{diode}.anode"),
            &format!("{diode}.cathode"),
        );
        within(kept, 0.7, 1.0);
        within(boat.battery_a("motoring", battery), -5.0, -0.1);
    }
    let cautions = boat.cautions();
    assert!(cautions.contains(&("drop-verdicts-differ", "autopilot")));
    assert!(
        cautions
            .iter()
            .all(|(code, _)| *code == "drop-verdicts-differ")
    );
    let states: Vec<_> = boat
        .findings
        .iter()
        .map(|finding| finding.state.as_deref())
        .collect();
    assert!(
        states.iter().all(|state| *state == Some("motoring")),
        "{states:?}"
    );
}
