//! What shops read, reckoned by hand, and what the first condition must be.

use super::command::{json, odds, run, said};
use serde_json::Value;

fn first(answer: &Value) -> &str {
    answer["conditions"][0]["condition"].as_str().expect("word")
}

fn refused(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert!(!output.status.success(), "{arguments:?}");
    let told = String::from_utf8_lossy(&output.stderr);
    told.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Heavy leads are drawn stiffer than the feed's own: no figure falls out of range.
#[test]
fn every_starter_and_tilt_motor_is_read_in_its_boat() {
    let motors = [
        (
            "gabbro-injected-outboard",
            "trim-motor",
            "trim-up",
            "15A",
            "11.5V",
        ),
        (
            "gabbro-injected-outboard",
            "starter",
            "start",
            "150A",
            "9.8V",
        ),
        ("gneiss-inboard-diesel", "starter", "start", "200A", "9.8V"),
        ("marl-tiller-9hp", "tilt", "tilt-up", "12A", "11.5V"),
        ("schist-console-boat", "starter", "start", "150A", "9.8V"),
    ];
    for (boat, motor, state, amps, volts) in motors {
        let file = format!("circuits/{boat}.toml");
        let answer = json(&[
            &file, motor, "--state", state, "--amps", amps, "--volts", volts,
        ]);
        assert!(!said(&answer).is_empty(), "{boat} {motor}");
    }
    // Its own working point in the file is 14 A at 11.5 V.
    let file = "circuits/gabbro-injected-outboard.toml";
    let near = [
        "trim-motor",
        "--state",
        "trim-up",
        "--amps",
        "14A",
        "--volts",
        "11.5V",
    ];
    let answer = json(&[&[file][..], &near].concat());
    assert!(odds(&answer, "healthy") > 0.3, "{}", said(&answer));
}

/// `bench` has it work on its nozzle, 4 to 8 A: so does `interpret`.
#[test]
fn a_washdown_pump_is_judged_against_its_nozzle() {
    let answer = json(&[
        "--class",
        "washdown pump",
        "--volts",
        "12.12V",
        "--amps",
        "6A",
    ]);
    assert_eq!(first(&answer), "healthy", "{}", said(&answer));
}

/// The pump is 1.1 ohm and its float stuck down: switches at rest, nothing should
/// conduct there.
#[test]
fn the_ohms_of_a_pump_behind_a_stuck_float_are_not_called_a_dead_short() {
    let file = "circuits/basalt-bilge-pump.toml";
    let answer = json(&[file, "--to-ground", "bilge", "--ohms", "1.1ohm"]);
    assert!(odds(&answer, "stuck-contact") > 0.2, "{}", said(&answer));
    let next = answer["next_reading"].as_str().expect("text");
    assert!(next.contains("float"), "{next}");
    // Less than any pump of its class has is a short all the same.
    let low = json(&[
        file,
        "--to-ground",
        "bilge",
        "--ohms",
        "0.1ohm",
        "--leads",
        "0ohm",
    ]);
    assert_eq!(first(&low), "short", "{}", said(&low));
}

/// 680 ohm is what lies across many coils: only the resistor is left. 5 ohm of an
/// 80 ohm coil are shorted turns, 180 ohm a break that has rotted.
#[test]
fn a_coil_of_any_ohms_is_open_or_shorted() {
    for (ohms, condition) in [
        ("680ohm", "open-coil"),
        ("180ohm", "open-coil"),
        ("5ohm", "shorted-coil"),
        ("85ohm", "healthy"),
    ] {
        let answer = json(&["--class", "plug-in", "--ohms", ohms]);
        assert_eq!(first(&answer), condition, "{ohms}: {}", said(&answer));
    }
}

/// 1.2 V across contacts that a 55 W lamp (2.6 ohm hot) is fed through: 0.28 ohm. 8 V:
/// 5 ohm.
#[test]
fn burnt_contacts_may_take_any_share_of_the_volts() {
    for class in ["starter-solenoid", "plug-in"] {
        for volts in ["0.6V", "1.2V", "4V", "8V", "11V"] {
            let answer = json(&["--class", class, "--moves", "yes", "--millivolts", volts]);
            assert_eq!(
                first(&answer),
                "burnt-contacts",
                "{class} {volts}: {}",
                said(&answer)
            );
        }
    }
}

#[test]
fn ohms_of_a_relay_that_is_off_are_asked_which_they_are() {
    let why = refused(&[
        "--class",
        "starter-solenoid",
        "--run",
        "off",
        "--ohms",
        "0.3ohm",
    ]);
    assert!(why.contains("Contacts, 30 to 87"), "{why}");
}

/// A number too low for a sound winding is no winding in kilohms.
#[test]
fn a_thousandth_of_what_was_read_explains_nothing_but_a_sound_part() {
    let output = run(&["--class", "ignition coil", "--ohms", "3.4ohm"]);
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(!text.contains("kilohms"), "{text}");
    let output = run(&[
        "--class", "plug-in", "--ohms", "0.085ohm", "--leads", "0ohm",
    ]);
    assert!(output.status.success());
}

#[test]
fn readings_of_another_part_in_the_log_are_left_out_or_refused() {
    let folder = std::env::temp_dir().join("ampkeel-workshop");
    std::fs::create_dir_all(&folder).expect("a folder");
    let reading = |at: &str, quantity: &str, value: &str| {
        format!("[[reading]]\nat = \"{at}\"\nquantity = \"{quantity}\"\nvalue = \"{value}\"\n")
    };
    let of_lift = reading("lift-pump", "volts", "12.0 V") + &reading("lift-pump", "amps", "4.9 A");
    let of_both = of_lift.clone()
        + &reading("high-pressure.plus", "volts", "10.5 V")
        + &reading("high-pressure", "amps", "17.6 A");
    let file = |name: &str, text: &str| {
        let path = folder.join(name);
        std::fs::write(&path, text).expect("written");
        path.to_string_lossy().into_owned()
    };
    let (lift, both) = (file("lift.toml", &of_lift), file("both.toml", &of_both));
    let why = refused(&["--example", "high-pressure", "--log", &lift]);
    assert!(
        why.contains("no reading of `high-pressure`, only of `lift-pump`"),
        "{why}"
    );
    // One that cannot be read is one of its own all the same.
    let mistaken = of_lift.replace("4.9 A", "4.9 kg").replace(
        "at = \"lift-pump\"\nquantity = \"amps\"",
        "at = \"high-pressure\"\nquantity = \"amps\"",
    );
    let mistaken = file("mistaken.toml", &mistaken);
    let why = refused(&["--example", "high-pressure", "--log", &mistaken]);
    assert!(
        why.contains("reading 2") && !why.contains("no reading of"),
        "{why}"
    );
    let answer = json(&["--example", "high-pressure", "--log", &both]);
    assert_eq!(first(&answer), "locked", "{}", said(&answer));
    let notes = answer["notes"].to_string();
    assert!(notes.contains("`lift-pump` were left out"), "{notes}");
    let why = refused(&["--class", "high-pressure fuel pump", "--log", &both]);
    assert!(why.contains("one part at a time"), "{why}");
}

#[test]
fn a_part_that_nothing_feeds_is_not_judged() {
    let there = ["--example", "high-pressure", "--state", "key-on"];
    let answer = json(&[&there[..], &["--volts", "0V", "--amps", "0A"]].concat());
    assert!(
        said(&answer).starts_with("not to be judged yet"),
        "{}",
        said(&answer)
    );
    assert!(
        said(&answer).contains("its fuse, a relay"),
        "{}",
        said(&answer)
    );
}

/// 35 kPa of a lift pump against the 300 kPa of an injection pump, and the other way.
#[test]
fn a_fuel_pump_of_another_pressure_is_no_replacement() {
    for (part, class, word) in [
        ("high-pressure", "rotary lift pump", "lean"),
        ("lift-pump", "high-pressure fuel pump", "petrol runs over"),
    ] {
        let output = run(&["--example", part, "--suits", "--class", class]);
        let text = String::from_utf8_lossy(&output.stdout);
        assert_eq!(output.status.code(), Some(1), "{text}");
        assert!(text.contains("pump-wrong-duty"), "{text}");
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(word), "{flat}");
    }
}

