//! Each small circuit of one device shows the one thing it promises.

use super::{Solved, solved, within};
use ampkeel::circuit::PartKind;
use std::panic::AssertUnwindSafe;

/// What a file promises.
type Promise = fn(&Solved);

/// Every file of `circuits/devices` with its promise.
pub(super) const PROMISES: &[(&str, Promise)] = &[
    ("breaker", breaker),
    ("charger", charger),
    ("chattering-relay", chattering_relay),
    ("cold-battery", cold_battery),
    ("collapsing-supply", collapsing_supply),
    ("corroded-joint", corroded_joint),
    ("diode", diode),
    ("driver", driver),
    ("electronics", electronics),
    ("floating-part", floating_part),
    ("fuse-styles", fuse_styles),
    ("lamp", lamp),
    ("loads-by-class", loads_by_class),
    ("other-battery", other_battery),
    ("plug", plug),
    ("pump-conditions", pump_conditions),
    ("relay-click", relay_click),
    ("relay-diode-reversed", relay_diode_reversed),
    ("relay-hot-coil", relay_hot_coil),
    ("reversed-battery", reversed_battery),
    ("selector", selector),
    ("solenoids", solenoids),
    ("starter", starter),
    ("trim-two-field", trim_two_field),
    ("two-batteries", two_batteries),
];

#[test]
fn every_device_file_keeps_the_promise_of_its_head() {
    let broken: Vec<&str> = PROMISES
        .iter()
        .filter(|(name, promise)| {
            let circuit = solved(&format!("devices/{name}.toml"));
            std::panic::catch_unwind(AssertUnwindSafe(|| promise(&circuit))).is_err()
        })
        .map(|(name, _)| *name)
        .collect();
    assert!(broken.is_empty(), "{broken:?}");
}

/// No current worth a meter's digit.
#[track_caller]
fn nothing(current_a: f64) {
    within(current_a, -1e-6, 1e-6);
}

fn breaker(circuit: &Solved) {
    circuit.is_healthy();
    within(circuit.amps("on", "washdown"), 5.0, 7.0);
    within(
        circuit.state("on").fuses["washdown-breaker"].load_pct,
        33.0,
        50.0,
    );
}

fn charger(circuit: &Solved) {
    circuit.is_healthy();
    for (state, stator, battery) in [("off", 0.0, 5.0), ("slow", 2.0, 3.0), ("fast", 12.0, -7.0)] {
        within(
            circuit.state(state).chargers["stator"],
            stator - 1e-3,
            stator + 1e-3,
        );
        within(
            circuit.battery_a(state, "battery"),
            battery - 1e-3,
            battery + 1e-3,
        );
    }
}

fn chattering_relay(circuit: &Solved) {
    assert_eq!(circuit.violations(), [("relay-chatters", "relay")]);
    let relay = &circuit.state("on").relays["relay"];
    assert_eq!(relay.pulled_in, None);
    // Shown with the contact open: the coil has what would pull it in.
    assert!(relay.coil_v.unwrap() > 12.0);
}

fn cold_battery(circuit: &Solved) {
    assert_eq!(circuit.violations(), []);
    assert_eq!(circuit.cautions(), [("starter-volts-low", "starter")]);
    assert!(circuit.volts("cranking", "starter") < 9.5);
    assert!(circuit.battery_v("cranking", "battery") < 9.6);
}

fn collapsing_supply(circuit: &Solved) {
    let expected = [
        ("drop-above-limit", "display"),
        ("supply-collapses", "display"),
    ];
    assert_eq!(circuit.violations(), expected);
    assert!(circuit.volts("on", "display") < 9.5);
}

fn corroded_joint(circuit: &Solved) {
    assert_eq!(circuit.violations(), []);
    assert_eq!(circuit.cautions(), [("drop-verdicts-differ", "weak-pump")]);
    let missing = circuit.volts("on", "good-pump") - circuit.volts("on", "weak-pump");
    within(missing, 1.0, 1.3);
    assert!(circuit.amps("on", "weak-pump") < circuit.amps("on", "good-pump"));
}

fn diode(circuit: &Solved) {
    circuit.is_healthy();
    let lit = ["left", "right", "both"];
    for state in lit {
        let below = circuit.battery_v(state, "battery") - circuit.volts(state, "warning");
        within(below, 0.65, 0.8);
    }
    nothing(circuit.amps("left", "right-gauge"));
    nothing(circuit.amps("right", "left-gauge"));
    for gauge in ["left-gauge", "right-gauge"] {
        within(circuit.amps("both", gauge), 0.2, 0.5);
    }
}

