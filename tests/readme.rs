//! Everything the README shows is executed.

use std::path::Path;
use std::process::Command;

fn readme() -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md"))
        .expect("README.md")
}

/// Fenced blocks of one language, without their fences.
fn blocks(language: &str) -> Vec<String> {
    let text = readme();
    let opening = format!("```{language}\n");
    let after = text.split(&opening).skip(1);
    after
        .map(|rest| rest.split("```").next().unwrap_or("").to_owned())
        .collect()
}

#[test]
fn every_command_the_readme_shows_prints_what_it_shows() {
    let shown = blocks("console");
    assert!(shown.len() >= 3);
    for block in shown {
        let (command, expected) = block.split_once('\n').expect("a command and its output");
        let words: Vec<&str> = command
            .strip_prefix("$ ampkeel")
            .expect("a command")
            .split_whitespace()
            .collect();
        let output = Command::new(env!("CARGO_BIN_EXE_ampkeel"))
            .args(&words)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("ampkeel runs");
        assert!(output.status.success(), "{command}");
        let printed = String::from_utf8(output.stdout).expect("text");
        // Pieces between elisions stand in the output in this order.
        let mut rest = printed.as_str();
        for piece in expected
            .split("[...]")
            .map(str::trim)
            .filter(|piece| !piece.is_empty())
        {
            let at = rest
                .find(piece)
                .unwrap_or_else(|| panic!("{command}: `{piece}` is not in\n{printed}"));
            rest = &rest[at + piece.len()..];
        }
    }
}

#[test]
fn the_circuit_file_the_readme_shows_is_the_one_it_names() {
    let named = Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits/basalt-bilge-pump.toml");
    let file = std::fs::read_to_string(named).expect("circuit");
    let meant = |text: &str| text.parse::<toml::Table>().expect("TOML");
    let shown = blocks("toml");
    assert_eq!(shown.len(), 1);
    assert_eq!(meant(&shown[0]), meant(&file));
}

#[test]
fn the_two_commands_of_the_readme_are_all_the_set_up() {
    assert_eq!(blocks("sh"), ["cargo run --release\ncargo test\n"]);
    let ci = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(".ci/run"))
        .expect(".ci/run");
    assert!(ci.trim_end().ends_with("\ncargo test"));
}
