//! Every caution stands before a step it governs, on the screen and in JSON.

use super::{rigged, steps_of, steps_of_part};
use ampkeel::bench::{Options, Procedure, SEED, document, harness, procedure};
use ampkeel::circuit::BenchMeter;
use ampkeel::present::{Look, terminal};
use ampkeel::tables::cautions::{caution, cautions};
use serde_json::Value;
use std::process::Command;

/// A caution's tag, what is bench-tested (a class, a class with the meter in its
/// `jack`, `part` of the built-in example, or `--harness`), and how the step that it
/// governs begins or what it says.
const GOVERNED: [(&str, &str, &str); 35] = [
    ("vapour", "class high-pressure fuel pump", "Fill the pump"),
    ("switch-far", "class high-pressure fuel pump", "switch open"),
    (
        "far-battery",
        "class high-pressure fuel pump",
        "Fill the pump",
    ),
    ("time10", "class rotary lift pump", "Switch on for 10 s"),
    ("dry5", "class rotary lift pump", "Switch on for 10 s"),
    ("lock2", "class trim", "Switch on for 10 s"),
    (
        "test-fluid",
        "class high-pressure fuel pump",
        "Fill the pump",
    ),
    ("relieve", "class injector", "Fuel pressure off"),
    ("fuse-lead", "class trim", "Lead with a 30 A fuse"),
    ("neg-first", "part cranking", "minus off first"),
    ("no-break", "part cranking", "Load test"),
    ("eyes", "part cranking", "Look: cracks"),
    ("short", "part cranking", "Volts at its posts"),
    ("static", "class high-pressure fuel pump", "Fill the pump"),
    ("kill", "part cranking", "crank `starter`"),
    ("rotate", "part cranking", "crank `starter`"),
    ("water", "part stator", "engine idling on water"),
    ("exhaust", "part stator", "engine idling on water"),
    ("battery-on", "part stator", "engine idling on water"),
    ("polarity", "class trim", "clips on"),
    ("ign-protected", "class blower", "a new one in its place"),
    ("amps-jack", "class trim", "read the current"),
    ("lamp-hot", "part engine-plug", "headlamp bulb"),
    ("clamp-starter", "class starter 40 hp", "Clamp it down hard"),
    ("trim-drop", "class trim", "Off the harness"),
    ("high-volts", "class ignition coil", "spark tester"),
    ("high-tension", "class ignition coil", "Tap the switch"),
    ("injector-pulse", "class injector", "Tap the switch"),
    ("no-bridge", "class starter 40 hp", "Press for 3 s"),
    ("fuse-never", "part main", "Pull the fuse"),
    ("starter-time", "class starter 40 hp", "Press for 3 s"),
    (
        "jack-limit",
        "jack high-pressure fuel pump",
        "Switch on for 10 s",
    ),
    ("studs", "class starter-solenoid", "from its small stud"),
    (
        "shorted-part",
        "class high-pressure fuel pump",
        "Off the harness",
    ),
    ("extinguisher", "class primer", "Switch on for 10 s"),
];

fn found(what: &str) -> Procedure {
    let examples = crate::solving::examples();
    let gabbro = examples.iter().find(|(file, _)| file.contains("gabbro"));
    match what.split_once(' ') {
        Some(("class", class)) => steps_of(class),
        Some(("jack", class)) => in_the_jack(class),
        Some((_, part)) => steps_of_part(&gabbro.expect("gabbro").1, part),
        None => {
            harness(&gabbro.expect("gabbro").1, None, &Options::default(), SEED).expect("harness")
        }
    }
}

