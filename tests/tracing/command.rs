//! `trace` as people run it.

use std::io::Write;
use std::process::{Command, Output, Stdio};

pub(super) fn run(arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    child
        .stdin
        .take()
        .expect("a pipe")
        .write_all(input.as_bytes())
        .expect("written");
    child.wait_with_output().expect("it ends")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

pub(super) fn temporary(name: &str) -> String {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("tracing");
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join(format!("{}-{name}", std::process::id()));
    drop(std::fs::remove_file(&path));
    path.display().to_string()
}

#[test]
fn cautions_come_before_the_answer_in_every_form() {
    let arguments = ["trace", "--example", "--fuse", "main", "--state", "key-on"];
    let shown = text(&run(&arguments, "").stdout);
    let caution = shown.find("CAUTION").expect("a caution");
    let never = shown.find("Never fit a larger fuse").expect("the rule");
    let answer = shown.find("`main` opens in `key-on`").expect("the answer");
    let tests = shown.find("next tests").expect("tests");
    assert!(caution < never && never < answer && answer < tests);
    let mut json = arguments.to_vec();
    json.push("--json");
    let found = run(&json, "");
    let found: serde_json::Value = serde_json::from_slice(&found.stdout).expect("JSON");
    assert!(!found["cautions"].as_array().expect("cautions").is_empty());
    let sum: f64 = found["causes"]
        .as_array()
        .expect("causes")
        .iter()
        .filter_map(|cause| cause["probability"].as_f64())
        .sum();
    assert!((0.9..=1.000_001).contains(&sum), "{sum}");
    assert!(found["next_tests"][0]["outcomes"][0]["leaves"].is_array());
}

#[test]
fn every_mistake_of_a_log_is_shown_at_once_with_what_to_type() {
    let log = temporary("bad.toml");
    let lines = [
        "complaint = \"fuse-open\"",
        "fuse = \"mian\"",
        "statse = [\"off\"]",
    ];
    std::fs::write(&log, lines.join("\n")).expect("written");
    let output = run(&["trace", "--example", "--log", &log], "");
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stdout) + &text(&output.stderr);
    assert!(said.contains("did you mean `fuse-opens`"), "{said}");
    assert!(said.contains("did you mean `states`"), "{said}");
    assert!(
        said.contains("no fuse or breaker is called `mian`"),
        "{said}"
    );
}

#[test]
fn a_log_of_many_mistakes_names_them_all() {
    let log = temporary("worse.toml");
    let lines = [
        "complaint = \"fuse-opens\"",
        "fuse = \"mian\"",
        "states = [\"of\"]",
        "opens-after = \"2\"",
        "element = \"sooty\"",
        "[[test]]",
        "test = \"lamp\"",
        "at = \"main\"",
        "outcome = \"shining\"",
        "[[reading]]",
        "at = \"nowhere\"",
        "quantity = \"volts\"",
        "value = \"6 A\"",
    ];
    std::fs::write(&log, lines.join("\n")).expect("written");
    let output = run(&["trace", "--example", "--log", &log], "");
    let said = text(&output.stdout) + &text(&output.stderr);
    for piece in [
        "mian",
        "`of`",
        "opens-after",
        "sooty",
        "shining",
        "nowhere",
        "voltage",
    ] {
        assert!(said.contains(piece), "{piece} in {said}");
    }
}

#[test]
fn a_conversation_keeps_its_log_and_goes_on_with_it() {
    let log = temporary("talk.toml");
    // Fuse opens; main; state key-on; skip the rest; then leave.
    let words = "1\nmain\nkey-on\nskip\nskip\nsoot\nskip\nquit\n";
    let first = run(&["trace", "--example", "--ask", "--keep", &log], words);
    assert_eq!(first.status.code(), Some(0), "{}", text(&first.stderr));
    let kept = std::fs::read_to_string(&log).expect("a log");
    assert!(kept.contains("complaint = \"fuse-opens\""), "{kept}");
    assert!(kept.contains("element = \"soot\""), "{kept}");
    let by_log = run(&["trace", "--example", "--log", &log, "--json"], "");
    assert_eq!(by_log.status.code(), Some(0), "{}", text(&by_log.stderr));
    let again = run(
        &["trace", "--example", "--ask", "--keep", &log],
        "other\nback\nwhy\nquit\n",
    );
    let said = text(&again.stdout);
    assert!(said.contains("going on with"), "{said}");
    assert!(said.contains("Next:"), "{said}");
}

