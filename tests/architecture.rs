//! Holds the source tree to its layers and habits by scanning its text.
//!
//! Modules use only modules of lower layers, by their full path from the
//! crate's root; so every edge can be seen here, and there are no cycles.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Every top-level module with its layer. A module may use those of lower
/// layers, none of its own. Modules still to be written may stand here.
const LAYERS: &[(&str, u32)] = &[
    ("markup", 0),
    ("quantities", 0),
    ("span", 0),
    ("network", 0),
    ("sources", 1),
    ("tables", 2),
    ("findings", 2),
    ("circuit", 3),
    ("reading", 4),
    ("devices", 4),
    ("document", 4),
    ("drawing", 5),
    ("heating", 5),
    ("solving", 5),
    ("wiring", 6),
    ("fusing", 6),
    ("transients", 6),
    ("bench", 7),
    ("protecting", 7),
    ("interpreting", 8),
    ("tracing", 8),
    ("sizing", 8),
    ("tolerance", 8),
    ("reporting", 9),
    ("present", 10),
    ("cli", 11),
];

/// What only `cli` may touch: files, clock, environment, terminal, printing.
const OUTER_WORLD: &[&str] = &[
    "std::fs",
    "std::env",
    "std::process",
    "File::",
    "Instant",
    "SystemTime",
    "stdin(",
    "stdout(",
    "stderr(",
    "println!",
    "eprintln!",
    "print!(",
    "eprint!(",
    "is_terminal",
    "terminal_size",
    "anstream",
];

/// Who may know serde and JSON: the loaders, the JSON writer, the command line.
const KNOW_SERDE: &[&str] = &["tables/", "reading/", "present/json", "cli/"];

/// Names that say nothing about what is inside.
const EMPTY_NAMES: &[&str] = &[
    "util", "utils", "misc", "common", "manager", "handler", "helpers", "helper",
];

const LOOK_AGAIN_LINES: usize = 400;
const TOO_LONG_LINES: usize = 600;

/// A source file: its path below `src`, and its text without tests.
struct SourceFile {
    path: String,
    text: String,
}

impl SourceFile {
    /// The top-level module it belongs to; `None` for the two roots.
    fn module(&self) -> Option<&str> {
        let first = self.path.split('/').next()?;
        let module = first.strip_suffix(".rs").unwrap_or(first);
        (!["lib", "main"].contains(&module)).then_some(module)
    }

    /// Whether `super` in it means the crate's root.
    fn is_module_root(&self) -> bool {
        let depth = self.path.matches('/').count();
        depth == 0 || (depth == 1 && self.path.ends_with("/mod.rs"))
    }

    /// Its lines of code with their numbers, without comments.
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let lines = (1..).zip(self.text.lines());
        lines.filter(|(_, line)| !line.trim_start().starts_with("//"))
    }
}

fn source_files() -> Vec<SourceFile> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut paths = Vec::new();
    collect(&root, &mut paths);
    paths.sort();
    let file = |path: PathBuf| {
        let text = fs::read_to_string(&path).expect("source file");
        let text = text.split("\n#[cfg(test)]").next().unwrap_or("").to_owned();
        let path = path.strip_prefix(&root).expect("below src");
        let path = path.to_string_lossy().replace('\\', "/");
        SourceFile { path, text }
    };
    paths.into_iter().map(file).collect()
}

fn collect(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            collect(&path, into);
        } else if path.extension().is_some_and(|end| end == "rs") {
            into.push(path);
        }
    }
}

fn layer(module: &str) -> Option<u32> {
    let row = LAYERS.iter().find(|(name, _)| *name == module);
    row.map(|(_, layer)| *layer)
}

/// Top-level modules named after `crate::` in a text, groups in braces too.
fn used_modules(text: &str) -> BTreeSet<String> {
    let mut used = BTreeSet::new();
    for after in text.split("crate::").skip(1) {
        match after.strip_prefix('{') {
            Some(group) => used.extend(heads_of_group(group)),
            None => used.extend(word(after)),
        }
    }
    used
}

/// First words of the members of `a::b, c::{d, e}}`, up to the closing brace.
fn heads_of_group(group: &str) -> Vec<String> {
    let mut depth = 0;
    let mut heads = vec![String::new()];
    for character in group.chars() {
        match character {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => heads.push(String::new()),
            _ => {}
        }
        if let Some(head) = heads.last_mut() {
            head.push(character);
        }
    }
    let trimmed = heads
        .iter()
        .map(|head| head.trim_start_matches([',', ' ', '\n']));
    trimmed.filter_map(word).collect()
}

