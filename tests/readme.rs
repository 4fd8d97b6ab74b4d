//! Everything the README and the demo pages show is executed.

use ampkeel::reading::read;
use ampkeel::span::CircuitText;
use std::path::{Path, PathBuf};
use std::process::Command;

fn page(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).expect(name)
}

/// Fenced blocks of one language, without their fences.
fn blocks(text: &str, language: &str) -> Vec<String> {
    let opening = format!("```{language}\n");
    let after = text.split(&opening).skip(1);
    after
        .map(|rest| rest.split("```").next().unwrap_or("").to_owned())
        .collect()
}

/// A fresh folder with the example circuits in it, where a page's commands
/// may write files.
fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("pages-{name}"));
    if folder.exists() {
        std::fs::remove_dir_all(&folder).expect("removed");
    }
    copy(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits"),
        &folder.join("circuits"),
    );
    folder
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("made");
    for entry in std::fs::read_dir(from).expect("folder") {
        let path = entry.expect("entry").path();
        let place = to.join(path.file_name().expect("a name"));
        if path.is_dir() {
            copy(&path, &place);
        } else {
            std::fs::copy(&path, &place).expect("copied");
        }
    }
}

/// What a command prints in a folder, as the pages show it.
fn printed(command: &str, folder: &Path) -> String {
    let line = command.strip_prefix("$ ampkeel").expect("a command");
    // What stands in quotes is one word.
    let pieces = line.split('"').enumerate();
    let words: Vec<&str> = pieces
        .flat_map(|(at, piece)| match at % 2 {
            0 => piece.split_whitespace().collect(),
            _ => vec![piece],
        })
        .collect();
    let output = Command::new(env!("CARGO_BIN_EXE_ampkeel"))
        .args(&words)
        .current_dir(folder)
        .output()
        .expect("ampkeel runs");
    assert!(output.status.success(), "{command}");
    String::from_utf8(output.stdout).expect("text")
}

/// Holds every command of a page to the pieces it shows between elisions, in
/// this order.
fn hold(page_name: &str, at_least: usize) {
    let shown = blocks(&page(page_name), "console");
    assert!(shown.len() >= at_least, "{page_name}");
    let folder = scratch(&page_name.replace(['/', '.'], "-"));
    for block in shown {
        let (command, expected) = block.split_once('\n').expect("a command and its output");
        let printed = printed(command, &folder);
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
fn every_command_the_readme_shows_prints_what_it_shows() {
    hold("README.md", 4);
}

#[test]
fn every_command_of_the_demo_prints_what_it_shows() {
    hold("demo/a-fuse-that-opened.md", 3);
}

/// The screen a newcomer sees first, whole. `AMPKEEL_REBUILD_DEMO=1 cargo test
/// demo` writes it anew after a change that was meant.
#[test]
fn the_first_screen_of_the_demo_is_the_one_printed() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/first-screen.txt");
    let now = printed("$ ampkeel", Path::new(env!("CARGO_MANIFEST_DIR")));
    if std::env::var_os("AMPKEEL_REBUILD_DEMO").is_some() {
        std::fs::write(&path, &now).expect("written");
    }
    assert_eq!(page("demo/first-screen.txt"), now);
}

#[test]
fn the_circuit_file_the_readme_shows_is_the_one_it_names() {
    let meant = |text: &str| text.parse::<toml::Table>().expect("TOML");
    let shown = blocks(&page("README.md"), "toml");
    let [file, readings] = shown.as_slice() else {
        panic!("{} blocks", shown.len());
    };
    let named = page("circuits/basalt-bilge-pump.toml");
    assert_eq!(meant(file), meant(&named));
    // The reading that follows belongs to that boat.
    let whole = CircuitText::new("basalt.toml", format!("{named}\n{readings}"));
    let circuit = read(&whole).circuit.expect("sound with its reading");
    assert_eq!(circuit.readings.len(), 1);
}

#[test]
fn the_two_commands_of_the_readme_are_all_the_set_up() {
    assert_eq!(
        blocks(&page("README.md"), "sh"),
        ["cargo run --release\ncargo test\n"]
    );
    let ci = page(".ci/run");
    assert!(ci.trim_end().ends_with("\ncargo test"));
}

#[test]
fn the_log_that_the_readme_shows_is_read() {
    let logs = blocks(&page("README.md"), "toml log");
    let [log] = &logs[..] else {
        panic!("{} logs", logs.len());
    };
    let folder = scratch("log");
    std::fs::write(folder.join("log.toml"), log).expect("written");
    let shown = printed("$ ampkeel trace --example --log log.toml", &folder);
    assert!(
        shown.contains("`engine-fuses.fuel` opens in `key-on`"),
        "{shown}"
    );
    // Every mistake would be told: there is none.
    assert!(shown.contains("next tests, best first"), "{shown}");
}
