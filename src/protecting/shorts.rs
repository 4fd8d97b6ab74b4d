//! The check of shorts at the far ends of wires: the worst place is told, the
//! others counted.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::places::Place;
use super::wires::{finite, time};
use crate::findings::{Finding, code};
use crate::quantities::Amps;
use crate::sources::{Source, Standing};

/// Every short of a fuse's places, told by the worst.
pub(super) fn shorts(
    case: &Case<'_>,
    fuse: &Fitted,
    places: &[Place],
) -> Option<(Check, Vec<Finding>)> {
    let worst = places.iter().reduce(|worst, one| {
        let key = |place: &Place| (place.worst.verdict, place.worst.share());
        if key(one) > key(worst) { one } else { worst }
    })?;
    let pinch = &worst.worst;
    let range = format!(
        "{} to {}",
        Amps::new(worst.least_a),
        Amps::new(worst.most_a)
    );
    let tail = match pinch.verdict {
        Verdict::Violation => "the insulation fails first",
        Verdict::Caution => "in time only if the insulation takes its share of the heat",
        _ => "in time",
    };
    let sentence = format!(
        "{}: `{}`, {range}; at {} it {} and {}: {tail}",
        lead(places),
        worst.label,
        Amps::new(pinch.fuse_a),
        opens(pinch.opens_s),
        stands(pinch.stands_s)
    );
    let check = Check::new(Kind::Short, pinch.verdict, sentence)
        .about(worst.label.clone())
        .figure("wires", places.len() as f64)
        .figure("wires_not_in_time", failing(places).count() as f64)
        .figure("least_a", worst.least_a)
        .figure("most_a", worst.most_a)
        .figure("worst_a", pinch.fuse_a)
        .figure("opens_latest_s", finite(pinch.opens_s))
        .figure("wire_stands_s", finite(pinch.stands_s))
        .figure("adiabatic_s", finite(pinch.adiabatic_s))
        .source(short_time())
        .source(fuse.device.source.clone());
    let findings = failing(places).map(|place| finding(case, fuse, place));
    Some((check, findings.collect()))
}

fn failing(places: &[Place]) -> impl Iterator<Item = &Place> {
    let fails = |place: &&Place| place.worst.verdict == Verdict::Violation;
    places.iter().filter(fails)
}

fn lead(places: &[Place]) -> String {
    let all = places.len();
    match (failing(places).count(), all) {
        (0, 1) => "a short at the far end of its wire is ended".to_owned(),
        (0, _) => format!("a short at the far end of any of its {all} wires is ended; the hardest"),
        (_, 1) => "a short at the far end of its wire must be ended, and is not".to_owned(),
        (1, _) => format!(
            "a short at the far end of any of its {all} wires must be ended, and at one is not"
        ),
        (many, _) => format!(
            "a short at the far end of any of its {all} wires must be ended, and at {many} is not; the worst"
        ),
    }
}

fn opens(seconds: f64) -> String {
    if seconds.is_finite() {
        format!("opens within {}", time(seconds))
    } else {
        "need not open".into()
    }
}

fn stands(seconds: f64) -> String {
    if seconds.is_finite() {
        format!("the wire stands it for {}", time(seconds))
    } else {
        "the wire stands it for good".into()
    }
}

fn finding(case: &Case<'_>, fuse: &Fitted, place: &Place) -> Finding {
    let pinch = &place.worst;
    let wire = &case.circuit.wires[place.wire];
    let statement = format!(
        "a short at the end of `{}` draws {}, and `{}` {}; {}",
        place.label,
        Amps::new(pinch.fuse_a),
        fuse.name,
        opens(pinch.opens_s),
        stands(pinch.stands_s)
    );
    Finding::new(code("short-not-cleared"), &fuse.name, statement)
        .with_hint("a thicker or shorter wire, or a smaller fuse that still carries the load")
        .with_measure(pinch.opens_s.min(1e9), finite(pinch.stands_s), "s")
        .with_label(wire.span, "this wire")
        .with_label(fuse.span, "this fuse")
        .mendable(!wire.keep)
        .with_source(short_time())
}

fn short_time() -> Source {
    Source::new(
        "IEC 60364-5-54 and IEC 60724",
        "short-time formula and end temperatures",
        Standing::Published,
    )
}
