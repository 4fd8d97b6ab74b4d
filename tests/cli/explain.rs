//! `explain`: every code has its page, every page its code.

use super::{json, result, run, status, talk};
use ampkeel::findings::all_pages;
use std::collections::BTreeSet;
use std::path::Path;

#[test]
fn every_code_is_explained() {
    for page in all_pages() {
        let output = run(&["explain", page.code]);
        let shown = result(&output);
        assert_eq!(status(&output), 0);
        let opening = format!("{}[{}]: ", page.severity.word(), page.code);
        assert!(shown.starts_with(&opening), "{shown}");
        assert!(shown.lines().count() > 3, "{shown}");
    }
}

#[test]
fn all_codes_are_listed_with_severity_and_title() {
    let shown = result(&run(&["explain"]));
    let object = json(&run(&["explain", "--json"]));
    let codes = object["codes"].as_array().expect("a list");
    assert_eq!(codes.len(), all_pages().len());
    for (page, code) in all_pages().iter().zip(codes) {
        assert!(shown.contains(page.code), "{}", page.code);
        assert_eq!(code["severity"], page.severity.word());
        assert_eq!(code["title"], page.title);
    }
}

#[test]
fn a_slip_in_a_code_is_answered_with_the_nearest_one() {
    let output = run(&["explain", "toml-sintax"]);
    assert_eq!(status(&output), 2);
    assert!(talk(&output).contains("did you mean `toml-syntax`?"));
    assert!(talk(&output).contains("`ampkeel explain` lists all"));
}

#[test]
fn codes_in_use_and_pages_are_the_same() {
    let mut used = BTreeSet::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    codes_below(&root, &mut used);
    let pages: BTreeSet<String> = all_pages().iter().map(|p| p.code.to_owned()).collect();
    let without_page: Vec<_> = used.difference(&pages).collect();
    let without_use: Vec<_> = pages.difference(&used).collect();
    assert!(without_page.is_empty(), "no page: {without_page:?}");
    assert!(without_use.is_empty(), "no use: {without_use:?}");
}

/// Collects NAME of every `code("NAME")` outside tests.
fn codes_below(folder: &Path, used: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            codes_below(&path, used);
        } else if path.extension().is_some_and(|end| end == "rs") {
            let text = std::fs::read_to_string(&path).expect("text");
            let code = text.split("\n#[cfg(test)]").next().unwrap_or("");
            used.extend(codes_in(code));
            if path.ends_with("codes.rs") {
                // A list of codes: NAME = "word";
                let lines = code
                    .lines()
                    .filter_map(|line| line.trim().strip_suffix("\";"));
                used.extend(lines.filter_map(|line| Some(line.split_once(" = \"")?.1.to_owned())));
            }
        }
    }
}

fn codes_in(text: &str) -> impl Iterator<Item = String> {
    let calls = text.match_indices("code(").filter(|(at, _)| {
        let before = text[..*at].chars().next_back();
        !before.is_some_and(|c| c.is_alphanumeric() || c == '_')
    });
    calls.filter_map(|(at, call)| {
        let rest = text[at + call.len()..].trim_start().strip_prefix('"')?;
        Some(rest.split('"').next()?.to_owned())
    })
}
