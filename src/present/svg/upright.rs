//! Upright lines of a chart with their names in rows above the field.
//!
//! Lines that would lie on each other share a name, and every line leaves out
//! whatever words lie across its way.

use super::WIDE;
use super::glyphs::line;
use super::log_chart::{LINE, SIZE, text};
use crate::drawing::width;
use crate::markup::Element;

/// Where the first row of names begins.
pub(super) const TOP: f64 = 8.0;
/// Lines nearer to each other than this read as one.
const NEAR: f64 = 3.0;
/// From a line to its words.
const BESIDE: f64 = 4.0;

/// Room that words take: left, right, upper and lower edge.
pub(super) type Room = (f64, f64, f64, f64);

/// Upright lines under one name.
pub(super) struct Upright {
    /// Where they stand; none where the scale does not reach so far.
    pub at: Vec<f64>,
    /// The name, one entry a row.
    pub rows: Vec<String>,
}

impl Upright {
    /// What lies off the scale at its left: words alone, with an arrow.
    pub(super) fn off_scale(words: &str) -> Self {
        Self {
            at: Vec::new(),
            rows: vec![format!("\u{2190} {words}, off the scale")],
        }
    }
}

/// Places with their names, from left to right; those that lie on each other in
/// one.
pub(super) fn merged(mut all: Vec<(f64, String)>) -> Vec<Upright> {
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut groups: Vec<Upright> = Vec::new();
    for (at, name) in all {
        match groups.last_mut() {
            Some(last) if last.at.first().is_some_and(|first| at - first < NEAR) => {
                last.at.push(at);
                last.rows.push(name);
            }
            _ => groups.push(Upright {
                at: vec![at],
                rows: vec![name],
            }),
        }
    }
    for group in &mut groups {
        let one = group.rows.join("; ");
        if width(&one, SIZE, false) + BESIDE <= WIDE {
            group.rows = vec![one];
        }
        // Less than a dot apart is one line.
        group.at.dedup_by(|a, b| (*a - *b).abs() < 1.0);
    }
    groups
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
            let (at, (from, to)) = match one.at.last() {
                Some(at) => place_beside(*at, words),
                None => (left, (left, left + width(words, SIZE, false))),
            };
            let anchor = if at <= from { "start" } else { "end" };
            names.push(
                text(if anchor == "end" { to } else { from }, base, anchor, words).class("halo"),
            );
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
        .filter(|(left, right, ..)| (left - 2.0..=right + 2.0).contains(&at))
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

/// Where words beside an upright line hang, and from where to where they reach:
/// right of it, left of it, or across it where neither has the room, so that they
/// end at the picture's edge or, too long even for that, begin at the other.
fn place_beside(at: f64, words: &str) -> (f64, (f64, f64)) {
    let wide = width(words, SIZE, false);
    if at + BESIDE + wide <= WIDE {
        (at, (at + BESIDE, at + BESIDE + wide))
    } else if at - BESIDE - wide >= 0.0 {
        (at, (at - BESIDE - wide, at - BESIDE))
    } else {
        let left = (WIDE - wide).max(0.0);
        (left, (left, left + wide))
    }
}
