//! The time-current chart of a fuse: both axes logarithmic, currents upright.

use super::glyphs::{line, round};
use super::numbers::{numbers, strip};
use super::upright::{Room, Upright, clear_of, drawn, height, lines_of, merged};
use super::{WIDE, ground, picture, upright};
use crate::drawing::width;
use crate::markup::{Element, element};
use crate::present::wrap::fill;
use crate::quantities::print::significant;
use crate::reporting::{Band, FuseChart, Mark, Rank};

/// What stands free beside the field, for figures at its left.
pub(super) const LEFT: f64 = 46.0;
pub(super) const RIGHT: f64 = 10.0;
/// Height of the field.
const FIELD: f64 = 300.0;
/// Height of the letters, and of a line of them.
pub(super) const SIZE: f64 = 11.0;
pub(super) const LINE: f64 = 15.0;

/// A logarithmic axis on paper.
pub(super) struct Axis {
    pub from: f64,
    pub to: f64,
    pub start: f64,
    pub end: f64,
}

impl Axis {
    pub(super) fn at(&self, value: f64) -> f64 {
        let share = (value / self.from).ln() / (self.to / self.from).ln();
        self.start + share.clamp(0.0, 1.0) * (self.end - self.start)
    }

    /// 1, 2 and 5 of every decade, and all whole figures for the grid.
    pub(super) fn ticks(&self) -> Vec<(f64, bool)> {
        let decades = self.from.log10().floor() as i32..=self.to.log10().ceil() as i32;
        decades
            .flat_map(|decade| (1..10).map(move |digit| (decade, digit)))
            .map(|(decade, digit)| {
                (
                    f64::from(digit) * 10f64.powi(decade),
                    matches!(digit, 1 | 2 | 5),
                )
            })
            .filter(|(value, _)| (self.from..=self.to).contains(value))
            .collect()
    }
}

/// The chart; `alone` gives it its own colours.
pub fn fuse_chart(chart: &FuseChart, number: usize, alone: bool) -> Element {
    let x = Axis {
        from: chart.amps.0,
        to: chart.amps.1,
        start: LEFT,
        end: WIDE - RIGHT,
    };
    let rows = rows(chart, &x);
    let numbers = numbers(&below(chart), &x, &lines_of(&rows));
    let top = upright::TOP + height(&rows) + strip(&numbers);
    let y = Axis {
        from: chart.seconds.0,
        to: chart.seconds.1,
        start: top + FIELD,
        end: top,
    };
    let legend = legend(chart);
    let rooms: Vec<Room> = numbers.iter().map(|one| one.room(top)).collect();
    let height = top + FIELD + 40.0 + legend.len() as f64 * LINE;
    let title = format!(
        "Time to open against current of {}, {}",
        chart.name, chart.what
    );
    let words: Vec<&str> = chart.marks.iter().map(|mark| mark.name.as_str()).collect();
    let words = format!(
        "Currents: {}. The verdicts below say what it means.",
        words.join("; ")
    );
    let mut shown = picture(&format!("fuse{number}"), (WIDE, height), &title, &words);
    if alone {
        shown = shown.all(ground(WIDE, height));
    }
    shown
        .all(grid(&x, &y))
        .all(chart.marks.iter().filter_map(|mark| spread(mark, &x, &y)))
        .all(chart.bands.iter().map(|band| field(band, &x, &y)))
        .all(
            chart
                .wire
                .iter()
                .map(|(_, points)| curve("wirelimit", points, &x, &y)),
        )
        .all(drawn("mark", &rows, (x.start, y.start), &rooms))
        .all(
            chart
                .marks
                .iter()
                .flat_map(|one| lasts(one, &x, &y, &rooms)),
        )
        .all(numbers.iter().flat_map(|one| one.shown(top)))
        .all(axes(&x, &y))
        .all(keys(&legend, top + FIELD + 44.0))
}

pub(super) fn text(x: f64, y: f64, anchor: &str, words: &str) -> Element {
    element("text")
        .attr("x", round(x))
        .attr("y", round(y))
        .attr("font-size", SIZE)
        .attr("text-anchor", anchor)
        .text(words)
}

