//! The command, as people run it.

use serde_json::Value;
use std::process::{Command, Output};

pub(super) fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .arg("interpret")
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("runs")
}

pub(super) fn json(arguments: &[&str]) -> Value {
    let mut all = arguments.to_vec();
    all.push("--json");
    let output = run(&all);
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).expect("JSON")
}

pub(super) fn said(answer: &Value) -> &str {
    answer["statement"].as_str().expect("text")
}

pub(super) fn odds(answer: &Value, word: &str) -> f64 {
    let all = answer["conditions"].as_array().expect("list");
    let found = all.iter().find(|c| c["condition"] == word).expect(word);
    found["probability"].as_f64().expect("odds")
}

const STALLED: [&str; 8] = [
    "--example",
    "high-pressure",
    "--volts",
    "10.5V",
    "--amps",
    "17.6A",
    "--speed",
    "0rpm",
];

#[test]
fn json_has_the_keys_of_the_contract_and_odds_add_up_to_one() {
    let answer = json(&STALLED);
    for key in [
        "format",
        "command",
        "findings",
        "assumed",
        "sources",
        "cautions",
        "statement",
        "conditions",
        "twins",
        "estimates",
        "impossible",
        "next_reading",
    ] {
        assert!(answer.get(key).is_some(), "{key}");
    }
    let conditions = answer["conditions"].as_array().expect("list");
    let sum: f64 = conditions
        .iter()
        .map(|c| c["probability"].as_f64().expect("odds"))
        .sum();
    assert!((sum - 1.0).abs() < 1e-9);
    for (_, word) in ampkeel::circuit::Condition::ALL {
        assert!(conditions.iter().any(|c| c["condition"] == word), "{word}");
    }
    for estimate in answer["estimates"].as_array().expect("list") {
        let keys: Vec<&String> = estimate.as_object().expect("object").keys().collect();
        assert_eq!(keys, ["quantity", "value", "low", "high", "unit"]);
    }
    assert_eq!(answer["impossible"], Value::Null);
}

#[test]
fn cautions_come_first_and_no_larger_fuse_is_advised() {
    for arguments in [
        &STALLED[..],
        &["--class", "plug-in", "--ohms", "85ohm"],
        &["--class", "battery", "--battery-volts", "12.6V"],
        &["--class", "bilge pump 1100 gal/h", "--amps", "3A"],
        &["--class", "starter 40 hp", "--amps", "30A"],
        &["--class", "trim", "--amps", "75A"],
        &["--class", "solenoid lift pump", "--amps", "1A"],
        &["--class", "injector", "--ohms", "13ohm"],
        &["--class", "ignition coil", "--ohms", "0.7ohm"],
        &["--class", "charger", "--ac-volts", "0.6V"],
        &["--class", "blade fuse 15 A", "--ohms", "open"],
        &["--example", "engine-fuses.fuel", "--ohms", "open"],
        &["--class", "battery switch", "--millivolts", "90mV"],
    ] {
        let output = run(arguments);
        let text = String::from_utf8(output.stdout).expect("text");
        let caution = text.find("CAUTION").expect("cautions");
        let deference = text.find("Local codes").expect("deference");
        let odds = text.find("\nodds").expect("odds");
        assert!(caution < deference && deference < odds, "{arguments:?}");
        let advice = text.to_lowercase().replace("never fit a larger fuse", "");
        assert!(!advice.contains("larger fuse") && !advice.contains("bigger fuse"));
        assert!(json(arguments)["cautions"].as_array().expect("list").len() > 3);
    }
}

