//! Ohms of the harness with things plugged in, judged against the circuit.

use super::command::{json, odds, run, said};
use serde_json::Value;
use std::path::PathBuf;
use std::sync::OnceLock;

/// Invented: behind `main` a heater of 6 ohm and, through its relay, a pump whose
/// winding was measured as 0.5 ohm; behind `lamp` 40 ohm.
const TWO: &str = r#"
format = 1
title = "Tephra: invented"
[battery.b]
minus = "ground"
[stud.ground]
[fuse.main]
style = "blade"
rating = "15 A"
in = "b.plus"
[fuse.lamp]
style = "blade"
rating = "5 A"
in = "b.plus"
[relay.r]
coil = "85 ohm"
suppression = "none"
30 = "main.out"
85 = "ground"
86 = "lamp.out"
[pump.pump]
class = "high-pressure fuel pump"
resistance = "0.5 ohm"
plus = "r.87"
minus = "ground"
[load.heater]
resistance = "6 ohm"
plus = "main.out"
minus = "ground"
[load.signal]
resistance = "40 ohm"
plus = "lamp.out"
minus = "ground"
[state.on]
"#;

/// Written once: another test may be reading it.
fn file() -> PathBuf {
    static MADE: OnceLock<PathBuf> = OnceLock::new();
    let made = MADE.get_or_init(|| {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("ohms");
        std::fs::create_dir_all(&folder).expect("made");
        let file = folder.join("two.toml");
        std::fs::write(&file, TWO).expect("written");
        file
    });
    made.clone()
}

fn asked(more: &[&str]) -> Value {
    let file = file();
    json(&[&[file.to_str().expect("path")][..], more].concat())
}

/// 0.6 ohm through a plugged-in pump is its winding: said so, with what to unplug.
#[test]
fn the_ohms_of_a_plugged_in_pump_are_no_short() {
    let answer = asked(&[
        "--to-ground",
        "main",
        "--ohms",
        "0.7ohm",
        "--leads",
        "0.1ohm",
        "--state",
        "on",
    ]);
    assert!(
        said(&answer).contains("no short in that"),
        "{}",
        said(&answer)
    );
    assert_eq!(answer["conditions"][0]["condition"], "healthy");
    assert!(said(&answer).contains("`pump`"));
    let next = answer["next_reading"].as_str().expect("text");
    assert!(
        next.starts_with("unplug `pump` and measure again: a sound circuit then shows 6.0"),
        "{next}"
    );
}

/// A sound 0.5 ohm winding beside 6 ohm, read through leads that are not nulled:
/// 0.46 ohm and up to 0.3 ohm of leads, so 0.6 ohm proves nothing wrong.
#[test]
fn a_sound_pump_that_reads_0_6_ohm_through_plain_leads_is_not_called_short() {
    let answer = asked(&["--to-ground", "main", "--ohms", "0.6ohm", "--state", "on"]);
    assert!(!said(&answer).contains("a dead short"), "{}", said(&answer));
    assert_eq!(answer["conditions"][0]["condition"], "healthy");
    assert!(odds(&answer, "healthy") > odds(&answer, "short"));
}

/// What the sentence names stands first in the table, and where it names nothing it
/// gives both odds as they stand there.
#[test]
fn sentence_and_odds_of_the_ohms_agree() {
    for ohms in [
        "0.1", "0.3", "0.4", "0.5", "0.6", "0.7", "0.9", "1.5", "4", "30",
    ] {
        let ohms = format!("{ohms}ohm");
        let answer = asked(&["--to-ground", "main", "--ohms", &ohms, "--state", "on"]);
        let first = answer["conditions"][0]["condition"].as_str().expect("text");
        let short = odds(&answer, "short") + odds(&answer, "partial-short");
        let says = said(&answer);
        let named = [
            ("no short in that: ", "healthy"),
            ("a dead short: ", "short"),
            ("a partial short: ", "partial-short"),
            ("damp or a carbon track: ", "leak"),
            ("an open load, plug or wire: ", "open"),
        ];
        match named.iter().find(|(words, _)| says.contains(words)) {
            Some((_, condition)) => assert_eq!(first, *condition, "{ohms}: {says}"),
            None => assert!(
                says.starts_with("not settled") && short > odds(&answer, "healthy")
                    || first == "none-of-these",
                "{ohms}: {says}"
            ),
        }
    }
}

