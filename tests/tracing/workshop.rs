//! Cases as a workshop brings them: a log, a boat, and the cause that was found.

use super::command::{run, temporary};
use serde_json::Value;

/// What `trace` says of a log about a boat.
fn traced(boat: &str, name: &str, log: &str) -> Value {
    let output = said(boat, name, log);
    serde_json::from_slice(&output.stdout).expect("JSON")
}

fn said(boat: &str, name: &str, log: &str) -> std::process::Output {
    let path = temporary(&format!("workshop-{name}.toml"));
    std::fs::write(&path, format!("format = 1\n{log}")).expect("written");
    let boat = format!("circuits/{boat}.toml");
    run(&["trace", &boat, "--json", "--log", &path], "")
}

fn statement(found: &Value) -> &str {
    found["statement"].as_str().expect("a statement")
}

/// Place of a cause among the causes, the first is 1.
fn rank(found: &Value, cause: &str, subject: Option<&str>) -> usize {
    let causes = found["causes"].as_array().expect("causes");
    let is_it = |one: &Value| {
        one["cause"] == cause && subject.is_none_or(|subject| one["subject"] == subject)
    };
    causes
        .iter()
        .position(is_it)
        .map_or(usize::MAX, |at| at + 1)
}

fn tests(found: &Value) -> &[Value] {
    found["next_tests"].as_array().expect("tests")
}

const SEIZED: &str = r#"
complaint = "fuse-opens"
fuse = "engine-fuses.fuel"
states = ["key-on"]
after = ["storage"]
opens-after = "3 s"
element = "clean-gap"
[[test]]
test = "unplug"
at = "high-pressure"
outcome = "clears"
[[test]]
test = "direct"
at = "high-pressure"
outcome = "silent"
"#;

#[test]
fn faults_of_one_part_are_as_good_as_found_together_for_the_part_is_changed() {
    let found = traced("gabbro-injected-outboard", "seized", SEIZED);
    assert_eq!(rank(&found, "locked-motor", Some("high-pressure")), 1);
    let said = statement(&found);
    assert!(said.contains("almost surely"), "{said}");
    let stop = found["stop"].as_str().expect("when to stop");
    assert!(stop.starts_with("Stop here"), "{stop}");
    let settled = found["plan"]["settled"].as_f64().expect("a share");
    assert!(settled > 0.5, "{settled}");
}

#[test]
fn a_cause_that_leaves_something_told_unexplained_is_never_almost_sure() {
    // Plus on both leads of a dead light: its return is open behind it.
    let log = r#"
complaint = "load-dead"
loads = ["stern-light"]
states = ["night"]
works = ["bow-light"]
[[reading]]
at = "stern-light.plus"
quantity = "volts"
value = "12.8 V"
state = "night"
[[reading]]
at = "stern-light.minus"
quantity = "volts"
value = "12.4 V"
state = "night"
"#;
    let found = traced("flint-carburetted-two-stroke", "return", log);
    let said = statement(&found);
    let is_sure = said.contains("almost surely");
    assert!(!(is_sure && said.contains("it does not explain")), "{said}");
    // Read with the engine off, in a state in which it charges: the light's own return.
    let first = &found["causes"][0];
    let subject = first["subject"].as_str().expect("a place");
    assert!(subject.contains("stern-light"), "{first}");
}

#[test]
fn a_drain_is_looked_for_with_everything_off_though_the_file_has_no_such_state() {
    let log = "complaint = \"drain\"\n[[reading]]\nat = \"bilge\"\nquantity = \"amps\"\nvalue = \"3 A\"\n";
    let found = traced("gneiss-inboard-diesel", "drain", log);
    // A lead is taken off no battery while an engine charges it.
    for test in tests(&found) {
        let state = test["state"].as_str();
        assert!(state.is_none_or(|state| state == "off"), "{test}");
    }
    for cause in found["causes"].as_array().expect("causes") {
        let why = cause["because"].as_str().expect("why");
        assert!(!why.starts_with('-'), "{cause}");
    }
    assert!(
        found["causes"][0]["subject"]
            .as_str()
            .expect("a place")
            .contains("float")
    );
}

