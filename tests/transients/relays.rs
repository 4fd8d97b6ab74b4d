//! Relays in time: delays, a cranking dip that drops one out, chatter.

use super::{at, followed, last, near};
use ampkeel::transients::{Scenario, What};

/// A weak battery with a starter on a switch, and a lamp on a relay of its own.
const CRANKING: &str = "\
format = 1
[ambient]
bench = \"20 degC\"
[defaults.part]
place = \"bench\"
[defaults.wire]
size = \"4/0 AWG\"
length = \"10 cm\"
joints = \"0 ohm\"
insulation = \"105 degC\"
[battery.house]
open-volts = \"12.4 V\"
resistance = \"30 mohm\"
[switch.button]
contact = \"0.3 mohm\"
[motor.starter]
class = \"starter 10 hp\"
[relay.main]
pull-in = \"9.5 V\"
drop-out = \"7.5 V\"
[load.module]
resistance = \"12 ohm\"
[[run]]
through = [\"house.plus\", \"button\", \"starter.plus\"]
back = [\"starter.minus\", \"house.minus\"]
[[run]]
through = [\"house.plus\", \"main.86\"]
back = [\"main.85\", \"house.minus\"]
[[run]]
through = [\"house.plus\", \"main.30\"]
[[run]]
through = [\"main.87\", \"module.plus\"]
back = [\"module.minus\", \"house.minus\"]
[state.on]
[state.crank]
closed = [\"button\"]
after = \"on\"
";

#[test]
fn a_relay_closes_after_its_operate_time() {
    let run = followed(CRANKING, &Scenario::new("on", 0.1));
    near(run.first(What::PullsIn, "main").unwrap(), 0.010, 1e-9);
    assert_eq!(at(&run, "module", "current_a", 0.009), 0.0);
    assert!(last(&run, "module", "current_a") > 1.0);
}

#[test]
fn a_cranking_dip_drops_a_relay_out_and_it_closes_again() {
    let scenario = Scenario {
        from: Some("on".into()),
        ..Scenario::new("crank", 3.0)
    };
    let run = followed(CRANKING, &scenario);
    let lets_go = run.first(What::LetsGo, "main").expect("it lets go");
    // Its coil passed 7.5 V one release time (7 ms) earlier, and stayed below.
    let coil = run.column("main", "coil_v").unwrap();
    let passed = coil.values.iter().position(|&v| v <= 7.5).unwrap();
    let release_s = lets_go - run.times_s[passed];
    assert!((release_s - 0.007).abs() < 2e-4, "{release_s}");
    assert!(at(&run, "main", "coil_v", lets_go) <= 7.5);
    // As the starter gathers speed the volts come back over 9.5 V, and after the
    // operate time the contact is made again.
    let again = run.first(What::PullsIn, "main").expect("it closes again");
    let risen = (passed..coil.values.len())
        .find(|&n| coil.values[n] >= 9.5)
        .unwrap();
    near(again - run.times_s[risen], 0.010, 0.02);
    assert_eq!(
        at(&run, "module", "current_a", 0.5 * (lets_go + again)),
        0.0
    );
    assert!(last(&run, "module", "current_a") > 0.5);
}

#[test]
fn the_chattering_example_is_ended_and_says_so() {
    let text = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("circuits/devices/chattering-relay.toml"),
    )
    .unwrap();
    let run = followed(&text, &Scenario::new("on", 600.0));
    assert!(
        run.ended
            .as_ref()
            .is_some_and(|why| why.contains("chatters"))
    );
    assert!(run.reached_s < 600.0);
}
