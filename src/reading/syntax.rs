//! The text as TOML: every syntax error of the file at once.

use super::codes;
use super::sink::Sink;
use crate::findings::Finding;
use crate::span::Span;
use std::collections::BTreeSet;
use toml::Spanned;
use toml::de::DeTable;

/// The text as a tree.
pub(super) struct Parsed<'t> {
    /// What could be read.
    pub tree: Spanned<DeTable<'t>>,
    /// Starts of the lines that break the rules of TOML; empty where none does.
    pub broken: BTreeSet<usize>,
}

/// Reads the text as TOML and reports where its rules are broken; `None` where
/// it is no such text at all.
pub(super) fn parse<'t>(out: &mut Sink, text: &'t str) -> Option<Parsed<'t>> {
    if let Some(finding) = not_a_circuit(text) {
        out.push(finding);
        return None;
    }
    let (tree, errors) = DeTable::parse_recoverable(text);
    let mut broken = BTreeSet::new();
    for error in errors {
        let span = error.span().map(Span::from).unwrap_or_default();
        // One error a line: what follows on the same line is its echo.
        if broken.insert(line_start(text, span.start)) && !out.is_full() {
            out.push(finding(text, span, error.message()));
        }
    }
    Some(Parsed { tree, broken })
}

/// Texts that are plainly something else.
fn not_a_circuit(text: &str) -> Option<Finding> {
    let says = if text.contains('\0') {
        "this is not a text file"
    } else if text.trim_start().starts_with(['{', '<']) {
        "this looks like JSON, XML or HTML, not a circuit file"
    } else if is_list_of_figures(text) {
        "this looks like a list of figures (CSV), not a circuit file"
    } else {
        return None;
    };
    Some(
        Finding::new(codes::NOT_A_CIRCUIT, "", says)
            .with_label(Span::new(0, 0), "")
            .with_hint("a circuit file is TOML and opens with `format = 1`"),
    )
}

/// Lines with separators and without a single `=` or header.
fn is_list_of_figures(text: &str) -> bool {
    let lines: Vec<&str> = text
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .take(50)
        .collect();
    let separated = |line: &&&str| line.contains([',', ';', '\t']);
    !lines.is_empty()
        && lines
            .iter()
            .all(|line| !line.contains('=') && !line.starts_with(['[', '#']))
        && lines.iter().filter(separated).count() * 2 > lines.len()
}

/// Where the line of a place starts.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    let at = floor(text, at);
    text[..at].rfind('\n').map_or(0, |newline| newline + 1)
}

fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn line_at(text: &str, at: usize) -> &str {
    text[line_start(text, at)..]
        .lines()
        .next()
        .unwrap_or_default()
}

fn finding(text: &str, span: Span, message: &str) -> Finding {
    let line = line_at(text, span.start);
    if message == "duplicate key" {
        return duplicate(text, span);
    }
    let (statement, hint) = match unquoted(line) {
        Some((key, value)) => (
            format!("the value of `{key}` is not in quotes"),
            format!("write {key} = \"{value}\""),
        ),
        None => (plain(message), general_hint(message).to_owned()),
    };
    Finding::new(codes::TOML_SYNTAX, "", statement)
        .with_label(span, message.chars().take(120).collect::<String>())
        .with_hint(hint)
}

fn plain(message: &str) -> String {
    let short: String = message.chars().take(160).collect();
    format!("the file is not valid TOML: {short}")
}

fn general_hint(message: &str) -> &'static str {
    if message.contains("inline table") {
        "give all entries of the table in one place: either in { ... } or below headers of their own"
    } else if message.contains("array") || message.contains("`]`") {
        "close the bracket: through = [\"house.plus\", \"main\"]"
    } else if message.contains("key with no value") {
        "every line is `key = value`, a header like `[fuse.main]`, or a comment that begins with #"
    } else if message.contains("string") {
        "put the text between two quotes: size = \"16 AWG\""
    } else {
        "mend this line: `key = value`, with texts and figures in quotes"
    }
}

/// A line `key = value` whose value is a figure or word without its quotes.
fn unquoted(line: &str) -> Option<(&str, &str)> {
    let (key, value) = line.split_once('=')?;
    let (key, value) = (key.trim(), value.split('#').next()?.trim());
    let is_key = !key.is_empty()
        && key.len() < 40
        && key
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b));
    let plain = !value.is_empty()
        && value.len() < 60
        && !value.contains(['"', '\'', '[', ']', '{', '}', ','])
        && value.parse::<f64>().is_err();
    (is_key && plain).then_some((key, value))
}

/// A key or header written twice, with the place of its first use.
fn duplicate(text: &str, span: Span) -> Finding {
    let key: String = text
        .get(span.start..span.end)
        .unwrap_or_default()
        .chars()
        .take(60)
        .collect();
    let finding = Finding::new(codes::TOML_SYNTAX, "", format!("`{key}` is written twice"))
        .with_label(span, "written again");
    let finding = match first_use(text, span) {
        Some(first) => finding.with_label(first, "first used here"),
        None => finding,
    };
    finding.with_hint("rename one of the two, or take one out")
}

fn first_use(text: &str, span: Span) -> Option<Span> {
    let start = line_start(text, span.start);
    let line = line_at(text, span.start).trim();
    let same: &str = if line.starts_with('[') {
        line
    } else {
        line.split('=').next()?.trim()
    };
    let mut found = None;
    let mut at = 0;
    for other in text[..start].split_inclusive('\n') {
        let trimmed = other.trim();
        let is_same = if same.starts_with('[') {
            trimmed == same
        } else {
            if trimmed.starts_with('[') {
                found = None;
            }
            trimmed
                .split('=')
                .next()
                .is_some_and(|key| key.trim() == same)
                && trimmed.contains('=')
        };
        if is_same && found.is_none() {
            let indent = other.len() - other.trim_start().len();
            found = Some(Span::new(at + indent, at + indent + same.len()));
        }
        at += other.len();
    }
    found
}
