//! Pipes, colour and width.

use super::{BROKEN, ampkeel, json, result, run, status, talk};
use std::io::Write;
use std::process::Stdio;

const ESCAPE: char = '\u{1b}';

#[test]
fn a_reader_that_goes_away_ends_the_output_quietly() {
    let mut command = ampkeel(&["check", "-"]);
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().expect("starts");
    drop(child.stdout.take());
    // It waits for the circuit, so the reader is gone before anything is written.
    let mut pipe = child.stdin.take().expect("pipe");
    pipe.write_all(BROKEN.as_bytes()).expect("written");
    drop(pipe);
    let output = child.wait_with_output().expect("ends");
    assert_eq!(status(&output), 2);
    assert_eq!(talk(&output), "");
}

#[test]
fn a_pipe_gets_no_colour_unless_forced_and_no_color_wins_over_force() {
    let plain = run(&["explain", "toml-syntax"]);
    assert!(!result(&plain).contains(ESCAPE));
    let mut forced = ampkeel(&["explain", "toml-syntax"]);
    forced.env("CLICOLOR_FORCE", "1");
    assert!(result(&forced.output().expect("runs")).contains(ESCAPE));
    let refused = forced.env("NO_COLOR", "1").output().expect("runs");
    assert!(!result(&refused).contains(ESCAPE));
}

#[test]
fn the_option_wins_over_the_environment() {
    let mut always = ampkeel(&["explain", "toml-syntax", "--color", "always"]);
    let output = always.env("NO_COLOR", "1").output().expect("runs");
    assert!(result(&output).contains(ESCAPE));
    let mut never = ampkeel(&["--color", "never", "explain", "toml-syntax"]);
    let output = never.env("CLICOLOR_FORCE", "1").output().expect("runs");
    assert!(!result(&output).contains(ESCAPE));
}

#[test]
fn lines_keep_to_the_width() {
    for width in [40, 60, 80] {
        let shown = result(&run(&["explain", "--width", &width.to_string()]));
        let widest = shown.lines().map(|line| line.chars().count()).max();
        assert!(
            widest <= Some(width),
            "{widest:?} columns of {width}:\n{shown}"
        );
    }
    let piped = result(&run(&["explain"]));
    assert!(piped.lines().all(|line| line.chars().count() <= 80));
}

#[test]
fn ascii_means_ascii() {
    assert!(!result(&run(&["explain"])).is_ascii());
    assert!(result(&run(&["explain", "--ascii"])).is_ascii());
}

#[test]
fn the_same_question_gets_the_same_bytes() {
    assert_eq!(run(&["tables"]).stdout, run(&["tables"]).stdout);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full");
    let mut command = ampkeel(&["explain"]);
    let output = command
        .stdout(full.expect("device"))
        .output()
        .expect("runs");
    assert_eq!(status(&output), 2);
    assert!(talk(&output).contains("cannot write the result"));
}

#[test]
fn a_file_without_end_is_refused_in_words() {
    let output = run(&["check", "/dev/zero"]);
    assert_eq!(status(&output), 2);
    assert!(talk(&output).is_empty() || !talk(&output).contains("panicked"));
    assert!(result(&output).contains("larger than any circuit"));
}

#[test]
fn a_refusal_has_its_reason_in_json_too() {
    let output = run(&["solve", "there-is-none.toml", "--json"]);
    assert_eq!(status(&output), 2);
    let error = json(&output)["error"]
        .as_str()
        .expect("a reason")
        .to_owned();
    assert!(error.contains("there is no such file"), "{error}");
}
