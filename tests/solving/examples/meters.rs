//! What an ammeter or voltmeter does to what it measures.

use super::series;
use crate::solving::{BARE_WIRES, across, amps, near, only};

/// An ideal supply, as far as a file can say: a microhm inside.
const IDEAL: f64 = 1e-6;

/// Bench meter manual p. 77: 10 V, 10 ohm, meter 0.5 ohm: 0.952381 A, 4.76 % low
/// (0.01 %). Circuit Theory ch. 10 example 4: 10 V, 500 ohm, meter 50 ohm:
/// 20.00 mA become 18.18 (0.05 %), 16.53 mW in the meter. Hand meter manual
/// p. 31: 0.01 ohm in 1 ohm reads 1.0 % low (1 % of that).
#[test]
fn an_ammeter_in_the_circuit_lowers_what_it_reads() {
    let read =
        |volts: f64, load_ohm, meter_ohm| amps(&series(volts, IDEAL, &[load_ohm, meter_ohm]), "r1");
    near(read(10.0, 10.0, 0.5), 0.952_381, 1e-4);
    let current_a = read(10.0, 500.0, 50.0);
    near(current_a, 18.18e-3, 5e-4);
    near(current_a * current_a * 50.0, 16.53e-3, 5e-4);
    let without = amps(&series(10.0, IDEAL, &[1.0]), "r0");
    let error_pct = 100.0 * (read(10.0, 1.0, 0.01) / without - 1.0);
    near(error_pct, -1.0, 0.01);
}

/// Circuit Theory ch. 10 example 5: 100 V over 40 and 60 kohm; a meter of
/// 160 kohm shows 34.78 V where 40 V are (0.05 %).
#[test]
fn a_voltmeter_loads_a_divider() {
    let state = |meter: &str| {
        only(&format!(
            "format = 1\n{BARE_WIRES}
[battery.b]
open-volts = \"100 V\"
resistance = \"1 uohm\"
[load.upper]
resistance = \"60 kohm\"
[load.lower]
resistance = \"40 kohm\"
[load.meter]
resistance = \"{meter}\"
[[run]]
through = [\"b.plus\", \"upper\", \"lower\", \"b.minus\"]
[[run]]
through = [\"lower.plus\", \"meter\", \"lower.minus\"]
"
        ))
    };
    near(across(&state("1000 Mohm"), "lower"), 40.0, 5e-4);
    near(across(&state("160 kohm"), "lower"), 34.78, 5e-4);
}
