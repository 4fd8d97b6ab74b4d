//! The page as text: an independent parser finds no error in it, nothing comes
//! from outside, cautions first, every source on it, hostile names inert.

use super::{BOATS, ampkeel, boat, examples, folder, page, words};
use html5ever::tendril::TendrilSink;
use html5ever::tree_builder::TreeBuilderOpts;
use html5ever::{ParseOpts, parse_document};
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use std::path::Path;
use std::process::Command;

/// Parses a page and fails on every error of the strict parser.
fn parsed(path: &Path) -> RcDom {
    let text = std::fs::read_to_string(path).expect("page");
    let options = ParseOpts {
        tree_builder: TreeBuilderOpts {
            exact_errors: true,
            ..TreeBuilderOpts::default()
        },
        tokenizer: html5ever::tokenizer::TokenizerOpts {
            exact_errors: true,
            ..html5ever::tokenizer::TokenizerOpts::default()
        },
    };
    let dom = parse_document(RcDom::default(), options).one(text);
    let errors = dom.errors.borrow();
    assert!(errors.is_empty(), "{}: {errors:?}", path.display());
    drop(errors);
    dom
}

/// Every element with its name, in the order of the page.
fn elements(dom: &RcDom) -> Vec<(String, Handle)> {
    let mut all = Vec::new();
    let mut open = vec![dom.document.clone()];
    while let Some(node) = open.pop() {
        if let NodeData::Element { name, .. } = &node.data {
            all.push((name.local.to_string(), node.clone()));
        }
        open.extend(node.children.borrow().iter().rev().cloned());
    }
    all
}

fn attribute(node: &Handle, wanted: &str) -> Option<String> {
    let NodeData::Element { attrs, .. } = &node.data else {
        return None;
    };
    let attrs = attrs.borrow();
    let found = attrs.iter().find(|one| &*one.name.local == wanted);
    found.map(|one| one.value.to_string())
}

fn text_of(node: &Handle) -> String {
    let own = match &node.data {
        NodeData::Text { contents } => contents.borrow().to_string(),
        _ => String::new(),
    };
    let children = node.children.borrow();
    own + &children.iter().map(text_of).collect::<String>()
}

#[test]
fn the_page_of_every_example_is_well_formed_and_reaches_for_nothing_outside() {
    let folder = folder("well-formed");
    for path in examples() {
        let page = page(&path, &folder);
        let dom = parsed(&page);
        let mut ids = std::collections::BTreeSet::new();
        let all = elements(&dom);
        for (name, node) in &all {
            assert!(
                !["link", "img", "iframe", "object", "embed", "base"].contains(&name.as_str()),
                "{name}"
            );
            assert_eq!(attribute(node, "src"), None);
            let href = attribute(node, "href");
            assert!(
                href.is_none_or(|to| to.starts_with('#')),
                "{}",
                path.display()
            );
            if let Some(id) = attribute(node, "id") {
                assert!(ids.insert(id.clone()), "{}: `{id}` twice", path.display());
            }
        }
        for (name, node) in &all {
            for key in ["for", "aria-labelledby", "aria-describedby"] {
                for id in attribute(node, key).iter().flat_map(|ids| ids.split(' ')) {
                    assert!(ids.contains(id), "{}: {name} {key} `{id}`", path.display());
                }
            }
            let link = attribute(node, "href");
            let to = link.as_deref().and_then(|to| to.strip_prefix('#'));
            assert!(to.is_none_or(|id| ids.contains(id)), "{link:?}");
        }
    }
}

#[test]
fn cautions_come_before_answers_and_the_page_names_file_and_hash() {
    let folder = folder("order");
    for name in BOATS {
        let path = boat(name);
        let text = std::fs::read_to_string(page(&path, &folder)).expect("page");
        let at = |needle: &str| {
            text.find(needle)
                .unwrap_or_else(|| panic!("{name}: {needle}"))
        };
        assert!(at("class=\"cautions\"") < at("class=\"answer\""));
        assert!(at("Never fit a larger fuse to stop one") < at("class=\"answer\""));
        let sum = Command::new("sha256sum")
            .arg(&path)
            .output()
            .expect("sha256sum");
        let sum = String::from_utf8(sum.stdout).expect("text");
        at(sum.split(' ').next().expect("sum"));
        at(&format!("{name}.toml"));
    }
}

#[test]
fn every_source_and_assumption_the_studies_name_is_on_the_page() {
    let folder = folder("sources");
    for name in BOATS {
        let path = boat(name);
        let dom = parsed(&page(&path, &folder));
        let shown = text_of(&dom.document);
        for command in ["solve", "protect"] {
            let output = ampkeel(&[command, words(&path), "--json"]);
            let json: serde_json::Value =
                serde_json::from_slice(&output.stdout).expect("an answer");
            for source in json["sources"].as_array().expect("sources") {
                let document = source["document"].as_str().expect("document");
                assert!(shown.contains(document), "{name}: {document}");
            }
            for one in json["assumed"].as_array().expect("assumed") {
                let what = one["what"].as_str().expect("what");
                assert!(shown.contains(what), "{name}: {what}");
            }
            for finding in json["findings"].as_array().expect("findings") {
                let statement = finding["statement"].as_str().expect("statement");
                assert!(
                    shown.contains(&statement.replace('`', "")),
                    "{name}: {statement}"
                );
            }
        }
    }
}

