//! Schist: four faults, each found, and mended by what its head says.

use super::{Solved, solved, solved_text, text_of, within};

const FILE: &str = "schist-console-boat.toml";
const ON_THE_BUS: [&str; 3] = ["plotter", "bow-light", "stern-light"];

/// The boat with one text of its file replaced.
fn mended(from: &str, to: &str) -> Solved {
    let text = text_of(FILE);
    assert_eq!(text.matches(from).count(), 1, "{from}");
    solved_text(&text.replace(from, to))
}

#[test]
fn schist_shows_its_four_faults_and_no_other() {
    let boat = solved(FILE);
    let expected = [
        ("drop-above-limit", "bow-light"),
        ("drop-above-limit", "plotter"),
        ("drop-above-limit", "radio"),
        ("drop-above-limit", "stern-light"),
        ("fuse-above-label", "console.plotter"),
        ("fuse-above-maker", "console.plotter"),
    ];
    assert_eq!(boat.violations(), expected);
    assert_eq!(boat.cautions(), [("drop-verdicts-differ", "bilge-pump")]);
    for finding in &boat.findings {
        let state = finding.state.as_deref();
        assert!(state != Some("start"), "{}", finding.statement);
        let only_the_splice = state != Some("moored") || finding.subject == "bilge-pump";
        assert!(only_the_splice, "{}", finding.statement);
    }
}

#[test]
fn the_corroded_splice_is_seen_by_the_meter_alone_and_no_wire_mends_it() {
    let boat = solved(FILE);
    within(boat.rule_pct("moored", "bilge-pump"), 0.0, 3.0);
    assert!(boat.meter_pct("moored", "bilge-pump") > 3.0);
    within(
        boat.state("moored").parts["bilge-pump"].drop_v.unwrap(),
        0.6,
        0.8,
    );
    // The splice alone, by Ohm's law.
    let splice = "lengths = [\"4 ft\"]\njoints = \"0.2 ohm\"";
    let thick = mended(splice, &format!("{splice}\nsize = \"4 AWG\""));
    assert!(thick.meter_pct("moored", "bilge-pump") > 3.0);
    let cleaned = mended("\njoints = \"0.2 ohm\"", "");
    within(cleaned.meter_pct("moored", "bilge-pump"), 0.0, 3.0);
    let spared = boat.state("moored").parts["bilge-pump"].drop_v.unwrap()
        - cleaned.state("moored").parts["bilge-pump"].drop_v.unwrap();
    within(spared / boat.amps("moored", "bilge-pump"), 0.18, 0.2);
}

#[test]
fn the_thin_radio_wire_is_cured_by_thicker_wire() {
    let boat = solved(FILE);
    within(boat.rule_pct("transmit", "radio"), 7.0, 9.0);
    let thick = mended("size = \"16 SAE\"", "size = \"8 AWG\"");
    within(thick.rule_pct("transmit", "radio"), 0.0, 3.0);
}

#[test]
fn the_shared_ground_is_cured_by_that_one_wire() {
    let boat = solved(FILE);
    for state in ["day", "night", "transmit"] {
        assert!(boat.rule_pct(state, "plotter") > 3.0, "{state}");
    }
    for light in ["bow-light", "stern-light"] {
        assert!(boat.rule_pct("night", light) > 3.0, "{light}");
    }
    let ground = "lengths = [\"20 ft\"]\nsize = \"16 AWG\"";
    let thick = mended(ground, "lengths = [\"20 ft\"]\nsize = \"8 AWG\"");
    let over = thick.violations();
    assert!(
        over.iter()
            .all(|(_, subject)| !ON_THE_BUS.contains(subject)),
        "{over:?}"
    );
    // Nothing on that bus is switched on in these.
    for state in ["moored", "start"] {
        for part in ON_THE_BUS {
            assert_eq!(boat.state(state).parts[part].rule_drop_pct, None);
        }
    }
}