/// Cautions of the rows that govern where the meter and its leads go.
#[test]
fn jack_and_stud_cautions_appear_where_they_govern_on_the_screen_and_in_json() {
    let pump = ["--class", "high-pressure fuel pump", "--amps", "5A"];
    let in_jack = [&pump[..], &["--meter", "jack"]].concat();
    let solenoid = ["--class", "starter-solenoid", "--ohms", "5ohm"];
    let relay = ["--class", "plug-in", "--ohms", "85ohm"];
    for (arguments, words, expected) in [
        (&in_jack[..], "meter's ampere jack: stalled", true),
        (&pump[..], "meter's ampere jack: stalled", false),
        (&solenoid[..], "two large studs are 30 (battery)", true),
        (&relay[..], "two large studs are 30 (battery)", false),
    ] {
        let text = String::from_utf8(run(arguments).stdout).expect("text");
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let opening = flat.split("odds \u{250c}").next().expect("text");
        assert_eq!(opening.contains(words), expected, "{arguments:?}");
        let cautions = json(arguments)["cautions"].to_string();
        assert_eq!(cautions.contains(words), expected, "{arguments:?}");
    }
}

/// Eighty columns hold every screen.
#[test]
fn screens_keep_within_eighty_columns() {
    for arguments in [
        &[
            "--class",
            "charger",
            "--speed",
            "3000rpm",
            "--amps",
            "4A",
            "--ac-volts",
            "0.8V",
        ][..],
        &[
            "--class",
            "starter 40 hp",
            "--amps",
            "160A",
            "--volts",
            "10.5V",
        ],
        &[
            "--class",
            "blade fuse 15 A",
            "--amps",
            "8A",
            "--millivolts",
            "300mV",
        ],
        &["--class", "shift-solenoid", "--pull-ohms", "open"],
        &[
            "--class",
            "solenoid lift pump",
            "--amps",
            "2.2A",
            "--moves",
            "no",
        ],
    ] {
        let text = String::from_utf8(run(arguments).stdout).expect("text");
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{arguments:?}: {line}");
        }
    }
}

#[test]
fn a_battery_of_a_file_is_tested_with_its_own_figures() {
    let own = json(&["--example", "cranking", "--battery-volts", "12.6V"]);
    let assumed = own["assumed"].to_string();
    assert!(assumed.contains("cranking"), "{assumed}");
    assert_eq!(own["conditions"][0]["condition"], "healthy");
}

#[test]
fn each_run_is_held_against_the_same_pump() {
    let both = json(&[
        "--example",
        "high-pressure",
        "--battery-volts",
        "12.6V",
        "--run",
        "wet",
        "--volts",
        "12.2V",
        "--amps",
        "3.5A",
        "--run",
        "at-pressure",
        "--volts",
        "12.0V",
        "--amps",
        "4.9A",
        "--pressure",
        "300kPa",
    ]);
    assert_eq!(both["conditions"][0]["condition"], "healthy");
    assert!(
        both["statement"]
            .as_str()
            .expect("text")
            .contains("; then ")
    );
}

#[test]
fn a_log_says_the_same_as_the_options() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("interpret-log");
    std::fs::create_dir_all(&folder).expect("made");
    let log = folder.join("readings.toml");
    let entries = "[[reading]]\nat = \"rest\"\nquantity = \"volts\"\nvalue = \"12.6 V\"\n\
        [[reading]]\nat = \"pump\"\nquantity = \"volts\"\nvalue = \"12.0 V\"\nstate = \"wet\"\n\
        [[reading]]\nat = \"pump\"\nquantity = \"amps\"\nvalue = \"3.6 A\"\nstate = \"wet\"\n";
    std::fs::write(&log, entries).expect("written");
    let logged = json(&[
        "--example",
        "high-pressure",
        "--log",
        log.to_str().expect("path"),
    ]);
    let given = json(&[
        "--example",
        "high-pressure",
        "--battery-volts",
        "12.6V",
        "--run",
        "wet",
        "--volts",
        "12.0V",
        "--amps",
        "3.6A",
    ]);
    assert_eq!(logged["conditions"], given["conditions"]);
}