fn word(text: &str) -> Option<String> {
    let is_name = |c: &char| c.is_ascii_lowercase() || c.is_ascii_digit() || *c == '_';
    let word: String = text.chars().take_while(is_name).collect();
    (!word.is_empty()).then_some(word)
}

/// Fails with all complaints at once.
fn none_of(complaints: &[String]) {
    assert!(complaints.is_empty(), "\n{}", complaints.join("\n"));
}

#[test]
fn every_module_has_a_layer_and_uses_only_lower_ones() {
    let mut complaints = Vec::new();
    for file in source_files() {
        let Some(module) = file.module() else {
            continue;
        };
        let Some(own) = layer(module) else {
            complaints.push(format!("{}: `{module}` has no layer", file.path));
            continue;
        };
        let code: Vec<&str> = file.code().map(|(_, line)| line).collect();
        for used in used_modules(&code.join("\n")) {
            match layer(&used) {
                _ if used == module => {}
                Some(other) if other < own => {}
                Some(_) => complaints.push(format!("{}: {module} uses {used}", file.path)),
                None => complaints.push(format!("{}: `{used}` has no layer", file.path)),
            }
        }
    }
    none_of(&complaints);
}

#[test]
fn modules_are_reached_from_the_root_and_not_from_below() {
    let mut complaints = Vec::new();
    for file in source_files() {
        for (number, line) in file.code() {
            let upward = line.contains("super::super");
            let sideways = file.is_module_root() && line.starts_with("use super::");
            if upward || sideways {
                complaints.push(format!("{}:{number}: {}", file.path, line.trim()));
            }
        }
        if file.path == "lib.rs" && file.code().any(|(_, line)| line.starts_with("pub use")) {
            complaints.push("lib.rs: re-exports hide who uses whom".into());
        }
    }
    none_of(&complaints);
}

#[test]
fn only_the_command_line_touches_the_outer_world() {
    let is_inner = |file: &SourceFile| !file.path.starts_with("cli/") && file.path != "main.rs";
    complain_about(OUTER_WORLD, is_inner);
}

#[test]
fn only_loaders_and_the_json_writer_know_serde() {
    let is_free = |file: &SourceFile| !KNOW_SERDE.iter().any(|path| file.path.starts_with(path));
    complain_about(&["serde"], is_free);
}

fn complain_about(words: &[&str], in_files: impl Fn(&SourceFile) -> bool) {
    let mut complaints = Vec::new();
    for file in source_files().into_iter().filter(in_files) {
        for (number, line) in file.code() {
            for word in words.iter().filter(|word| has_word(line, word)) {
                complaints.push(format!("{}:{number}: `{word}`", file.path));
            }
        }
    }
    none_of(&complaints);
}

/// Whether `line` holds `word` where no longer name begins before it.
fn has_word(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        !before.is_some_and(|c| c.is_alphanumeric() || c == '_')
    })
}

#[test]
fn every_file_opens_with_its_documentation_and_has_a_telling_name() {
    let mut complaints = Vec::new();
    for file in source_files() {
        if !file.text.starts_with("//! ") {
            complaints.push(format!("{}: no module documentation", file.path));
        }
        let parts = file.path.trim_end_matches(".rs").split('/');
        for part in parts.filter(|part| EMPTY_NAMES.contains(part)) {
            complaints.push(format!("{}: `{part}` says nothing", file.path));
        }
    }
    none_of(&complaints);
}

#[test]
fn no_file_holds_too_much() {
    let mut complaints = Vec::new();
    let mut looked = Vec::new();
    for file in source_files() {
        let lines = file.text.lines().count();
        if lines > TOO_LONG_LINES {
            complaints.push(format!("{}: {lines} lines", file.path));
        } else if lines > LOOK_AGAIN_LINES {
            looked.push(format!("{} has {lines} lines", file.path));
        }
    }
    // A few long files are fine; many would mean that concepts are piling up.
    assert!(looked.len() <= 12, "look again: {looked:?}");
    none_of(&complaints);
}

#[test]
fn the_scan_itself_sees_plain_and_grouped_uses() {
    let text = "use crate::{circuit::{Wire, Fuse}, span};\nuse crate::tables::fuses;";
    let used: Vec<String> = used_modules(text).into_iter().collect();
    assert_eq!(used, ["circuit", "span", "tables"]);
    assert!(has_word("eprintln!(\"\")", "eprintln!") && !has_word("x_println!()", "println!"));
}