#[test]
fn the_same_file_gives_the_same_bytes_and_violations_the_exit_status() {
    let path = boat("schist-console-boat");
    let [one, two] = [0, 1].map(|_| ampkeel(&["report", words(&path)]));
    assert_eq!(one.stdout, two.stdout);
    assert_eq!(one.status.code(), Some(1));
    let sound = ampkeel(&["report", words(&boat("basalt-bilge-pump"))]);
    assert_eq!(sound.status.code(), Some(0));
}

#[test]
fn a_page_that_is_there_is_not_replaced_unless_told() {
    let folder = folder("force");
    let path = boat("basalt-bilge-pump");
    let page = page(&path, &folder);
    let again = |more: &[&str]| {
        let arguments = [&["report", words(&path), "-o", words(&page)], more].concat();
        ampkeel(&arguments).status.code()
    };
    assert_eq!(again(&[]), Some(2));
    assert_eq!(again(&["--force"]), Some(0));
}

/// A circuit whose free texts do their worst.
fn hostile() -> String {
    let long = "x".repeat(200);
    format!(
        r#"format = 1
title = "</title><script>document.title='owned'</script> \"quotes\" 'single' & <b>bold</b> 😀 \u202Eright to left \u0007 שלום {long}"

[battery.house]
cold-cranking = "500 A"
minus = "ground"
[stud.ground]
[fuse.main]
style = "blade"
rating = "5 A"
[load.a-load-with-a-name-of-sixty-four-letters-which-is-all-allowed-he]
current = "1 A"

[[wire]]
from = "house.plus"
to = "main.in"
size = "14 AWG"
length = "0.1 m"
name = "<img src=x onerror=alert(1)> 'a' \"b\" {long}"
colour = "\"><script>alert(2)</script>😀😀😀 أحمر"
[[wire]]
from = "main.out"
to = "a-load-with-a-name-of-sixty-four-letters-which-is-all-allowed-he.plus"
size = "14 AWG"
length = "1 m"
colour = "</style><svg onload=alert(3)>"
[[wire]]
from = "a-load-with-a-name-of-sixty-four-letters-which-is-all-allowed-he.minus"
to = "ground"
size = "14 AWG"
length = "1 m"
"#
    )
}

/// The page of the hostile circuit.
pub(super) fn hostile_page(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("hostile.toml");
    std::fs::write(&path, hostile()).expect("written");
    page(&path, folder)
}

#[test]
fn names_out_of_the_file_are_inert() {
    let folder = folder("hostile");
    let dom = parsed(&hostile_page(&folder));
    let all = elements(&dom);
    let scripts = all.iter().filter(|(name, _)| name == "script").count();
    assert_eq!(scripts, 1, "our own alone");
    for (name, node) in &all {
        let NodeData::Element { attrs, .. } = &node.data else {
            continue;
        };
        let handlers = attrs.borrow();
        let handler = handlers.iter().find(|one| one.name.local.starts_with("on"));
        assert!(handler.is_none(), "{name}");
        assert!(name != "b" || !text_of(node).contains("bold"));
    }
    let (_, title) = all.iter().find(|(name, _)| name == "h1").expect("a title");
    let title = text_of(title);
    assert!(title.starts_with("</title><script>document.title='owned'</script> \"quotes\""));
    assert!(title.contains('😀') && title.contains("שלום"));
    assert!(!title.contains('\u{202e}') && !title.contains('\u{7}'));
}

#[test]
fn every_picture_is_well_formed_xml_for_another_parser_too() {
    let folder = folder("pictures");
    let mut hostile_file = folder.clone();
    hostile_file.push("hostile.toml");
    std::fs::write(&hostile_file, hostile()).expect("written");
    let mut count = 0;
    for path in examples().into_iter().chain([hostile_file]) {
        let name = path
            .file_stem()
            .expect("name")
            .to_string_lossy()
            .into_owned();
        let pictures = folder.join(name);
        let output = ampkeel(&["report", words(&path), "--svg", words(&pictures), "--json"]);
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("an answer");
        for picture in json["pictures"].as_array().expect("pictures") {
            let file = pictures.join(picture.as_str().expect("name"));
            let text = std::fs::read_to_string(&file).expect("picture");
            let tree = roxmltree::Document::parse(&text)
                .unwrap_or_else(|why| panic!("{}: {why}", file.display()));
            let svg = tree.root_element();
            assert_eq!(svg.tag_name().name(), "svg");
            let children: Vec<&str> = svg.children().map(|c| c.tag_name().name()).collect();
            assert!(children.contains(&"title") && children.contains(&"desc"));
            assert!(
                !text.contains("NaN") && !text.contains("inf"),
                "{}",
                file.display()
            );
            count += 1;
        }
    }
    assert!(count > 150, "{count}");
}

#[test]
fn markdown_holds_the_same_answer_as_the_terminal() {
    for name in BOATS {
        let path = boat(name);
        let output = ampkeel(&["solve", words(&path), "--markdown"]);
        let text = String::from_utf8(output.stdout).expect("text");
        let plain = ampkeel(&["solve", words(&path), "--width", "400"]);
        let plain = String::from_utf8(plain.stdout).expect("text");
        let answer = plain
            .lines()
            .find(|line| !line.is_empty())
            .expect("an answer");
        assert!(text.contains(&format!("**{answer}**")), "{name}: {answer}");
        for line in text.lines().filter(|line| line.starts_with('|')) {
            assert!(line.ends_with('|'), "{name}: {line}");
        }
    }
}
