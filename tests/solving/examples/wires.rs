//! Drops in wires and fuses as a meter would show them.

use crate::solving::{BARE_WIRES, near, only};

/// An electrician-training page: 16 AWG, 100 ft one way, 4 A at 24 V: 4.0 V,
/// 16.7 %, by the NEC's 4.99 ohm per 1000 ft of plain stranded wire at 75 degC.
/// The wire model is held to that column within 2 %.
#[test]
fn the_low_voltage_circuit_of_a_training_page() {
    let wires = BARE_WIRES
        .replace("20 degC", "75 degC")
        .replace("4/0 AWG", "16 AWG")
        .replace("1 mm", "100 ft");
    let state = only(&format!(
        "format = 1\n{wires}tinned = false
[boat]
nominal = \"24 V\"
[battery.b]
open-volts = \"24 V\"
resistance = \"1 uohm\"
[load.lamp]
current = \"4 A\"
[[run]]
through = [\"b.plus\", \"lamp\", \"b.minus\"]
"
    ));
    let drop_v = state.parts["lamp"].drop_v.unwrap();
    near(drop_v, 3.992, 0.02);
    near(100.0 * drop_v / 24.0, 16.63, 0.02);
}

/// Open textbook, specific resistance: a load at the end of 15 ohm each way
/// keeps 12.5 V of 14 V; 0.75 V stay in each wire (0.01 V). Its figures at 35 degC
/// use 0.004041 a kelvin, which copper here has not.
#[test]
fn long_leads_take_their_share() {
    let state = super::series(14.0, 1e-6, &[15.0, 250.0, 15.0]);
    near(crate::solving::across(&state, "r1"), 12.5, 8e-4);
    near(crate::solving::across(&state, "r0"), 0.75, 0.013);
}

/// A trade society's chart, type F 15 A: 1.0 mV across the fuse is 218 mA; a
/// teaching site, type C 10 A: 130 mA (1 %). The charts probe the fuse itself:
/// the clips of its holder, 2 mohm, are taken off.
#[test]
fn a_millivolt_across_a_fuse_is_the_current_of_the_chart() {
    for (style, rating, current_ma) in [("mini-blade", 15, 218.0), ("blade", 10, 130.0)] {
        let state = only(&format!(
            "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"12 V\"
resistance = \"1 uohm\"
[fuse.f]
style = \"{style}\"
rating = \"{rating} A\"
[load.sleeper]
current = \"{current_ma} mA\"
[[run]]
through = [\"b.plus\", \"f\", \"sleeper\", \"b.minus\"]
"
        ));
        let holder_v =
            crate::solving::volts(&state, "f.in") - crate::solving::volts(&state, "f.out");
        let clips_v = 2e-3 * current_ma / 1000.0;
        near(holder_v - clips_v, 1e-3, 0.01);
    }
}

/// A boating forum: lamps of 20 W at 12.6 V draw 1.58 A, three of them 4.76 A
/// (1.587 and 4.762 exact).
#[test]
fn lamps_of_a_boating_forum_draw_their_watts_over_their_volts() {
    for (lamps, current_a) in [(1, 1.587), (3, 4.762)] {
        let loads: Vec<String> = (0..lamps)
            .map(|at| format!("[load.l{at}]\npower = \"20 W\"\n"))
            .collect();
        let loads = loads.concat();
        let plus: Vec<String> = (0..lamps).map(|at| format!("\"l{at}.plus\"")).collect();
        let minus: Vec<String> = (0..lamps).map(|at| format!("\"l{at}.minus\"")).collect();
        let state = only(&format!(
            "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"12.6 V\"
resistance = \"1 uohm\"
{loads}
[[run]]
through = [\"b.plus\", {}]
[[run]]
through = [\"b.minus\", {}]
",
            plus.join(", "),
            minus.join(", ")
        ));
        near(state.batteries["b"].current_a, current_a, 3e-4);
    }
}
