//! Basalt: one bilge pump on a float switch.

use super::{solved, within};

#[test]
fn basalt_pumps_within_its_limit() {
    let boat = solved("basalt-bilge-pump.toml");
    boat.is_healthy();
    within(boat.amps("pumping", "bilge-pump"), 2.5, 4.0);
    within(boat.rule_pct("pumping", "bilge-pump"), 0.0, 3.0);
    within(boat.meter_pct("pumping", "bilge-pump"), 0.0, 3.0);
    // Its wires' own resistance by hand: 27.5 ft of 14 AWG at 10.75 ohm cmil/ft
    // and 4107 cmil is 72 mohm.
    let by_hand = boat.amps("pumping", "bilge-pump") * 10.75 * 27.5 / 4107.0 / 12.0 * 100.0;
    let off = boat.rule_pct("pumping", "bilge-pump") - by_hand;
    assert!(off.abs() < 1e-3 * by_hand, "{by_hand} % by hand");
}
