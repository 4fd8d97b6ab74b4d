//! A breaker that closes again by itself, into a fault that lasts: how often,
//! and how hot its wires get on the way.
//!
//! Opened, its heat decays; below the share of `CLOSES_BELOW` it closes and is
//! heated from there. Each wire behind it warms while it is closed and cools
//! while it is open, round after round.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::places::Place;
use crate::circuit::{Device, Reset};
use crate::findings::{Finding, code};
use crate::heating::{CLOSES_BELOW, Course, Element, Heat};
use crate::quantities::{Amps, Celsius, Seconds};
use crate::sources::{Source, Standing};
use crate::tables::fuses::Edge;

/// Rounds after which it goes on as it does.
const ROUNDS: usize = 60;

/// Lengths of one round, seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Round {
    closed_s: f64,
    open_s: f64,
}

/// Rounds at a constant multiple, from cold; empty where it never opens.
fn rounds(element: &Element, multiple: f64) -> Vec<Round> {
    let mut heat = element.cold();
    let mut all = Vec::new();
    for _ in 0..ROUNDS {
        let fault = Course::constant(multiple, f64::INFINITY);
        let Some(closed_s) = element.pass(&mut heat, &fault).opens_s else {
            break;
        };
        let open_s = cools_s(element, &heat);
        element.pass(&mut heat, &Course::constant(0.0, open_s));
        all.push(Round { closed_s, open_s });
    }
    all
}

/// Time without current until its heat has fallen to what it closes at, by
/// halving: without current the sum only falls.
fn cools_s(element: &Element, heat: &Heat) -> f64 {
    let after = |seconds: f64| {
        let mut heat = heat.clone();
        element.pass(&mut heat, &Course::constant(0.0, seconds));
        heat.total()
    };
    let (mut low, mut high) = (0.0, 1.0);
    while after(high) > CLOSES_BELOW && high < 1e6 {
        high *= 2.0;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if after(middle) > CLOSES_BELOW {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// The check of a breaker with automatic reset; none for all others.
pub(super) fn reclosing(
    case: &Case<'_>,
    fuse: &Fitted,
    places: &[Place],
) -> Option<(Check, Option<Finding>)> {
    let Device::Breaker(breaker) = &case.circuit.part(fuse.id.part).device else {
        return None;
    };
    let reset = breaker.reset?;
    if reset.value != Reset::Automatic {
        return None;
    }
    let late = fuse.device.element(Edge::Late);
    let mut hottest: Option<(f64, &Place, Round, f64)> = None;
    for place in places {
        let Ok(wire) = case.wire(place.wire) else {
            continue;
        };
        // The softest short keeps it closed longest.
        let amps = place.least_a;
        let mut heat = wire.heat;
        let mut peak_degc = wire.start.si();
        let mut last = None;
        for round in rounds(&late, fuse.device.multiple(amps)) {
            heat = wire.body.after(heat, amps, round.closed_s);
            peak_degc = peak_degc.max(wire.body.copper(heat).si());
            heat = wire.body.after(heat, 0.0, round.open_s);
            last = Some(round);
        }
        let over_k = peak_degc - wire.limits.class.si();
        if let Some(round) = last
            && hottest.is_none_or(|known| over_k > known.0)
        {
            hottest = Some((over_k, place, round, peak_degc));
        }
    }
    let (over_k, place, round, peak_degc) = hottest?;
    let class = Celsius::new(peak_degc - over_k);
    let verdict = if over_k > 0.0 {
        Verdict::Violation
    } else {
        Verdict::Caution
    };
    let degc = if peak_degc > 400.0 {
        "more than 400 \u{b0}C".to_owned()
    } else {
        Celsius::new(peak_degc).to_string()
    };
    let judged = if over_k > 0.0 { "above" } else { "within" };
    let sentence = format!(
        "it closes again by itself: on a short of {} that lasts it is closed for up to {} and open for some {}, over and over; `{}` gets {degc}, {judged} its {class}; 33 CFR 183.455(a) asks for reset by hand",
        Amps::new(place.least_a),
        Seconds::new(round.closed_s),
        Seconds::new(round.open_s),
        place.label
    );
    let rule = Source::new("33 CFR 183.455", "(a), manual reset", Standing::Published);
    let finding = (over_k > 0.0).then(|| {
        let statement = format!(
            "`{}` closes again and again into a short, and `{}` gets {degc}, above its {class}",
            fuse.name, place.label
        );
        Finding::new(code("breaker-reheats-wire"), &fuse.name, statement)
            .with_hint("a breaker that is reset by hand, or a fuse")
            .with_measure(peak_degc, Some(class.si()), "degC")
            .with_label(reset.span, "closes again by itself")
            .with_source(rule.clone())
    });
    let check = Check::new(Kind::Reclosing, verdict, sentence)
        .about(place.label.clone())
        .figure("at_a", place.least_a)
        .figure("closed_s", round.closed_s)
        .figure("open_s", round.open_s)
        .figure("wire_degc", peak_degc)
        .source(rule)
        .source(fuse.device.network_source.clone());
    Some((check, finding))
}
