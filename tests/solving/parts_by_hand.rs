//! One part at a time: motor held still, diode, floating part, empty branch.

use super::{BARE_WIRES, across, amps, example, near, only, solved, state, volts};

/// Brushes of a fuel pump drop 0.8 V (recalled figure for carbon in fuel).
const BRUSH_V: f64 = 0.8;

#[test]
fn a_locked_pump_draws_its_volts_less_the_brushes_over_winding_and_path() {
    let text = format!(
        r#"
format = 1
{BARE_WIRES}
[battery.b]
open-volts = "12.6 V"
resistance = "20 mohm"
[pump.p]
class = "high-pressure fuel pump"
resistance = "0.6 ohm"
[[wire]]
from = "b.plus"
to = "p.plus"
joints = "80 mohm"
[[wire]]
from = "p.minus"
to = "b.minus"
joints = "50 mohm"
[state.held]
condition = {{ p = "locked" }}
"#
    );
    let state = only(&text);
    // (12.6 - 0.8) / (0.6 + 0.02 + 0.08 + 0.05), at 20 degC.
    let i = (12.6 - BRUSH_V) / 0.75;
    near(amps(&state, "p"), i, 2e-5);
    near(across(&state, "p"), BRUSH_V + 0.6 * i, 2e-5);
    assert_eq!(state.parts["p"].speed_rad_s, Some(0.0));
}

#[test]
fn the_same_pump_with_an_open_winding_stands_at_full_volts_and_draws_nothing() {
    let solution = solved(&example("devices/pump-conditions.toml"));
    let open = state(&solution, "open");
    assert_eq!(amps(open, "fuel-pump"), 0.0);
    // The plus lead still reaches the pump, and its minus lead the other post.
    let posts = open.batteries["battery"].voltage_v;
    near(volts(open, "fuel-pump.plus"), posts, 1e-12);
}

#[test]
fn a_diode_costs_its_drop_and_its_slope() {
    let text = format!(
        r#"
format = 1
{BARE_WIRES}
[battery.b]
open-volts = "12 V"
resistance = "10 mohm"
[diode.d]
drop = "0.7 V"
[load.radio]
current = "4 A"
[[run]]
through = ["b.plus", "d", "radio", "b.minus"]
"#
    );
    let state = only(&text);
    // 0.7 V and 4 A x 10 mohm; the rounded knee costs less than a microvolt.
    let lost = volts(&state, "d.anode") - volts(&state, "d.cathode");
    near(lost, 0.74, 2e-6);
    near(across(&state, "radio"), 12.0 - 0.04 - 0.74, 1e-6);
}

#[test]
fn a_diode_the_wrong_way_round_leaves_the_load_without_current() {
    let text = format!(
        r#"
format = 1
{BARE_WIRES}
[battery.b]
open-volts = "12 V"
resistance = "10 mohm"
[diode.d]
[load.heater]
resistance = "6 ohm"
[[run]]
through = ["b.plus", "d.cathode", "d.anode", "heater", "b.minus"]
"#
    );
    let current_a = amps(&only(&text), "heater");
    // Leakage: at most a microampere.
    assert!((0.0..1.1e-6).contains(&current_a), "{current_a}");
}

#[test]
fn a_part_switched_on_both_sides_is_not_connected_when_both_are_open() {
    let solution = solved(&example("devices/floating-part.toml"));
    let dark = state(&solution, "dark");
    for label in ["anchor-light.plus", "anchor-light.minus", "plus-side.out"] {
        assert_eq!(dark.terminals_v[label], None, "{label}");
    }
    let lamp = &dark.parts["anchor-light"];
    assert_eq!(
        (lamp.voltage_v, lamp.current_a, lamp.drop_v),
        (None, None, None)
    );
    // One switch closed: both its terminals stand at the battery's volts.
    let half = state(&solution, "half");
    let posts = half.batteries["battery"].voltage_v;
    near(volts(half, "anchor-light.plus"), posts, 1e-9);
    near(volts(half, "anchor-light.minus"), posts, 1e-9);
    assert!(amps(half, "anchor-light").abs() < 1e-9);
    assert!(amps(state(&solution, "lit"), "anchor-light") > 0.5);
}

#[test]
fn an_idle_battery_gives_nothing_and_not_minus_nothing() {
    let solution = solved(&example("devices/floating-part.toml"));
    let given_a = state(&solution, "dark").batteries["battery"].current_a;
    assert_eq!(given_a.to_bits(), 0.0_f64.to_bits());
}

#[test]
fn an_open_driver_channel_connects_nothing() {
    let solution = solved(&format!(
        r#"
format = 1
{BARE_WIRES}
[battery.b]
open-volts = "12 V"
resistance = "10 mohm"
[switch.s]
contact = "10 mohm"
[driver.module]
channels = ["lamp"]
drop = "0.3 V"
out = "b.minus"
[load.heater]
resistance = "6 ohm"
[[run]]
through = ["b.plus", "s", "heater", "module.lamp"]
[state.dark]
[state.half]
closed = ["s"]
[state.lit]
closed = ["s", "module.lamp"]
"#
    ));
    let dark = state(&solution, "dark");
    assert_eq!(dark.terminals_v["heater.minus"], None);
    assert_eq!(dark.parts["heater"].voltage_v, None);
    near(volts(state(&solution, "half"), "heater.minus"), 12.0, 1e-9);
    // Battery, switch and channel 10 mohm each, a bolted joint, and 0.3 V.
    let lit = amps(state(&solution, "lit"), "heater");
    near(
        lit,
        (12.0 - 0.3) / (6.0 + 0.01 + 0.01 + 0.01 + 0.0001),
        1e-5,
    );
}
