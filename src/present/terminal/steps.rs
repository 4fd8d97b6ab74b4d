//! Numbered steps: caution, order, where the meter goes, expected readings with blanks, when to stop.

use super::{lines, marked};
use crate::document::{Expected, Step};
use crate::present::wrap::wrap;
use crate::present::{Look, Meaning};

pub(super) fn show(steps: &[Step], look: &Look) -> String {
    let numbers = steps.len().to_string().len();
    let shown: Vec<String> = (1..)
        .zip(steps)
        .map(|(number, step)| one(number, numbers, step, look))
        .collect();
    shown.join("\n")
}

fn one(number: usize, digits: usize, step: &Step, look: &Look) -> String {
    let lead = format!("{number:>digits$}. ");
    let indent = " ".repeat(lead.len());
    let mut out: String = step
        .cautions
        .iter()
        .map(|caution| marked(caution, &indent, look))
        .collect();
    out.push_str(&lines(wrap(&look.text(&step.action), look.width, &lead)));
    if let Some(meter) = &step.meter {
        let lead = format!("{indent}meter: ");
        out.push_str(&lines(wrap(&look.text(meter), look.width, &lead)));
    }
    for expected in &step.expected {
        out.push_str(&reading(expected, &indent, look));
    }
    for text in &step.notes {
        let lead = format!("{indent}note: ");
        out.push_str(&lines(wrap(&look.text(text), look.width, &lead)));
    }
    for text in &step.outside {
        out.push_str(&lines(wrap(
            &look.text(text),
            look.width,
            &format!("{indent}if "),
        )));
    }
    if let Some(text) = &step.stop_if {
        let wrapped = lines(wrap(
            &look.text(text),
            look.width,
            &format!("{indent}stop if: "),
        ));
        let word = look.paint(Meaning::Caution, "stop if:");
        out.push_str(&wrapped.replacen("stop if:", &word, 1));
    }
    out
}

fn reading(expected: &Expected, indent: &str, look: &Look) -> String {
    let blank = match expected.blank.as_deref() {
        None => String::new(),
        Some(unit) => format!("   read: ________ {unit}"),
    };
    let text = format!("{}: {}", expected.quantity, expected.range);
    let mut wrapped = wrap(&look.text(&text), look.width, &format!("{indent}expect "));
    let blank = look.text(blank.trim_end());
    match wrapped.last_mut() {
        Some(last) if last.chars().count() + blank.chars().count() <= look.width => {
            last.push_str(&blank);
        }
        _ => wrapped.push(format!("{indent}{}", blank.trim_start())),
    }
    lines(wrapped)
}