#[test]
fn only_what_is_made_to_run_on_a_battery_is_put_on_one() {
    let of_the_main = "complaint = \"fuse-opens\"\nfuse = \"main\"\nstates = [\"off\"]\n";
    let weak = "complaint = \"load-weak\"\nload = \"starter\"\nstates = [\"start\"]\n";
    let dead = "complaint = \"load-dead\"\nloads = [\"coil-1\", \"injector-1\", \"ecu\"]\nstates = [\"idle\"]\n";
    for (name, log) in [("of-main", of_the_main), ("weak", weak), ("dead", dead)] {
        let found = traced("gabbro-injected-outboard", name, log);
        for test in tests(&found).iter().filter(|test| test["test"] == "direct") {
            let at = test["at"].as_str().expect("a place");
            let pumps = ["high-pressure", "lift"];
            assert!(pumps.iter().any(|pump| at.contains(pump)), "{name}: {test}");
        }
    }
}

#[test]
fn a_melted_holder_explains_a_fuse_that_opens_at_little_current() {
    let log = r#"
complaint = "fuse-opens"
fuse = "charge-fuse"
states = ["running"]
when = ["hot"]
opens-after = "40 min"
element = "melted-body"
[[reading]]
at = "charge-fuse"
quantity = "millivolts"
value = "500 mV"
state = "running"
"#;
    let found = traced("marl-tiller-9hp", "holder", log);
    assert_eq!(
        rank(&found, "fuse-holder", Some("charge-fuse")),
        1,
        "{}",
        found["causes"]
    );
}

#[test]
fn a_stop_line_at_ground_silences_coils_and_injectors_that_are_fed() {
    let log = r#"
complaint = "load-dead"
loads = ["coil-1", "coil-2", "coil-3", "injector-1", "injector-2", "injector-3"]
states = ["start"]
works = ["starter", "high-pressure", "gauges"]
[[reading]]
at = "key.m"
quantity = "volts"
value = "0 V"
state = "key-on"
"#;
    let found = traced("gabbro-injected-outboard", "stop", log);
    assert!(rank(&found, "stop-line", None) <= 3, "{}", found["causes"]);
}

#[test]
fn a_fuse_much_smaller_than_the_file_says_is_thought_of() {
    let log = r#"
complaint = "fuse-opens"
fuse = "console.lights"
states = ["night"]
opens-after = "5 s"
element = "clean-gap"
after = ["work"]
altered = ["console.lights"]
[[reading]]
at = "console.lights"
quantity = "amps"
value = "2.0 A"
state = "night"
"#;
    let found = traced("schist-console-boat", "small", log);
    assert!(
        rank(&found, "wrong-fuse", Some("console.lights")) <= 3,
        "{}",
        found["causes"]
    );
}

#[test]
fn a_battery_connected_backwards_is_no_first_thought_where_nobody_connected_one() {
    let log = "complaint = \"fuse-opens\"\nfuse = \"main\"\nstates = [\"off\"]\n";
    let found = traced("gabbro-injected-outboard", "quiet", log);
    assert!(
        rank(&found, "reversed-polarity", None) > 1,
        "{}",
        found["causes"]
    );
}

#[test]
fn volts_told_of_a_battery_are_not_asked_for_again_at_its_post() {
    let log = r#"
complaint = "load-weak"
load = "starter"
states = ["start"]
[[reading]]
at = "small-battery"
quantity = "volts"
value = "8.0 V"
state = "start"
"#;
    let found = traced("marl-tiller-9hp", "told", log);
    for test in tests(&found) {
        let again = test["test"] == "reading" && test["at"] == "small-battery.plus";
        assert!(!again, "{test}");
    }
}

#[test]
fn misspelt_keys_of_readings_tests_and_signs_are_refused_with_the_right_ones() {
    let log = r#"
complaint = "fuse-opens"
fuse = "main"
when = ["cranking"]
signs = [{ at = "key", sign = "burnt", wehn = "off" }]
[[reading]]
at = "key.m"
quantity = "volts"
value = "0 V"
stat = "key-on"
[[test]]
test = "lamp"
at = "main"
outcome = "bright"
sate = "off"
"#;
    let output = said("gabbro-injected-outboard", "keys", log);
    assert_eq!(output.status.code(), Some(2));
    let all = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    for hint in [
        "a reading has no `stat`",
        "did you mean `state`?",
        "a test has no `sate`",
        "a sign has no `wehn`",
        "did you mean `start`?",
        "did you mean `melted`?",
    ] {
        assert!(all.contains(hint), "{hint}:\n{all}");
    }
}