#[test]
fn own_odds_shift_the_verdict_between_twins() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("interpret-priors");
    std::fs::create_dir_all(&folder).expect("made");
    let file = folder.join("odds.toml");
    std::fs::write(&file, "[pump]\nworn-brush = 0.0\ncoil-open = 1.0\n").expect("written");
    let slow = [
        "--class",
        "high-pressure fuel pump",
        "--battery-volts",
        "12.6V",
        "--volts",
        "12.1V",
        "--amps",
        "4.1A",
        "--speed",
        "4650rpm",
        "--pressure",
        "300kPa",
    ];
    let odds = |answer: &Value, word: &str| {
        let all = answer["conditions"].as_array().expect("list").clone();
        let found = all
            .into_iter()
            .find(|c| c["condition"] == word)
            .expect("condition");
        found["probability"].as_f64().expect("odds")
    };
    let usual = json(&slow);
    let own = json(&[&slow[..], &["--priors", file.to_str().expect("path")]].concat());
    assert!(odds(&own, "coil-open") > odds(&usual, "coil-open"));
    assert_eq!(odds(&own, "worn-brush"), 0.0);
}

/// A 10 A standard blade: 0.13 A per millivolt within 15 percent (`fuse_mv_current`)
/// while cold; at its rating it has 1.4 times its cold resistance.
#[test]
fn millivolts_across_a_fuse_give_its_current_with_its_spread() {
    let answer = json(&[
        "--example",
        "high-pressure",
        "--millivolts",
        "38mV",
        "--fuse-rating",
        "10A",
    ]);
    let estimates = answer["estimates"].as_array().expect("list");
    let current = estimates
        .iter()
        .find(|e| e["unit"] == "A")
        .expect("current");
    let figure = |key: &str| current[key].as_f64().expect("figure");
    let amps = figure("value");
    let millivolts = amps / 0.13 * (1.0 + 0.4 * (amps / 10.0).powi(2));
    assert!((millivolts / 38.0 - 1.0).abs() < 0.03, "{current}");
    assert!(figure("low") < 0.9 * figure("value") && figure("high") > 1.1 * figure("value"));
}

/// What does not do, and what the refusal says of it.
type Refused = (&'static [&'static str], &'static str);

#[track_caller]
fn refused(rows: &[Refused]) {
    for (arguments, says) in rows {
        let output = run(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let said = String::from_utf8(output.stderr).expect("text");
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(says), "{arguments:?}: {flat}");
    }
}

#[test]
fn wrong_readings_are_refused_with_what_would_do() {
    refused(&[
        (&["--example", "high-pressure", "--volts", "12"][..], "12 V"),
        (&["--example", "high-pressure", "--volts", "12A"], "voltage"),
        (
            &["--example", "high-pressure", "--volts", "900V"],
            "0 to 40 V",
        ),
        (
            &["--example", "high-pressure", "--amps", "-4A"],
            "wrong way round; write 4A",
        ),
        (
            &["--example", "high-pressure", "--amps", "1e300A"],
            "0 to 2000 A",
        ),
        (&["--example", "high-pressure", "--amps", "nan A"], "nan"),
        (
            &["--example", "high-pressure", "--amps", "4A", "--amps", "5A"],
            "stands twice in one run",
        ),
        (
            &["--example", "high-pressure", "--millivolts", "38mV"],
            "--fuse-rating",
        ),
        (
            &["--example", "high-pressure", "--pull-in", "6V"],
            "says nothing about",
        ),
        (&["--class", "battery", "--volts", "10V"], "add `--amps"),
        (
            &["--class", "batery", "--amps", "1A"],
            "did you mean `battery`",
        ),
        (
            &["--example", "high-presure", "--amps", "4A"],
            "did you mean `high-pressure`?",
        ),
        (
            &["--class", "high-pressure fuel pump", "--speed", "-100rpm"],
            "below zero, as no such reading is",
        ),
        (
            &["--class", "high-pressure fuel pump", "--speed", "fast"],
            "a speed, like",
        ),
        (
            &[
                "--example",
                "high-pressure",
                "--plugged-in",
                "--ohms",
                "1ohm",
                "--unplugged",
                "high-pressure",
            ],
            "cannot be read plugged in and be pulled apart",
        ),
        (
            &[
                "--example",
                "engine-fuses.fuel",
                "--state",
                "key-on",
                "--amps",
                "3A",
            ],
            "leave it out for the fuse",
        ),
        (
            &["--example", "high-pressure", "--log", "no-such.toml"],
            "there is no such file",
        ),
    ]);
}