/// By hand: 0.5 ohm and 6 ohm side by side are 0.46 ohm at least; 0.1 ohm is less.
#[test]
fn less_than_the_loads_explain_is_a_short_with_odds() {
    let answer = asked(&[
        "--to-ground",
        "main",
        "--ohms",
        "0.2ohm",
        "--leads",
        "0.1ohm",
        "--state",
        "on",
    ]);
    assert!(
        said(&answer).starts_with("a dead short"),
        "{}",
        said(&answer)
    );
    assert!(odds(&answer, "short") > 0.9);
    // What lies beside: 1 / (1/0.1 - 1/0.46 ... 1/1.5) is 0.11 to 0.13 ohm, the digit added.
    let beside = &answer["estimates"][0];
    let (low, high) = (
        beside["low"].as_f64().expect("low"),
        beside["high"].as_f64().expect("high"),
    );
    assert!(low < 0.12 && 0.12 < high && high < 0.3, "{beside}");
    let sum: f64 = answer["conditions"]
        .as_array()
        .expect("list")
        .iter()
        .map(|c| c["probability"].as_f64().expect("odds"))
        .sum();
    assert!((sum - 1.0).abs() < 1e-9);
}

/// With the pump unplugged the heater alone is left; 0.6 ohm is then a short.
#[test]
fn what_is_unplugged_no_longer_explains_the_ohms() {
    let common = [
        "--to-ground",
        "main",
        "--state",
        "on",
        "--unplugged",
        "pump",
        "--leads",
        "0.1ohm",
    ];
    let heater = asked(&[&common[..], &["--ohms", "6.1ohm"]].concat());
    assert!(
        said(&heater).contains("no short in that"),
        "{}",
        said(&heater)
    );
    assert!(said(&heater).contains("`heater`") && !said(&heater).contains("`pump`"));
    let low = asked(&[&common[..], &["--ohms", "0.4ohm"]].concat());
    assert!(
        said(&low).starts_with("a dead short") || said(&low).contains("a partial short"),
        "{}",
        said(&low)
    );
    assert!(odds(&low, "healthy") < 0.01);
}

#[test]
fn an_open_reading_where_loads_should_show_is_an_open_way() {
    let answer = asked(&["--to-ground", "lamp", "--ohms", "85ohm"]);
    // Coil of 85 ohm and signal of 40 ohm: 27 ohm; 85 ohm is the coil alone.
    assert!(
        said(&answer).contains("an open load, plug or wire"),
        "{}",
        said(&answer)
    );
    let whole = asked(&["--to-ground", "lamp", "--ohms", "27.5ohm"]);
    assert_eq!(whole["conditions"][0]["condition"], "healthy");
}

#[test]
fn a_bridged_relay_that_was_not_told_is_asked_for() {
    let answer = asked(&["--to-ground", "main", "--ohms", "0.9ohm"]);
    let notes = answer["notes"].to_string();
    assert!(notes.contains("add `--state on`"), "{notes}");
}

#[test]
fn ohms_across_a_part_plugged_in_count_what_lies_beside_it() {
    // By hand: signal 40 ohm, coil some 88 ohm and, through both fuses, heater 6 ohm
    // are 4.9 ohm; without the heater 27.5 ohm.
    let first = |ohms: &str| {
        let answer = asked(&["signal", "--plugged-in", "--ohms", ohms]);
        answer["conditions"][0]["condition"].clone()
    };
    assert_eq!(first("5.1ohm"), "healthy");
    assert_eq!(first("2ohm"), "partial-short");
    assert_eq!(first("27.5ohm"), "open");
}

#[test]
fn cautions_stand_before_the_answer_and_wrong_questions_are_refused() {
    let path = file();
    let file = path.to_str().expect("path");
    let output = run(&[file, "--to-ground", "main", "--ohms", "0.7ohm"]);
    let text = String::from_utf8(output.stdout).expect("text");
    assert!(text.find("CAUTION").expect("cautions") < text.find("odds").expect("odds"));
    assert!(text.starts_with("readings of ohms from the load side of `main`, this fuse"));
    for (more, says) in [
        (
            &["--to-ground", "man", "--ohms", "1ohm"][..],
            "did you mean `main`?",
        ),
        (&["--to-ground", "main"], "give one reading, the ohms"),
        (
            &["--to-ground", "main", "--ohms", "1ohm", "--amps", "1A"],
            "give one reading, the ohms",
        ),
        (
            &[
                "--to-ground",
                "main",
                "--ohms",
                "1ohm",
                "--unplugged",
                "pmup",
            ],
            "did you mean `pump`?",
        ),
        (
            &["pump", "--ohms", "1ohm", "--unplugged", "heater"],
            "goes with `--to-ground` or `--plugged-in`",
        ),
        (
            &["--to-ground", "main", "--ohms", "1ohm", "--leads", "30ohm"],
            "no pair of leads",
        ),
        (
            &["--to-ground", "main", "--ohms", "1ohm", "--state", "onn"],
            "did you mean `on`?",
        ),
        (&["b", "--plugged-in", "--ohms", "1ohm"], "`b` is a battery"),
        (
            &["pump", "--to-ground", "main", "--ohms", "1ohm"],
            "give a file alone",
        ),
    ] {
        let output = run(&[&[file][..], more].concat());
        assert_eq!(output.status.code(), Some(2), "{more:?}");
        let said = String::from_utf8(output.stderr).expect("text");
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(says), "{more:?}: {flat}");
    }
}
