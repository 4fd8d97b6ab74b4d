//! A voltage ladder: each step a bar that begins where the last one ended, and
//! at the foot what the drop rule counts of it, against its limit.
//!
//! The rule counts copper alone, and of a wire that several loads share this
//! load's part; so its limit stands beside its own bar and nowhere else.

use super::glyphs::{line, round};
use super::log_chart::{SIZE, text, wrapped};
use super::{WIDE, ground, picture};
use crate::drawing::width;
use crate::markup::{Element, element};
use crate::quantities::Volts;
use crate::reporting::{LadderChart, Step};

/// Width of the figures at the right.
const FIGURES: f64 = 62.0;
/// Height of a line of words.
const WORDS: f64 = 13.0;
/// Height of a bar with the room below it.
const BAR: f64 = 15.0;
/// Height of the bar itself.
const THICK: f64 = 9.0;
const TOP: f64 = 8.0;
/// Less is not told in figures, volts.
const LEAST_V: f64 = 0.001;

/// A step with the rows of its words and where it stands.
struct Row<'a> {
    step: &'a Step,
    words: Vec<String>,
    top: f64,
}

impl Row<'_> {
    fn bar(&self) -> f64 {
        self.top + self.words.len() as f64 * WORDS + 2.0
    }

    fn low(&self) -> f64 {
        self.bar() + BAR
    }
}

/// The ladder; `alone` gives it its own colours.
pub fn ladder(chart: &LadderChart, number: usize, alone: bool) -> Element {
    let rows = rows(chart);
    let low = rows.last().map_or(TOP, Row::low);
    let keys = keys(chart);
    let foot = if chart.rule.is_some() { 46.0 } else { 0.0 };
    let height = low + 22.0 + foot + keys.len() as f64 * WORDS + 6.0;
    let most_v = chart
        .rule
        .map_or(0.0, |(drop_v, limit_v)| drop_v.max(limit_v));
    let whole_v = chart.lost_v.max(most_v).max(1e-3) * 1.02;
    let across = |volts: f64| (volts / whole_v).clamp(0.0, 1.0) * (WIDE - FIGURES);
    let title = format!(
        "Where the volts of {} go in state {}",
        chart.load, chart.state
    );
    let steps: Vec<String> = chart
        .steps
        .iter()
        .map(|step| format!("{}: {}", step.what, figure(step.drop_v)))
        .collect();
    let mut shown = picture(
        &format!("ladder{number}"),
        (WIDE, height),
        &title,
        &steps.join("; "),
    );
    if alone {
        shown = shown.all(ground(WIDE, height));
    }
    let mut sum_v = 0.0;
    for row in &rows {
        shown = shown.all(rung(row, across(sum_v), across(sum_v + row.step.drop_v)));
        sum_v += row.step.drop_v;
    }
    shown = shown.with(line("axis", (0.0, TOP), (0.0, low))).with(text(
        WIDE,
        low + 12.0,
        "end",
        &sum(chart),
    ));
    if let Some((drop_v, limit_v)) = chart.rule {
        shown = shown.all(by_rule(low + 22.0, (drop_v, limit_v), &across));
    }
    let first = low + 22.0 + foot;
    shown.all((0..).zip(keys).flat_map(|(row, (class, words))| {
        let y = first + f64::from(row) * WORDS;
        [
            bar(class, (0.0, 24.0), y),
            text(30.0, y + 8.5, "start", words),
        ]
    }))
}

fn sum(chart: &LadderChart) -> String {
    format!("{} in all", figure(chart.lost_v))
}

/// Volts in figures that can be held against each other.
fn figure(volts: f64) -> String {
    if volts.abs() < LEAST_V {
        "< 1 mV".to_owned()
    } else {
        Volts::new(volts).to_string()
    }
}

fn rows(chart: &LadderChart) -> Vec<Row<'_>> {
    let most = ((WIDE - 3.0) / width("x", SIZE, false)) as usize;
    let mut top = TOP;
    let mut all = Vec::new();
    for step in &chart.steps {
        let way = if step.back { "return: " } else { "" };
        let words = in_rows(&format!("{way}{}", step.what), most);
        let row = Row { step, words, top };
        top = row.low();
        all.push(row);
    }
    all
}

/// Words in rows; size and length of a wire stay together.
fn in_rows(words: &str, most: usize) -> Vec<String> {
    match words.split_once(", ") {
        Some((wire, size)) if words.chars().count() > most => {
            [wrapped(&format!("{wire},"), most), wrapped(size, most)].concat()
        }
        _ => wrapped(words, most),
    }
}

fn class(step: &Step) -> &'static str {
    match (step.back, step.is_copper) {
        (false, true) => "feed",
        (true, true) => "back",
        (false, false) => "feed other",
        (true, false) => "back other",
    }
}

fn rung(row: &Row<'_>, from: f64, to: f64) -> Vec<Element> {
    let words = (1..)
        .zip(&row.words)
        .map(|(at, words)| text(3.0, row.top + f64::from(at) * WORDS - 2.0, "start", words));
    let (left, right) = (from.min(to), from.max(to));
    words
        .chain([
            bar(class(row.step), (left, right), row.bar()),
            text(WIDE, row.bar() + 8.5, "end", &figure(row.step.drop_v)),
        ])
        .collect()
}

fn bar(class: &str, (from, to): (f64, f64), top: f64) -> Element {
    element("rect")
        .class(class)
        .attr("x", round(from))
        .attr("y", round(top))
        .attr("width", round((to - from).max(0.6)))
        .attr("height", THICK)
}

/// What the rule counts, with its limit across that bar alone.
fn by_rule(top: f64, (drop_v, limit_v): (f64, f64), across: &dyn Fn(f64) -> f64) -> Vec<Element> {
    let x = across(limit_v);
    let words = format!("by the rule: copper alone; limit {}", figure(limit_v));
    let y = top + WORDS + 6.0;
    vec![
        text(3.0, top + 10.0, "start", &words),
        bar("feed", (0.0, across(drop_v)), y),
        line("limit", (x, y - 4.0), (x, y + THICK + 4.0)),
        text(WIDE, y + 8.5, "end", &figure(drop_v)),
    ]
}

/// Samples of the bars that are in it, with their words.
fn keys(chart: &LadderChart) -> Vec<(&'static str, &'static str)> {
    let has = |back: bool, is_copper: bool| {
        let mut steps = chart.steps.iter();
        steps.any(|step| step.back == back && step.is_copper == is_copper)
    };
    let all = [
        (
            has(false, true),
            "feed",
            "copper of wires, on the way there",
        ),
        (has(true, true), "back", "copper of wires, on the way back"),
        (
            has(false, false),
            "feed other",
            "there: joints, fuses, contacts, diodes; no rule counts them",
        ),
        (
            has(true, false),
            "back other",
            "back: joints, fuses, contacts, diodes; no rule counts them",
        ),
    ];
    let present = all.into_iter().filter(|(is_there, ..)| *is_there);
    present.map(|(_, class, words)| (class, words)).collect()
}
