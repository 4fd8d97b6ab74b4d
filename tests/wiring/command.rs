//! `wire` as people run it.

use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .arg("wire")
        .args(arguments)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .output()
        .expect("runs")
}

fn shown(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

const PUMP: [&str; 4] = ["--current", "6A", "--length", "14ft"];

#[test]
fn the_first_line_says_one_way() {
    let output = run(&PUMP);
    let text = shown(&output);
    assert_eq!(output.status.code(), Some(0), "{text}");
    let first: String = text.lines().take(2).collect::<Vec<_>>().join(" ");
    assert!(first.contains("one way, the return as long"), "{first}");
    assert!(text.contains("12 AWG, decided by the volts lost"), "{text}");
    assert!(text.contains("insulation 60 \u{b0}C"), "{text}");
}

#[test]
fn json_has_its_keys() {
    let mut arguments = PUMP.to_vec();
    arguments.extend(["--start", "25A", "--json"]);
    let output = run(&arguments);
    let object: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(object["choice"], "12 AWG");
    assert_eq!(object["binding"], "drop");
    let candidates = object["candidates"].as_array().expect("a list");
    assert_eq!(candidates.len(), 15);
    for key in [
        "rule_drop_v",
        "rule_drop_pct",
        "drop_v",
        "ampacity_a",
        "start_drop_v",
    ] {
        assert!(candidates[3][key].is_number(), "{key}");
    }
    // 10.75 x 25 A x 28 ft / 6530 cmil.
    let start_v = candidates[3]["start_drop_v"].as_f64().expect("volts");
    assert!((start_v - 1.152).abs() < 0.002, "{start_v}");
    assert_eq!(candidates[3]["ok"], true);
    assert_eq!(object["fuses"].as_array().expect("a list").len(), 4);
    assert_eq!(object["fuse_least_a"], 7.5);
}

#[test]
fn no_size_is_a_violation() {
    let output = run(&["--current", "900A", "--length", "100ft", "--json"]);
    let object: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(output.status.code(), Some(1));
    assert!(object["choice"].is_null());
    assert_eq!(object["findings"][0]["code"], "no-size-fits");
}

#[test]
fn bad_input_says_what_to_type() {
    let cases: [(&[&str], &str); 8] = [
        (&["--current", "6", "--length", "14ft"], "like \"6 A\""),
        (
            &["--current", "6V", "--length", "14ft"],
            "V measures voltage",
        ),
        (&["--current", "-6A", "--length", "14ft"], "not above zero"),
        (
            &["--current", "6A", "--length", "14,5ft"],
            "write \"14.5 ft\"",
        ),
        (
            &["--current", "6A", "--length", "14ft", "--limit", "3"],
            "\"3 %\" or volts",
        ),
        (
            &["--current", "6A", "--length", "14ft", "--supply", "120V"],
            "under 50 V",
        ),
        (
            &[
                "--current",
                "6A",
                "--length",
                "14ft",
                "--insulation",
                "50degC",
            ],
            "listed at 60, 75",
        ),
        (&["--length", "14ft"], "--current <AMPERES>"),
    ];
    for (arguments, wanted) in cases {
        let output = run(arguments);
        let talk = String::from_utf8(output.stderr.clone()).expect("text");
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(talk.contains(wanted), "{arguments:?}: {talk}");
    }
}