fn driver(circuit: &Solved) {
    circuit.is_healthy();
    nothing(circuit.battery_a("rest", "battery"));
    within(circuit.battery_a("one", "battery"), 0.8, 1.0);
    nothing(circuit.amps("one", "right-injector"));
    within(circuit.battery_a("pulsed", "battery"), 0.3, 0.4);
    // Two in step at a fifth of the time: their fuse heats by the root of it.
    let ratio = circuit.fuse_a("pulsed", "main") / circuit.battery_a("pulsed", "battery");
    within(ratio, 1.0, 0.2f64.recip().sqrt());
}

fn electronics(circuit: &Solved) {
    assert_eq!(circuit.violations(), [("drop-above-limit", "far-display")]);
    within(circuit.amps("both", "near-display"), 4.5, 5.2);
    assert!(circuit.amps("both", "far-display") > 1.1 * circuit.amps("both", "near-display"));
    for display in ["near-display", "far-display"] {
        assert!(circuit.volts("both", display) > 9.5);
        let watts = circuit.volts("both", display) * circuit.amps("both", display);
        within(watts, 59.99, 60.01);
    }
}

fn floating_part(circuit: &Solved) {
    circuit.is_healthy();
    let dark = circuit.state("dark");
    assert_eq!(dark.parts["anchor-light"].voltage_v, None);
    for terminal in ["anchor-light.plus", "anchor-light.minus"] {
        assert_eq!(dark.terminals_v[terminal], None, "{terminal}");
    }
    nothing(circuit.battery_a("half", "battery"));
    assert!(circuit.state("half").terminals_v["anchor-light.plus"].unwrap() > 12.0);
    within(circuit.amps("lit", "anchor-light"), 0.75, 0.9);
}

fn fuse_styles(circuit: &Solved) {
    circuit.is_healthy();
    let mut drops = Vec::new();
    for (fuse, lamp) in [
        ("blade", "lamp-1"),
        ("mini-blade", "lamp-2"),
        ("high-current-blade", "lamp-3"),
        ("glass", "lamp-4"),
        ("slow-glass", "lamp-5"),
    ] {
        within(circuit.amps("on", lamp), 0.8, 0.9);
        within(circuit.fuse_a("on", fuse), 0.8, 0.9);
        drops.push(circuit.between("on", &format!("{fuse}.in"), &format!("{fuse}.out")));
    }
    drops.sort_by(f64::total_cmp);
    assert!(drops[0] > 1e-3, "{drops:?}");
    assert!(
        drops.windows(2).all(|pair| pair[1] > 1.1 * pair[0]),
        "{drops:?}"
    );
}

fn lamp(circuit: &Solved) {
    assert_eq!(circuit.violations(), []);
    within(circuit.amps("alone", "small"), 0.75, 0.9);
    within(circuit.amps("alone", "big"), 4.0, 5.0);
    let whole =
        circuit.volts("in-series", "small-first") + circuit.volts("in-series", "big-second");
    within(circuit.volts("in-series", "small-first") / whole, 0.85, 1.0);
    let hot = circuit.volts("alone", "big") / circuit.amps("alone", "big");
    let cold = circuit.volts("in-series", "big-second") / circuit.amps("in-series", "big-second");
    within(cold / hot, 0.05, 0.6);
}

fn loads_by_class(circuit: &Solved) {
    circuit.is_healthy();
    within(circuit.fuse_a("on", "main"), 7.0, 10.0);
    let loads = circuit.state("on").parts.values();
    let fed = loads.filter(|part| part.kind == PartKind::Load && part.current_a.unwrap() > 0.01);
    assert_eq!(fed.count(), 7);
}

fn other_battery(circuit: &Solved) {
    circuit.is_healthy();
    within(circuit.amps("on", "display"), 2.2, 2.4);
    within(circuit.volts("on", "display"), 12.9, 13.25);
}

fn plug(circuit: &Solved) {
    circuit.is_healthy();
    nothing(circuit.battery_a("off", "battery"));
    within(circuit.amps("on", "lift-pump"), 1.5, 1.7);
    within(circuit.amps("on", "horn"), 0.02, 0.06);
    for pin in ["feed", "ground"] {
        let half = format!("engine-plug.{pin}");
        let lost = circuit.between("on", &half, &format!("{half}.from"));
        within(lost.abs(), 2e-3, 9e-3);
    }
}

fn pump_conditions(circuit: &Solved) {
    circuit.is_healthy();
    let amps = |state: &str| circuit.amps(state, "fuel-pump");
    let healthy = amps("healthy");
    within(healthy, 4.5, 5.5);
    for state in ["locked", "dragging"] {
        assert!(amps(state) > 1.1 * healthy, "{state}");
    }
    for state in ["dry", "worn"] {
        within(amps(state), 0.1, 0.95 * healthy);
    }
    nothing(amps("open"));
    for state in &circuit.states {
        assert_eq!(state.what_if, state.name != "healthy", "{}", state.name);
    }
    // Each what-if state is named by a note of its own.
    let notes = circuit
        .findings
        .iter()
        .filter(|f| f.code.name() == "state-not-judged");
    let named: Vec<&str> = notes.filter_map(|note| note.state.as_deref()).collect();
    assert_eq!(named, ["locked", "dragging", "dry", "worn", "open"]);
}

