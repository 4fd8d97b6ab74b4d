//! Cautions: complete, filed by topic, with their figures.

use ampkeel::tables::cautions::{caution, cautions, cautions_for, topics, two_line_summary};

const TAGS: [&str; 35] = [
    "vapour",
    "switch-far",
    "far-battery",
    "time10",
    "dry5",
    "lock2",
    "test-fluid",
    "relieve",
    "fuse-lead",
    "neg-first",
    "no-break",
    "eyes",
    "short",
    "static",
    "kill",
    "rotate",
    "water",
    "exhaust",
    "battery-on",
    "polarity",
    "ign-protected",
    "amps-jack",
    "lamp-hot",
    "clamp-starter",
    "trim-drop",
    "high-volts",
    "high-tension",
    "injector-pulse",
    "no-bridge",
    "fuse-never",
    "starter-time",
    "jack-limit",
    "studs",
    "shorted-part",
    "extinguisher",
];

#[test]
fn every_caution_is_there_with_its_reason() {
    let found: Vec<String> = cautions().into_iter().map(|c| c.tag).collect();
    assert_eq!(found, TAGS);
    for tag in TAGS {
        let caution = caution(tag).expect("listed");
        assert!(caution.text.ends_with('.'), "{tag}");
        assert!(
            !caution.reason.is_empty() && !caution.applies_to.is_empty(),
            "{tag}"
        );
    }
    assert_eq!(
        caution("switch_far").expect("either spelling").tag,
        "switch-far"
    );
    assert!(caution("luck").is_err());
}

#[test]
fn cautions_keep_their_figures() {
    for (tag, figures) in [
        ("vapour", vec!["3 m"]),
        ("time10", vec!["10 s"]),
        ("lock2", vec!["2 s"]),
        ("fuse-lead", vec!["15 A", "5 A", "1 A", "30 A"]),
        ("short", vec![]),
        ("starter-time", vec!["10 s", "2 minutes", "30 s"]),
        ("jack-limit", vec!["10 A", "10 s"]),
        ("studs", vec!["30", "87", "86", "85"]),
    ] {
        let text = caution(tag).expect("listed").text;
        for figure in figures {
            assert!(text.contains(figure), "{tag}: {figure}");
        }
    }
    assert!(
        caution("short")
            .expect("listed")
            .reason
            .contains("1000 to 2500 A")
    );
    assert!(
        caution("lock2")
            .expect("listed")
            .reason
            .contains("20 degrees a second")
    );
}

/// What must never be dropped from a fuel-pump run: 10 s at most, pump far from
/// the battery, switch at the battery's end, filled, never dry.
#[test]
fn a_fuel_pump_run_never_loses_its_cautions() {
    let tags: Vec<String> = cautions_for("fuel-pump")
        .into_iter()
        .map(|c| c.tag)
        .collect();
    for tag in [
        "vapour",
        "switch-far",
        "far-battery",
        "time10",
        "dry5",
        "lock2",
        "test-fluid",
        "fuse-lead",
        "amps-jack",
        "fuse-never",
        "extinguisher",
    ] {
        assert!(tags.iter().any(|found| found == tag), "{tag}");
    }
    assert!(!tags.iter().any(|found| found == "trim-drop"));
}

#[test]
fn every_topic_has_more_than_the_general_cautions() {
    let general = cautions_for("nothing").len();
    assert_eq!(general, 3);
    for topic in topics().iter().filter(|topic| *topic != "all") {
        assert!(
            cautions_for(topic).len() > general || topic == "metering",
            "{topic}"
        );
    }
}

#[test]
fn first_screen_names_vapour_fuel_pump_and_fuse() {
    let both = two_line_summary().join(" ");
    for word in ["vapour", "10 s", "larger fuse", "propeller"] {
        assert!(both.contains(word), "{word}");
    }
}
