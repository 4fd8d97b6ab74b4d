//! A document as text for a terminal or a pipe.
//!
//! Order on the screen: the line that says what the answer is about, the
//! cautions, then the blocks as the study put them.

mod chart;
mod steps;
mod table;

use super::assumed;
use super::look::{Look, Meaning};
use super::snippet;
use super::wrap::wrap;
use crate::document::{Block, Document};
use crate::span::CircuitText;

/// Shows a document; `text` is the circuit file that findings point into.
pub fn render(document: &Document, text: Option<&CircuitText>, look: &Look) -> String {
    let mut parts = Vec::new();
    if let Some(line) = document.about_line() {
        parts.push(lines(wrap(&look.text(line), look.width, "")));
    }
    if !document.cautions().is_empty() {
        parts.push(cautions(document.cautions(), look));
    }
    for block in document.blocks() {
        parts.push(show(block, text, look));
    }
    let mut out = parts.join("\n");
    while out.ends_with("\n\n") {
        out.pop();
    }
    out
}

fn show(block: &Block, text: Option<&CircuitText>, look: &Look) -> String {
    match block {
        Block::Answer(sentence) => painted(Meaning::Answer, sentence, look),
        Block::Heading { level, text } => heading(*level, text, look),
        Block::Paragraph(words) => lines(wrap(&look.text(words), look.width, "")),
        Block::Table(table) => table::show(table, look),
        Block::Chart(chart) => chart::show(chart, look),
        Block::Plot(rows) => lines(rows.iter().map(|row| look.text(row)).collect()),
        Block::Bullets(items) => items.iter().map(|item| bullet(item, look)).collect(),
        Block::Steps(steps) => steps::show(steps, look),
        Block::Findings(findings) => {
            snippet::render(findings, text, look).trim_end().to_owned() + "\n"
        }
        Block::Assumed(assumed) => listed("Assumed", assumed::gathered(assumed).into_iter(), look),
        Block::Sources(sources) => listed("Sources", sources.iter().map(ToString::to_string), look),
    }
}

fn lines(lines: Vec<String>) -> String {
    lines.into_iter().map(|line| line + "\n").collect()
}

fn painted(meaning: Meaning, words: &str, look: &Look) -> String {
    wrap(&look.text(words), look.width, "")
        .iter()
        .map(|line| look.paint(meaning, line) + "\n")
        .collect()
}

fn heading(level: u8, words: &str, look: &Look) -> String {
    let words = look.text(words);
    let title = look.paint(Meaning::Heading, &words);
    if level > 1 {
        return format!("{title}\n");
    }
    let stroke = if look.ascii { "-" } else { "\u{2500}" };
    let length = words.chars().count().min(look.width);
    format!("{title}\n{}\n", stroke.repeat(length))
}

fn cautions(cautions: &[String], look: &Look) -> String {
    let mut out = look.paint(Meaning::Caution, "CAUTION") + "\n";
    for caution in cautions {
        out.push_str(&marked(caution, "  ", look));
    }
    out
}

/// A caution behind its exclamation mark.
fn marked(caution: &str, indent: &str, look: &Look) -> String {
    let text = lines(wrap(
        &look.text(caution),
        look.width,
        &format!("{indent}! "),
    ));
    text.replacen('!', &look.paint(Meaning::Caution, "!"), 1)
}

fn bullet(item: &str, look: &Look) -> String {
    lines(wrap(&look.text(item), look.width, "  - "))
}

fn listed(title: &str, items: impl Iterator<Item = String>, look: &Look) -> String {
    let mut out = look.paint(Meaning::Heading, title) + "\n";
    for item in items {
        out.push_str(&bullet(&item, look));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::render;
    use crate::document::{Cell, Document, Expected, Step, Table};
    use crate::findings::{Finding, code};
    use crate::present::Look;
    use crate::span::{CircuitText, Span};

    fn sample() -> Document {
        let mut table = Table::new("Wires").words("wire").figures("drop");
        table.row([Cell::plain("a to b"), Cell::bad("4.1 %")]);
        let long = "a very long name that goes on and on until it no longer fits";
        table.row([Cell::plain(long), Cell::ok("0.4 %")]);
        let step = Step {
            action: "Close the switch.".to_owned(),
            cautions: vec!["Stand clear.".to_owned()],
            expected: vec![Expected::new("current", "2.6 to 3.8 A at 20 \u{b0}C", "A")],
            stop_if: Some("the lead grows warm".to_owned()),
            ..Step::default()
        };
        let found = Finding::new(code("toml-syntax"), "", "this is wrong")
            .with_label(Span::new(0, 4), "here")
            .with_hint("mend it");
        let mut document = Document::new();
        document
            .answer("Too thin.")
            .heading("Steps")
            .steps([step])
            .table(table)
            .findings([found])
            .caution("Petrol vapour.")
            .about("for a sample");
        document
    }

    #[test]
    fn cautions_stand_before_the_answer_and_nothing_is_wider_than_the_screen() {
        let text = CircuitText::new("a.toml", "oops = 1\n");
        let look = Look {
            width: 50,
            ..Look::default()
        };
        let shown = render(&sample(), Some(&text), &look);
        let at = |needle: &str| shown.find(needle).expect(needle);
        assert!(at("for a sample") < at("Petrol"));
        assert!(at("Petrol") < at("Too thin"));
        assert!(at("Stand clear") < at("Close the switch"));
        assert!(shown.lines().all(|line| line.chars().count() <= 54));
    }
}
