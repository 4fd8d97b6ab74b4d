//! The command, as people run it.

use serde_json::Value;
use std::process::{Command, Output};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("runs")
}

fn talk(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

fn keys(value: &Value) -> Vec<&str> {
    let object = value.as_object().expect("an object");
    object.keys().map(String::as_str).collect()
}

#[test]
fn json_has_the_keys_of_the_contract() {
    let output = run(&["bench", "--example", "high-pressure", "--json"]);
    assert!(output.status.success());
    let answer: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    for key in [
        "format", "command", "findings", "assumed", "sources", "cautions", "steps",
    ] {
        assert!(answer.get(key).is_some(), "{key}");
    }
    assert_eq!(answer["command"], "bench");
    assert!(answer["cautions"].as_array().expect("list").len() > 8);
    let steps = answer["steps"].as_array().expect("list");
    for (number, step) in (1..).zip(steps) {
        assert_eq!(step["number"], number);
        for key in ["number", "action", "expect", "cautions", "stop_if"] {
            assert!(keys(step).contains(&key), "{key}");
        }
        for reading in step["expect"].as_array().expect("list") {
            let wanted = ["quantity", "low", "typical", "high", "unit", "coverage"];
            assert_eq!(keys(reading), wanted);
            if let (Some(low), Some(high)) = (reading["low"].as_f64(), reading["high"].as_f64()) {
                let typical = reading["typical"].as_f64().expect("typical");
                assert!(low <= typical && typical <= high);
            }
        }
    }
}

#[test]
fn a_known_working_point_narrows_the_range() {
    let current = |arguments: &[&str]| {
        let output = run(arguments);
        let answer: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let steps = answer["steps"].as_array().expect("list").clone();
        let all = steps
            .iter()
            .flat_map(|s| s["expect"].as_array().expect("list").clone());
        let reading = all
            .into_iter()
            .find(|r| r["quantity"] == "current")
            .expect("current");
        let figure = |key: &str| reading[key].as_f64().expect("figure");
        (figure("high") - figure("low")) / figure("typical")
    };
    // The example's pump has a working point; its class alone has not.
    let known = current(&["bench", "--example", "high-pressure", "--json"]);
    let class = current(&["bench", "--class", "high-pressure fuel pump", "--json"]);
    assert!(known < 0.6 * class, "{known} {class}");
}

#[test]
fn wrong_questions_are_refused_with_what_would_do() {
    for (arguments, says) in [
        (
            &["bench", "--example", "module"][..],
            "no bench steps for the driver `module`: a module's outputs cannot be judged",
        ),
        (
            &["bench", "--example", "starter", "--inline-fuse", "40A"],
            "through jump cables",
        ),
        (
            &["bench", "--example", "--harness", "--fuse", "mian"],
            "no fuse is called `mian`; this circuit has: engine-fuses.coils",
        ),
        (
            &["bench", "--class", "starter 40 hp", "--lead-size", "18 AWG"],
            "8 AWG at least",
        ),
        (
            &["bench", "--example", "starter", "--harness"],
            "give a file alone",
        ),
        (
            &["bench", "--example", "high-presure"],
            "did you mean `high-pressure`?",
        ),
        (&["bench", "--class", "plugin"], "did you mean `plug-in`?"),
        (
            &["bench", "circuits/basalt-bilge-pump.toml"],
            "give a file and a part",
        ),
        (
            &["bench", "--example", "lift-pump", "--inline-fuse", "6A"],
            "made in 1, 2, 3",
        ),
        (
            &["bench", "--example", "lift-pump", "--battery-volts", "48V"],
            "6 to 16 V",
        ),
        (
            &["bench", "--example", "lift-pump", "--lead-length", "2000 m"],
            "100 m at most",
        ),
        (
            &["bench", "--example", "lift-pump", "--pressure", "99 MPa"],
            "1500 kPa at most",
        ),
        (
            &[
                "bench",
                "--class",
                "bilge pump 500 gal/h",
                "--pressure",
                "50 kPa",
            ],
            "centrifugal",
        ),
        (
            &["bench", "--class", "plug-in", "--pressure", "50 kPa"],
            "has none",
        ),
        (
            &["bench", "--class", "plug-in", "--battery-volts", "12,5V"],
            "12.5",
        ),
        (
            &[
                "bench",
                "--class",
                "rotary lift pump",
                "--meter",
                "clamp",
                "--meter-resistance",
                "0.1 ohm",
            ],
            "a clamp adds none: add `--meter jack`",
        ),
        (
            &[
                "bench",
                "--example",
                "lift-pump",
                "--meter-resistance",
                "0.1 ohm",
            ],
            "add `--meter jack`",
        ),
    ] {
        let output = run(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        let said = talk(&output);
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(says), "{arguments:?}: {flat}");
    }
}

#[test]
fn built_in_circuits_are_named_on_the_first_line() {
    for arguments in [
        &["bench", "--example", "lift-pump"][..],
        &["bench", "--typical", "injected outboard", "lift-pump"],
    ] {
        let output = run(arguments);
        let text = String::from_utf8(output.stdout).expect("text");
        let first = text.lines().next().expect("a line");
        assert!(first.starts_with("answered for"), "{first}");
    }
}

#[test]
fn every_class_and_every_testable_part_has_its_steps() {
    for file in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/circuits")).expect("folder")
    {
        let path = file.expect("entry").path();
        if path.extension().is_none_or(|end| end != "toml") {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("text");
        let circuit: toml::Table = text.parse().expect("TOML");
        for kind in ["pump", "relay"] {
            let parts = circuit.get(kind).and_then(toml::Value::as_table);
            for name in parts.into_iter().flat_map(toml::Table::keys) {
                let file = path.to_str().expect("path");
                let output = run(&["bench", file, name]);
                assert!(output.status.success(), "{file} {name}: {}", talk(&output));
            }
        }
    }
}
