//! An interpretation as a document: cautions, answer, odds, what to read next.

use super::{Estimate, Interpretation, SPECIMENS, Verdict};
use crate::document::{Cell, Document, Table};
use crate::quantities::print::{percent, significant};
use crate::tables::cautions::deference;

/// Writes the document.
pub fn document(found: &Interpretation) -> Document {
    let mut document = Document::new();
    let place = if found.in_boat { "" } else { "rig: " };
    document.about(format!("readings of {}; {place}{}", found.title, found.rig));
    for caution in &found.cautions {
        document.caution(format!("{} ({})", caution.text, caution.reason));
    }
    document.caution(deference());
    document.answer(found.statement.clone());
    if let Some(why) = &found.impossible {
        document.paragraph(why.clone());
    }
    if !found.twins.is_empty() {
        document.paragraph(format!(
            "These readings do not tell it from: {}.",
            found.twins.join(", ")
        ));
    }
    if let Some(next) = &found.next_reading {
        document.paragraph(format!("What would tell most next: {next}."));
    }
    document.table(odds(&found.conditions));
    document.heading("why");
    document.bullets(whys(&found.conditions));
    document.table(figures(&found.estimates));
    document.bullets(found.notes.iter().cloned());
    document.paragraph(format!(
        "Odds: {SPECIMENS} specimens of each condition {} (seed {}), every reading held against them with the meter's error and the spread of real parts, one fault at a time; the odds beforehand and the ranges are judgement (`ampkeel tables condition-priors`, `reading-spread`).",
        if found.in_boat { "on this feed" } else { "in this rig" },
        found.seed
    ));
    document
}

/// Odds from which a condition has a row of its own; the others share one.
const SHOWN: f64 = 0.005;

fn odds(conditions: &[Verdict]) -> Table {
    let mut table = Table::new("odds")
        .words("condition")
        .figures("odds")
        .words("that is");
    let (shown, rest): (Vec<&Verdict>, Vec<&Verdict>) = conditions
        .iter()
        .partition(|verdict| verdict.probability >= SHOWN);
    for verdict in shown {
        table.row([
            Cell::plain(verdict.condition),
            Cell::plain(percent(verdict.probability)),
            Cell::plain(verdict.means),
        ]);
    }
    if !rest.is_empty() {
        let names: Vec<&str> = rest.iter().map(|verdict| verdict.condition).collect();
        table.row([
            Cell::plain("the others, each"),
            Cell::plain(format!("under {}", percent(SHOWN))),
            Cell::plain(names.join(", ")),
        ]);
    }
    table
}

/// Why, for the five likeliest.
fn whys(conditions: &[Verdict]) -> Vec<String> {
    let told = conditions.iter().take(5).filter(|v| !v.because.is_empty());
    told.map(|v| format!("{}: {}", v.condition, v.because))
        .collect()
}

fn figures(estimates: &[Estimate]) -> Table {
    let mut table = Table::new("worked out, nine in ten within the range")
        .words("figure")
        .figures("value")
        .figures("range");
    for one in estimates {
        let print = |value: f64| significant(value, 3);
        table.row([
            Cell::plain(one.quantity.clone()),
            Cell::plain(format!("{} {}", print(one.value), one.unit)),
            Cell::plain(format!("{} to {}", print(one.low), print(one.high))),
        ]);
    }
    table
}
