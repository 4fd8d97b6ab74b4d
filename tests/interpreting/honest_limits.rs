//! Readings at the ends of what is sound: told with odds, and with what parts them.

use super::command::{json, run as command};
use super::{asked, first, odds, of_class, rig_of, run};
use ampkeel::interpreting::{Interpretation, Measure};

fn battery(rest_v: f64) -> Interpretation {
    asked(of_class("battery"), rig_of("battery"), Some(rest_v), vec![])
}

/// A full flooded battery rests at 12.7 V; more is surface charge, which hides what
/// lies beneath. What reads higher can not be surer to be sound.
#[test]
fn volts_above_those_of_a_full_battery_make_none_sounder() {
    let full = odds(&battery(12.65), "healthy");
    for rest_v in [12.9, 13.0, 13.1, 13.2, 13.3] {
        let found = battery(rest_v);
        assert!(
            odds(&found, "healthy") <= full + 0.02,
            "{rest_v}: {} against {full}",
            odds(&found, "healthy")
        );
        let next = found.next_reading.as_deref().expect("rest");
        assert!(next.contains("surface charge"), "{rest_v}: {next}");
        assert!(found.notes.iter().any(|n| n.contains("surface charge")));
    }
}

/// No step of 0.05 V turns the odds over.
#[test]
fn odds_of_a_battery_go_smoothly_with_its_volts() {
    let steps = (0..=24).map(|step| 12.2 + 0.05 * f64::from(step));
    let sound: Vec<f64> = steps
        .map(|volts| odds(&battery(volts), "healthy"))
        .collect();
    for pair in sound.windows(2) {
        assert!((pair[1] - pair[0]).abs() < 0.25, "{sound:?}");
    }
}

/// An emptied battery reads 10 to 11.3 V as well as one with a dead cell does: neither
/// is sure, and a charge with a rest parts them.
#[test]
fn an_emptied_battery_is_not_condemned_for_a_shorted_cell() {
    for rest_v in [10.9, 11.0] {
        let found = battery(rest_v);
        for condition in ["shorted-cell", "discharged"] {
            assert!(
                odds(&found, condition) > 0.15,
                "{rest_v} {condition}: {:?}",
                found.conditions
            );
        }
        let next = found.next_reading.as_deref().expect("charge");
        assert!(next.starts_with("charge it"), "{next}");
    }
    assert_eq!(first(&battery(10.6)), "shorted-cell");
}

/// The bench sheet accepts 14.1 to 14.6 V at the posts.
#[test]
fn a_regulator_at_the_end_of_what_is_accepted_is_not_condemned() {
    let at = |volts: f64| {
        let speed = 3000.0 * super::RPM;
        let readings = [(Measure::Speed, speed), (Measure::PostVolts, volts)];
        asked(
            of_class("charger"),
            rig_of("charger"),
            None,
            vec![run(&readings)],
        )
    };
    assert!(odds(&at(14.6), "regulator-high") < 0.35);
    assert!(odds(&at(14.6), "healthy") > odds(&at(14.6), "regulator-high"));
    assert_eq!(first(&at(15.2)), "regulator-high");
}

/// Blade fuse of 10 A at 25 A: far above the 1.35 times it is made to open from.
#[test]
fn a_fuse_above_its_rating_is_told_first_and_never_answered_by_a_larger_one() {
    let answer = json(&["--class", "blade fuse 10 A", "--amps", "25A"]);
    let says = answer["statement"].as_str().expect("text");
    assert!(says.contains("2.5 times its rating"), "{says}");
    let notes = answer["notes"].to_string();
    assert!(
        notes.contains("opens between") && notes.contains("Never a larger fuse"),
        "{notes}"
    );
}

