//! Files with mistakes: each says in comments what is to be reported.
//!
//! Above the line of the mistake stand `# SEVERITY[CODE]: part of the
//! statement`, then, as far as they are wanted, `# hint: part of the hint` and
//! `# column: N` (where the caret begins, counted from 1). The line is the
//! next one that is no such comment, or the one `# line: N` names. Nothing
//! else may be reported.

use super::read_text;
use ampkeel::findings::Finding;
use ampkeel::span::CircuitText;
use std::fs;
use std::path::Path;

/// What one comment block asks for.
#[derive(Debug, Default)]
struct Expected {
    severity: String,
    code: String,
    statement: String,
    hint: Option<String>,
    column: Option<usize>,
    line: usize,
    line_given: bool,
}

#[test]
fn every_bad_circuit_gives_exactly_the_findings_it_announces() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_circuits");
    let mut paths: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    assert!(paths.len() >= 45, "only {} files", paths.len());
    let mut complaints = Vec::new();
    for path in &paths {
        let text = fs::read_to_string(path).unwrap();
        let name = path.file_name().unwrap().to_string_lossy();
        complaints.extend(
            complaints_of(&text)
                .into_iter()
                .map(|complaint| format!("{name}: {complaint}")),
        );
    }
    assert!(complaints.is_empty(), "\n{}\n", complaints.join("\n"));
}

#[test]
fn every_announced_severity_is_the_one_of_its_page() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_circuits");
    for entry in fs::read_dir(folder).unwrap() {
        let text = fs::read_to_string(entry.unwrap().path()).unwrap();
        for expected in expectations(&text) {
            let page = ampkeel::findings::page_of(&expected.code);
            let page = page.unwrap_or_else(|| panic!("no page `{}`", expected.code));
            assert_eq!(page.severity.word(), expected.severity, "{}", expected.code);
        }
    }
}

/// What a file announces.
pub(super) fn announces_mistakes(text: &str) -> bool {
    expectations(text)
        .iter()
        .any(|expected| expected.severity == "mistake")
}

fn complaints_of(text: &str) -> Vec<String> {
    let reading = read_text(text);
    let source = CircuitText::new("", text);
    let mut left: Vec<&Finding> = reading.findings.iter().collect();
    let mut complaints = Vec::new();
    let expected = expectations(text);
    if expected.is_empty() {
        complaints.push("announces nothing".to_owned());
    }
    for expected in &expected {
        match left
            .iter()
            .position(|finding| fits(expected, finding, &source))
        {
            Some(at) => {
                left.remove(at);
            }
            None => complaints.push(format!("missing {expected:?}")),
        }
    }
    for finding in left {
        let (line, column) = source.line_column(finding.labels[0].span.start);
        complaints.push(format!(
            "line {line} column {column}: not announced {}[{}]: {}\n    hint: {}",
            finding.severity().word(),
            finding.code.name(),
            finding.statement,
            finding.hint.as_deref().unwrap_or("none")
        ));
    }
    if announces_mistakes(text) == reading.circuit.is_some() {
        complaints.push(format!("a circuit was made: {}", reading.circuit.is_some()));
    }
    complaints
}

fn fits(expected: &Expected, finding: &Finding, source: &CircuitText) -> bool {
    let (line, column) = source.line_column(finding.labels[0].span.start);
    finding.code.name() == expected.code
        && finding.severity().word() == expected.severity
        && finding.statement.contains(&expected.statement)
        && expected.hint.as_ref().is_none_or(|hint| {
            finding
                .hint
                .as_ref()
                .is_some_and(|found| found.contains(hint))
        })
        && line == expected.line
        && expected.column.is_none_or(|wanted| wanted == column)
}

fn expectations(text: &str) -> Vec<Expected> {
    let mut found: Vec<Expected> = Vec::new();
    let mut open = 0;
    for (number, line) in text.lines().enumerate() {
        let line = line.trim_start_matches('\u{feff}').trim();
        if let Some(expected) = opening(line) {
            found.push(expected);
            open += 1;
        } else if let Some((last, (key, value))) =
            found.last_mut().filter(|_| open > 0).zip(detail(line))
        {
            match key {
                "hint" => last.hint = Some(value.to_owned()),
                "column" => last.column = value.parse().ok(),
                _ => {
                    last.line = value.parse().unwrap();
                    last.line_given = true;
                }
            }
        } else {
            let from = found.len() - open;
            for expected in found[from..]
                .iter_mut()
                .filter(|expected| !expected.line_given)
            {
                expected.line = number + 1;
            }
            open = 0;
        }
    }
    found
}

fn opening(line: &str) -> Option<Expected> {
    let (severity, rest) = line.strip_prefix("# ")?.split_once('[')?;
    let (code, statement) = rest.split_once("]: ")?;
    ["mistake", "violation", "caution", "note"]
        .contains(&severity)
        .then(|| Expected {
            severity: severity.to_owned(),
            code: code.to_owned(),
            statement: statement.trim().to_owned(),
            ..Expected::default()
        })
}

fn detail(line: &str) -> Option<(&str, &str)> {
    let (key, value) = line.strip_prefix("# ")?.split_once(": ")?;
    ["hint", "column", "line"]
        .contains(&key)
        .then_some((key, value.trim()))
}