fn grid(x: &Axis, y: &Axis) -> Vec<Element> {
    let upright = x
        .ticks()
        .into_iter()
        .map(|(value, _)| line("grid", (x.at(value), y.start), (x.at(value), y.end)));
    let level = y
        .ticks()
        .into_iter()
        .filter(|(_, named)| *named)
        .map(|(value, _)| line("grid", (x.start, y.at(value)), (x.end, y.at(value))));
    upright.chain(level).collect()
}

fn axes(x: &Axis, y: &Axis) -> Vec<Element> {
    let mut all = vec![
        element("rect")
            .class("axis")
            .attr("x", round(x.start))
            .attr("y", round(y.end))
            .attr("width", round(x.end - x.start))
            .attr("height", round(y.start - y.end)),
    ];
    let mut free = f64::NEG_INFINITY;
    for (value, named) in x.ticks() {
        let words = figure(value);
        let half = width(&words, SIZE, false) / 2.0;
        let at = x.at(value);
        if named && at - half > free && at + half < WIDE {
            all.push(text(at, y.start + 15.0, "middle", &words));
            free = at + half + 4.0;
        }
    }
    for (value, _) in y.ticks() {
        let is_decade = (value.log10() - value.log10().round()).abs() < 1e-9;
        if is_decade {
            all.push(text(
                x.start - 5.0,
                y.at(value) + 4.0,
                "end",
                &figure(value),
            ));
        }
    }
    all.push(text(
        f64::midpoint(x.start, x.end),
        y.start + 31.0,
        "middle",
        "amperes",
    ));
    all.push(text(0.0, 0.0, "middle", "seconds").attr(
        "transform",
        format!(
            "translate(12 {}) rotate(-90)",
            round(f64::midpoint(y.start, y.end))
        ),
    ));
    all
}

fn figure(value: f64) -> String {
    significant(value, 1)
}

fn curve(class: &str, points: &[(f64, f64)], x: &Axis, y: &Axis) -> Element {
    let inside = points.iter().filter(|(a, s)| {
        (x.from..=x.to * 1.001).contains(a) && (y.from * 0.999..=y.to * 1.001).contains(s)
    });
    element("path")
        .class(class)
        .attr("d", way(inside.copied(), x, y, "M"))
}

fn way(points: impl Iterator<Item = (f64, f64)>, x: &Axis, y: &Axis, start: &str) -> String {
    let corners: Vec<String> = points
        .map(|(a, s)| format!("{} {}", round(x.at(a)), round(y.at(s))))
        .collect();
    if corners.is_empty() {
        String::new()
    } else {
        format!("{start}{}", corners.join("L"))
    }
}

/// A band: along its earliest times, back along its latest; below the current
/// from which it must open, open to the top.
fn field(band: &Band, x: &Axis, y: &Axis) -> Element {
    let class = match band.rank {
        Rank::Own => "own",
        Rank::Above => "above",
        Rank::Below => "below",
    };
    let first = band.early.first().map_or(x.from, |point| point.0);
    let from = band.late.first().map_or(first, |point| point.0);
    let corners = [(first, y.to)]
        .into_iter()
        .chain(band.early.iter().copied())
        .chain(band.late.iter().rev().copied())
        .chain([(from, y.to)]);
    element("path")
        .class(class)
        .attr("d", way(corners, x, y, "M") + "z")
}

fn spread(mark: &Mark, x: &Axis, y: &Axis) -> Option<Element> {
    let (low, high) = mark.spread?;
    let (from, to) = (x.at(low), x.at(high));
    Some(
        element("rect")
            .class("spread")
            .attr("x", round(from))
            .attr("y", round(y.end))
            .attr("width", round(to - from))
            .attr("height", round(y.start - y.end)),
    )
}

