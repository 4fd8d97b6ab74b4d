//! `solve --tolerance` as people run it, and mistakes in readings.

use super::HALF_KNOWN;
use crate::cli::run_with;

#[test]
fn cautions_come_first_then_the_answer_and_what_to_measure() {
    let output = run_with(&["solve", "-", "--tolerance"], HALF_KNOWN);
    let text = String::from_utf8(output.stdout).unwrap();
    let place = |words: &str| {
        text.find(words)
            .unwrap_or_else(|| panic!("no `{words}` in\n{text}"))
    };
    let order = [
        place("CAUTION"),
        place("cannot be told yet"),
        place("Fails, or cannot be told yet"),
        place("Measure next"),
        place("Readings in `both`"),
        place("not written"),
    ];
    assert!(order.is_sorted(), "{order:?}\n{text}");
}

#[test]
fn json_has_readings_verdicts_and_what_to_measure() {
    let output = run_with(&["solve", "-", "--tolerance", "--json"], HALF_KNOWN);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let tolerance = &json["tolerance"];
    assert_eq!(tolerance["samples"], 4096.0);
    let verdicts = tolerance["verdicts"].as_array().unwrap();
    assert!(verdicts.iter().any(|v| v["verdict"] == "cannot-tell-yet"));
    for verdict in verdicts {
        let share = verdict["probability_bad"].as_f64().unwrap();
        let told = verdict["verdict"].as_str().unwrap();
        let by_share = match share {
            share if share > 0.975 => "fails",
            share if share < 0.025 => "holds",
            _ => "cannot-tell-yet",
        };
        // What was guessed is told by no share.
        let is_guessed = verdict["code"]
            .as_str()
            .unwrap()
            .starts_with("fuse-above-wire")
            || verdict["code"] == "wire-unprotected";
        assert!(
            told == by_share || is_guessed && told == "cannot-tell-yet",
            "{verdict}"
        );
    }
    assert!(!tolerance["measure_next"].as_array().unwrap().is_empty());
    assert!(!json["states"].as_array().unwrap().is_empty());
}

#[test]
fn every_mistake_of_a_reading_is_told_with_its_line_and_what_to_type() {
    let text = format!(
        "{HALF_KNOWN}
[[reading]]
at = \"bilge-pmp\"
quantity = \"volt\"
value = \"11.6 V\"
state = \"pumpng\"

[[reading]]
at = \"lights\"
quantity = \"volts\"
value = \"11.6 A\"
state = \"both\"

[[reading]]
at = \"house.plus\"
quantity = \"amps\"
value = \"3 A\"
state = \"both\"

[[reading]]
at = \"lights\"
quantity = \"millivolts\"
value = \"11600 V\"
"
    );
    let output = run_with(&["check", "-", "--json"], &text);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let found: Vec<String> = json["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|finding| finding["severity"] == "mistake")
        .map(|finding| {
            assert!(
                finding["line"].as_u64().is_some() && finding["hint"].is_string(),
                "{finding}"
            );
            finding["code"].as_str().unwrap().to_owned()
        })
        .collect();
    for code in [
        "unknown-part",
        "unknown-word",
        "unknown-state",
        "bad-figure",
        "wrong-part",
        "missing-field",
        "out-of-range",
    ] {
        assert!(
            found.iter().any(|found| found == code),
            "no {code} in {found:?}"
        );
    }
}

#[test]
fn samples_and_seed_belong_to_tolerance() {
    for option in [["--samples", "128"], ["--seed", "3"]] {
        let output = run_with(&["solve", "-", option[0], option[1]], "");
        assert_eq!(output.status.code(), Some(2), "{option:?}");
    }
}

#[test]
fn a_reading_without_a_unit_is_told_beside_the_mistakes_of_parts() {
    let text = format!(
        "{}\n[[reading]]\nat = \"lights\"\nquantity = \"volts\"\nvalue = \"12\"\nstate = \"both\"\n",
        HALF_KNOWN.replace("rating = \"20 A\"", "rating = \"20 V\"")
    );
    let output = run_with(&["check", "-", "--json"], &text);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let findings = json["findings"].as_array().unwrap();
    let lines: Vec<&str> = findings
        .iter()
        .filter_map(|finding| finding["statement"].as_str())
        .collect();
    assert_eq!(lines.len(), 2, "{lines:?}");
}
