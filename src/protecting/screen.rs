//! The answer on the screen: one sentence, a row a fuse, then its checks.

use super::wires::time;
use super::{Check, Kind, Order, Place, Report, Study, Tried, Verdict};
use crate::circuit::Circuit;
use crate::document::{Cell, Document, Table};
use crate::quantities::Amps;
use crate::quantities::print::nominal;
use crate::tables::cautions::deference;

/// How much is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Shown<'a> {
    /// One fuse alone, with its time-current chart.
    pub only: Option<&'a str>,
    /// A row for every wire behind every fuse.
    pub all_wires: bool,
}

/// Writes the document.
pub fn document(circuit: &Circuit, study: &Study, shown: Shown<'_>) -> Document {
    let Shown { only, all_wires } = shown;
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
        let whole = all_wires || only.is_some();
        document.bullets(lines(fuse, whole));
        if (all_wires || only.is_some()) && !fuse.places.is_empty() {
            document.table(places(fuse));
        }
        if only.is_some() {
            document.push(crate::document::Block::Chart(fuse.chart.clone()));
        }
    }
    if only.is_none() && !study.chargers.is_empty() {
        document.heading("Chargers into a short of their own wires");
        document.bullets(study.chargers.iter().map(|(name, check)| {
            format!("`{name}`, {}: {}", check.verdict.word(), check.sentence)
        }));
    }
    if only.is_none() && !study.bare.is_empty() {
        document.heading("Wires on the battery without any device");
        document.bullets(study.bare.iter().map(|(wire, check)| {
            format!("`{wire}`: {}: {}", check.verdict.word(), check.sentence)
        }));
    }
    document
}

/// Checks, trouble first and within one verdict in their own order; what holds
/// in one line, unless the whole is asked for.
fn lines(fuse: &Report, whole: bool) -> Vec<String> {
    let mut checks: Vec<&Check> = fuse.checks.iter().collect();
    checks.sort_by_key(|check| std::cmp::Reverse(check.verdict));
    let is_told = |check: &&Check| whole || check.verdict > Verdict::Holds;
    let told = checks.iter().copied().filter(is_told);
    let mut lines: Vec<String> = told.map(|check| line(check, whole)).collect();
    let mut holding: Vec<&str> = checks
        .iter()
        .filter(|check| !is_told(check))
        .map(|check| check.kind.word())
        .collect();
    holding.dedup();
    if !holding.is_empty() {
        lines.push(format!(
            "{} hold; `--fuse {}` shows how",
            holding.join(", "),
            fuse.name
        ));
    }
    lines
}

/// Writes the document of one fuse tried with other ratings.
pub fn tried_document(circuit: &Circuit, name: &str, all: &[Tried]) -> Document {
    let mut document = Document::new();
    document.caution("To try is not to fit: never fit a larger fuse to stop one from opening, never above a label.");
    document.caution(deference());
    let worst = |verdict| {
        let with = all.iter().filter(|one| one.worst() == verdict);
        with.map(|one| one.rating.to_string()).collect::<Vec<_>>()
    };
    let mut words = Vec::new();
    for (verdict, says) in [
        (Verdict::Violation, "breaks a rule with"),
        (Verdict::Caution, "is doubtful with"),
        (Verdict::Note, "holds with"),
        (Verdict::Holds, "holds with"),
    ] {
        let ratings = worst(verdict);
        if !ratings.is_empty() {
            words.push(format!("{says} {}", listed(&ratings)));
        }
    }
    document.answer(format!("{}: `{name}` {}", circuit.title, words.join("; ")));
    for one in all {
        let above = match (one.above_label, one.above_fitted) {
            (Some(label), _) => format!(", above its label of {label}: never fit it"),
            (None, true) => ", more than is fitted".to_owned(),
            (None, false) => String::new(),
        };
        document.heading(format!(
            "`{name}` with {} {}{above}",
            nominal(one.rating),
            one.report.family.word()
        ));
        document.bullets(lines(&one.report, true));
    }
    document
}

