//! Computed ranges beside the ranges the trade goes by.

use super::{reading, steps_of, typical};
use ampkeel::tables::devices::pump_range;

/// Tables `pump-ranges` (common practice and derived) and the computed ranges
/// were made independently: they must largely agree.
#[test]
fn pumps_draw_what_the_trade_expects() {
    let wet = pump_range("high-pressure fuel pump", "open outlet, wet").expect("row");
    let locked = pump_range("high-pressure fuel pump", "locked").expect("row");
    let lift = pump_range("rotary lift pump", "locked").expect("row");
    let found = steps_of("high-pressure fuel pump");
    let current = reading(&found, "current");
    assert!(wet.value.low.si() <= current.low.expect("computed"));
    assert!(current.high.expect("computed") <= wet.value.high.si());
    assert!((typical(&found, "current") / wet.value.typical.si() - 1.0).abs() < 0.1);
    for (class, range) in [
        ("high-pressure fuel pump", locked),
        ("rotary lift pump", lift),
    ] {
        let found = steps_of(class);
        let row = found.signatures.iter().find(|row| row.fault == "locked");
        let current = row.expect("row").current_a;
        assert!((range.value.low.si()..range.value.high.si()).contains(&current));
    }
}

/// A solenoid lift pump takes 0.4 to 1.5 A in the mean, stuck on 1.5 to 3 A
/// (`pump-ranges`, unverified and common practice).
#[test]
fn a_solenoid_pump_takes_its_mean_current() {
    let found = steps_of("solenoid lift pump");
    let current = reading(&found, "mean current");
    assert!(current.low.expect("computed") >= 0.4 && current.high.expect("computed") <= 1.5);
    assert!(found.answer.contains("stuck on it would draw"));
}

/// `relay-tests`: coil 60 to 110 ohm, 0.11 to 0.20 A, closes between 5 and
/// 8.4 V, opens between 4.5 and 1.2 V, 30 to 100 mV at 10 A.
#[test]
fn relays_read_what_the_test_table_says() {
    let found = steps_of("plug-in");
    let inside = |quantity: &str, low: f64, high: f64| {
        let range = reading(&found, quantity);
        let (l, h) = (range.low.expect("computed"), range.high.expect("computed"));
        assert!(low <= l && h <= high, "{quantity}: {l} to {h}");
    };
    inside("coil", 60.0, 110.0);
    inside("closes at", 5.0, 8.4);
    inside("opens again at", 1.2, 4.5);
    // The jack's own 2 % and 0.05 A widen what is read of the current.
    let current = typical(&found, "coil current");
    assert!((0.11..0.20).contains(&current), "{current}");
    let across = typical(&found, "volts 30 to 87") / (55.0 / 12.0) * 10.0;
    assert!((0.03..0.10).contains(&across), "{across}");
}
