//! Findings as pictures of the circuit file, the way compilers show them.
//!
//! ```text
//! caution[CODE]: statement
//!  --> basalt.toml:14:10
//!   |
//! 14 | rating = "30 A"
//!    |          ^^^^^^ label
//!    = hint: what to do
//!    = source: document, place (standing)
//! ```
//!
//! A finding without a place in the file is shown without the picture.

use super::findings::sorted;
use super::look::{Look, Meaning};
use super::wrap::wrap;
use crate::findings::{Finding, Severity};
use crate::span::{CircuitText, OneText, Span};
use annotate_snippets::renderer::{DecorStyle, Renderer};
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Snippet};
use std::ops::Range;

/// Shows findings worst first, each followed by a blank line.
pub fn render(findings: &[Finding], text: Option<&CircuitText>, look: &Look) -> String {
    let mut out = String::new();
    for finding in sorted(findings) {
        out.push_str(&one(finding, text, look));
        out.push_str("\n\n");
    }
    out
}

fn one(finding: &Finding, text: Option<&CircuitText>, look: &Look) -> String {
    let Some(text) = text.filter(|_| !finding.labels.is_empty()) else {
        return plain(finding, look);
    };
    let title = level(finding.severity())
        .primary_title(look.text(&finding.statement))
        .id(finding.code.name());
    let mut group = Group::with_title(title);
    for picture in pictures(finding, text, look) {
        group = group.element(picture);
    }
    for (name, words) in remarks(finding) {
        let room = look.width.saturating_sub(name.len() + 10).max(20);
        let lines = wrap(&look.text(&words), room, "").join("\n");
        group = group.element(Level::NOTE.with_name(name).message(lines));
    }
    renderer(look).render(&[group])
}

/// A finding that has no place in a file.
fn plain(finding: &Finding, look: &Look) -> String {
    let severity = finding.severity();
    let head = format!("{}[{}]:", severity.word(), finding.code.name());
    let title = format!("{head} {}", look.text(&finding.statement));
    let mut lines = wrap(&title, look.width, "");
    for (name, words) in remarks(finding) {
        lines.extend(wrap(&look.text(&words), look.width, &format!("  {name}: ")));
    }
    let painted = look.paint(Meaning::of(severity), &head);
    lines.join("\n").replacen(&head, &painted, 1)
}

fn level(severity: Severity) -> Level<'static> {
    let level = match severity {
        Severity::Mistake | Severity::Violation => Level::ERROR,
        Severity::Caution => Level::WARNING,
        Severity::Note => Level::INFO,
    };
    level.with_name(severity.word())
}

/// State, hint and sources, each with the word before it.
fn remarks(finding: &Finding) -> Vec<(&'static str, String)> {
    let state = finding.state.iter().map(|s| ("state", format!("`{s}`")));
    let hint = finding.hint.iter().map(|hint| ("hint", hint.clone()));
    let sources = finding.sources.iter().map(|s| ("source", s.to_string()));
    state.chain(hint).chain(sources).collect()
}

/// A picture for each file that something is marked in, the first mark's first.
fn pictures<'a>(
    finding: &Finding,
    text: &'a CircuitText,
    look: &Look,
) -> Vec<Snippet<'a, Annotation<'a>>> {
    let mut files: Vec<OneText<'a>> = Vec::new();
    for label in &finding.labels {
        let file = text.text_at(label.span.start);
        if files.iter().all(|other| other.start != file.start) {
            files.push(file);
        }
    }
    let files = files.into_iter();
    files
        .map(|file| picture(finding, text, file, look))
        .collect()
}

/// The lines of one file from its first mark to its last: a long file is not
/// gone through for each finding.
fn picture<'a>(
    finding: &Finding,
    text: &'a CircuitText,
    file: OneText<'a>,
    look: &Look,
) -> Snippet<'a, Annotation<'a>> {
    let labels = finding.labels.iter().enumerate();
    let marks: Vec<(usize, &str, Range<usize>)> = labels
        .filter(|(_, label)| text.text_at(label.span.start).start == file.start)
        .map(|(number, label)| {
            let inside = |byte: usize| byte.saturating_sub(file.start);
            let span = Span::new(inside(label.span.start), inside(label.span.end));
            (number, label.text.as_str(), within(span, file.text))
        })
        .collect();
    let first = marks.iter().map(|(.., at)| at.start).min().unwrap_or(0);
    let last = marks.iter().map(|(.., at)| at.end).max().unwrap_or(0);
    let from = file.text[..first].rfind('\n').map_or(0, |at| at + 1);
    let to = file.text[last..]
        .find('\n')
        .map_or(file.text.len(), |at| last + at + 1);
    let line = file.text[..from].matches('\n').count() + 1;
    let annotations = marks.into_iter().map(|(number, words, at)| {
        let kind = if number == 0 {
            AnnotationKind::Primary
        } else {
            AnnotationKind::Context
        };
        let words = Some(look.text(words)).filter(|words| !words.is_empty());
        kind.span(at.start - from..at.end - from).label(words)
    });
    Snippet::source(&file.text[from..to])
        .line_start(line)
        .path(look.text(file.name))
        .annotations(annotations)
}

