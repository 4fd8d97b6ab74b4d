//! Numbers of the bands behind a fuse, in a strip of their own above the field:
//! inside it they would lie on curves.

use super::WIDE;
use super::glyphs::line;
use super::log_chart::{Axis, LINE, SIZE, text};
use super::upright::Room;
use crate::drawing::width;
use crate::markup::Element;
use crate::reporting::Band;

/// From a number to what stands beside it.
const CLEAR: f64 = 3.0;
/// How far a number is moved aside, at most.
const FARTHEST: i32 = 160;
/// How far into its band the short line under a number reaches.
const INTO: f64 = 7.0;

/// The number of one or several bands, and where these meet the field's edge.
pub(super) struct Number {
    words: String,
    at: f64,
    foot: f64,
}

impl Number {
    fn half(&self) -> f64 {
        width(&self.words, SIZE, true) / 2.0
    }

    /// Room above a field that begins at `top`.
    pub(super) fn room(&self, top: f64) -> Room {
        let half = self.half();
        (self.at - half, self.at + half, top - LINE, top - 3.0)
    }

    pub(super) fn shown(&self, top: f64) -> [Element; 2] {
        let words = text(self.at, top - 6.0, "middle", &self.words);
        [
            line("axis", (self.at, top - 4.0), (self.foot, top + INTO)),
            words.attr("font-weight", "bold").class("halo"),
        ]
    }
}

/// Height of the strip.
pub(super) fn strip(all: &[Number]) -> f64 {
    if all.is_empty() { 0.0 } else { LINE }
}

/// Numbers of several bands from left to right, clear of upright lines; bands
/// that lie on each other share a place. One band needs no number.
pub(super) fn numbers(bands: &[&Band], x: &Axis, lines: &[f64]) -> Vec<Number> {
    if bands.len() < 2 {
        return Vec::new();
    }
    let mut all: Vec<Number> = places(bands)
        .into_iter()
        .filter_map(|(band, numbers)| {
            let first = |points: &[(f64, f64)]| points.first().map(|point| x.at(point.0));
            let foot = f64::midpoint(first(&band.early)?, first(&band.late)?);
            let words = numbers.join(", ");
            let at = foot;
            Some(Number { words, at, foot })
        })
        .collect();
    all.sort_by(|a, b| a.foot.total_cmp(&b.foot));
    let mut free_from = 0.0;
    for number in &mut all {
        let half = number.half();
        let is_clear = |at: &f64| {
            let inside = *at - half >= free_from && *at + half <= WIDE;
            let near = |line: &f64| (line - at).abs() < half + CLEAR;
            inside && !lines.iter().any(near)
        };
        let steps = (0..FARTHEST).flat_map(|by| [by, -by]);
        let mut tried = steps.map(|by| number.foot + f64::from(by));
        number.at = tried
            .find(is_clear)
            .unwrap_or(number.foot.max(free_from + half));
        free_from = number.at + half + 2.0 * CLEAR;
    }
    all
}

/// Bands that differ, each with the numbers of all that are alike.
fn places<'b>(bands: &[&'b Band]) -> Vec<(&'b Band, Vec<String>)> {
    let mut places: Vec<(&Band, Vec<String>)> = Vec::new();
    for (number, band) in (1..).zip(bands) {
        let alike =
            |one: &&mut (&Band, Vec<String>)| one.0.early == band.early && one.0.late == band.late;
        match places.iter_mut().find(alike) {
            Some((_, numbers)) => numbers.push(number.to_string()),
            None => places.push((band, vec![number.to_string()])),
        }
    }
    places
}
