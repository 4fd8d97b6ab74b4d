//! Ranges and three-valued verdicts on a screen: what stands, then what to measure.

use super::season::STARTS;
use super::{Range, Side, Standing, Study, Verdict, screen_readings, screen_steps};
use crate::circuit::Circuit;
use crate::document::{Cell, Document, Emphasis, Table};
use crate::findings::{Code, Finding};
use crate::quantities::{Amps, Dimension, Metres, Volts, print};

/// What is said where a fuse stands before a wire that was guessed by it.
const GUESSED_SIZE: &str = "Guessed: nobody read the size of that wire, and it was taken by the fuse before it, so no share of boats tells whether the two suit each other. A larger fuse makes the guess thicker, and with it the volts lost look smaller; the wire stays as thin as it is. Read its size.";

/// What is said where the wire before the first fuse was not measured.
const GUESSED_LENGTH: &str = "Guessed: nobody measured that wire between battery and fuse, and boats are too unlike for a share to tell; a tape does.";

/// Writes the document of a study; `only` keeps one state.
pub fn document(circuit: &Circuit, study: &Study, only: Option<&str>) -> Document {
    let mut document = Document::new();
    document.caution(
        "A range says what is not known, not what is safe: never fit a larger fuse to stop one from opening, and measure before you rely on a verdict that cannot be told yet.",
    );
    let shown = |state: Option<&str>| only.is_none_or(|only| state.is_none_or(|s| s == only));
    let verdicts: Vec<&Verdict> = study
        .verdicts
        .iter()
        .filter(|verdict| shown(verdict.state.as_deref()))
        .collect();
    document.answer(answer(study, &verdicts));
    document.table(open_table(&verdicts));
    let is_guessed = |dimension| {
        let mut guessed = verdicts.iter().filter(|verdict| verdict.is_guessed);
        guessed.any(|verdict| verdict.dimension == dimension)
    };
    if is_guessed(Dimension::Current) {
        document.paragraph(GUESSED_SIZE);
    }
    if is_guessed(Dimension::Length) {
        document.paragraph(GUESSED_LENGTH);
    }
    document.paragraph(holding(&verdicts));
    if let Some(readings) = &study.readings {
        document.table(screen_readings::checked(readings));
        document.paragraph(
            "`!` marks a reading outside what the rest would show; one in twenty is by chance.",
        );
        document.table(screen_readings::narrowed(readings));
    }
    if !study.next.is_empty() {
        document.heading("Measure next, one after the other");
        document.bullets(study.next.iter().map(screen_steps::measure));
    }
    if let Some(left) = screen_steps::left_open(study) {
        document.paragraph(left);
    }
    for state in &circuit.states {
        if shown(Some(&state.name)) {
            document.table(ranges(study, &state.name));
        }
    }
    document.paragraph(how_drawn(circuit, study));
    document
}

fn answer(study: &Study, verdicts: &[&Verdict]) -> String {
    let count = |standing| verdicts.iter().filter(|v| v.standing == standing).count();
    let (fails, open, holds) = (
        count(Standing::Fails),
        count(Standing::Open),
        count(Standing::Holds),
    );
    let mut parts = Vec::new();
    match fails {
        0 => {}
        1 => parts.push("1 fails".to_owned()),
        _ => parts.push(format!("{fails} fail")),
    }
    if open > 0 {
        parts.push(format!("{open} cannot be told yet"));
    }
    parts.push(format!("{holds} hold"));
    let first = study.next.first().filter(|_| open > 0);
    let next = first.map_or_else(String::new, |next| {
        format!("; measure first: {}", screen_steps::measured(next))
    });
    let contradict = study.readings.as_ref().is_some_and(|r| r.contradict);
    let first = if contradict {
        "your readings contradict the drawing or each other and are set aside until they are taken again; without them, "
    } else {
        ""
    };
    format!(
        "{first}of {} verdicts on this circuit, as far as it is known, {}{next}",
        verdicts.len(),
        listed(&parts)
    )
}