fn answer(circuit: &Circuit, shown: &[&Report], study: &Study, one: bool) -> String {
    if shown.is_empty() {
        return format!("{}: no fuse and no breaker", circuit.title);
    }
    let with = |verdict| shown.iter().filter(move |fuse| fuse.worst() == verdict);
    let (bad, doubtful) = (
        with(Verdict::Violation).count(),
        with(Verdict::Caution).count(),
    );
    let rest = shown.len() - bad - doubtful;
    let mut parts = Vec::new();
    if bad > 0 {
        parts.push(format!(
            "{} broken: {}",
            rules(bad),
            by_kind(with(Verdict::Violation).copied())
        ));
    }
    let bare = study.bare.len();
    if !one && bare > 0 {
        parts.push(format!(
            "{bare} wire{} on the battery without any device",
            plural(bare)
        ));
    }
    if doubtful > 0 {
        parts.push(format!(
            "look at {}",
            by_kind(with(Verdict::Caution).copied())
        ));
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

/// Stall of these, selectivity of that: by the kinds of the worst checks.
fn by_kind<'a>(fuses: impl Iterator<Item = &'a Report>) -> String {
    let mut kinds: Vec<(Kind, Vec<String>)> = Vec::new();
    for fuse in fuses {
        for check in fuse.checks.iter().filter(|c| c.verdict == fuse.worst()) {
            let name = format!("`{}`", fuse.name);
            match kinds.iter_mut().find(|(kind, _)| *kind == check.kind) {
                Some((_, names)) if !names.contains(&name) => names.push(name),
                Some(_) => {}
                None => kinds.push((check.kind, vec![name])),
            }
        }
    }
    let each = kinds
        .iter()
        .map(|(kind, names)| format!("{} of {}", kind.word(), listed(names)));
    each.collect::<Vec<_>>().join(", ")
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

/// A row for a short at the end of each wire.
fn places(fuse: &Report) -> Table {
    let mut table = Table::new(format!("`{}`: a short at the end of each wire", fuse.name))
        .words("wire")
        .figures("draws")
        .figures("opens by")
        .figures("stood for")
        .words("opens first");
    for place in &fuse.places {
        let never = |seconds: f64, words: &str| {
            if seconds.is_finite() {
                time(seconds)
            } else {
                words.to_owned()
            }
        };
        let opens = never(place.worst.opens_s, "need not");
        table.row([
            Cell::plain(place.label.clone()),
            Cell::plain(format!(
                "{} to {}",
                Amps::new(place.least_a),
                Amps::new(place.most_a)
            )),
            match place.worst.verdict {
                Verdict::Violation => Cell::bad(opens),
                Verdict::Caution => Cell::warn(opens),
                _ => Cell::plain(opens),
            },
            Cell::plain(never(place.worst.stands_s, "good")),
            Cell::plain(first(place)),
        ]);
    }
    table
}

fn first(place: &Place) -> String {
    let Some(first) = &place.first else {
        return if place.latest_s.is_finite() {
            "this one".into()
        } else {
            "this one or none".into()
        };
    };
    let or_none = if first.may_stay { ", or none" } else { "" };
    match first.order {
        Order::Within => format!("this one{or_none}"),
        Order::Likely => format!("likely this one{or_none}"),
        Order::Both => format!("this one or `{}`{or_none}", first.upstream),
    }
}

fn verdict(worst: Verdict) -> Cell {
    match worst {
        Verdict::Holds | Verdict::Note => Cell::ok("holds"),
        Verdict::Caution => Cell::warn("caution"),
        Verdict::Violation => Cell::bad("violation"),
    }
}

fn line(check: &Check, whole: bool) -> String {
    let mut words = format!(
        "{}, {}: {}",
        check.kind.word(),
        check.verdict.word(),
        check.sentence
    );
    let count = if whole { check.more.len() } else { 1 };
    for sentence in check.more.iter().take(count) {
        words = format!("{words}. {sentence}");
    }
    words
}
