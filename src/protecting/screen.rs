//! The answer on the screen: one sentence, a row a fuse, then its checks.

use super::{Check, Report, Study, Verdict};
use crate::circuit::Circuit;
use crate::document::{Cell, Document, Table};
use crate::quantities::print::nominal;
use crate::tables::cautions::deference;

/// Writes the document; `only` shows one fuse with its chart.
pub fn document(circuit: &Circuit, study: &Study, only: Option<&str>) -> Document {
    let mut document = Document::new();
    document.caution("Never fit a larger fuse to stop one from opening, and never bridge one: the wire becomes the fuse. Petrol vapour burns from a wire that glows.");
    document.caution(deference());
    let shown: Vec<&Report> = study
        .fuses
        .iter()
        .filter(|fuse| only.is_none_or(|name| fuse.name == name))
        .collect();
    document.answer(answer(circuit, &shown, study, only.is_some()));
    document.table(overview(&shown));
    document.paragraph("Fuse times are within the recalled or published gates of each family, for genuine fuses; a warm or tired fuse opens sooner, a copy may not open at all.");
    for fuse in shown {
        document.heading(format!(
            "`{}`: {} {}",
            fuse.name,
            nominal(fuse.rating),
            fuse.family.word()
        ));
        let mut checks: Vec<&Check> = fuse.checks.iter().collect();
        // Trouble first; within one verdict in the order of the checks.
        checks.sort_by_key(|check| std::cmp::Reverse(check.verdict));
        document.bullets(checks.into_iter().map(line));
        if only.is_some() {
            document.push(crate::document::Block::Chart(fuse.chart.clone()));
        }
    }
    if only.is_none() && !study.bare.is_empty() {
        document.heading("Wires on the battery without any device");
        document.bullets(study.bare.iter().map(|(wire, check)| {
            format!("`{wire}`: {}: {}", check.verdict.word(), check.sentence)
        }));
    }
    document
}

fn answer(circuit: &Circuit, shown: &[&Report], study: &Study, one: bool) -> String {
    if shown.is_empty() {
        return format!("{}: no fuse and no breaker", circuit.title);
    }
    let with = |verdict| {
        let names: Vec<String> = shown
            .iter()
            .filter(|fuse| fuse.worst() == verdict)
            .map(|fuse| format!("`{}`", fuse.name))
            .collect();
        names
    };
    let (bad, doubtful) = (with(Verdict::Violation), with(Verdict::Caution));
    let rest = shown.len() - bad.len() - doubtful.len();
    let mut parts = Vec::new();
    if !bad.is_empty() {
        parts.push(format!("{} broken by {}", rules(bad.len()), listed(&bad)));
    }
    let bare = study.bare.len();
    if !one && bare > 0 {
        parts.push(format!(
            "{bare} wire{} on the battery without any device",
            plural(bare)
        ));
    }
    if !doubtful.is_empty() {
        parts.push(format!("look at {}", listed(&doubtful)));
    }
    if rest > 0 {
        parts.push(format!(
            "{rest} of {} {} everything asked of {}",
            shown.len(),
            if rest == 1 { "does" } else { "do" },
            if rest == 1 { "it" } else { "them" }
        ));
    }
    format!("{}: {}", circuit.title, parts.join("; "))
}

fn rules(count: usize) -> &'static str {
    if count == 1 { "a rule is" } else { "rules are" }
}

fn plural(count: usize) -> &'static str {
    if count == 1 { "" } else { "s" }
}

fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

fn overview(shown: &[&Report]) -> Table {
    let mut table = Table::new("every fuse and breaker")
        .words("fuse")
        .words("fitted")
        .figures("dead short")
        .words("worst")
        .words("in");
    for fuse in shown {
        let worst = fuse.worst();
        let kinds: Vec<&str> = fuse
            .checks
            .iter()
            .filter(|check| check.verdict == worst && worst >= Verdict::Caution)
            .map(|check| check.kind.word())
            .collect();
        table.row([
            Cell::plain(fuse.name.clone()),
            Cell::plain(format!("{} {}", nominal(fuse.rating), fuse.family.word())),
            Cell::plain(
                fuse.fault
                    .map_or_else(|| "-".into(), |amps| amps.to_string()),
            ),
            verdict(worst),
            Cell::plain(kinds.join(", ")),
        ]);
    }
    table
}

fn verdict(worst: Verdict) -> Cell {
    match worst {
        Verdict::Holds => Cell::ok("holds"),
        Verdict::Note => Cell::ok("holds, with notes"),
        Verdict::Caution => Cell::warn("caution"),
        Verdict::Violation => Cell::bad("violation"),
    }
}

fn line(check: &Check) -> String {
    format!(
        "{}, {}: {}",
        check.kind.word(),
        check.verdict.word(),
        check.sentence
    )
}
