//! `solve --json`: keys and types as programs may rely on them.

use std::path::Path;

use serde_json::{Map, Value};

use super::{json, run};

/// What a key may hold.
#[derive(Debug, Clone, Copy)]
enum Holds {
    Number,
    /// `null` where not connected, off, or in no table.
    NumberOrNull,
    Text,
    TextOrNull,
    Flag,
    /// `null` for a relay that chatters.
    FlagOrNull,
    /// Objects by name.
    Named,
    List,
}

use Holds::{Flag, FlagOrNull, List, Named, Number, NumberOrNull, Text, TextOrNull};

impl Holds {
    fn allows(self, value: &Value) -> bool {
        match self {
            Number => value.is_number(),
            NumberOrNull => value.is_number() || value.is_null(),
            Text => value.is_string(),
            TextOrNull => value.is_string() || value.is_null(),
            Flag => value.is_boolean(),
            FlagOrNull => value.is_boolean() || value.is_null(),
            Named => value.is_object(),
            List => value.is_array(),
        }
    }
}

/// Keys with their types, the contract's and those added since.
type Keys = &'static [(&'static str, Holds)];

const ANSWER: Keys = &[
    ("format", Number),
    ("command", Text),
    ("findings", List),
    ("assumed", List),
    ("sources", List),
    ("states", List),
];
const FINDING: Keys = &[
    ("code", Text),
    ("severity", Text),
    ("subject", Text),
    ("state", TextOrNull),
    ("statement", Text),
    ("hint", TextOrNull),
    ("value", NumberOrNull),
    ("limit", NumberOrNull),
    ("unit", TextOrNull),
    ("sizing_can_mend", Flag),
    ("line", NumberOrNull),
    ("column", NumberOrNull),
    ("sources", List),
];
const STATE: Keys = &[
    ("name", Text),
    ("terminals_v", Named),
    ("parts", Named),
    ("wires", List),
    ("fuses", Named),
    ("relays", Named),
    ("batteries", Named),
    ("residual_a", Number),
    // Added.
    ("what_if", Flag),
    ("chargers", Named),
    ("ladders", Named),
];
const PART: Keys = &[
    ("kind", Text),
    ("voltage_v", NumberOrNull),
    ("current_a", NumberOrNull),
    ("drop_v", NumberOrNull),
    ("rule_drop_v", NumberOrNull),
    ("rule_drop_pct", NumberOrNull),
    ("limit_pct", NumberOrNull),
    // Added.
    ("speed_rpm", NumberOrNull),
];
const WIRE: Keys = &[
    ("name", TextOrNull),
    ("from", Text),
    ("to", Text),
    ("size", Text),
    ("current_a", Number),
    ("drop_v", Number),
    ("temperature_degc", Number),
    ("ampacity_a", NumberOrNull),
    // Added.
    ("rms_a", Number),
];
const FUSE: Keys = &[
    ("current_a", Number),
    ("rating_a", Number),
    ("load_pct", Number),
];
const RELAY: Keys = &[
    ("coil_v", NumberOrNull),
    ("pulled_in", FlagOrNull),
    // Added.
    ("pull_in_v", Number),
    ("drop_out_v", Number),
];
const BATTERY: Keys = &[("voltage_v", Number), ("current_a", Number)];
const CHARGER: Keys = &[("current_a", Number)];
const LADDER: Keys = &[("supply", Text), ("feed", List), ("return", List)];
const RUNG: Keys = &[("what", Text), ("drop_v", Number), ("current_a", Number)];