#[test]
fn an_end_of_input_in_the_middle_loses_nothing() {
    let log = temporary("cut.toml");
    let output = run(
        &["trace", "--example", "--ask", "--keep", &log],
        "2\nhigh-pressure\n",
    );
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let kept = std::fs::read_to_string(&log).expect("a log");
    assert!(kept.contains("high-pressure"), "{kept}");
}

#[test]
fn a_larger_fuse_is_never_advised() {
    for complaint in [
        ["--fuse", "main"],
        ["--load", "high-pressure"],
        ["--weak", "lift-pump"],
    ] {
        let mut arguments = vec!["trace", "--example"];
        arguments.extend(complaint);
        let shown = text(&run(&arguments, "").stdout);
        for line in shown.lines().filter(|line| line.contains("larger fuse")) {
            assert!(line.contains("ever fit a larger fuse"), "{line}");
        }
    }
}

#[test]
fn own_weights_move_the_odds_and_a_slip_in_them_is_told() {
    let file = temporary("weights.toml");
    let odds = |arguments: &[&str]| {
        let output = run(arguments, "");
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let causes = found["causes"].as_array().expect("causes").clone();
        let stuck = causes
            .iter()
            .filter(|one| one["cause"] == "relay-contacts-burnt");
        stuck
            .filter_map(|one| one["probability"].as_f64())
            .sum::<f64>()
    };
    let plain = ["trace", "--example", "--load", "high-pressure", "--json"];
    std::fs::write(&file, "relay-contacts-burnt = 100\n").expect("written");
    let own = [&plain[..], &["--priors", &file]].concat();
    assert!(odds(&own) > 2.0 * odds(&plain));
    std::fs::write(&file, "relay-contacts-brunt = 1\n").expect("written");
    let said = text(&run(&own, "").stderr);
    assert_eq!(run(&own, "").status.code(), Some(2));
    assert!(
        said.contains("relay-contacts-burnt")
            || text(&run(&own, "").stdout).contains("relay-contacts-burnt"),
        "{said}"
    );
}

#[test]
fn a_reading_that_no_meter_shows_on_such_a_boat_is_refused() {
    let log = temporary("impossible.toml");
    let lines = [
        "complaint = \"load-dead\"",
        "loads = [\"lift-pump\"]",
        "[[reading]]",
        "at = \"lift-pump.plus\"",
        "quantity = \"volts\"",
        "value = \"-400 V\"",
        "[[reading]]",
        "at = \"main\"",
        "quantity = \"ohms\"",
        "value = \"-5 ohm\"",
    ];
    std::fs::write(&log, lines.join("\n")).expect("written");
    let output = run(&["trace", "--example", "--log", &log], "");
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stdout) + &text(&output.stderr);
    assert!(said.contains("no such volts"), "{said}");
    assert!(said.contains("ohms below nought"), "{said}");
}

#[test]
fn readings_that_contradict_each_other_are_told_beside_the_answer() {
    let log = temporary("contrary.toml");
    let reading = |volts: &str| {
        format!(
            "[[reading]]\nat = \"bilge-pump.plus\"\nquantity = \"volts\"\nvalue = \"{volts}\"\n"
        )
    };
    let lines = [
        "complaint = \"load-dead\"\nloads = [\"bilge-pump\"]\n".to_owned(),
        reading("12.6 V"),
        reading("0 V"),
    ];
    std::fs::write(&log, lines.concat()).expect("written");
    let boat = "circuits/basalt-bilge-pump.toml";
    let shown = text(&run(&["trace", boat, "--log", &log], "").stdout);
    let shown = shown.replace('\n', " ");
    assert!(shown.contains("contradict each other"), "{shown}");
}

#[test]
fn nobody_is_sent_to_search_a_short_while_the_engine_turns() {
    let output = run(&["trace", "--example", "--fuse", "main", "--json"], "");
    let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let tests = found["next_tests"].as_array().expect("tests");
    assert!(!tests.is_empty());
    for test in tests {
        for turning in ["start", "idle", "cruise"] {
            assert_ne!(test["state"], turning, "{}", test["how"]);
        }
    }
}

#[test]
fn a_conversation_tells_the_cautions_of_the_job_before_its_first_answer() {
    let log = temporary("warned.toml");
    let words = "1\nmain\nkey-on\nskip\nskip\nskip\nskip\nquit\n";
    let output = run(&["trace", "--example", "--ask", "--keep", &log], words);
    let said = text(&output.stdout);
    let never = said.find("Never fit a larger fuse").expect("the rule");
    let answer = said.find("most likely").expect("an answer");
    assert!(never < answer, "{said}");
}
