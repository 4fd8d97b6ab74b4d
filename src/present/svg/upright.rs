//! Upright lines of a chart with their names in rows above the field.
//!
//! Lines that would lie on each other share a name. A name stands whole on one
//! side of its lines, the names in an order in which other lines pass them by;
//! where none does, the line leaves out the words across its way.

use super::WIDE;
use super::glyphs::line;
use super::log_chart::{LINE, SIZE, text, wrapped};
use crate::drawing::{Side, width};
use crate::markup::Element;

/// Where the first row of names begins.
pub(super) const TOP: f64 = 8.0;
/// Lines nearer to each other than this read as one.
const NEAR: f64 = 3.0;
/// From a line to its words.
const BESIDE: f64 = 4.0;

/// Fewest letters of a row: the longest words of a name fit.
const LEAST_LETTERS: usize = 16;

/// Lines that share names.
type Group = (Vec<f64>, Vec<String>);

/// Room that words take: left, right, upper and lower edge.
pub(super) type Room = (f64, f64, f64, f64);

/// Upright lines under one name.
#[derive(Debug, Clone)]
pub(super) struct Upright {
    /// Where they stand; none where the scale does not reach so far.
    at: Vec<f64>,
    /// The name, one entry a row.
    rows: Vec<String>,
    /// On which side of its lines the name stands.
    side: Side,
}

impl Upright {
    /// What lies off the scale at its left: words alone, with an arrow.
    pub(super) fn off_scale(words: &str) -> Self {
        Self {
            at: Vec::new(),
            rows: vec![format!("\u{2190} {words}, off the scale")],
            side: Side::Right,
        }
    }

    /// Names on one side of the lines they share: in one row where that fits,
    /// else each in rows of its own.
    fn beside(at: &[f64], names: &[String], side: Side) -> Self {
        let mut at = at.to_vec();
        // Less than a dot apart is one line.
        at.dedup_by(|a, b| (*a - *b).abs() < 1.0);
        let letters = letters(&at, side);
        let one = names.join("; ");
        let rows = if one.chars().count() <= letters {
            vec![one]
        } else {
            let broken = names.iter().flat_map(|name| wrapped(name, letters));
            broken.collect()
        };
        Self { at, rows, side }
    }

    /// From where to where a row reaches; what is off the scale begins at `left`.
    fn reach(&self, words: &str, left: f64) -> (f64, f64) {
        let wide = width(words, SIZE, false);
        let ends = |a: f64, b: &f64| match self.side {
            Side::Right => a.max(*b),
            Side::Left => a.min(*b),
        };
        let Some(at) = self.at.iter().copied().reduce(|a, b| ends(a, &b)) else {
            return (left, left + wide);
        };
        match self.side {
            Side::Right => (at + BESIDE, at + BESIDE + wide),
            Side::Left => (at - BESIDE - wide, at - BESIDE),
        }
    }

    /// Whether words had to be broken, or stand in more rows than can be read as one.
    fn is_narrow(&self) -> bool {
        !self.at.is_empty() && letters(&self.at, self.side) < LEAST_LETTERS
    }

    /// Whether a line at `x` would run through the name.
    fn is_crossed(&self, x: f64) -> bool {
        self.rows.iter().any(|words| {
            let (from, to) = self.reach(words, 0.0);
            is_across(x, from, to)
        })
    }
}

/// Letters that stand between lines and the picture's edge on one side.
fn letters(at: &[f64], side: Side) -> usize {
    let room = match side {
        Side::Right => WIDE - at.iter().copied().fold(0.0, f64::max) - BESIDE,
        Side::Left => at.iter().copied().fold(WIDE, f64::min) - BESIDE,
    };
    (room / width("x", SIZE, false)).floor().max(1.0) as usize
}

/// Whether an upright line is too near to words from `left` to `right`.
fn is_across(at: f64, left: f64, right: f64) -> bool {
    (left - 2.0..=right + 2.0).contains(&at)
}

