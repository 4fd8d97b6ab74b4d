//! `fuse` as people run it.

use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .arg("fuse")
        .args(arguments)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .output()
        .expect("runs")
}

fn json(arguments: &[&str]) -> serde_json::Value {
    let mut all = arguments.to_vec();
    all.push("--json");
    serde_json::from_slice(&run(&all).stdout).expect("JSON")
}

const TWENTY: [&str; 4] = ["--style", "blade", "--rating", "20A"];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    TWENTY.iter().chain(more).copied().collect()
}

#[test]
fn the_caution_comes_first_and_nothing_is_guaranteed() {
    for more in [&["--current", "40A"][..], &[], &["--wire", "14 AWG"]] {
        let output = run(&with(more));
        let text = String::from_utf8(output.stdout).expect("text");
        assert!(text.starts_with("CAUTION"), "{text}");
        assert!(text.contains("recalled gates"), "{text}");
        assert!(!text.to_lowercase().contains("guarant"), "{text}");
        assert!(!text.contains("fit a larger fuse;"), "{text}");
    }
}

#[test]
fn json_times_and_null_for_never() {
    let object = json(&with(&["--current", "40A"]));
    assert_eq!(object["opens_latest_s"], 5.0);
    assert_eq!(object["opens_earliest_s"], 0.15);
    let holds = json(&with(&["--current", "20A"]));
    for key in ["opens_earliest_s", "opens_middle_s", "opens_latest_s"] {
        assert!(holds.as_object().expect("keys").contains_key(key));
        assert!(holds[key].is_null(), "{key}");
    }
    assert!(json(&with(&["--current", "24A"]))["opens_latest_s"].is_null());
    assert_eq!(
        json(&TWENTY)["openings"].as_array().expect("a list").len(),
        10
    );
}

#[test]
fn a_fuse_too_large_for_its_wire_is_a_violation() {
    let forty = ["--style", "blade", "--rating", "40A", "--wire", "16 AWG"];
    let output = run(&forty);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(json(&forty)["findings"][0]["code"], "fuse-above-wire");
    // 14 AWG carries 20 A at 60 degC: 25 A is above it, 150 % is 30 A.
    let between = ["--style", "blade", "--rating", "25A", "--wire", "14 AWG"];
    assert_eq!(run(&between).status.code(), Some(0));
    let object = json(&between);
    assert_eq!(object["findings"][0]["code"], "fuse-above-wire-practice");
    assert_eq!(
        object["wire"]["settles"].as_array().expect("a list").len(),
        2
    );
    assert_eq!(object["wire"]["fuses"].as_array().expect("a list").len(), 4);
}

#[test]
fn bad_input_says_what_to_type() {
    let cases: [(&[&str], &str); 6] = [
        (
            &["--style", "blade", "--rating", "17A"],
            "are made in 1, 2, 3",
        ),
        (&["--style", "blades", "--rating", "20A"], "'blade'"),
        (&["--style", "blade", "--rating", "20"], "like \"20 A\""),
        (
            &["--style", "blade", "--rating", "20A", "--wire", "14"],
            "\"14 AWG\"",
        ),
        (
            &[
                "--style",
                "blade",
                "--rating",
                "20A",
                "--ambient",
                "500degC",
            ],
            "-40 to 150",
        ),
        (
            &["--style", "blade", "--rating", "20A", "--place", "bench"],
            "--wire <SIZE>",
        ),
    ];
    for (arguments, wanted) in cases {
        let output = run(arguments);
        let talk = String::from_utf8(output.stderr.clone()).expect("text");
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(talk.contains(wanted), "{arguments:?}: {talk}");
    }
}

/// Blade fuses break 1000 A (ISO 8820): what is above may not clear.
#[test]
fn a_current_above_the_breaking_capacity_is_not_said_to_be_opened() {
    let output = Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args([
            "fuse",
            "--style",
            "blade",
            "--rating",
            "20A",
            "--current",
            "1500A",
        ])
        .output()
        .expect("runs");
    let text = String::from_utf8(output.stdout).expect("text");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("may not clear the fault and may burst"),
        "{flat}"
    );
    assert!(!flat.contains("it opens between"), "{flat}");
}

#[test]
fn options_of_pulses_are_refused_beside_a_constant_current() {
    let output = run(&[
        "--style",
        "blade",
        "--rating",
        "20A",
        "--current",
        "40A",
        "--warm",
        "15A",
    ]);
    assert_eq!(output.status.code(), Some(2));
}

/// The chart of pulses: 22 % of the melting heat at 100 000 of them, 48 % at 100.
#[test]
fn pulses_that_hold_once_but_wear_the_element_out_are_told() {
    let pulse = |rounds: &str| {
        let args = [
            "--style",
            "blade",
            "--rating",
            "20A",
            "--pulse",
            "4x for 25ms",
        ];
        let args = [&args[..], &["--repeat", rounds, "--every", "10s"]].concat();
        let screen = String::from_utf8(run(&args).stdout).expect("text");
        let words: Vec<&str> = screen.split_whitespace().collect();
        (json(&args), words.join(" "))
    };
    let (object, screen) = pulse("100000");
    assert!(screen.contains("such pulses wear it out"), "{screen}");
    let share = object["instances"][1]["matched"]["heat_share"]
        .as_f64()
        .expect("a share");
    assert!((0.22..0.48).contains(&share), "{share}");
    let count = object["rounds_before_fatigue"].as_f64().expect("a count");
    assert!((100.0..100_000.0).contains(&count), "{count}");
    assert!(!pulse("2").1.contains("wear it out"));
}