/// The file's working point is one under load; the bench turns the motor free.
#[test]
fn bench_and_interpretation_turn_a_trim_motor_of_a_file_free() {
    let boat = "circuits/gabbro-injected-outboard.toml";
    let sheet = std::process::Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args(["bench", boat, "trim-motor", "--json"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("runs");
    let sheet: serde_json::Value = serde_json::from_slice(&sheet.stdout).expect("JSON");
    let steps = sheet["steps"].as_array().expect("steps");
    let mut all = steps
        .iter()
        .flat_map(|step| step["expect"].as_array().expect("list"));
    let current = all
        .find(|reading| reading["quantity"] == "current")
        .expect("a current");
    let typical = format!("{}A", current["typical"].as_f64().expect("figure"));
    let answer = json(&[boat, "trim-motor", "--amps", &typical]);
    assert_eq!(answer["conditions"][0]["condition"], "healthy", "{typical}");
}

/// `starters` lists 30, 45 and 90 A at no load.
#[test]
fn a_starter_by_its_power_alone_is_told_with_the_range_of_its_class() {
    let answer = json(&["--class", "starter 40 hp", "--amps", "60A"]);
    let notes = answer["notes"].to_string();
    assert!(notes.contains("three times a plain one"), "{notes}");
    let sound = answer["conditions"].as_array().expect("list");
    let sound = sound.iter().find(|c| c["condition"] == "healthy");
    assert!(sound.expect("listed")["probability"].as_f64() > Some(0.05));
}

#[test]
fn a_lead_s_fuse_below_what_a_sound_pump_draws_is_told() {
    let common = ["--class", "high-pressure fuel pump", "--amps", "5A"];
    let small = json(&[&common[..], &["--inline-fuse", "1A"]].concat());
    let notes = small["notes"].to_string();
    assert!(notes.contains("opens on a sound one"), "{notes}");
    let usual = json(&common).to_string();
    assert!(!usual.contains("opens on a sound one"));
}

#[test]
fn ohms_below_those_of_the_leads_are_refused_in_plain_words() {
    let output = command(&[
        "--example",
        "high-pressure",
        "--plugged-in",
        "--ohms",
        "0.1ohm",
        "--leads",
        "0.2ohm",
    ]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("less than the leads alone show"), "{said}");
}

/// One table says what ohms mean: 1.1 ohm is below its 2 ohm, in verdict and note.
#[test]
fn verdict_and_note_on_ohms_to_ground_use_one_word() {
    for (ohms, word, other) in [
        ("0.3ohm", "dead short", "partial short"),
        ("8ohm", "partial short", "dead short"),
    ] {
        let boat = "circuits/basalt-bilge-pump.toml";
        let answer = json(&[boat, "--to-ground", "bilge", "--ohms", ohms]);
        let said = format!("{}{}", answer["statement"], answer["notes"]);
        assert!(said.matches(word).count() > 1, "{ohms}: {said}");
        assert!(!said.contains(other), "{ohms}: {said}");
    }
}

#[test]
fn what_is_no_figure_is_answered_in_plain_words() {
    let refused = |option: &str, value: &str| {
        let all = ["--class", "high-pressure fuel pump", option, value];
        String::from_utf8_lossy(&command(&all).stderr).into_owned()
    };
    assert!(refused("--volts", "NaN").contains("is no reading"));
    assert!(refused("--volts", "12400V").contains("12.40 V"));
    let none = json(&["--class", "rotary lift pump", "--flow", "none"]);
    assert!(none["statement"].to_string().contains("no stream"));
    let log = std::path::PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("bare-value.toml");
    std::fs::write(
        &log,
        "[[reading]]\nat = \"pump\"\nquantity = \"amps\"\nvalue = -3.6\n",
    )
    .expect("written");
    let log = log.to_str().expect("path");
    let bare = refused("--log", log);
    assert!(bare.contains("has no unit"), "{bare}");
}

/// Ohms, volts and amperes of the last run were read: none of them is asked for again.
#[test]
fn the_next_reading_is_never_one_that_was_taken() {
    let answer = json(&[
        "--class", "trim", "--volts", "12.3V", "--amps", "4A", "--ohms", "0.4ohm",
    ]);
    let next = answer["next_reading"].to_string();
    for taken in ["volts right", "current with", "ohms across"] {
        assert!(!next.contains(taken), "{next}");
    }
}