#[test]
fn readings_that_say_nothing_of_a_part_are_refused_with_what_it_takes() {
    refused(&[
        (
            &["--class", "plug-in", "--speed", "600rpm"],
            "says nothing about",
        ),
        (
            &["--class", "bilge pump 500 gal/h", "--pressure", "50kPa"],
            "says nothing about",
        ),
        (
            &["--class", "solenoid lift pump", "--speed", "600rpm"],
            "says nothing about",
        ),
        (&["--class", "plug-in", "--run", "dry"], "it takes on, off"),
        (&["--class", "trim", "--run", "off"], "it takes none"),
        (
            &["--class", "injector", "--amps", "1A"],
            "it takes --ohms, --moves",
        ),
        (
            &["--class", "plug-in", "--moves", "perhaps"],
            "neither yes nor no",
        ),
        (
            &["--class", "charger", "--speed", "60rpm"],
            "600 rpm at least",
        ),
        (
            &["--class", "blade fuse 17 A", "--ohms", "open"],
            "no blade fuse is made for 17 A",
        ),
        (
            &[
                "--class",
                "plug-in",
                "--ohms",
                "85ohm",
                "--fuse-rating",
                "10A",
            ],
            "a fuse itself is `--class \"blade fuse 10 A\"`",
        ),
        (
            &[
                "--class",
                "starter 40 hp",
                "--amps",
                "30A",
                "--meter",
                "jack",
            ],
            "no ampere jack in them",
        ),
        (
            &["--example", "engine-fuses", "--ohms", "open"],
            "engine-fuses.fuel",
        ),
    ]);
}

#[test]
fn with_nothing_read_the_odds_are_those_before_a_test() {
    let answer = json(&["--class", "high-pressure fuel pump"]);
    assert!(
        (answer["conditions"][0]["probability"]
            .as_f64()
            .expect("odds")
            - 0.3)
            .abs()
            < 0.01
    );
    assert!(answer["next_reading"].is_string());
}

#[test]
fn every_mistake_of_a_log_and_of_own_odds_is_told_at_once() {
    let folder = std::path::PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("interpreting");
    std::fs::create_dir_all(&folder).expect("made");
    let written = |name: &str, text: &str| {
        let file = folder.join(name);
        std::fs::write(&file, text).expect("written");
        file.to_str().expect("path").to_owned()
    };
    let log = written(
        "three.toml",
        "[[reading]]\nquantity = \"volt\"\nvalue = 12\n[[reading]]\nquantity = \"amps\"\nvalue = \"3 A\"\nstate = \"key-on\"\n",
    );
    let odds = written("odds.toml", "[pump]\nhealthy = -3\nfoo = 0.1\n");
    let pump = ["--class", "high-pressure fuel pump"];
    for (more, says) in [
        (
            ["--log", &log],
            &[
                "reading 1: `value = 12` has no unit",
                "reading 1: `quantity = \"volt\"`",
                "reading 2: `state = \"key-on\"`",
            ][..],
        ),
        (
            ["--priors", &odds],
            &["odds of `healthy`", "`foo` is no condition"],
        ),
    ] {
        let output = run(&[&pump[..], &more, &["--amps", "3A"]].concat());
        assert_eq!(output.status.code(), Some(2));
        let said = String::from_utf8_lossy(&output.stderr);
        for says in says {
            assert!(said.contains(says), "{says}: {said}");
        }
    }
}

/// By hand: 0.9 ohm less the 0.3 ohm of the leads are 0.6 ohm, as read with nulled ones.
#[test]
fn the_ohms_of_the_leads_are_taken_off_those_of_a_part_too() {
    let read = |more: &[&str]| {
        let answer = json(&[&["--class", "high-pressure fuel pump"], more].concat());
        let all = answer["conditions"].as_array().expect("list").clone();
        let sound = all.into_iter().find(|one| one["condition"] == "healthy");
        sound.expect("listed")["probability"]
            .as_f64()
            .expect("odds")
    };
    let with = read(&["--ohms", "0.9ohm", "--leads", "0.3ohm"]);
    let nulled = read(&["--ohms", "0.6ohm", "--leads", "0ohm"]);
    assert!((with - nulled).abs() < 1e-9, "{with} {nulled}");
}
