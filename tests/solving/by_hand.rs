//! Small circuits whose answer is a line of arithmetic, in the comment beside.

use super::{BARE_WIRES, across, amps, near, only, solved, subject_of, volts};

/// What the bare wires leave of an exact answer: a microhm or two of several
/// milliohms.
const EXACT: f64 = 2e-4;

fn bare(parts: &str) -> String {
    format!("format = 1\n{BARE_WIRES}{parts}")
}

#[test]
fn two_loads_on_one_return_lift_each_other_by_its_drop() {
    let text = bare(
        r#"
[battery.b]
open-volts = "12.5 V"
resistance = "10 mohm"
[stud.far]
[load.a]
current = "3 A"
minus = "far"
[load.c]
current = "5 A"
minus = "far"
[[wire]]
from = "b.plus"
to = "a.plus"
joints = "30 mohm"
[[wire]]
from = "b.plus"
to = "c.plus"
joints = "20 mohm"
[[wire]]
from = "far"
to = "b.minus"
joints = "50 mohm"
"#,
    );
    let state = only(&text);
    // Return: 8 A x 50 mohm. Battery: 12.5 - 8 A x 10 mohm. The loads are bolted
    // on with 0.1 mohm each.
    near(volts(&state, "far"), 0.4, EXACT);
    near(state.batteries["b"].voltage_v, 12.42, EXACT);
    near(across(&state, "a"), 12.42 - 0.4 - 3.0 * 0.0301, EXACT);
    near(across(&state, "c"), 12.42 - 0.4 - 5.0 * 0.0201, EXACT);
    // What a meter shows: posts less load.
    let drop_v = state.parts["a"].drop_v.unwrap();
    near(drop_v, 0.4 + 3.0 * 0.0301, 1e-3);
}

#[test]
fn two_batteries_share_a_load_by_their_resistances() {
    let text = bare(
        r#"
[battery.strong]
open-volts = "12.7 V"
resistance = "10 mohm"
[battery.weak]
open-volts = "12.5 V"
resistance = "20 mohm"
[load.heater]
resistance = "0.5 ohm"
[[run]]
through = ["strong.plus", "weak.plus", "heater.plus"]
back = ["heater.minus", "weak.minus", "strong.minus"]
"#,
    );
    let state = only(&text);
    // Millman: (12.7 / 0.01 + 12.5 / 0.02) / (1 / 0.01 + 1 / 0.02 + 1 / 0.5).
    let v = (1270.0 + 625.0) / 152.0;
    near(across(&state, "heater"), v, EXACT);
    near(state.batteries["strong"].current_a, (12.7 - v) / 0.01, 2e-3);
    near(state.batteries["weak"].current_a, (12.5 - v) / 0.02, 2e-3);
}

#[test]
fn a_reversed_battery_turns_volts_and_amperes_of_a_load_round() {
    let text = bare(
        r#"
[battery.b]
open-volts = "12 V"
resistance = "100 mohm"
[load.heater]
resistance = "5.9 ohm"
[[run]]
through = ["b.minus", "heater", "b.plus"]
"#,
    );
    let state = only(&text);
    // 12 V / (5.9 + 0.1) ohm, plus post on the load's minus.
    near(amps(&state, "heater"), -2.0, EXACT);
    near(across(&state, "heater"), -11.8, EXACT);
    near(state.batteries["b"].current_a, 2.0, EXACT);
}

/// A supply `e` behind `r` gives at most `e^2 / (4 r)`.
fn starved(power_w: f64) -> String {
    bare(&format!(
        r#"
[battery.b]
open-volts = "12 V"
resistance = "10 mohm"
[load.display]
power = "{power_w} W"
cut-off = "4 V"
[[wire]]
from = "b.plus"
to = "display.plus"
joints = "0.49 ohm"
[[wire]]
from = "display.minus"
to = "b.minus"
"#
    ))
}

#[test]
fn constant_power_below_the_most_its_wire_gives_takes_the_upper_voltage() {
    // Most: 144 / (4 x 0.5) = 72 W. v^2 - 12 v + 0.5 x 60 = 0.
    let solution = solved(&starved(60.0));
    let v = 6.0 + (36.0_f64 - 30.0).sqrt();
    near(across(&solution.states[0], "display"), v, EXACT);
    assert_eq!(subject_of(&solution, "supply-collapses"), None);
}

#[test]
fn constant_power_above_the_most_its_wire_gives_is_told_as_a_collapse() {
    // 90 W from 4 V on: below it a resistance of 16 / 90 ohm.
    let solution = solved(&starved(90.0));
    let ohms = 16.0 / 90.0;
    let v = 12.0 * ohms / (ohms + 0.5);
    near(across(&solution.states[0], "display"), v, EXACT);
    assert_eq!(subject_of(&solution, "supply-collapses"), Some("display"));
}