fn relay_click(circuit: &Solved) {
    circuit.is_healthy();
    nothing(circuit.battery_a("off", "battery"));
    assert!(!circuit.pulled_in("off", "relay") && circuit.pulled_in("on", "relay"));
    within(circuit.amps("on", "lamp"), 4.0, 5.0);
    let coil = circuit.battery_a("on", "battery") - circuit.amps("on", "lamp");
    within(coil, 0.13, 0.18);
}

fn relay_diode_reversed(circuit: &Solved) {
    let violations = circuit.violations();
    assert!(violations.contains(&("relay-coil-reversed", "relay")));
    assert!(violations.contains(&("fuse-above-rating", "control")));
    assert!(circuit.fuse_a("on", "control") > 5.0 * 5.0);
    assert!(!circuit.pulled_in("on", "relay"));
    nothing(circuit.amps("on", "lamp"));
}

fn relay_hot_coil(circuit: &Solved) {
    assert_eq!(circuit.violations(), []);
    assert!(circuit.pulled_in("on", "relay"));
    assert!(circuit.pulled_in("weak", "relay") && !circuit.pulled_in("weak-cold", "relay"));
    let relay = &circuit.state("weak").relays["relay"];
    within(relay.coil_v.unwrap(), 8.5, 9.5);
    assert!(relay.drop_out_v < 8.5 && relay.pull_in_v > 9.5);
    let notes = circuit.found(ampkeel::findings::Severity::Note);
    assert!(notes.contains(&("relay-holds-only", "relay")));
    assert!(
        circuit
            .cautions()
            .contains(&("relay-not-pulled-in", "relay"))
    );
}

fn reversed_battery(circuit: &Solved) {
    let violations = circuit.violations();
    assert!(violations.contains(&("polarity-reversed", "bilge-pump")));
    assert!(violations.contains(&("fuse-above-rating", "main")));
    // A filament has no plus and minus.
    assert!(!violations.contains(&("polarity-reversed", "lamp")));
    assert!(circuit.amps("on", "lamp") < -0.3 && circuit.volts("on", "bilge-pump") < -1.0);
    assert!(circuit.state("on").fuses["main"].load_pct > 300.0);
}

fn selector(circuit: &Solved) {
    circuit.is_healthy();
    nothing(circuit.fuse_a("off", "key-fuse"));
    within(circuit.amps("run", "gauge"), 0.25, 0.35);
    nothing(circuit.amps("run", "starter"));
    let coil = circuit.fuse_a("start", "key-fuse") - circuit.amps("start", "gauge");
    within(coil, 2.0, 3.0);
    assert!(!circuit.pulled_in("run", "solenoid") && circuit.pulled_in("start", "solenoid"));
}

fn solenoids(circuit: &Solved) {
    circuit.is_healthy();
    within(circuit.amps("on", "primer"), 2.8, 3.2);
    within(circuit.amps("on", "choke"), 1.1, 1.3);
    within(circuit.amps("on", "injector"), 0.8, 1.0);
    within(circuit.amps("on", "fuel-valve"), 0.9, 1.1);
}

fn starter(circuit: &Solved) {
    circuit.is_healthy();
    within(circuit.amps("cranking", "starter"), 120.0, 140.0);
    assert!(circuit.battery_v("cranking", "battery") > 10.0);
    assert!(circuit.volts("cranking", "starter") >= 9.5);
    nothing(circuit.battery_a("rest", "battery"));
}

fn trim_two_field(circuit: &Solved) {
    circuit.is_healthy();
    let wire = |state: &str, field: &str| {
        let end = format!("trim-motor.{field}");
        let mut wires = circuit.state(state).wires.iter();
        let wire = wires.find(|wire| wire.to == end || wire.from == end);
        wire.expect("a wire").current_a.abs()
    };
    for (state, fed, other) in [("up", "up", "down"), ("down", "down", "up")] {
        within(wire(state, fed), 13.0, 15.0);
        nothing(wire(state, other));
    }
    nothing(circuit.battery_a("rest", "battery"));
}

fn two_batteries(circuit: &Solved) {
    circuit.is_healthy();
    nothing(circuit.battery_a("apart", "full"));
    within(circuit.battery_a("apart", "flat"), 1.5, 1.8);
    let charge = -circuit.battery_a("joined", "flat");
    within(charge, 2.0, 5.0);
    let given = circuit.battery_a("joined", "full");
    let lamp = circuit.amps("joined", "lamp");
    within(given - charge - lamp, -1e-6, 1e-6);
}
