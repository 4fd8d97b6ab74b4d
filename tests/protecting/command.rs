//! `protect` as people run it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .arg("protect")
        .args(arguments)
        .env("NO_COLOR", "1")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .expect("runs")
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

fn json(arguments: &[&str]) -> serde_json::Value {
    let mut all = arguments.to_vec();
    all.push("--json");
    serde_json::from_slice(&run(&all).stdout).expect("JSON")
}

fn files() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits");
    let mut all = Vec::new();
    for folder in [root.clone(), root.join("devices")] {
        let entries = std::fs::read_dir(folder).expect("folder");
        all.extend(
            entries
                .map(|entry| entry.expect("entry").path())
                .filter(|path| path.is_file()),
        );
    }
    all.sort();
    all
}

#[test]
fn every_circuit_is_answered_and_never_with_a_larger_fuse() {
    for path in files() {
        let name = path.to_string_lossy();
        let output = run(&[&name]);
        let shown = text(&output);
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "{name}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert!(shown.starts_with("CAUTION"), "{name}");
        assert!(shown.contains("Never fit a larger fuse"));
        assert!(!shown.to_lowercase().contains("guarant"), "{name}");
        for advice in ["fit a larger fuse;", "go up one size", "next larger"] {
            assert!(!shown.contains(advice), "{name}: {advice}");
        }
    }
}

#[test]
fn a_violation_decides_the_exit_status() {
    for path in files() {
        let name = path.to_string_lossy();
        let output = run(&[&name, "--json"]);
        let object: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let findings = object["findings"].as_array().expect("a list");
        let violated = findings.iter().any(|f| f["severity"] == "violation");
        assert_eq!(output.status.code(), Some(i32::from(violated)), "{name}");
    }
}

#[test]
fn every_check_has_a_verdict_a_sentence_and_its_figures() {
    let object = json(&["--example"]);
    assert!(
        object["about"]
            .as_str()
            .expect("about")
            .contains("built-in example")
    );
    let fuses = object["fuses"].as_object().expect("fuses");
    assert!(fuses.contains_key("engine-fuses.fuel") && fuses.contains_key("main"));
    for (name, fuse) in fuses {
        assert!(
            fuse["fault_current_a"].as_f64().expect("fed") > 100.0,
            "{name}"
        );
        let checks = fuse["checks"].as_array().expect("checks");
        let kinds: Vec<&str> = checks
            .iter()
            .map(|c| c["check"].as_str().expect("kind"))
            .collect();
        for kind in [
            "load",
            "far-end-short",
            "overload",
            "nothing-promised",
            "place",
            "breaking-capacity",
            "wire",
        ] {
            assert!(kinds.contains(&kind), "{name}: {kinds:?}");
        }
        for check in checks {
            let verdict = check["verdict"].as_str().expect("verdict");
            assert!(["holds", "note", "caution", "violation"].contains(&verdict));
            assert!(check["statement"].as_str().expect("sentence").len() > 20);
            for source in check["sources"].as_array().expect("sources") {
                assert!(source["standing"].is_string());
            }
        }
    }
    let fuel = fuses["engine-fuses.fuel"]["checks"]
        .as_array()
        .expect("checks");
    for kind in ["start", "stall", "selectivity"] {
        assert!(fuel.iter().any(|c| c["check"] == kind), "{kind}");
    }
}

#[test]
fn one_fuse_is_shown_with_its_chart() {
    let shown = text(&run(&["--example", "--fuse", "engine-fuses.fuel"]));
    for words in [
        "time to open against current",
        "1000 s |",
        "0.001 s |",
        "earliest",
        "latest",
        "stands it so long",
        "`main` 30.0 A strip, latest",
    ] {
        assert!(shown.contains(words), "{words}\n{shown}");
    }
    assert!(!shown.contains("`trim-main`: 30 A"));
    let curves = json(&["--example", "--fuse", "engine-fuses.fuel"]);
    let curves = curves["fuses"]["engine-fuses.fuel"]["curves"]
        .as_array()
        .expect("curves")
        .clone();
    assert_eq!(curves.len(), 5);
    for curve in curves {
        let times = curve["time_s"].as_array().expect("times");
        let falling = times
            .windows(2)
            .all(|pair| pair[0].as_f64() >= pair[1].as_f64());
        assert!(falling, "{}", curve["name"]);
    }
}

