//! Time against current of one fuse: its band, that of the device before it,
//! and the limit of its thinnest wire.

use super::case::{Case, Fitted};
use super::wires::{between, thinnest};
use crate::document::{Axis, Chart, Curve};
use crate::quantities::{Amps, Seconds};

/// Longest time drawn, seconds.
const LONGEST_S: f64 = 3600.0;
/// Shortest time drawn, seconds.
const SHORTEST_S: f64 = 0.001;

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
    let edges = |of: &Fitted, early: char, late: char| {
        let opening = |current_a| of.device.opening(Amps::new(current_a));
        let what = format!(
            "`{}` {} {}",
            of.name,
            of.device.rating,
            of.device.family.word()
        );
        [
            curve(early, format!("{what}, earliest"), &|current_a| {
                opening(current_a).earliest.map(Seconds::si)
            }),
            curve(late, format!("{what}, latest"), &|current_a| {
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
