//! A document as Markdown with pipe tables, for a log book or a message.

use super::assumed;
use super::findings::{line_in_words, sorted};
use crate::document::{Align, Block, Cell, Chart, Document, Emphasis, Expected, Step, Table};
use crate::findings::Finding;
use crate::span::CircuitText;
use std::fmt::Write;

/// Shows a document; `text` is the circuit file that findings point into.
pub fn render(document: &Document, text: Option<&CircuitText>) -> String {
    let mut parts = Vec::new();
    if let Some(line) = document.about_line() {
        parts.push(format!("*{}*", words(line)));
    }
    if !document.cautions().is_empty() {
        parts.push(format!("**CAUTION**\n\n{}", bullets(document.cautions())));
    }
    parts.extend(document.blocks().iter().map(|block| show(block, text)));
    let parts: Vec<&str> = parts.iter().map(|part| part.trim_end()).collect();
    parts.join("\n\n") + "\n"
}

fn show(block: &Block, text: Option<&CircuitText>) -> String {
    match block {
        Block::Answer(sentence) => format!("**{}**", words(sentence)),
        Block::Heading { level, text } => {
            let marks = if *level > 1 { "###" } else { "##" };
            format!("{marks} {}", words(text))
        }
        Block::Paragraph(text) => words(text),
        Block::Table(one) => table(one),
        Block::Chart(chart) => curves(chart),
        Block::Plot(rows) => format!("```text\n{}\n```", rows.join("\n")),
        Block::Bullets(items) => bullets(items),
        Block::Steps(all) => steps(all),
        Block::Findings(all) => {
            let all: Vec<String> = sorted(all)
                .into_iter()
                .map(|one| finding(one, text))
                .collect();
            all.concat()
        }
        Block::Assumed(all) => format!("## Assumed\n\n{}", bullets(&assumed::gathered(all))),
        Block::Sources(all) => {
            let all: Vec<String> = all.iter().map(ToString::to_string).collect();
            format!("## Sources\n\n{}", bullets(&all))
        }
    }
}

/// Text in which only names in backticks are marked up.
fn words(text: &str) -> String {
    let mut out = String::new();
    let mut in_name = false;
    for sign in text.chars() {
        match sign {
            '`' => in_name = !in_name,
            '\\' | '*' | '_' | '<' | '>' | '[' | ']' | '|' | '#' if !in_name => out.push('\\'),
            _ => {}
        }
        out.push(if sign.is_control() { ' ' } else { sign });
    }
    if in_name {
        // An odd backtick would turn the rest into a name.
        return words(&text.replace('`', "'"));
    }
    out
}

fn bullets(items: &[String]) -> String {
    let lines: Vec<String> = items
        .iter()
        .map(|item| format!("- {}", words(item)))
        .collect();
    lines.join("\n") + "\n"
}

fn table(table: &Table) -> String {
    let mut out = String::new();
    if !table.title.is_empty() {
        // Writing to a string cannot fail.
        let _ = write!(out, "{}\n\n", words(&table.title));
    }
    let names: Vec<String> = table
        .columns
        .iter()
        .map(|column| words(&column.name))
        .collect();
    let sides = table.columns.iter().map(|column| match column.align {
        Align::Left => ":-",
        Align::Right => "-:",
    });
    let _ = writeln!(out, "| {} |", names.join(" | "));
    let _ = writeln!(out, "|{}|", sides.collect::<Vec<_>>().join("|"));
    for row in &table.rows {
        let cells = (0..table.columns.len()).map(|at| row.get(at).map_or_else(String::new, cell));
        let _ = writeln!(out, "| {} |", cells.collect::<Vec<_>>().join(" | "));
    }
    out
}

fn cell(cell: &Cell) -> String {
    let sign = match cell.emphasis {
        Emphasis::Plain => "",
        Emphasis::Ok => " \u{2713}",
        Emphasis::Warn => " !",
        Emphasis::Bad => " !!",
    };
    words(&cell.text) + sign
}

/// A chart in words: what is drawn, from where to where.
fn curves(chart: &Chart) -> String {
    let lines: Vec<String> = chart
        .curves
        .iter()
        .filter_map(|curve| {
            let (from, to) = (curve.points.first()?, curve.points.last()?);
            let point = |(x, y): &(f64, f64)| {
                let figure = |value| crate::quantities::print::significant(value, 3);
                format!(
                    "{} {} {} {}",
                    figure(*x),
                    chart.x.name,
                    figure(*y),
                    chart.y.name
                )
            };
            Some(format!(
                "{}: from {} to {}",
                curve.name,
                point(from),
                point(to)
            ))
        })
        .collect();
    format!("{}\n\n{}", words(&chart.title), bullets(&lines))
}

fn steps(steps: &[Step]) -> String {
    (1..)
        .zip(steps)
        .map(|(number, step): (usize, _)| one(number, step))
        .collect()
}

fn one(number: usize, step: &Step) -> String {
    let mut lines: Vec<String> = Vec::new();
    lines.extend(
        step.cautions
            .iter()
            .map(|text| format!("**Caution:** {}", words(text))),
    );
    lines.push(words(&step.action));
    lines.extend(
        step.meter
            .iter()
            .map(|text| format!("meter: {}", words(text))),
    );
    lines.extend(step.expected.iter().map(reading));
    lines.extend(
        step.notes
            .iter()
            .map(|text| format!("note: {}", words(text))),
    );
    lines.extend(
        step.outside
            .iter()
            .map(|text| format!("if {}", words(text))),
    );
    lines.extend(
        step.stop_if
            .iter()
            .map(|text| format!("**Stop if:** {}", words(text))),
    );
    let lead = format!("{number}. ");
    let indent = " ".repeat(lead.len());
    let mut out = String::new();
    for (at, line) in lines.iter().enumerate() {
        let before = if at == 0 { &lead } else { &indent };
        let _ = writeln!(out, "{before}{line}  ");
    }
    out
}

fn reading(expected: &Expected) -> String {
    let blank = match &expected.blank {
        Some(unit) => format!("   read: \\_\\_\\_\\_\\_\\_ {unit}"),
        None => String::new(),
    };
    format!(
        "expect {}: {}{}",
        words(&expected.quantity),
        words(&expected.range),
        blank.trim_end()
    )
}

fn finding(finding: &Finding, text: Option<&CircuitText>) -> String {
    let mut out = format!(
        "- **{}** {}",
        finding.severity().word(),
        words(&finding.statement)
    );
    if let Some(state) = &finding.state {
        let _ = write!(out, " (state `{state}`)");
    }
    if let (Some(label), Some(text)) = (finding.labels.first(), text) {
        let _ = write!(out, ", {}", words(&line_in_words(text, label.span)));
    }
    if let Some(hint) = &finding.hint {
        let _ = write!(out, "; hint: {}", words(hint));
    }
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::words;

    #[test]
    fn only_names_are_marked_up() {
        assert_eq!(words("`a_b` is *not* <b>"), "`a_b` is \\*not\\* \\<b\\>");
        assert_eq!(words("odd ` mark"), "odd ' mark");
    }
}