fn listed(parts: &[String]) -> String {
    match parts.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

/// What a verdict is about, in shop words.
pub(super) fn about(code: Code, subject: &str) -> String {
    match code.name() {
        "drop-above-limit" => format!("volts lost on the way to `{subject}`, by the rule"),
        "wire-above-ampacity" => format!("current of `{subject}`"),
        "fuse-above-rating" => format!("current of `{subject}` against its rating"),
        "fuse-loaded-high" => format!("current of `{subject}` for long"),
        "fuse-opens-at-start" => format!(
            "`{subject}` over a season of {STARTS:.0} starts and its load, of what it stands"
        ),
        "fuse-above-wire" => format!("rating of `{subject}`, by law"),
        "fuse-above-wire-practice" => format!("rating of `{subject}`"),
        "relay-not-pulled-in" => format!("volts with which `{subject}` closes"),
        "wire-unprotected" => {
            format!("metres from the post to the end of `{subject}`, no fuse before it")
        }
        "starter-volts-low" => format!("volts of `{subject}` while cranking"),
        other => format!("`{subject}`: {other}"),
    }
}

pub(super) fn figure(value: f64, like: f64, dimension: Dimension) -> String {
    match dimension {
        Dimension::Voltage => print::alike(Volts::new(value), Volts::new(like)),
        Dimension::Share => print::percent(value),
        Dimension::Length => Metres::new(value).to_string(),
        _ => print::alike(Amps::new(value), Amps::new(like)),
    }
}

pub(super) fn spread(low: f64, high: f64, dimension: Dimension) -> String {
    let like = low.abs().max(high.abs());
    let (low, high) = (figure(low, like, dimension), figure(high, like, dimension));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

/// A verdict that fails as a finding, so that it counts like one of `solve`.
pub(super) fn failing(verdict: &Verdict) -> Finding {
    let side = match verdict.side {
        Side::Above => "at most",
        Side::Below => "at least",
    };
    let statement = format!(
        "{}: {} in nine of ten drawn boats, {side} {} is allowed; bad in {} of them",
        about(verdict.code, &verdict.subject),
        spread(verdict.p5, verdict.p95, verdict.dimension),
        figure(verdict.limit, verdict.limit, verdict.dimension),
        percent(verdict.share)
    );
    let what = if verdict.code.name().starts_with("fuse") {
        "find what draws too much, and never fit a larger fuse to stop one opening"
    } else {
        "`ampkeel size` finds wires that mend it"
    };
    let finding =
        Finding::new(verdict.code, verdict.about_fuse_or_part(), statement).with_hint(format!(
            "the typical boat passes, but what is known leaves hardly a boat that does; {what}"
        ));
    match &verdict.state {
        Some(state) => finding.in_state(state),
        None => finding,
    }
}

fn open_table(verdicts: &[&Verdict]) -> Table {
    let mut table = Table::new("Fails, or cannot be told yet")
        .words("verdict")
        .words("nine boats in ten, and the worst")
        .words("limit")
        .figures("bad in")
        .words("stands");
    for verdict in verdicts.iter().filter(|v| v.standing != Standing::Holds) {
        let side = match verdict.side {
            Side::Above => "at most",
            Side::Below => "at least",
        };
        let emphasis = match verdict.standing {
            Standing::Fails => Emphasis::Bad,
            _ => Emphasis::Warn,
        };
        let (least, most) = verdict.limits;
        let limit = if most > 1.001 * least {
            spread(least, most, verdict.dimension)
        } else {
            figure(verdict.limit, verdict.limit, verdict.dimension)
        };
        let about = about(verdict.code, &verdict.subject);
        let about = match &verdict.state {
            Some(state) => format!("{about}, in `{state}`"),
            None => about,
        };
        let nine = spread(verdict.p5, verdict.p95, verdict.dimension);
        let worst = figure(verdict.worst, verdict.worst, verdict.dimension);
        let boats = if nine == worst {
            nine
        } else {
            format!("{nine}, worst {worst}")
        };
        table.row([
            Cell::plain(about),
            Cell::plain(boats),
            Cell::plain(format!("{side} {limit}")),
            Cell::plain(if verdict.is_guessed {
                "guessed".to_owned()
            } else {
                percent(verdict.share)
            }),
            Cell::with(verdict.standing.words(), emphasis),
        ]);
    }
    table
}

/// A share of drawn boats, never a false 0 or 100.
pub(super) fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent > 99.5 && percent < 100.0 {
        "over 99 %".to_owned()
    } else if percent > 0.0 && percent < 0.5 {
        "under 1 %".to_owned()
    } else {
        format!("{percent:.0} %")
    }
}

fn holding(verdicts: &[&Verdict]) -> String {
    let holds: Vec<&&Verdict> = verdicts
        .iter()
        .filter(|v| v.standing == Standing::Holds)
        .collect();
    let always = holds.iter().filter(|v| v.holds_at_worst).count();
    let near: Vec<String> = holds
        .iter()
        .filter(|v| !v.holds_at_worst && v.share > 0.0)
        .take(4)
        .map(|v| {
            format!(
                "{} ({} of boats)",
                about(v.code, &v.subject),
                percent(v.share)
            )
        })
        .collect();
    let mut text = format!(
        "Of the {} that hold, {always} do so with every unknown at its bad end at once.",
        holds.len()
    );
    if !near.is_empty() {
        text = format!("{text} Nearest to failing: {}.", near.join("; "));
    }
    text
}

fn ranges(study: &Study, state: &str) -> Table {
    let mut table = Table::new(format!("Readings in `{state}`, in 5 to 95 % of boats"))
        .words("at")
        .words("volts")
        .words("amperes");
    let mut rows: Vec<(&str, Option<&Range>, Option<&Range>)> = Vec::new();
    for range in study.ranges.iter().filter(|range| range.state == state) {
        let is_volts = range.dimension == Dimension::Voltage;
        let found = rows.iter_mut().find(|(subject, volts, amps)| {
            *subject == range.subject
                && if is_volts {
                    volts.is_none()
                } else {
                    amps.is_none()
                }
        });
        match found {
            Some((_, volts, _)) if is_volts => *volts = Some(range),
            Some((_, _, amps)) => *amps = Some(range),
            None if is_volts => rows.push((&range.subject, Some(range), None)),
            None => rows.push((&range.subject, None, Some(range))),
        }
    }
    for (subject, volts, amps) in rows {
        let cell = |range: Option<&Range>| {
            range.map_or_else(String::new, |r| spread(r.p5, r.p95, r.dimension))
        };
        table.row([format!("`{subject}`"), cell(volts), cell(amps)]);
    }
    table
}

fn how_drawn(circuit: &Circuit, study: &Study) -> String {
    let mut text = format!(
        "{} boats drawn (seed {}) over {} figures that are not known exactly, each on its own between its ends (judgement); relays stand as in the typical boat. Holds: bad in fewer than 1 of 40; fails: good in fewer than 1 of 40.",
        study.options.samples,
        study.options.seed,
        study.unknowns.len()
    );
    if circuit.wires.iter().any(|wire| wire.insulation.is_none()) {
        text = format!(
            "{text} Where no insulation is named a wire may carry what 60 \u{b0}C allows: one marked 105 \u{b0}C may carry more, `insulation = \"105 degC\"`."
        );
    }
    if study.unsolved > 0 {
        text = format!(
            "{text} In {} of them some state has no operating point; they are left out there.",
            study.unsolved
        );
    }
    text
}