#[track_caller]
fn has_keys(value: &Value, keys: Keys) {
    let object = value.as_object().expect("an object");
    let mut found: Vec<&str> = object.keys().map(String::as_str).collect();
    let mut wanted: Vec<&str> = keys.iter().map(|(key, _)| *key).collect();
    found.sort_unstable();
    wanted.sort_unstable();
    assert_eq!(found, wanted);
    for (key, holds) in keys {
        assert!(holds.allows(&object[*key]), "{key}: {}", object[*key]);
    }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn named(value: &Value) -> &Map<String, Value> {
    value.as_object().expect("objects by name")
}

fn solved(circuit: &str) -> Value {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = root.join("circuits").join(format!("{circuit}.toml"));
    json(&run(&["solve", "--json", path.to_str().expect("path")]))
}

const CIRCUITS: [&str; 8] = [
    "gabbro-injected-outboard",
    "gneiss-inboard-diesel",
    "schist-console-boat",
    "devices/breaker",
    "devices/charger",
    "devices/chattering-relay",
    "devices/floating-part",
    "devices/two-batteries",
];

#[test]
fn every_object_has_exactly_the_promised_keys() {
    let mut rungs = 0;
    for circuit in CIRCUITS {
        let answer = solved(circuit);
        has_keys(&answer, ANSWER);
        assert_eq!(answer["command"], "solve");
        for finding in list(&answer["findings"]) {
            has_keys(finding, FINDING);
        }
        for state in list(&answer["states"]) {
            has_keys(state, STATE);
            for volts in named(&state["terminals_v"]).values() {
                assert!(NumberOrNull.allows(volts), "{volts}");
            }
            for wire in list(&state["wires"]) {
                has_keys(wire, WIRE);
            }
            for (key, keys) in [
                ("parts", PART),
                ("fuses", FUSE),
                ("relays", RELAY),
                ("batteries", BATTERY),
                ("chargers", CHARGER),
                ("ladders", LADDER),
            ] {
                for object in named(&state[key]).values() {
                    has_keys(object, keys);
                }
            }
            for ladder in named(&state["ladders"]).values() {
                for rung in list(&ladder["feed"]).iter().chain(list(&ladder["return"])) {
                    has_keys(rung, RUNG);
                    rungs += 1;
                }
            }
        }
    }
    assert!(rungs > 100, "{rungs} rungs only");
}

#[test]
fn names_are_those_of_the_file() {
    let answer = solved("devices/breaker");
    let state = &answer["states"][0];
    assert_eq!(state["name"], "on");
    assert!(state["terminals_v"]["washdown-breaker.in"].is_number());
    // Breakers stand among the fuses, blocks' fuses as BLOCK.SLOT.
    assert_eq!(state["fuses"]["washdown-breaker"]["rating_a"], 15.0);
    assert_eq!(state["parts"]["washdown"]["kind"], "pump");
    let boat = solved("schist-console-boat");
    let fuses = named(&boat["states"][0]["fuses"]);
    assert!(fuses.keys().any(|name| name.contains('.')), "{fuses:?}");
}

#[test]
fn what_is_not_connected_is_null_and_what_chatters_too() {
    let answer = solved("devices/floating-part");
    let dark = &answer["states"][0];
    assert!(dark["terminals_v"]["anchor-light.plus"].is_null());
    for key in [
        "voltage_v",
        "current_a",
        "drop_v",
        "rule_drop_v",
        "rule_drop_pct",
    ] {
        assert!(dark["parts"]["anchor-light"][key].is_null(), "{key}");
    }
    assert!(dark["terminals_v"]["battery.plus"].is_number());
    let chatter = solved("devices/chattering-relay");
    assert!(chatter["states"][0]["relays"]["relay"]["pulled_in"].is_null());
}

#[test]
fn states_stand_in_file_order_and_wires_sorted_by_their_ends() {
    let answer = solved("devices/floating-part");
    let names: Vec<&str> = list(&answer["states"])
        .iter()
        .map(|state| state["name"].as_str().expect("a name"))
        .collect();
    assert_eq!(names, ["dark", "half", "lit"]);
    for circuit in CIRCUITS {
        for state in list(&solved(circuit)["states"]) {
            let ends = |wire: &Value| {
                let end = |key: &str| wire[key].as_str().expect("a label").to_owned();
                (end("from"), end("to"))
            };
            let wires: Vec<(String, String)> = list(&state["wires"]).iter().map(ends).collect();
            assert!(wires.is_sorted(), "{circuit}: {wires:?}");
        }
    }
}

#[test]
fn one_state_alone_is_the_same_object() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = root.join("circuits/devices/selector.toml");
    let path = path.to_str().expect("path");
    let all = json(&run(&["solve", "--json", path]));
    let one = json(&run(&["solve", "--json", "--state", "run", path]));
    assert_eq!(list(&one["states"]).len(), 1);
    assert_eq!(one["states"][0], all["states"][1]);
}
