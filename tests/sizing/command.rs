//! `size` as people run it.

use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .arg("size")
        .args(arguments)
        .env("NO_COLOR", "1")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .expect("runs")
}

fn shown(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

fn json(arguments: &[&str]) -> (serde_json::Value, Option<i32>) {
    let output = run(&[arguments, &["--json"]].concat());
    let object = serde_json::from_slice(&output.stdout).expect("JSON");
    (object, output.status.code())
}

fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder).expect("removed");
    }
    std::fs::create_dir_all(&folder).expect("made");
    folder
}

const BASALT: &str = "circuits/basalt-bilge-pump.toml";

#[test]
fn cautions_come_before_the_answer_and_the_list_after_it() {
    let output = run(&[BASALT]);
    let text = shown(&output);
    assert_eq!(output.status.code(), Some(0), "{text}");
    let places = [
        "Never fit a larger fuse",
        "wires and 0 of",
        "Shopping list",
        "How far it is proven",
    ]
    .map(|words| {
        text.find(words)
            .unwrap_or_else(|| panic!("{words}: {text}"))
    });
    assert!(places.is_sorted(), "{text}");
}

#[test]
fn a_built_in_boat_says_that_it_is_not_the_users() {
    for arguments in [&["--example"][..], &["--typical", "bilge pump and lights"]] {
        let text = shown(&run(arguments));
        assert!(
            text.lines()
                .next()
                .is_some_and(|line| line.contains("answered for")),
            "{text}"
        );
    }
}

#[test]
fn json_has_its_keys() {
    let (object, status) = json(&["circuits/schist-console-boat.toml"]);
    assert_eq!(status, Some(0));
    assert_eq!(object["command"], "size");
    let wires = object["wires"].as_array().expect("a list");
    assert_eq!(wires.len(), 35);
    for key in ["from", "to", "size", "was", "binding"] {
        assert!(wires.iter().all(|wire| wire[key].is_string()), "{key}");
    }
    let plotter = &object["fuses"]["console.plotter"];
    assert_eq!(
        (&plotter["rating_a"], &plotter["was_a"]),
        (&5.0.into(), &10.0.into())
    );
    assert_eq!(plotter["binding"], "label");
    let figure = |key: &str| object[key].as_f64().expect(key);
    assert!(figure("bound_kg") <= figure("copper_kg"));
    let all_m = |list: &serde_json::Value| -> f64 {
        let rows = list.as_array().expect("rows").iter();
        rows.map(|row| row["all_m"].as_f64().expect("metres")).sum()
    };
    assert!(all_m(&object["shopping"]["wires"]) > 50.0);
    assert!(
        object["cautions"]
            .as_array()
            .is_some_and(|all| all.len() == 2)
    );
}

#[test]
fn rules_that_collide_end_with_one_and_are_named() {
    let (object, status) = json(&[
        "circuits/schist-console-boat.toml",
        "--stock",
        "18 AWG, 16 AWG",
    ]);
    assert_eq!(status, Some(1));
    let findings = object["findings"].as_array().expect("a list");
    let collides = |finding: &&serde_json::Value| finding["code"] == "rules-collide";
    assert!(findings.iter().filter(collides).count() > 0);
    let open = findings.iter().filter(|f| f["code"] == "drop-above-limit");
    assert!(open.into_iter().all(|f| f["sizing_can_mend"] == false));
}

#[test]
fn a_stock_of_fuses_is_read_with_and_without_style() {
    let (object, _) = json(&[BASALT, "--fuses", "blade 4 A, strip 30 A, 10 A"]);
    // The fitted 5 A carries the pump and stays; nothing is bought for it.
    assert_eq!(object["fuses"]["bilge"]["rating_a"], 5.0);
    for wrong in ["blade", "10 V", "4"] {
        assert_eq!(
            run(&[BASALT, "--fuses", wrong]).status.code(),
            Some(2),
            "{wrong}"
        );
    }
    assert_eq!(run(&[BASALT, "--stock", "16"]).status.code(), Some(2));
}

#[test]
fn the_sized_file_is_written_and_nothing_is_overwritten_unless_told() {
    let path = folder("sizing").join("sized.toml");
    let name = path.to_str().expect("path");
    let first = run(&[BASALT, "-o", name]);
    assert_eq!(first.status.code(), Some(0), "{}", shown(&first));
    let text = std::fs::read_to_string(&path).expect("written");
    assert!(text.contains("# A solve shows: pumping 2.5 to 4 A"));
    std::fs::write(&path, "mine").expect("written");
    assert_eq!(run(&[BASALT, "-o", name]).status.code(), Some(2));
    assert_eq!(std::fs::read_to_string(&path).expect("kept"), "mine");
    assert_eq!(run(&[BASALT, "-o", name, "--force"]).status.code(), Some(0));
    assert_eq!(std::fs::read_to_string(&path).expect("replaced"), text);
    let again = shown(&run(&[name]));
    assert!(again.contains("nothing has to change"), "{again}");
    assert_eq!(run(&[BASALT, "-o", "-"]).status.code(), Some(2));
}
