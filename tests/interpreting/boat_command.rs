//! `interpret` in the boat, as people run it.

use super::command::{json, run};
use serde_json::Value;

fn text(output: &std::process::Output) -> String {
    let text = String::from_utf8(output.stdout.clone()).expect("text");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn talk(output: &std::process::Output) -> String {
    let text = String::from_utf8(output.stderr.clone()).expect("text");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const SEIZED: [&str; 8] = [
    "--example",
    "high-pressure",
    "--state",
    "key-on",
    "--volts",
    "11.4V",
    "--amps",
    "17.5A",
];

#[test]
fn the_first_line_says_which_state_and_feed_are_taken() {
    let output = run(&[&SEIZED[..], &["--battery-volts", "12.5V"]].concat());
    assert!(output.status.success());
    let text = text(&output);
    let about = text.split("CAUTION").next().expect("a first line");
    assert!(
        about.contains("in the boat, state `key-on`: 12."),
        "{about}"
    );
    for words in [
        "at its terminals with nothing drawn, behind",
        "mohm",
        "the other loads take 3.0",
        "relays pulled in: fuel-relay, main-relay",
        "at rest it was read as 12.50 V",
    ] {
        assert!(about.contains(words), "{words}: {about}");
    }
    // Cautions before the answer.
    let answer = text.find("locked or nearly").expect("an answer");
    assert!(text.find("CAUTION").expect("cautions") < answer);
    assert!(text.contains("this feed") && !text.contains("on this rig"));
}

#[test]
fn json_holds_state_and_feed_beside_the_contract() {
    let answer = json(&SEIZED);
    assert_eq!(answer["state"], "key-on");
    let feed = &answer["feed"];
    let open = feed["open_v"]["typical"].as_f64().expect("volts");
    let ohm = feed["resistance_ohm"]["typical"].as_f64().expect("ohms");
    assert!(
        (12.0..12.7).contains(&open) && (0.04..0.1).contains(&ohm),
        "{feed}"
    );
    assert_eq!(feed["fuse"], "engine-fuses.fuel");
    assert_eq!(answer["conditions"][0]["condition"], "locked");
    let bench = json(&["--example", "high-pressure", "--amps", "4A"]);
    assert_eq!(
        (&bench["state"], &bench["feed"]),
        (&Value::Null, &Value::Null)
    );
}

/// The fuse of the file is named with its air, and a blown one is not ruled out.
#[test]
fn a_stall_in_the_boat_speaks_of_the_fuse_of_the_file() {
    let answer = json(&SEIZED);
    let notes = answer["notes"].as_array().expect("list");
    let note = notes
        .iter()
        .map(|n| n.as_str().expect("text"))
        .find(|n| n.contains("engine-fuses.fuel"));
    let note = note.expect("a note");
    assert!(
        note.contains("10 A blade") && note.contains("in the air there"),
        "{note}"
    );
    assert!(note.contains("it can open all the same"), "{note}");
}

#[test]
fn millivolts_in_the_boat_are_those_of_the_fuse_before_the_part() {
    // 4.9 A on 7.7 mohm, warm: some 41 mV.
    let answer = json(&[
        "--example",
        "high-pressure",
        "--state",
        "key-on",
        "--millivolts",
        "41mV",
    ]);
    let all = answer["estimates"].as_array().expect("list");
    let current = all.iter().find(|e| e["unit"] == "A").expect("a current");
    let value = current["value"].as_f64().expect("amperes");
    assert!((4.4..5.4).contains(&value), "{current}");
}

#[test]
fn a_battery_takes_the_load_of_its_state() {
    let answer = json(&[
        "--example",
        "cranking",
        "--state",
        "start",
        "--battery-volts",
        "12.6V",
        "--volts",
        "11.5V",
    ]);
    assert_eq!(answer["conditions"][0]["condition"], "healthy");
    let weak = json(&[
        "--example",
        "cranking",
        "--state",
        "start",
        "--battery-volts",
        "12.5V",
        "--volts",
        "8.9V",
    ]);
    assert_eq!(weak["conditions"][0]["condition"], "sulphated");
}

#[test]
fn a_relay_that_has_not_closed_shows_the_battery_across_its_contact() {
    let closed = json(&[
        "--example",
        "fuel-relay",
        "--state",
        "key-on",
        "--volts",
        "12.2V",
        "--millivolts",
        "30mV",
    ]);
    assert_eq!(closed["conditions"][0]["condition"], "healthy");
    let open = json(&[
        "--example",
        "fuel-relay",
        "--state",
        "key-on",
        "--volts",
        "12.4V",
        "--millivolts",
        "12.3V",
    ]);
    assert_eq!(open["conditions"][0]["condition"], "open-coil");
}

#[test]
fn wrong_questions_in_the_boat_are_refused_with_what_would_do() {
    for (arguments, says) in [
        (
            &[
                "--example",
                "high-pressure",
                "--state",
                "crusie",
                "--amps",
                "4A",
            ][..],
            "did you mean `cruise`?; this file has: off, key-on, start, idle, cruise",
        ),
        (
            &[
                "--example",
                "high-pressure",
                "--state",
                "off",
                "--amps",
                "4A",
            ],
            "gets no volts in the state `off`; it is fed in: key-on",
        ),
        (
            &[
                "--example",
                "high-pressure",
                "--state",
                "idle",
                "--lead-length",
                "2m",
            ],
            "`--lead-length` belongs to the bench",
        ),
        (
            &[
                "--example",
                "high-pressure",
                "--state",
                "idle",
                "--inline-fuse",
                "15A",
            ],
            "`--inline-fuse` belongs to the bench",
        ),
        (
            &[
                "--example",
                "high-pressure",
                "--state",
                "idle",
                "--millivolts",
                "40mV",
                "--fuse-rating",
                "10A",
            ],
            "leave `--fuse-rating` out",
        ),
        (
            &["--class", "plug-in", "--state", "idle"],
            "cannot be used with",
        ),
        (
            &[
                "--example",
                "cranking",
                "--state",
                "cruise",
                "--volts",
                "13V",
            ],
            "the battery is being charged",
        ),
    ] {
        let output = run(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let said = talk(&output);
        assert!(said.contains(says), "{arguments:?}: {said}");
    }
}