/// Places with their names; those that lie on each other in one. They are put
/// one below the other so that as few lines as can be run through names.
pub(super) fn merged(mut all: Vec<(f64, String)>) -> Vec<Upright> {
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut groups: Vec<Group> = Vec::new();
    for (at, name) in all {
        match groups.last_mut() {
            Some((places, names)) if places.first().is_some_and(|first| at - first < NEAR) => {
                places.push(at);
                names.push(name);
            }
            _ => groups.push((vec![at], vec![name])),
        }
    }
    // Names of the first lines stand right of them, those of the others left,
    // and either come first: whichever runs through least, in the fewest rows.
    let orders = (0..=groups.len()).flat_map(|split| {
        let (first, last) = groups.split_at(split);
        let on = |groups: &[Group], side: Side| -> Vec<Upright> {
            let all = groups.iter();
            all.map(|(at, names)| Upright::beside(at, names, side))
                .collect()
        };
        let right = on(first, Side::Right);
        let left: Vec<Upright> = on(last, Side::Left).into_iter().rev().collect();
        [
            [right.clone(), left.clone()].concat(),
            [left, right].concat(),
        ]
    });
    let rows = |order: &[Upright]| order.iter().map(|one| one.rows.len()).sum::<usize>();
    let fewest = orders.min_by_key(|order| {
        let narrow = order.iter().filter(|one| one.is_narrow()).count();
        (crossed(order) + narrow, rows(order))
    });
    fewest.unwrap_or_default()
}

/// Names that lines of names above them run through.
fn crossed(order: &[Upright]) -> usize {
    let lines = |above: &[Upright]| above.iter().flat_map(|one| one.at.clone()).collect();
    (0..order.len())
        .map(|at| {
            let above: Vec<f64> = lines(&order[..at]);
            above.iter().filter(|x| order[at].is_crossed(**x)).count()
        })
        .sum()
}

/// Where lines stand, from the first name to the last.
pub(super) fn lines_of(all: &[Upright]) -> Vec<f64> {
    all.iter().flat_map(|one| one.at.iter().copied()).collect()
}

/// Height that the rows of names take.
pub(super) fn height(all: &[Upright]) -> f64 {
    all.iter().map(|one| one.rows.len()).sum::<usize>() as f64 * LINE
}

/// The names, and the lines down to `low`, clear of all words and of `keep_clear`.
/// What lies off the scale has its words at `left`.
pub(super) fn drawn(
    class: &str,
    all: &[Upright],
    (left, low): (f64, f64),
    keep_clear: &[Room],
) -> Vec<Element> {
    let mut base = TOP - 4.0;
    let (mut names, mut rooms, mut tops) = (Vec::new(), keep_clear.to_vec(), Vec::new());
    for one in all {
        tops.push(base + LINE - 9.0);
        for words in &one.rows {
            base += LINE;
            let (from, to) = one.reach(words, left);
            let (hung, anchor) = match one.side {
                Side::Right => (from, "start"),
                Side::Left => (to, "end"),
            };
            names.push(text(hung, base, anchor, words).class("halo"));
            rooms.push((from, to, base - 10.0, base + 3.0));
        }
    }
    let mut lines = Vec::new();
    for (one, top) in all.iter().zip(tops) {
        for at in &one.at {
            lines.extend(clear_of(class, *at, (top, low), &rooms));
        }
    }
    lines.into_iter().chain(names).collect()
}

/// An upright line in pieces that leave out the rooms of words.
pub(super) fn clear_of(
    class: &str,
    at: f64,
    (top, low): (f64, f64),
    rooms: &[Room],
) -> Vec<Element> {
    let mut across: Vec<(f64, f64)> = rooms
        .iter()
        .filter(|(left, right, ..)| is_across(at, *left, *right))
        .map(|(_, _, top, low)| (*top, *low))
        .collect();
    across.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut from = top;
    let mut pieces = Vec::new();
    for (upper, lower) in across {
        if upper.min(low) > from {
            pieces.push(line(class, (at, from), (at, upper.min(low))));
        }
        from = from.max(lower);
    }
    if low > from {
        pieces.push(line(class, (at, from), (at, low)));
    }
    pieces
}
