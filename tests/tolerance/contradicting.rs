//! Readings that no boat shows together, readings with no place, and slips.

use super::{HALF_KNOWN, circuit, studied};
use crate::cli::run_with;

fn reading(at: &str, quantity: &str, value: &str, state: &str) -> String {
    format!(
        "\n[[reading]]\nat = \"{at}\"\nquantity = \"{quantity}\"\nvalue = \"{value}\"\nstate = \"{state}\"\n"
    )
}

fn read(readings: &[(&str, &str, &str)]) -> String {
    let each = readings.iter();
    let each = each.map(|(at, quantity, value)| reading(at, quantity, value, "both"));
    format!("{HALF_KNOWN}{}", each.collect::<String>())
}

#[test]
fn readings_that_contradict_each_other_leave_every_range_as_unread() {
    let unread = studied(&circuit(HALF_KNOWN), 512);
    for contradicting in [
        [
            ("bilge-pump", "amps", "2 A +/- 0.05 A"),
            ("bilge-pump", "amps", "3 A +/- 0.05 A"),
        ],
        [
            ("lights", "volts", "11.9 V +/- 0.02 V"),
            ("lights", "volts", "11.0 V +/- 0.02 V"),
        ],
    ] {
        let study = studied(&circuit(&read(&contradicting)), 512);
        let readings = study.readings.as_ref().unwrap();
        assert!(readings.contradict && readings.narrowed.is_empty());
        assert_eq!(study.ranges, unread.ranges);
        assert_eq!(study.drawn, unread.drawn);
        let told = |code: &str| study.findings.iter().any(|f| f.code.name() == code);
        assert!(told("reading-contradicts") && !told("readings-leave-few"));
    }
}

#[test]
fn a_reading_that_no_study_takes_leaves_the_others_in_their_places() {
    let driver = include_str!("../../circuits/devices/driver.toml");
    let text = format!(
        "{driver}{}{}",
        reading("module", "amps", "0.9 A", "one"),
        reading("left-injector", "volts", "12.3 V", "one")
    );
    let study = studied(&circuit(&text), 256);
    let checked = study.readings.unwrap().checked;
    let told: Vec<(&str, f64)> = checked.iter().map(|c| (c.at.as_str(), c.value)).collect();
    assert_eq!(told, [("left-injector", 12.3)]);
    let mut findings = study.findings.iter();
    let left = findings.find(|finding| finding.code.name() == "reading-not-used");
    assert_eq!(left.unwrap().subject, "module");
}

fn mistakes(text: &str) -> Vec<(String, String)> {
    let output = run_with(&["check", "-", "--json"], text);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let all = json["findings"].as_array().unwrap().iter();
    let all = all.filter(|finding| finding["severity"] == "mistake");
    let word = |finding: &serde_json::Value, key: &str| finding[key].as_str().unwrap().to_owned();
    all.map(|finding| (word(finding, "code"), word(finding, "hint")))
        .collect()
}

#[test]
fn volts_of_a_battery_at_a_fuse_are_asked_for_again_with_the_terminal_to_write() {
    let found = mistakes(&read(&[("main", "volts", "12.4 V")]));
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, "terminal-needed");
    assert!(found[0].1.contains("at = \"main.out\""), "{}", found[0].1);
    let wire = mistakes(&read(&[("main.out to helm.feed", "volts", "12.4 V")]));
    assert!(wire[0].1.contains("at = \"helm.feed\""), "{wire:?}");
    // What a fuse loses, and what stands behind it, are read.
    for sound in [
        ("main", "volts", "0.05 V"),
        ("main", "millivolts", "50 mV"),
        ("main.out", "volts", "12.4 V"),
    ] {
        assert_eq!(mistakes(&read(&[sound])), [], "{sound:?}");
    }
}

#[test]
fn an_error_of_nought_and_amperes_of_a_whole_block_are_refused() {
    let nought = mistakes(&read(&[("lights", "volts", "12 V +/- 0 V")]));
    assert_eq!(nought[0].0, "out-of-range");
    let block = mistakes(&read(&[("helm", "amps", "4 A")]));
    assert_eq!(block[0].0, "wrong-part");
    assert!(block[0].1.contains("one of its fuses"), "{}", block[0].1);
}

#[test]
fn a_verdict_that_fails_in_nearly_every_boat_is_a_violation() {
    // A full battery of 12.6 to 12.7 V less 11.7 V: some 0.9 V are lost, more than
    // half of it along wires, where 3 % of 12 V, 0.36 V, are allowed; the typical
    // boat loses less.
    let text = read(&[("bilge-pump", "volts", "11.7 V")]).replace("charge = \"70 to 100 %\"\n", "");
    let plain = run_with(&["solve", "-"], &text);
    let ranges = run_with(&["solve", "-", "--tolerance", "--json"], &text);
    let json: serde_json::Value = serde_json::from_slice(&ranges.stdout).unwrap();
    let verdicts = json["tolerance"]["verdicts"].as_array().unwrap();
    let fails = verdicts
        .iter()
        .find(|verdict| verdict["code"] == "drop-above-limit" && verdict["verdict"] == "fails");
    assert!(fails.is_some(), "{verdicts:?}");
    assert_eq!(plain.status.code(), Some(0));
    assert_eq!(ranges.status.code(), Some(1));
}

#[test]
fn what_no_step_tells_for_good_is_named_after_them() {
    let study = studied(&circuit(HALF_KNOWN), 512);
    let open = |subject: &str| {
        let mut all = study.left_open.iter();
        all.any(|(left, share)| left.contains(subject) && *share > 0.05 && *share <= 1.0)
    };
    let settled: Vec<&str> = study
        .next
        .iter()
        .flat_map(|step| &step.settles)
        .filter(|(_, chance)| *chance > 0.95)
        .map(|(verdict, _)| verdict.as_str())
        .collect();
    // Every open verdict is either told by the steps or named as left.
    for verdict in &study.verdicts {
        if verdict.standing == ampkeel::tolerance::Standing::Open {
            let subject = format!("`{}`", verdict.subject);
            let told = settled.iter().any(|settled| settled.contains(&subject));
            assert!(
                told || open(&subject),
                "{subject}: {:?} {:?}",
                study.next,
                study.left_open
            );
        }
    }
}