/// The marks with their names in rows above the field, from left to right. What
/// lies left of the scale comes first, in words: it has no place on it.
fn rows(chart: &FuseChart, x: &Axis) -> Vec<Upright> {
    let (on, off): (Vec<&Mark>, Vec<&Mark>) =
        chart.marks.iter().partition(|mark| mark.at >= x.from);
    let off = off.iter().map(|mark| Upright::off_scale(&mark.name));
    let on = on.iter().map(|mark| (x.at(mark.at), mark.name.clone()));
    off.chain(merged(on.collect())).collect()
}

/// How long a current flows, a heavy line up to that time.
fn lasts(mark: &Mark, x: &Axis, y: &Axis, rooms: &[Room]) -> Vec<Element> {
    let Some(lasts) = mark.lasts.filter(|_| mark.at >= x.from) else {
        return Vec::new();
    };
    let (at, level) = (x.at(mark.at), y.at(lasts.clamp(y.from, y.to)));
    let mut all = clear_of("bar", at, (level, y.start), rooms);
    all.push(line("axis", (at - 6.0, level), (at + 6.0, level)));
    all
}

/// Bands behind the fuse, in the legend's order.
fn below(chart: &FuseChart) -> Vec<&Band> {
    let bands = chart.bands.iter().rev();
    bands.filter(|band| band.rank == Rank::Below).collect()
}

/// Sample and words of each line of the legend.
fn legend(chart: &FuseChart) -> Vec<(&'static str, String)> {
    let mut all: Vec<(&'static str, String)> = Vec::new();
    let is_numbered = below(chart).len() > 1;
    let mut number = 0;
    for band in chart.bands.iter().rev() {
        let (class, which) = match band.rank {
            Rank::Own => ("own", "this fuse".to_owned()),
            Rank::Above => ("above", "before it".to_owned()),
            Rank::Below if is_numbered => {
                number += 1;
                ("below", format!("{number}, behind it"))
            }
            Rank::Below => ("below", "behind it".to_owned()),
        };
        all.push((class, format!("{which}: {}", band.name)));
    }
    if let Some((name, _)) = &chart.wire {
        all.push(("wirelimit", "how long its wire stands it:".to_owned()));
        all.push(("", name.clone()));
    }
    if chart.marks.iter().any(|mark| mark.lasts.is_some()) {
        all.push(("bar", "heavy line: how long a start lasts".to_owned()));
    }
    if chart.marks.iter().any(|mark| mark.spread.is_some()) {
        let words = "grey: stall currents of motors of that kind";
        all.push(("spread", words.to_owned()));
    }
    all.into_iter()
        .flat_map(|(class, words)| {
            let rows = wrapped(&words, letters_beside_sample());
            let rows = rows.into_iter().enumerate();
            rows.map(move |(row, words)| (if row == 0 { class } else { "" }, words))
        })
        .collect()
}

/// Letters that stand beside a sample of the legend.
pub(super) fn letters_beside_sample() -> usize {
    ((WIDE - LEFT - 34.0) / width("x", SIZE, false)) as usize
}

/// A text in rows: nothing of it is lost, for its end may be a rating. It breaks
/// between words, and within one that is longer than a row.
pub(super) fn wrapped(text: &str, most: usize) -> Vec<String> {
    let most = most.max(1);
    let mut pieces: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let letters: Vec<char> = word.chars().collect();
        pieces.extend(letters.chunks(most).map(String::from_iter));
    }
    fill(&pieces.join(" "), most)
}

fn keys(legend: &[(&'static str, String)], top: f64) -> Vec<Element> {
    let rows = (0..).zip(legend);
    rows.flat_map(|(row, (class, words))| {
        let y = top + f64::from(row) * LINE;
        let sample = match *class {
            // Goes on from the row above.
            "" => None,
            "wirelimit" | "bar" => Some(line(class, (LEFT, y), (LEFT + 24.0, y))),
            _ => Some(
                element("rect")
                    .class(*class)
                    .attr("x", LEFT)
                    .attr("y", round(y - 5.0))
                    .attr("width", 24)
                    .attr("height", 9),
            ),
        };
        let words = text(LEFT + 30.0, y + 4.0, "start", words);
        sample.into_iter().chain([words])
    })
    .collect()
}