/// A class with the current read in the meter's ampere jack.
fn in_the_jack(class: &str) -> Procedure {
    let options = Options {
        meter: Some(BenchMeter::Jack),
        ..Options::default()
    };
    let (subject, rig) = rigged(class, &options);
    procedure(&subject, &rig, SEED).expect("procedure")
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_caution_is_listed_with_a_step_it_governs() {
    let tags: Vec<String> = cautions().into_iter().map(|c| c.tag).collect();
    let listed: Vec<&str> = GOVERNED.iter().map(|row| row.0).collect();
    assert_eq!(tags, listed);
}

#[test]
fn every_caution_is_shown_before_the_step_it_governs() {
    for (tag, what, says) in GOVERNED {
        let found = found(what);
        let text = caution(tag).expect("listed").text;
        let at = found.steps.iter().position(|step| {
            step.action.contains(says) && step.cautions.iter().any(|c| c.tag == tag)
        });
        let at = at.unwrap_or_else(|| panic!("{tag}: {what}: {says}"));
        let shown = terminal::render(&document(&found), None, &Look::default());
        let shown = flat(&shown);
        let steps = shown.split_once("steps \u{2500}").expect("steps").1;
        let number = format!(" {}. {}", at + 1, first_words(&found.steps[at].action));
        let step = steps
            .find(&number)
            .unwrap_or_else(|| panic!("{tag}: {number}"));
        let before = if at == 0 {
            0
        } else {
            let earlier = format!(" {at}. {}", first_words(&found.steps[at - 1].action));
            steps
                .find(&earlier)
                .unwrap_or_else(|| panic!("{tag}: {earlier}"))
        };
        // Between the step before and this one.
        assert!(steps[before..step].contains(&flat(&text)), "{tag}: {what}");
        // And once more at the very start.
        let opening = shown.split_once("steps \u{2500}").expect("steps").0;
        assert!(opening.contains(&flat(&text)), "{tag}: {what}");
    }
}

fn first_words(action: &str) -> String {
    action
        .split_whitespace()
        .take(4)
        .collect::<Vec<_>>()
        .join(" ")
}

fn json(what: &str) -> (String, Value) {
    let mut arguments = vec!["bench", "--json"];
    match what.split_once(' ') {
        Some(("class", class)) => arguments.extend(["--class", class]),
        Some(("jack", class)) => arguments.extend(["--class", class, "--meter", "jack"]),
        Some((_, part)) => arguments.extend(["--example", part]),
        None => arguments.extend(["--example", what]),
    }
    let output = Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args(&arguments)
        .output()
        .expect("runs");
    let text = String::from_utf8(output.stdout).expect("text");
    let value = serde_json::from_str(&text).unwrap_or_else(|why| panic!("{arguments:?}: {why}"));
    (text, value)
}

#[test]
fn every_caution_is_in_the_json_of_its_step_before_the_action() {
    for (tag, what, says) in GOVERNED {
        let (text, answer) = json(what);
        let words = caution(tag).expect("listed").text;
        let steps = answer["steps"].as_array().expect("steps");
        let step = steps.iter().find(|step| {
            let action = step["action"].as_str().expect("action");
            let told = step["cautions"].as_array().expect("cautions");
            action.contains(says) && told.iter().any(|one| *one == words.as_str())
        });
        let step = step.unwrap_or_else(|| panic!("{tag}: {what}: {says}"));
        let keys: Vec<&String> = step.as_object().expect("object").keys().collect();
        let place = |key: &str| keys.iter().position(|one| *one == key).expect("key");
        assert!(place("cautions") < place("action"), "{tag}");
        let opening = answer["cautions"].as_array().expect("cautions");
        let first = opening.iter().any(|one| {
            one.as_str()
                .is_some_and(|one| one.starts_with(words.as_str()))
        });
        assert!(first, "{tag}");
        let place = |key: &str| text.find(key).expect("key");
        assert!(place("\"cautions\"") < place("\"steps\""), "{tag}");
    }
}

#[test]
fn the_harness_is_cautioned_while_cranking_and_running() {
    let found = found("--harness");
    let has = |says: &str, tag: &str| {
        let mut steps = found.steps.iter().filter(|step| step.action.contains(says));
        steps.any(|step| step.cautions.iter().any(|c| c.tag == tag))
    };
    for tag in ["kill", "rotate", "starter-time", "no-bridge"] {
        assert!(has("crank for 3 s", tag), "{tag}");
    }
    for tag in ["kill", "water", "exhaust", "battery-on", "high-volts"] {
        assert!(has("engine idling on water in neutral", tag), "{tag}");
    }
    assert!(has("minus clamps off", "neg-first"));
    assert!(has("State `key-on`", "dry5"));
    for step in &found.steps {
        for caution in &step.cautions {
            assert!(found.cautions.contains(caution), "{}", caution.tag);
        }
    }
}

#[test]
fn no_part_of_any_example_is_advised_a_larger_fuse() {
    for (file, circuit) in crate::solving::examples() {
        for part in circuit
            .parts
            .iter()
            .filter(|part| ampkeel::bench::testable(part))
        {
            let found = steps_of_part(&circuit, &part.name);
            let shown = flat(&terminal::render(&document(&found), None, &Look::default()));
            let advice = shown.replace("Never fit a larger fuse", "");
            for words in ["larger fuse", "bigger fuse", "next size", "higher rating"] {
                assert!(!advice.contains(words), "{file} {}: {words}", part.name);
            }
        }
    }
}

/// A rotary lift pump stalls at 4.4 A (2.2 to 8), a fuel pump at 17 A (9 to 30):
/// `pump-ranges`; many meters bear 10 A for 10 s.
#[test]
fn the_ampere_jack_is_cautioned_against_where_a_stall_may_pass_ten_amperes() {
    let warned = |found: &Procedure| found.cautions.iter().any(|c| c.tag == "jack-limit");
    for class in ["high-pressure fuel pump", "bilge pump 2000 gal/h", "trim"] {
        assert!(warned(&in_the_jack(class)), "{class}");
        assert!(!warned(&steps_of(class)), "{class} by clamp");
    }
    for class in [
        "rotary lift pump",
        "solenoid lift pump",
        "plug-in",
        "primer",
    ] {
        assert!(!warned(&in_the_jack(class)), "{class}");
    }
}

/// A stud solenoid has no numbers on it: every step that names a terminal says
/// which stud it is.
#[test]
fn the_terminals_of_a_stud_solenoid_are_called_studs() {
    for class in ["starter-solenoid", "shift-solenoid"] {
        let found = steps_of(class);
        for step in &found.steps {
            let numbered = ["30", "85", "86", "87"];
            let words: Vec<&str> = step.action.split(|c: char| !c.is_alphanumeric()).collect();
            if numbered.iter().any(|number| words.contains(number)) {
                assert!(step.action.contains("stud"), "{class}: {}", step.action);
            }
            for reading in &step.expect {
                assert!(!reading.quantity.contains("30 to 87"), "{class}");
            }
        }
        let shown = terminal::render(&document(&found), None, &Look::default());
        assert!(flat(&shown).contains("two large studs are 30 (battery) and 87 (load)"));
    }
    let plug_in = steps_of("plug-in");
    assert!(plug_in.steps.iter().all(|s| !s.action.contains("stud")));
}