/// Regulated stators have both ends free.
#[test]
fn a_low_reading_of_a_stator_to_ground_is_suspected() {
    let read = ["--ohms-to-ground", "0.4ohm"];
    let answer = json(&[&["--class", "charger"][..], &read].concat());
    assert!(odds(&answer, "stator-grounded") > 0.15, "{}", said(&answer));
}

#[test]
fn everyday_words_name_the_classes_that_may_be_meant() {
    for (word, class) in [
        ("relay", "plug-in"),
        ("stator", "charger"),
        ("fuel pump", "rotary lift pump"),
    ] {
        let why = refused(&["--class", word, "--ohms", "80ohm"]);
        assert!(why.contains("ask for") && why.contains(class), "{why}");
    }
    let output = run(&["--class", "High-Pressure Fuel Pump", "--ohms", "0.6ohm"]);
    assert!(output.status.success());
}

/// What `bench` prints of a typical part with a condition, `interpret` does not exclude.
#[test]
fn the_rows_that_bench_prints_are_likely_enough_to_interpret() {
    for class in ["starter 40 hp", "trim", "high-pressure fuel pump"] {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_ampkeel"))
            .args(["bench", "--class", class, "--json"])
            .output()
            .expect("runs");
        let sheet: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let rows = sheet["conditions"].as_array().expect("rows");
        assert!(rows.len() > 4, "{class}");
        for row in rows {
            let figure = |key: &str, unit: &str| {
                let value = row[key].as_f64().expect("a figure");
                format!("{value:.2}{unit}")
            };
            let (volts, amps) = (figure("voltage_v", "V"), figure("current_a", "A"));
            let asked = [
                "--class",
                class,
                "--battery-volts",
                "12.63V",
                "--volts",
                &volts,
                "--amps",
                &amps,
            ];
            let answer = json(&asked);
            let condition = row["condition"].as_str().expect("word");
            let odds = odds(&answer, condition);
            assert!(odds > 0.02, "{class} {condition} {odds}: {}", said(&answer));
        }
    }
}
