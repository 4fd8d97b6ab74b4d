//! Pulses as people ask for them. The physics is held in `heating`.

use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args(["fuse", "--style", "blade", "--rating", "20A"])
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

/// `fuses.md` 5.4 (5), passive network: nominal at 0.12 s, late holds at 0.46;
/// by Runge-Kutta in `heating::duties` early opens at 25 ms.
#[test]
fn the_inrush_that_blows_sometimes_may_open() {
    let object = json(&["--pulse", "6x for 100ms falling to 0.6x"]);
    assert_eq!(object["verdict"], "may open");
    assert!(object["opens_latest_s"].is_null());
    let passive = |at: usize| object["instances"][at]["passive"].clone();
    let opens = |at: usize| passive(at)["opens_s"].as_f64().expect("opens");
    assert!((opens(0) - 0.025).abs() < 5e-4);
    assert!((opens(1) - 0.12).abs() < 0.01);
    let late = passive(2)["heat_share"].as_f64().expect("heat");
    assert!((late - 0.46).abs() < 0.005);
    // The matched clock opens the early instance sooner, never later.
    assert!(object["opens_earliest_s"].as_f64().expect("opens") < opens(0));
}

/// A constant pulse is the gates' own: 2 x, 0.15 s to 5 s.
#[test]
fn a_long_constant_pulse_opens_at_the_gates() {
    let object = json(&["--pulse", "40A for 1min"]);
    assert_eq!(object["verdict"], "opens");
    let at = |key: &str| object[key].as_f64().expect("opens");
    assert!((at("opens_earliest_s") - 0.15).abs() < 1e-6);
    assert!((at("opens_middle_s") - (0.15f64 * 5.0).sqrt()).abs() < 1e-6);
    assert!((at("opens_latest_s") - 5.0).abs() < 1e-5);
    assert_eq!(json(&["--pulse", "2x for 100ms"])["verdict"], "holds");
    assert_eq!(json(&["--pulse", "1.1x"])["verdict"], "holds");
    assert_eq!(json(&["--pulse", "1.2x"])["verdict"], "may open");
}

#[test]
fn rounds_warmth_and_a_bad_holder_only_bring_an_opening_nearer() {
    let round = ["--pulse", "1.5x for 2s", "--repeat", "500", "--every", "8s"];
    let with = |more: &[&str]| {
        let all: Vec<&str> = round.iter().chain(more).copied().collect();
        let object = json(&all);
        let middle = object["opens_middle_s"].as_f64();
        (
            middle.unwrap_or(f64::INFINITY),
            object["instances"][2]["matched"]["heat_share"]
                .as_f64()
                .expect("heat"),
        )
    };
    let plain = with(&[]);
    for more in [
        &["--warm", "0.9x"][..],
        &["--between", "0.6x"],
        &["--holder", "5mohm"],
    ] {
        let found = with(more);
        assert!(
            found.0 <= plain.0 && found.1 > plain.1,
            "{more:?}: {found:?} {plain:?}"
        );
    }
    let replaced = with(&["--warm", "0.9x", "--replaced"]);
    let warm = with(&["--warm", "0.9x"]);
    assert!(replaced.0 >= warm.0 && replaced.0 <= plain.0);
}

#[test]
fn the_screen_names_the_network_and_begins_with_its_caution() {
    let output = run(&["--pulse", "6x for 100ms falling to 0.6x"]);
    let text = String::from_utf8(output.stdout).expect("text");
    assert!(text.starts_with("CAUTION"));
    for words in [
        "may open",
        "matched to the gates",
        "passive",
        "recalled gates",
        "63 %",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(!text.to_lowercase().contains("guarant"));
}

#[test]
fn a_slip_in_the_pulse_says_what_to_type() {
    let cases: [(&[&str], &str); 7] = [
        (&["--pulse", "6 for 1s"], "\"40A\""),
        (&["--pulse", "6x for 1"], "\"100ms\""),
        (&["--pulse", "0x"], "no current flows"),
        (&["--pulse", "6x falling to 1x"], "falls in no time"),
        (&["--pulse", "6x for 1s", "--repeat", "3"], "--every"),
        (&["--pulse", "6x for 9s", "--every", "5s"], "longer than"),
        (&["--pulse", "6x, 2x for 1s"], "only the last step"),
    ];
    for (arguments, wanted) in cases {
        let output = run(arguments);
        let talk = String::from_utf8(output.stderr.clone()).expect("text");
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(talk.contains(wanted), "{arguments:?}: {talk}");
    }
}
