//! A tracing as a document: cautions, answer, odds, the next test.

use super::answer::{Answer, NextTest};
use crate::document::{Cell, Document, Step, Table};
use crate::quantities::print::percent;
use crate::tables::cautions::deference;

/// Writes the document.
pub fn document(found: &Answer) -> Document {
    let mut document = Document::new();
    for caution in &found.cautions {
        document.caution(format!("{} ({})", caution.text, caution.reason));
    }
    for caution in found
        .next_tests
        .iter()
        .take(TESTS)
        .flat_map(|test| &test.cautions)
    {
        document.caution(format!("{} ({})", caution.text, caution.reason));
    }
    document.caution(deference());
    document.answer(found.statement.clone());
    if let Some(why) = &found.why_this_fuse {
        document.paragraph(format!("Why this fuse: {why}."));
    }
    if let Some(distance) = &found.distance {
        document.paragraph(format!("How far: {distance}."));
    }
    document.table(odds(found));
    document.heading("next tests, best first");
    document.steps(found.next_tests.iter().take(TESTS).map(step));
    document.paragraph(search(found));
    document.heading("why");
    document.bullets(
        found
            .causes
            .iter()
            .take(5)
            .filter(|cause| !cause.because.is_empty())
            .map(|cause| format!("{}: {}", cause.text, cause.because)),
    );
    if !found.excluded.is_empty() {
        document.heading("as good as excluded");
        let lines = found.excluded.iter();
        document.bullets(lines.map(|(what, why)| format!("{what}; against it: {why}")));
    }
    document.paragraph(found.stop.clone());
    document.paragraph(
        "Odds: every fault is put into this circuit and solved in every state, then weighed by what was seen; weights beforehand (`ampkeel tables trace-priors`), what people notice, minutes and risks are judgement or common practice. One fault at a time; starts and inrush are left out."
            .to_owned(),
    );
    document
}

/// Tests shown.
const TESTS: usize = 3;
/// Odds below which causes share a row.
const SHOWN: f64 = 0.02;
/// Rows shown.
const ROWS: usize = 12;

fn odds(found: &Answer) -> Table {
    let mut table = Table::new("causes")
        .words("where")
        .words("what")
        .figures("odds");
    let shown = |cause: &&super::answer::CauseOdds| cause.probability >= SHOWN;
    let rows: Vec<_> = found.causes.iter().filter(shown).take(ROWS).collect();
    for cause in &rows {
        table.row([
            Cell::plain(cause.subject.clone()),
            Cell::plain(cause.cause.word()),
            Cell::plain(percent(cause.probability)),
        ]);
    }
    let rest: f64 = 1.0 - rows.iter().map(|cause| cause.probability).sum::<f64>();
    if rest > 0.005 {
        table.row([
            Cell::plain("elsewhere"),
            Cell::plain("all others together"),
            Cell::plain(percent(rest)),
        ]);
    }
    table
}

fn step(test: &NextTest) -> Step {
    let risk = match test.risk {
        0 => "no risk",
        1 => "little risk",
        2 => "some risk",
        _ => "high risk near fuel",
    };
    let mut step = Step {
        action: format!(
            "{} ({:.0} min, {risk}; {})",
            capital(&test.how),
            test.minutes,
            test.tools
        ),
        ..Step::default()
    };
    for outcome in &test.outcomes {
        let leaves: Vec<String> = outcome
            .leaves
            .iter()
            .map(|(cause, subject, odds)| {
                format!("{} at `{subject}` {}", cause.word(), percent(*odds))
            })
            .collect();
        let leaves = if leaves.is_empty() {
            "nothing stands out".to_owned()
        } else {
            leaves.join(", ")
        };
        step.outside.push(format!(
            "{} ({}): then {leaves}",
            outcome.outcome,
            percent(outcome.probability)
        ));
    }
    step
}

/// What the search will take.
fn search(found: &Answer) -> String {
    let plan = &found.plan;
    if plan.tests < 0.5 {
        return "What to have at hand: ".to_owned() + &plan.bring.join("; ") + ".";
    }
    format!(
        "What it may take: about {:.0} tests and {:.0} minutes; {} of such searches end with one cause at nine in ten. Bring: {}.",
        plan.tests.ceil(),
        plan.minutes,
        percent(plan.settled),
        plan.bring.join("; ")
    )
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
