//! `check`: mistakes with their place, and what programs read of them.

use ampkeel::cli::builtin::TYPICAL;

use super::{BROKEN, folder, json, result, run, run_with, status, talk};

#[test]
fn a_mistake_is_shown_with_its_line_and_a_caret() {
    let path = folder("check-broken").join("boat.toml");
    std::fs::write(&path, BROKEN).expect("written");
    let output = run(&["check", path.to_str().expect("path")]);
    let shown = result(&output);
    assert_eq!(status(&output), 2);
    assert!(shown.contains("mistake[toml-syntax]: "), "{shown}");
    assert!(shown.contains("boat.toml:2:"), "{shown}");
    assert!(shown.contains("2 | title = \"no end"), "{shown}");
    assert!(shown.contains('^'), "{shown}");
    assert!(
        shown
            .trim_end()
            .ends_with("`ampkeel explain toml-syntax` says more")
    );
}

#[test]
fn a_dash_reads_the_pipe() {
    let output = run_with(&["check", "-"], BROKEN);
    assert_eq!(status(&output), 2);
    assert!(result(&output).contains("--> -:2:"), "{}", result(&output));
}

#[test]
fn json_has_the_keys_of_every_command() {
    let output = run_with(&["check", "--json", "-"], BROKEN);
    assert_eq!(status(&output), 2);
    let object = json(&output);
    assert_eq!(object["format"], 1);
    assert_eq!(object["command"], "check");
    assert_eq!(object["sound"], false);
    assert!(object["assumed"].is_array() && object["sources"].is_array());
    let finding = object["findings"][0].as_object().expect("a finding");
    let keys: Vec<&str> = finding.keys().map(String::as_str).collect();
    let expected = [
        "code",
        "severity",
        "subject",
        "state",
        "statement",
        "hint",
        "value",
        "limit",
        "unit",
        "sizing_can_mend",
        "line",
        "column",
        "sources",
    ];
    assert_eq!(keys, expected);
    assert_eq!(finding["line"], 2);
}

#[test]
fn built_in_circuits_are_sound_and_named_on_the_first_line() {
    let typical = TYPICAL
        .iter()
        .map(|circuit| vec!["check", "--typical", circuit.kind]);
    for arguments in typical.chain([vec!["check", "--example"]]) {
        let output = run(&arguments);
        let shown = result(&output);
        assert_eq!(status(&output), 0, "{shown}{}", talk(&output));
        let first = shown.lines().next().expect("a line");
        assert!(first.starts_with("answered for "), "{first}");
    }
    let object = json(&run(&["check", "--example", "--json"]));
    assert!(
        object["about"]
            .as_str()
            .expect("about")
            .starts_with("answered for ")
    );
}

#[test]
fn nothing_falls_back_silently() {
    assert_eq!(status(&run(&["check"])), 2);
    let output = run(&["check", "--typical", "injected outbord"]);
    assert_eq!(status(&output), 2);
    assert!(talk(&output).contains("'injected outboard'"));
}

#[test]
fn a_file_that_is_no_text_says_which_byte() {
    let path = folder("check-no-text").join("boat.toml");
    std::fs::write(&path, b"format = 1\n\xff").expect("written");
    let output = run(&["check", path.to_str().expect("path")]);
    assert_eq!(status(&output), 2);
    assert!(talk(&output).contains("byte 12"), "{}", talk(&output));
}
