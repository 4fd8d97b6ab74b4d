//! The way of a conductor as a path: where it crosses another it hops over it,
//! so that a crossing is never taken for a meeting.

use super::glyphs::round;
use crate::drawing::Routed;

/// Half the width of a hop; two tracks lie farther apart than one is wide.
const HALF: f64 = 3.5;
/// Free room between a hop and a bend.
const FREE: f64 = 0.5;

/// The path of one of a drawing's conductors. Level pieces hop over upright ones.
pub(super) fn way(all: &[Routed], number: usize) -> String {
    let points = &all[number].points;
    let mut path = points.first().map_or_else(String::new, |(x, y)| {
        format!("M{} {}", round(*x), round(*y))
    });
    for pair in points.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let step = if to.0 > from.0 { 1.0 } else { -1.0 };
        for x in crossings(all, number, from, to) {
            let nearest = (x - from.0).abs().min((x - to.0).abs());
            let half = HALF.min(nearest - FREE);
            if half < 1.0 {
                continue;
            }
            // Over the top, whichever way it runs.
            let sweep = u8::from(step > 0.0);
            let (start, end) = (round(x - step * half), round(x + step * half));
            let (half, y) = (round(half), round(from.1));
            path += &format!("L{start} {y}A{half} {half} 0 0 {sweep} {end} {y}");
        }
        path += &format!("L{} {}", round(to.0), round(to.1));
    }
    path
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
