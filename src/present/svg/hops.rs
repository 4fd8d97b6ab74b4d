//! The way of a conductor as a path: where it crosses another it hops over it,
//! so that a crossing is never taken for a meeting.

use super::glyphs::round;
use crate::drawing::Routed;

/// Half the width of a hop; two tracks lie farther apart than one is wide.
const HALF: f64 = 3.5;
/// Free room between a hop and a bend.
const FREE: f64 = 0.5;

/// From a hop to where the lines it crosses are left out, above and below: less
/// than to the next line, 8 away, which may bend right there.
const ABOVE: f64 = 1.5;
const BELOW: f64 = 4.0;
/// Longest piece of its own line that is drawn once more beside a hop.
const BESIDE: f64 = 4.0;

/// One hop: where, half its width, towards which side, and how much of the line
/// beside it is free.
struct Hop {
    at: (f64, f64),
    half: f64,
    step: f64,
    beside: f64,
}

impl Hop {
    /// Over the top, whichever way the line runs.
    fn arc(&self) -> String {
        let ((x, y), half) = (self.at, self.half);
        let sweep = u8::from(self.step > 0.0);
        let (start, end) = (round(x - self.step * half), round(x + self.step * half));
        let (half, y) = (round(half), round(y));
        format!("L{start} {y}A{half} {half} 0 0 {sweep} {end} {y}")
    }
}

/// The path of one of a drawing's conductors. Level pieces hop over upright ones.
pub(super) fn way(all: &[Routed], number: usize) -> String {
    let points = &all[number].points;
    let point = |(x, y): (f64, f64)| format!("{} {}", round(x), round(y));
    let mut path = points
        .first()
        .map_or_else(String::new, |first| ["M", &point(*first)].concat());
    for pair in points.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        for hop in hops(all, number, from, to) {
            path += &hop.arc();
        }
        path.extend(["L", &point(to)]);
    }
    path
}

/// Of a conductor that hops: what is left out of the lines it crosses, and the
/// hops themselves.
pub(super) fn bridges(all: &[Routed], number: usize) -> Option<(String, String)> {
    let (mut gaps, mut arcs) = (Vec::new(), Vec::new());
    for pair in all[number].points.windows(2) {
        for hop in hops(all, number, pair[0], pair[1]) {
            let ((x, y), reach) = (hop.at, hop.half + hop.beside);
            let (top, low) = (round(y - hop.half - ABOVE), round(y + BELOW));
            gaps.push(format!("M{} {top}V{low}", round(x)));
            let end = |side: f64| format!("{} {}", round(x + side * hop.step * reach), round(y));
            arcs.push(format!("M{}{}L{}", end(-1.0), hop.arc(), end(1.0)));
        }
    }
    (!arcs.is_empty()).then(|| (gaps.concat(), arcs.concat()))
}

/// The hops of one piece, in its order.
fn hops(all: &[Routed], number: usize, from: (f64, f64), to: (f64, f64)) -> Vec<Hop> {
    let step = if to.0 > from.0 { 1.0 } else { -1.0 };
    let at = crossings(all, number, from, to).into_iter();
    at.filter_map(|x| {
        let nearest = (x - from.0).abs().min((x - to.0).abs());
        let half = HALF.min(nearest - FREE);
        (half >= 1.0).then(|| Hop {
            at: (x, from.1),
            half,
            step,
            beside: BESIDE.min(nearest - half),
        })
    })
    .collect()
}

/// Where upright pieces of other conductors cross a level piece, in its order.
fn crossings(all: &[Routed], number: usize, from: (f64, f64), to: (f64, f64)) -> Vec<f64> {
    let is_level = (from.1 - to.1).abs() < 1e-6;
    let within = |value: f64, p: f64, q: f64| p.min(q) < value && value < p.max(q);
    let others = all.iter().enumerate().filter(|(at, _)| *at != number);
    let pieces = others.flat_map(|(_, of)| of.points.windows(2));
    let mut found: Vec<f64> = pieces
        .filter(|piece| is_level && (piece[0].0 - piece[1].0).abs() < 1e-6)
        .filter(|piece| within(piece[0].0, from.0, to.0))
        .filter(|piece| within(from.1, piece[0].1, piece[1].1))
        .map(|piece| piece[0].0)
        .collect();
    found.sort_by(f64::total_cmp);
    if to.0 < from.0 {
        found.reverse();
    }
    found
}
