//! Starters and their cables.

use super::series;
use crate::solving::{BARE_WIRES, across, amps, near, only};

/// University Physics, ch. 10, starter problem: 12 V, 0.01 ohm inside, starter
/// 0.05 ohm: 200 A, 10 V, 2000 W. With 0.09 ohm of corrosion: 80 A, 4 V, 320 W
/// (exact; here a microhm of bare wire beside 60 mohm).
#[test]
fn a_textbook_starter_with_good_and_corroded_connections() {
    let good = series(12.0, 0.01, &[0.05]);
    near(amps(&good, "r0"), 200.0, 1e-4);
    near(across(&good, "r0"), 10.0, 1e-4);
    let corroded = only(&format!(
        "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"12 V\"
resistance = \"10 mohm\"
[load.starter]
resistance = \"50 mohm\"
[[run]]
through = [\"b.plus\", \"starter\", \"b.minus\"]
joints = [\"90 mohm\", \"0 ohm\"]
"
    ));
    near(amps(&corroded, "starter"), 80.0, 1e-4);
    near(across(&corroded, "starter"), 4.0, 1e-4);
    // The meter finds the missing volts between posts and starter.
    near(corroded.parts["starter"].drop_v.unwrap(), 7.2, 1e-4);
}

/// Watercraft service manual, starter draw: 45 A at 10.9 V, 120 A at 9.0 V,
/// stalled 390 A at 2.25 V. All three lie on 12.04 V behind 25.2 mohm (1 %); at
/// stall the motor is 2.25 V / 390 A = 5.8 mohm.
#[test]
fn the_starter_draw_of_a_manual_lies_on_one_straight_line() {
    for (current_a, load_v) in [(45.0, 10.9), (120.0, 9.0), (390.0, 2.25)] {
        let state = series(12.04, 0.0252, &[load_v / current_a]);
        near(amps(&state, "r0"), current_a, 0.01);
        near(across(&state, "r0"), load_v, 0.01);
    }
}
