//! Batteries behind their resistance.

use super::series;
use crate::solving::{BARE_WIRES, across, amps, near, only};

/// A microhm of wire beside 60 mohm and more.
const EXACT: f64 = 1e-4;

/// University Physics, example 10.1: 12 V, 0.1 ohm inside. 10 ohm: 1.188 A and
/// 11.9 V (11.88 unrounded; 0.2 %). 0.5 ohm: 20 A, 10 V, 200 W. Aged to 0.5 ohm
/// inside: 12 A, 6 V, 72 W (exact).
#[test]
fn a_textbook_battery_under_light_and_heavy_load_and_aged() {
    for (inside_ohm, load_ohm, current_a, load_v, share) in [
        (0.1, 10.0, 1.188, 11.9, 2e-3),
        (0.1, 0.5, 20.0, 10.0, EXACT),
        (0.5, 0.5, 12.0, 6.0, EXACT),
    ] {
        let state = series(12.0, inside_ohm, &[load_ohm]);
        near(amps(&state, "r0"), current_a, share);
        near(across(&state, "r0"), load_v, share);
        near(state.batteries["b"].current_a, current_a, share);
        near(state.batteries["b"].voltage_v, load_v, share);
    }
}

/// A physics teaching site, problem 4: 12 V, 0.012 ohm, 100 A: 10.8 V, and the
/// load is 0.108 ohm, 1080 W; 120 W stay inside (exact).
#[test]
fn a_starter_battery_at_a_hundred_amperes() {
    let state = series(12.0, 0.012, &[0.108]);
    let battery = &state.batteries["b"];
    near(battery.current_a, 100.0, EXACT);
    near(battery.voltage_v, 10.8, EXACT);
    near(battery.voltage_v * battery.current_a, 1080.0, 2.0 * EXACT);
}

/// University Physics, ch. 10, problem with solution: a step of 5 A moves the
/// volts by 2 V, so 0.4 ohm inside (exact). Here the other way: with 0.4 ohm
/// the step comes out.
#[test]
fn a_step_of_load_moves_the_volts_by_the_inside_resistance() {
    let at = |current_a: f64| {
        let state = only(&format!(
            "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"12 V\"
resistance = \"0.4 ohm\"
[load.step]
current = \"{current_a} A\"
[[run]]
through = [\"b.plus\", \"step\", \"b.minus\"]
"
        ));
        state.batteries["b"].voltage_v
    };
    near(at(1.0) - at(6.0), 2.0, EXACT);
}

/// Circuit Theory, ch. 4 example 1: eight cells of 2.2 V and 0.2 ohm are 17.6 V
/// and 1.6 ohm in series, 2.2 V and 0.025 ohm side by side (exact).
#[test]
fn eight_cells_in_series_and_side_by_side() {
    let cells: Vec<String> = (0..8)
        .map(|at| format!("[battery.c{at}]\nopen-volts = \"2.2 V\"\nresistance = \"0.2 ohm\"\n"))
        .collect();
    let cells = cells.concat();
    // Unloaded and with as much outside as inside, where half the volts are left.
    let chain: Vec<String> = (0..8)
        .map(|at| format!("\"c{at}.plus\", \"c{at}.minus\", "))
        .collect();
    let chain = chain.concat();
    let series = |ohm: f64| {
        only(&format!(
            "format = 1\n{BARE_WIRES}{cells}[load.r]\nresistance = \"{ohm} ohm\"\n
[[run]]
through = [{chain}\"r.minus\"]
[[wire]]
from = \"c0.plus\"
to = \"r.plus\"
"
        ))
    };
    near(across(&series(1e8), "r"), 17.6, EXACT);
    near(across(&series(1.6), "r"), 8.8, EXACT);
    let plus: Vec<String> = (0..8).map(|at| format!("\"c{at}.plus\"")).collect();
    let minus: Vec<String> = (0..8).map(|at| format!("\"c{at}.minus\"")).collect();
    let beside = |ohm: f64| {
        only(&format!(
            "format = 1\n{BARE_WIRES}{cells}[load.r]\nresistance = \"{ohm} ohm\"\n
[[run]]
through = [{}, \"r.plus\"]
[[run]]
through = [{}, \"r.minus\"]
",
            plus.join(", "),
            minus.join(", ")
        ))
    };
    near(across(&beside(1e8), "r"), 2.2, EXACT);
    near(across(&beside(0.025), "r"), 1.1, 2.0 * EXACT);
}