#[test]
fn a_slip_in_a_fuse_s_name_is_answered_with_the_nearest() {
    let output = run(&["--example", "--fuse", "engine-fuses.fuell"]);
    assert_eq!(output.status.code(), Some(2));
    let talk = String::from_utf8(output.stderr).expect("text");
    assert!(talk.contains("did you mean `engine-fuses.fuel`?"), "{talk}");
}

#[test]
fn the_same_file_gives_the_same_bytes() {
    let once = run(&["--typical", "injected outboard", "--json"]).stdout;
    assert_eq!(
        once,
        run(&["--typical", "injected outboard", "--json"]).stdout
    );
}

#[test]
fn all_shows_a_row_for_every_wire_and_json_always_holds_them() {
    let shown = text(&run(&["--example", "--all"]));
    assert!(shown.contains("a short at the end of each wire"));
    assert!(shown.contains("opens first"));
    let object = json(&["--example"]);
    for (name, fuse) in object["fuses"].as_object().expect("fuses") {
        let places = fuse["places"].as_array().expect("places");
        let short = fuse["checks"].as_array().expect("checks").iter();
        let short = short.clone().find(|c| c["check"] == "far-end-short");
        let wires = short.map_or(0.0, |c| c["wires"].as_f64().expect("a count"));
        assert_eq!(places.len() as f64, wires, "{name}");
        for place in places {
            assert!(place["least_a"].as_f64() <= place["most_a"].as_f64());
            let order = &place["opens_first"];
            assert!(
                order.is_null()
                    || ["within-gates", "likely", "both-may-open"]
                        .contains(&order.as_str().expect("a word"))
            );
        }
    }
}

#[test]
fn without_a_fuse_named_what_holds_is_one_line() {
    let all = text(&run(&["--example"]));
    assert!(
        all.contains("hold; `--fuse engine-fuses.fuel` shows how"),
        "{all}"
    );
    assert!(!all.contains("breaking-capacity, holds"));
    let one = text(&run(&["--example", "--fuse", "engine-fuses.fuel"]));
    assert!(one.contains("breaking-capacity, holds"));
}

/// The three ratings of the stalled pump, at the file's 50 degC and in air of 20.
#[test]
fn a_fuse_is_tried_with_other_ratings_and_in_other_air() {
    let asked = [
        "--example",
        "--fuse",
        "engine-fuses.fuel",
        "--try",
        "7.5 A,10A,15A",
    ];
    for more in [&[][..], &["--air", "20degC"]] {
        let output = run(&[&asked[..], more].concat());
        assert_eq!(output.status.code(), Some(0));
        let shown = text(&output);
        assert!(
            shown.contains("CAUTION") && shown.contains("To try is not to fit"),
            "{shown}"
        );
        let flat = shown.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            flat.contains("with 15 A blade, more than is fitted"),
            "{flat}"
        );
        assert!(
            flat.matches("with `high-pressure` stalled").count() == 3,
            "{flat}"
        );
        assert!(
            !flat.contains("20.0 A still"),
            "never a larger fuse: {flat}"
        );
    }
    let object = json(&asked);
    let tried = object["tried"].as_array().expect("a list");
    assert_eq!(tried.len(), 3);
    let above: Vec<bool> = tried
        .iter()
        .map(|one| one["above_fitted"].as_bool().expect("known"))
        .collect();
    assert_eq!(above, [false, false, true]);
    assert_eq!(run(&["--example", "--try", "5 A"]).status.code(), Some(2));
    let refused = run(&["--example", "--fuse", "main", "--try", "0 A"]);
    assert_eq!(refused.status.code(), Some(2));
}
