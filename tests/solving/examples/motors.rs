//! Motors given by a working point.
//!
//! The class of starters has no brush drop and constant torque, like the
//! motors of the textbooks; the working point in the file is not the one that
//! is asked for.

use ampkeel::solving::{PartReading, Solution};

use crate::solving::{BARE_WIRES, near, solved, state};

/// A motor on an ideal supply of so many volts, turning and held still.
fn motor(supply_v: f64, fields: &str) -> Solution {
    solved(&format!(
        "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"{supply_v} V\"
resistance = \"1 uohm\"
[motor.m]
class = \"starter 10 hp\"
{fields}
[[run]]
through = [\"b.plus\", \"m\", \"b.minus\"]
[state.running]
[state.held]
condition = {{ m = \"locked\" }}
"
    ))
}

fn reading<'a>(solution: &'a Solution, name: &str) -> &'a PartReading {
    &state(solution, name).parts["m"]
}

fn running_a(solution: &Solution) -> f64 {
    reading(solution, "running").current_a.unwrap()
}

fn held_a(solution: &Solution) -> f64 {
    reading(solution, "held").current_a.unwrap()
}

fn rpm(solution: &Solution) -> f64 {
    reading(solution, "running").speed_rad_s.unwrap() * 30.0 / std::f64::consts::PI
}

/// `at` with what the example's own constants give at another voltage: current
/// from the torque, speed from (V - I R) / k.
fn at(volts: f64, current_a: f64, k: f64, ohm: f64) -> String {
    let speed = (volts - current_a * ohm) / k * 30.0 / std::f64::consts::PI;
    format!(
        "at = {{ voltage = \"{volts} V\", current = \"{current_a} A\", speed = \"{speed} rpm\" }}\n\
         resistance = \"{ohm} ohm\""
    )
}

/// University Physics 13.6, last problem (answer reckoned: 0.5 ohm, 10 V):
/// 12 V, 4 A running, 24 A clamped. College Physics problem: 6 V, 3 A, 0.5 ohm,
/// 12 A at the start. Both exact.
#[test]
fn a_motor_held_still_draws_its_volts_over_its_winding() {
    for (volts, running, ohm, held) in [(12.0, 4.0, 0.5, 24.0), (6.0, 3.0, 0.5, 12.0)] {
        let given = format!(
            "at = {{ voltage = \"{volts} V\", current = \"{running} A\" }}\nresistance = \"{ohm} ohm\""
        );
        let solution = motor(volts, &given);
        near(running_a(&solution), running, 1e-5);
        near(held_a(&solution), held, 1e-5);
    }
    // Given the clamped current instead, half the volts give half of it.
    let given = "at = { voltage = \"12 V\", current = \"4 A\" }\nlocked = \"24 A\"";
    near(held_a(&motor(6.0, given)), 12.0, 1e-5);
}

/// Special Machines 4.1: k 0.12, 48 V: 3819 rpm without load (0.05 %).
#[test]
fn speed_without_load_is_volts_over_the_constant() {
    let solution = motor(48.0, &at(24.0, 0.001, 0.12, 0.3));
    near(rpm(&solution), 3819.0, 5e-4);
}

/// Special Machines 4.2: 1 N m at 5 A, so k 0.2; 28 V: 1336.9 rpm (0.05 %).
#[test]
fn speed_from_a_stall_torque() {
    let solution = motor(28.0, &at(14.0, 0.001, 1.0 / 5.0, 0.5));
    near(rpm(&solution), 1336.9, 5e-4);
}

/// Special Machines 4.4: 48 V, 0.3 ohm in all and 2 V in a device: 153.33 A held
/// still (0.1 %). The device is a diode, whose slope is 10 of the 300 mohm.
#[test]
fn a_device_in_series_takes_its_volts_from_a_held_motor() {
    let solution = solved(&format!(
        "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"48 V\"
resistance = \"1 uohm\"
[diode.device]
drop = \"2 V\"
[motor.m]
class = \"starter 10 hp\"
resistance = \"0.29 ohm\"
[[run]]
through = [\"b.plus\", \"device\", \"m\", \"b.minus\"]
[state.held]
condition = {{ m = \"locked\" }}
"
    ));
    near(held_a(&solution), 153.333, 1e-3);
}

/// Special Machines 4.5: 6000 rpm at 120 V without load; at 60 V, 2.5 ohm and
/// 0.5 N m it turns at 2672.75 rpm (0.1 %).
#[test]
fn speed_under_torque_at_half_the_volts() {
    let k = 120.0 / (6000.0 * std::f64::consts::PI / 30.0);
    let solution = motor(60.0, &at(90.0, 0.5 / k, k, 2.5));
    near(rpm(&solution), 2672.75, 1e-3);
    near(running_a(&solution), 2.618, 1e-3);
}

/// Electric Machinery example 7.9: k 0.22, 1.03 ohm, 48 V, 1700 rpm: 275.05 W on
/// the shaft after 60.89 W of rotation losses (0.05 %). The torque is known, the
/// speed comes out.
#[test]
fn shaft_power_of_a_textbook_motor() {
    let current_a = 8.577_49;
    let solution = motor(48.0, &at(36.0, current_a, 0.22, 1.03));
    near(rpm(&solution), 1700.0, 5e-4);
    let turned_w = (48.0 - 1.03 * running_a(&solution)) * running_a(&solution);
    near(turned_w - 60.8906, 275.05, 5e-4);
}

/// A question site: 12 V, 3800 rpm without load, 0.03 N m at stall; at 2500 rpm
/// 0.01026 N m, 0.3403 A, 4.084 W in (0.2 %, answer reckoned).
#[test]
fn a_small_motor_from_its_speed_and_stall_torque() {
    let k = 12.0 / (3800.0 * std::f64::consts::PI / 30.0);
    let stall_a = 0.03 / k;
    let solution = motor(12.0, &at(9.0, 0.010_26 / k, k, 12.0 / stall_a));
    near(rpm(&solution), 2500.0, 2e-3);
    near(running_a(&solution), 0.3403, 2e-3);
    near(held_a(&solution), stall_a, 1e-5);
}

/// A question site: 1.5 ohm, 10 V, 0.12 N m/A, 12 V per 1000 rpm, 0.6 N m:
/// 6.667 A held still, 5 A at 208.3 rpm (0.1 %). Its two constants disagree by
/// 5 %, and a motor here has one: the speed is that of the second.
#[test]
fn a_motor_whose_printed_constants_disagree() {
    let k = 12.0 / (1000.0 * std::f64::consts::PI / 30.0);
    let solution = motor(10.0, &at(20.0, 0.6 / 0.12, k, 1.5));
    near(held_a(&solution), 6.667, 1e-3);
    near(running_a(&solution), 5.0, 1e-5);
    near(rpm(&solution), 208.3, 1e-3);
}

/// A workshop's case: a fuel pump of 4 A at 6500 rpm jammed at 19 A and opened
/// its 15 A fuse (for information: 4.75 times). At 13 V at the pump the held
/// current of the file comes back, and the fuse carries more than its rating.
#[test]
fn a_jammed_fuel_pump_draws_its_locked_current_through_its_fuse() {
    let solution = solved(&format!(
        "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"13 V\"
resistance = \"1 uohm\"
[fuse.f]
style = \"blade\"
rating = \"15 A\"
[pump.p]
class = \"high-pressure fuel pump\"
at = {{ voltage = \"13 V\", current = \"4 A\", speed = \"6500 rpm\" }}
locked = \"19 A\"
[[run]]
through = [\"b.plus\", \"f\", \"p\", \"b.minus\"]
[state.good]
[state.jammed]
condition = {{ p = \"locked\" }}
"
    ));
    let of = |name: &str| state(&solution, name);
    // The fuse's 8 mohm beside 0.64 ohm of winding: 1.2 %.
    let jammed_a = of("jammed").parts["p"].current_a.unwrap();
    near(jammed_a, 19.0, 0.02);
    near(
        jammed_a / of("good").parts["p"].current_a.unwrap(),
        4.75,
        0.02,
    );
    assert!(of("jammed").fuses["f"].load_pct > 100.0);
}
