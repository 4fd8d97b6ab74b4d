//! Time against current of one fuse: its band, that of the device before it,
//! and the limit of its thinnest wire.

use super::case::{Case, Fitted};
use super::wires::{between, thinnest};
use crate::document::{Axis, Chart, Curve};
use crate::heating::OPENS_FROM;
use crate::quantities::{Amps, Seconds};

/// Longest time drawn, seconds.
const LONGEST_S: f64 = 3600.0;
/// Shortest time drawn, seconds.
const SHORTEST_S: f64 = 0.001;

/// Just beyond where a fuse is made to hold, and beyond rounding.
const BEYOND: f64 = 1e-6;

/// The chart of a fuse.
pub(super) fn chart(case: &Case<'_>, fuse: &Fitted) -> Chart {
    let rating_a = fuse.device.effective.si();
    let fault_a = case
        .available(fuse)
        .map_or(20.0 * rating_a, |fault| fault.typical);
    let from_a = rating_a;
    let to_a = fault_a.clamp(8.0 * rating_a, 200.0 * rating_a);
    let curve = |sign: char, name: String, time: &dyn Fn(f64) -> Option<f64>| Curve {
        sign,
        name,
        points: between(from_a, to_a)
            .filter_map(|current_a| Some((current_a, time(current_a)?)))
            .collect(),
    };
    // An edge begins at its own current, not at the next one that is drawn.
    let edge = |sign: char, name: String, least_a: f64, time: &dyn Fn(f64) -> Option<f64>| {
        let mut drawn = curve(sign, name, time);
        drawn.points.retain(|point| point.0 > least_a);
        let begins = (from_a..=to_a).contains(&least_a);
        if let Some(seconds) = time(least_a * (1.0 + BEYOND)).filter(|_| begins) {
            drawn.points.insert(0, (least_a, seconds));
        }
        drawn
    };
    let edges = |of: &Fitted, early: char, late: char| {
        let opening = |current_a| of.device.opening(Amps::new(current_a));
        let what = format!(
            "`{}` {} {}",
            of.name,
            of.device.rating,
            of.device.family.word()
        );
        let effective_a = of.device.effective.si();
        let may_a = of.device.holds_to() * effective_a;
        let must_a = OPENS_FROM * effective_a;
        [
            edge(early, format!("{what}, earliest"), may_a, &|current_a| {
                opening(current_a).earliest.map(Seconds::si)
            }),
            edge(late, format!("{what}, latest"), must_a, &|current_a| {
                opening(current_a).latest.map(Seconds::si)
            }),
        ]
    };
    let mut curves = Vec::new();
    if let Some((label, wire)) = thinnest(case, fuse) {
        curves.push(curve(
            'w',
            format!("wire `{label}` stands it so long"),
            &|current_a| {
                let stands = wire.stands_s(current_a);
                stands.is_finite().then_some(stands)
            },
        ));
    }
    if let Some(upstream) = case.upstream(fuse) {
        curves.extend(edges(upstream, 'u', 'U'));
    }
    curves.extend(edges(fuse, 'e', 'L'));
    Chart {
        title: format!("`{}`: time to open against current", fuse.name),
        x: Axis {
            name: "A".into(),
            from: from_a,
            to: to_a,
        },
        y: Axis {
            name: "s".into(),
            from: SHORTEST_S,
            to: LONGEST_S,
        },
        curves,
    }
}
