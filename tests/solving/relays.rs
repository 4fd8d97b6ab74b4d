//! Relays: what they remember, and when they find no rest.

use super::{BARE_WIRES, example, near, solved, state, subject_of, volts};
use ampkeel::solving::{Solution, StateSolution};

fn pulled_in(state: &StateSolution, relay: &str) -> Option<bool> {
    state.relays[relay].pulled_in
}

/// Coil 85 ohm at 20 degC in 30 degC air, 34 ohm before it: 9.1 V, between
/// drop-out (3 V) and pull-in (11 V).
#[test]
fn a_coil_between_drop_out_and_pull_in_stays_as_it_was() {
    let solution = solved(&example("devices/relay-hot-coil.toml"));
    let warm = (234.5 + 30.0) / 254.5;
    let coil_ohm = 85.0 * warm;
    for (name, stands) in [("weak", true), ("weak-cold", false)] {
        let state = state(&solution, name);
        let relay = &state.relays["relay"];
        near(relay.pull_in_v, 11.0 * warm, 1e-12);
        // On the way 4.5 ft of 16 AWG at 4.4 mohm, three pairs of joints at 3 mohm,
        // a switch at 8 mohm: 37 mohm.
        let by_hand = volts(state, "main.out") * coil_ohm / (coil_ohm + 34.037);
        near(relay.coil_v.unwrap(), by_hand, 1e-4);
        assert_eq!(relay.pulled_in, Some(stands), "{name}");
    }
    assert_eq!(pulled_in(state(&solution, "on"), "relay"), Some(true));
}

#[test]
fn a_state_may_follow_one_that_stands_later_in_the_file() {
    let text = example("devices/relay-hot-coil.toml");
    let (parts, states) = text.split_at(text.find("[state.on]").unwrap());
    let on = "[state.on]\nclosed = [\"good-feed\"]\n";
    let moved = format!("{parts}{}{on}", states.replace(on, ""));
    let solution = solved(&moved);
    let names: Vec<&str> = solution.states.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["weak", "weak-cold", "on"]);
    assert_eq!(pulled_in(state(&solution, "weak"), "relay"), Some(true));
    assert_eq!(
        pulled_in(state(&solution, "weak-cold"), "relay"),
        Some(false)
    );
}

/// Heater and coil at the end of half an ohm, 12 V. Released: the coil has
/// 12 x 100 / 100.5 = 11.9 V. Made: 0.3 ohm beside 100 leave it
/// 12 x 0.2991 / 0.8001 = 4.49 V.
fn sagging(drop_out: &str) -> Solution {
    solved(&format!(
        r#"
format = 1
{BARE_WIRES}
[battery.b]
open-volts = "12 V"
resistance = "1 mohm"
[stud.far]
[relay.r]
coil = "100 ohm"
pull-in = "8 V"
drop-out = "{drop_out}"
contact = "0 ohm to 1 uohm"
86 = "far"
30 = "far"
[load.heater]
resistance = "0.3 ohm"
[[wire]]
from = "b.plus"
to = "far"
joints = "0.5 ohm"
[[wire]]
from = "r.85"
to = "b.minus"
[[run]]
through = ["r.87", "heater", "b.minus"]
"#
    ))
}

#[test]
fn a_relay_whose_own_load_pulls_its_coil_below_drop_out_chatters() {
    let solution = sagging("5 V");
    let relay = &solution.states[0].relays["r"];
    assert_eq!(relay.pulled_in, None);
    // Shown released.
    near(relay.coil_v.unwrap(), 12.0 * 100.0 / 100.501, 1e-4);
    assert_eq!(subject_of(&solution, "relay-chatters"), Some("r"));
}

#[test]
fn the_same_relay_with_a_lower_drop_out_stays_in() {
    let solution = sagging("4 V");
    let relay = &solution.states[0].relays["r"];
    assert_eq!(relay.pulled_in, Some(true));
    // Bolted joints of 0.1 mohm each in the heater's way: 0.2 mohm of 0.8 ohm.
    near(relay.coil_v.unwrap(), 4.49, 2e-3);
    assert_eq!(subject_of(&solution, "relay-chatters"), None);
}

#[test]
fn the_chattering_example_chatters() {
    let solution = solved(&example("devices/chattering-relay.toml"));
    assert_eq!(pulled_in(&solution.states[0], "relay"), None);
}