/// Cuts a span to the text and to whole characters.
fn within(span: Span, text: &str) -> Range<usize> {
    let floor = |byte: usize| {
        (0..=byte.min(text.len()))
            .rev()
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(0)
    };
    let start = floor(span.start);
    start..floor(span.end).max(start)
}

fn renderer(look: &Look) -> Renderer {
    let base = if look.colour {
        Renderer::styled()
            .error(Meaning::Bad.style())
            .warning(Meaning::Warn.style())
            .info(Meaning::Note.style())
            .note(Meaning::Note.style())
    } else {
        Renderer::plain()
    };
    base.decor_style(DecorStyle::Ascii).term_width(look.width)
}

#[cfg(test)]
mod tests {
    use super::render;
    use crate::findings::{Finding, code};
    use crate::present::Look;
    use crate::sources::{Source, Standing};
    use crate::span::{CircuitText, Span};

    fn finding() -> Finding {
        Finding::new(code("toml-syntax"), "main", "`main` is wrong")
    }

    #[test]
    fn any_place_can_be_shown() {
        let text = CircuitText::new("a.toml", "\u{feff}a = \"\u{b0}\"\r\n\tb = 2\n\n# \u{1f6a4}");
        for start in 0..text.text.len() + 3 {
            for end in 0..text.text.len() + 3 {
                let shown = finding()
                    .with_label(Span::new(start, end), "here")
                    .with_label(Span::new(end, start), "");
                let shown = render(&[shown], Some(&text), &Look::default());
                assert!(shown.contains("a.toml:"), "{start}..{end}:\n{shown}");
            }
        }
    }

    #[test]
    fn two_places_hint_state_and_source_stand_in_one_picture() {
        let text = CircuitText::new("a.toml", "rating = \"30 A\"\nx = 1\nsize = \"16 AWG\"\n");
        let source = Source::new("a rule", "table 1", Standing::Published);
        let hint = "a long hint ".repeat(10);
        let finding = finding()
            .with_label(Span::new(9, 15), "too large")
            .with_label(Span::new(29, 37), "for this wire")
            .with_hint(hint.trim())
            .in_state("run")
            .with_source(source);
        let shown = render(&[finding], Some(&text), &Look::default());
        let expected = "\
mistake[toml-syntax]: `main` is wrong
 --> a.toml:1:10
  |
1 | rating = \"30 A\"
  |          ^^^^^^ too large
2 | x = 1
3 | size = \"16 AWG\"
  |        -------- for this wire
  |
  = state: `run`
  = hint: a long hint a long hint a long hint a long hint a long hint a long
          hint a long hint a long hint a long hint a long hint
  = source: a rule, table 1 (published)

";
        assert_eq!(shown, expected);
    }

    #[test]
    fn places_in_the_circuit_file_and_in_its_wire_list_stand_in_a_picture_each() {
        let text =
            CircuitText::new("a.toml", "x = 1\n").with_list("l.csv", Ok("from,to\na,b\n".into()));
        let list = text.list_start();
        let finding = finding()
            .with_label(Span::new(list + 8, list + 9), "no such part")
            .with_label(Span::new(0, 1), "wanted here");
        let shown = render(&[finding], Some(&text), &Look::default());
        let expected = "\
mistake[toml-syntax]: `main` is wrong
 --> l.csv:2:1
  |
2 | a,b
  | ^ no such part
  |
 ::: a.toml:1:1
  |
1 | x = 1
  | - wanted here

";
        assert_eq!(shown, expected);
    }

    #[test]
    fn without_a_place_the_words_stand_alone() {
        let text = CircuitText::new("a.toml", "");
        let shown = render(
            &[finding().with_hint("mend it")],
            Some(&text),
            &Look::default(),
        );
        assert_eq!(
            shown,
            "mistake[toml-syntax]: `main` is wrong\n  hint: mend it\n\n"
        );
    }
}
