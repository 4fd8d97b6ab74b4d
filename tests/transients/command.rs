//! The command as people run it.

use std::process::{Command, Output, Stdio};

fn ampkeel(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .output()
        .expect("runs")
}

fn printed(arguments: &[&str]) -> String {
    let output = ampkeel(arguments);
    assert!(output.status.success(), "{output:?}");
    String::from_utf8(output.stdout).expect("text")
}

const BASALT: &str = "circuits/basalt-bilge-pump.toml";

#[test]
fn cautions_come_first_then_the_answer_then_what_happens() {
    let shown = printed(&["transient", BASALT, "--for", "1s", "--plot", "bilge-pump"]);
    let at = |needle: &str| {
        shown
            .find(needle)
            .unwrap_or_else(|| panic!("{needle}\n{shown}"))
    };
    assert!(at("CAUTION") < at("no fuse opens"));
    assert!(at("no fuse opens") < at("what happens"));
    assert!(at("begins to turn") < at("peaks and end values"));
    assert!(at("peaks and end values") < at("bilge-pump.current_a"));
    assert!(
        shown.lines().all(|line| line.chars().count() <= 80),
        "{shown}"
    );
}

#[test]
fn json_holds_events_with_times_and_every_quantity_with_its_peak() {
    let text = printed(&["transient", BASALT, "--for", "1s", "--json", "--traces"]);
    let json: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(json["command"], "transient");
    assert_eq!(json["state"], "pumping");
    let events = json["events"].as_array().expect("events");
    assert!(
        events
            .iter()
            .any(|event| event["what"] == "turns" && event["subject"] == "bilge-pump")
    );
    let moments = json["times_s"].as_array().expect("times").len();
    let traces = json["traces"].as_array().expect("traces");
    assert!(
        traces
            .iter()
            .all(|trace| trace["values"].as_array().expect("values").len() == moments)
    );
    let pump = |quantity: &str| {
        let mut quantities = json["quantities"].as_array().expect("quantities").iter();
        quantities
            .find(|one| one["subject"] == "bilge-pump" && one["quantity"] == quantity)
            .cloned()
    };
    assert!(pump("current_a").expect("current")["peak"].as_f64() > Some(5.0));
    assert!(pump("speed_rpm").is_some());
    assert!(!json["cautions"].as_array().expect("cautions").is_empty());
}

#[test]
fn csv_is_written_once_and_not_over_another_file() {
    let folder = std::env::temp_dir().join(format!("ampkeel-transient-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("folder");
    let path = folder.join("run.csv");
    let name = path.to_str().expect("name");
    let asked = ["transient", BASALT, "--for", "20ms", "--csv", name];
    printed(&asked);
    let text = std::fs::read_to_string(&path).expect("written");
    let mut lines = text.lines();
    let header = lines.next().expect("header");
    assert!(header.starts_with("time_s,") && header.contains(",bilge-pump.current_a,"));
    let width = header.split(',').count();
    assert!(lines.clone().all(|line| line.split(',').count() == width));
    assert!(lines.count() > 50);
    assert_eq!(ampkeel(&asked).status.code(), Some(2));
    std::fs::remove_dir_all(&folder).expect("cleared");
}

#[test]
fn names_that_are_none_are_refused_with_the_nearest() {
    for (arguments, said) in [
        (vec!["--state", "pumpin"], "pumping"),
        (vec!["--locked", "bilge-pum"], "bilge-pump"),
        (vec!["--locked", "float"], "no shaft"),
        (vec!["--short", "nowhere at 50 %"], "wire"),
        (
            vec!["--plot", "bilge-pump.curent_a"],
            "bilge-pump.current_a",
        ),
        (vec!["--for", "3h"], "two hours"),
    ] {
        let output = ampkeel(&[vec!["transient", BASALT], arguments.clone()].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let talk = String::from_utf8(output.stderr).expect("text");
        assert!(talk.contains(said), "{arguments:?}: {talk}");
    }
}

#[test]
fn a_state_starts_from_the_one_the_file_puts_before_it_unless_cold_is_asked_for() {
    let boat = "circuits/gabbro-injected-outboard.toml";
    let asked = [
        "transient",
        boat,
        "--state",
        "idle",
        "--for",
        "1s",
        "--json",
    ];
    let from = |more: &[&str]| {
        let text = printed(&[&asked, more].concat());
        let json: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        json["from"].clone()
    };
    assert_eq!(from(&[]), "start");
    assert_eq!(from(&["--cold"]), serde_json::Value::Null);
    assert_eq!(from(&["--from", "key-on"]), "key-on");
}

#[test]
fn a_circuit_of_many_states_asks_for_one() {
    let output = ampkeel(&["transient", "--example"]);
    let talk = String::from_utf8(output.stderr).expect("text");
    assert!(talk.contains("--state"), "{talk}");
}
