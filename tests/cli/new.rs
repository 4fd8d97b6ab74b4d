//! `new --like` and `--typical`: typical boats, written down or asked at once.

use super::{folder, json, result, run, status, talk};
use ampkeel::cli::builtin::{TYPICAL, typical};
use std::path::Path;

#[test]
fn a_starter_file_and_its_schema_are_written_and_never_over_others() {
    let folder = folder("new");
    let path = folder.join("boat.toml");
    let name = path.to_str().expect("path");
    let arguments = ["new", "--like", "Console Boat", "-o", name];

    let first = run(&arguments);
    assert_eq!(status(&first), 0, "{}", talk(&first));
    let shown = result(&first);
    let about = "the figures are those of a typical console boat, not of your boat";
    assert!(shown.starts_with(about), "{shown}");
    assert!(
        shown.contains("solve") && shown.contains("--tolerance"),
        "{shown}"
    );
    let text = std::fs::read_to_string(&path).expect("written");
    assert_eq!(text, typical("console boat").expect("known").text);
    let schema = folder.join("ampkeel.schema.json");
    let named = text
        .lines()
        .next()
        .and_then(|line| line.strip_prefix("#:schema ./"));
    assert_eq!(named, Some("ampkeel.schema.json"));
    let written = std::fs::read_to_string(&schema).expect("written");
    assert_eq!(written, result(&run(&["schema"])));

    std::fs::write(&path, "mine").expect("written");
    let second = run(&arguments);
    assert_eq!(status(&second), 2);
    assert!(talk(&second).contains("`--force` replaces it"));
    assert_eq!(std::fs::read_to_string(&path).expect("kept"), "mine");

    // Another schema under that name is left alone, and said.
    std::fs::write(&schema, "mine").expect("written");
    std::fs::remove_file(&path).expect("removed");
    let third = run(&arguments);
    assert_eq!(status(&third), 0, "{}", talk(&third));
    assert!(result(&third).contains("was there and differs"));
    assert_eq!(std::fs::read_to_string(&schema).expect("kept"), "mine");

    let forced = run(&[&arguments[..], &["--force"]].concat());
    assert_eq!(status(&forced), 0, "{}", talk(&forced));
    assert_eq!(std::fs::read_to_string(&schema).expect("new"), written);
    assert_eq!(std::fs::read_dir(&folder).expect("folder").count(), 2);
}

#[test]
fn without_a_file_it_prints_the_circuit_alone_and_says_the_rest_beside_it() {
    let output = run(&["new", "--like", "bench rig"]);
    assert_eq!(result(&output), typical("bench rig").expect("known").text);
    assert!(talk(&output).contains("not of your boat"));
    let object = json(&run(&["new", "--like", "bench rig", "--json"]));
    assert_eq!(object["text"], typical("bench rig").expect("known").text);
}

#[test]
fn an_unknown_kind_is_answered_with_those_there_are() {
    let near = run(&["new", "--like", "console bot"]);
    assert_eq!(status(&near), 2);
    assert!(talk(&near).contains("'console boat'"), "{}", talk(&near));
    let none = run(&["new"]);
    assert_eq!(status(&none), 2);
    for boat in TYPICAL {
        assert!(talk(&none).contains(boat.kind), "{}", talk(&none));
    }
}

/// What every command says of a typical boat, from its file and without one.
fn every_command_answers(kind: &str, fuse: &str, part: &str) {
    let folder = folder(&format!("new-{}", kind.replace(' ', "-")));
    let path = folder.join("boat.toml");
    let name = path.to_str().expect("path");
    let boat = typical(kind).expect("known");
    std::fs::write(&path, boat.text).expect("written");
    let page = folder.join("boat.html");
    let page = page.to_str().expect("path");
    let sized = folder.join("sized.toml");
    let sized = sized.to_str().expect("path");
    let commands: [&[&str]; 8] = [
        &["check", name],
        &["solve", name],
        &["solve", name, "--tolerance", "--samples", "256"],
        &["protect", name],
        &["size", name, "-o", sized],
        &["bench", name, part],
        &["trace", name, "--fuse", fuse],
        &["report", name, "-o", page],
    ];
    for command in commands {
        let output = run(command);
        assert_eq!(
            status(&output),
            0,
            "{command:?}{}{}",
            result(&output),
            talk(&output)
        );
    }
    let back = run(&["check", sized]);
    assert_eq!(status(&back), 0, "{}", talk(&back));
    for command in ["solve", "protect"] {
        let output = run(&[command, "--typical", kind]);
        let first = result(&output);
        assert!(first.starts_with("answered for a typical"), "{first}");
        assert_eq!(status(&output), 0, "{first}");
    }
}

#[test]
fn every_command_answers_for_the_injected_outboard() {
    every_command_answers("injected outboard", "main", "high-pressure");
}

#[test]
fn every_command_answers_for_the_carburetted_outboard() {
    every_command_answers("carburetted outboard", "main", "starter");
}

#[test]
fn every_command_answers_for_bilge_pump_and_lights() {
    every_command_answers("bilge pump and lights", "main", "bilge-pump");
}

#[test]
fn every_command_answers_for_the_inboard_auxiliary() {
    every_command_answers("inboard auxiliary", "main", "fuel-lift");
}

#[test]
fn every_command_answers_for_the_console_boat() {
    every_command_answers("console boat", "main", "livewell-pump");
}

#[test]
fn every_command_answers_for_the_bench_rig() {
    every_command_answers("bench rig", "inline", "test-pump");
}

#[test]
fn every_typical_boat_is_half_known_and_says_what_to_check_first() {
    assert_eq!(TYPICAL.len(), 6);
    for boat in TYPICAL {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits/typical");
        let text = std::fs::read_to_string(folder.join(boat.file)).expect("there");
        assert_eq!(text, boat.text);
        let read = ampkeel::reading::read(&ampkeel::span::CircuitText::new(boat.file, text));
        assert!(
            read.findings.is_empty(),
            "{}: {:?}",
            boat.kind,
            read.findings
        );
        let circuit = read.circuit.expect("sound");
        let open = |wire: &&ampkeel::circuit::Wire| wire.unwritten.length.is_some();
        assert!(
            circuit.wires.iter().any(|wire| open(&wire)),
            "{}",
            boat.kind
        );
        let said = boat.text.replace("\n# ", " ");
        assert!(said.contains("is typical, not your"), "{}", boat.kind);
        assert!(boat.text.contains("\n#  1. "), "{}", boat.kind);
    }
}

#[test]
fn a_trace_of_a_typical_boat_says_what_writing_down_would_sharpen() {
    let arguments = ["trace", "--typical", "injected outboard", "--fuse", "main"];
    let shown = result(&run(&arguments));
    let first = shown
        .split("\n\n")
        .next()
        .expect("a line")
        .replace('\n', " ");
    assert!(first.contains("not for your boat"), "{first}");
    assert!(first.contains("is to be held against yours"), "{first}");
    assert!(
        first.contains("new --like \"injected outboard\" -o boat.toml"),
        "{first}"
    );
    assert!(shown.contains("what writing down would sharpen"), "{shown}");
    let object = json(&run(&[&arguments[..], &["--json"]].concat()));
    let odds = |list: &str| -> Vec<f64> {
        let list = object["sharpen"][list].as_array().expect("a list");
        let odds = list
            .iter()
            .map(|one| one["probability"].as_f64().expect("odds"));
        odds.collect()
    };
    let places = odds("look_up");
    assert!(
        places.len() > 1 && places.is_sorted_by(|a, b| a >= b),
        "{places:?}"
    );
    assert!(!odds("measure").is_empty());
}
