//! Coils: warm relays, suppressed relays.

use crate::solving::{BARE_WIRES, near, only};
use ampkeel::solving::StateSolution;

/// A relay's coil alone on a battery of 12 V, in air of so many degrees.
fn coil(fields: &str, degc: f64) -> StateSolution {
    let wires = BARE_WIRES.replace("20 degC", &format!("{degc} degC"));
    only(&format!(
        "format = 1\n{wires}
[battery.b]
open-volts = \"12 V\"
resistance = \"1 uohm\"
[relay.r]
{fields}
[[run]]
through = [\"b.plus\", \"r.86\", \"r.85\", \"b.minus\"]
"
    ))
}

/// A relay maker's note: 90 ohm and 6.5 V at 20 degC are 112.98 ohm and 8.16 V
/// at 85 degC (0.1 %).
#[test]
fn a_hot_relay_needs_more_volts_as_its_maker_says() {
    let state = coil(
        "coil = \"90 ohm\"\npull-in = \"6.5 V\"\ndrop-out = \"2 V\"",
        85.0,
    );
    near(state.relays["r"].pull_in_v, 8.16, 1e-3);
    near(12.0 / state.batteries["b"].current_a, 112.98, 1e-3);
}

/// A relay maker's application note: 16 V at 25 degC are 19.7 V at 85 degC and
/// 20.6 V at 100 degC (0.3 %). The file holds the volts at 20 degC, by the
/// note's own coefficient 0.003853 a kelvin from 25 degC: 16 (1 - 5 x 0.003853).
#[test]
fn the_pull_in_of_an_application_note() {
    let at_20 = 16.0 * (1.0 - 5.0 * 0.003_853);
    for (degc, volts) in [(85.0, 19.7), (100.0, 20.6)] {
        let fields = format!("coil = \"90 ohm\"\npull-in = \"{at_20} V\"\ndrop-out = \"2 V\"");
        near(coil(&fields, degc).relays["r"].pull_in_v, volts, 3e-3);
    }
}

/// Data sheet of a plug-in micro relay: 80 ohm beside a resistor of 680 ohm
/// measure 71.6 ohm (0.1 %).
#[test]
fn a_suppressed_coil_measures_less() {
    let state = coil("coil = \"80 ohm\"\nsuppression = \"resistor\"", 20.0);
    near(12.0 / state.batteries["b"].current_a, 71.6, 1e-3);
}
