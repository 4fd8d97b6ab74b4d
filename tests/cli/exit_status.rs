//! 0 no violation, 1 at least one violation, 2 could not run.

use super::{result, run, status, talk};

#[test]
fn help_and_version_are_answers() {
    for arguments in [
        vec!["--help"],
        vec!["--version"],
        vec!["check", "-h"],
        vec![],
    ] {
        assert_eq!(status(&run(&arguments)), 0, "{arguments:?}");
    }
    assert!(result(&run(&["--version"])).starts_with("ampkeel "));
}

#[test]
fn a_slip_in_a_command_is_answered_with_the_nearest_one() {
    let output = run(&["chekc", "boat.toml"]);
    assert_eq!(status(&output), 2);
    assert!(talk(&output).contains("'check'"), "{}", talk(&output));
    assert!(result(&output).is_empty());
}

#[test]
fn a_missing_file_is_named() {
    let output = run(&["check", "no-such-boat.toml"]);
    assert_eq!(status(&output), 2);
    let expected = "error: cannot read `no-such-boat.toml`: there is no such file\n";
    assert_eq!(talk(&output), expected);
}

#[test]
fn output_options_stand_before_or_after_the_command() {
    let before = run(&["--json", "explain"]);
    let after = run(&["explain", "--json"]);
    assert_eq!(status(&before), 0);
    assert_eq!(before.stdout, after.stdout);
}
