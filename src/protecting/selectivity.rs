//! Which opens first: a fuse or the one before it.
//!
//! Over every current from the least that must open the branch to what a short
//! right behind it draws. Within the gates where the branch's latest is no later
//! than the upstream's earliest; likely where the middles part by a fifth and
//! the ratings by 1.6 (of one family); else both may open.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::places::{First, Place};
use super::wires::{between, latest_s};
use crate::findings::{Finding, code};
use crate::heating::OPENS_FROM;
use crate::quantities::{Amps, Seconds, print};
use crate::sources::{Source, Standing};

/// Clearing over melting at 12 V: little arc.
const CLEARS: f64 = 1.2;
/// Published ratio of ratings within one family.
const RATIO: f64 = 1.6;

/// How sure it is that a fuse opens before the device before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Order {
    /// Within the gates.
    Within,
    /// The middles part, the gates overlap.
    Likely,
    /// Both may open.
    Both,
}

impl Order {
    /// The word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Within => "within-gates",
            Self::Likely => "likely",
            Self::Both => "both-may-open",
        }
    }
}

/// A fuse at a current against the device before it at its own.
pub(super) fn order(fuse: &Fitted, own_a: f64, upstream: &Fitted, above_a: f64) -> Order {
    let above = upstream.device.opening(Amps::new(above_a));
    let earliest = above.earliest.map_or(f64::INFINITY, Seconds::si);
    // Room for rounding where the two gates meet exactly, as at 5 to 1.
    if latest_s(fuse, own_a) <= earliest * (1.0 + 1e-9) {
        return Order::Within;
    }
    let middle =
        |opening: crate::heating::Opening| opening.middle.map_or(f64::INFINITY, Seconds::si);
    let below = middle(fuse.device.opening(Amps::new(own_a)));
    let ratio = upstream.device.rating.si() / fuse.device.rating.si();
    let same = upstream.device.family == fuse.device.family;
    let parted = CLEARS * below <= middle(above);
    if parted && (!same || ratio >= RATIO * (1.0 - 1e-9)) {
        Order::Likely
    } else {
        Order::Both
    }
}

/// A fuse under the one before it; none where nothing stands before it.
pub(super) fn judge(
    case: &Case<'_>,
    fuse: &Fitted,
    places: &[Place],
) -> Option<(Check, Option<Finding>)> {
    let upstream = case.upstream(fuse)?;
    let fault = case.available(fuse)?;
    let from_a = OPENS_FROM * fuse.device.effective.si() * (1.0 + 1e-9);
    let to_a = fault.typical.max(from_a);
    let all: Vec<(f64, Order)> = between(from_a, to_a)
        .map(|amps| (amps, order(fuse, amps, upstream, amps)))
        .collect();
    let worst = all.iter().map(|row| row.1).max()?;
    let dead_short = all.last().map_or(worst, |row| row.1);
    // Up to where the gates alone decide.
    let within_to = all
        .iter()
        .take_while(|row| row.1 == Order::Within)
        .last()
        .map(|row| row.0);
    let ratio = upstream.device.rating.si() / fuse.device.rating.si();
    let pair = format!(
        "under `{}` ({} {})",
        upstream.name,
        upstream.device.rating,
        upstream.device.family.word()
    );
    let (verdict, words) = match worst {
        Order::Within => (
            Verdict::Holds,
            format!(
                "{pair} it opens first at every current up to {}, within the gates",
                Amps::new(to_a)
            ),
        ),
        Order::Likely => (
            Verdict::Note,
            format!(
                "{pair} it likely opens first; the gates overlap{}, so an opened `{}` over a sound `{}` proves no second fault",
                beyond(within_to),
                upstream.name,
                fuse.name
            ),
        ),
        Order::Both => (
            Verdict::Caution,
            format!(
                "{pair} both may open{}, {} times the rating is too little; look behind `{}` too when `{}` has opened",
                beyond(within_to),
                print::significant(ratio, 2),
                fuse.name,
                upstream.name
            ),
        ),
    };
    let rank = |order| match order {
        Order::Within => 0.0,
        Order::Likely => 1.0,
        Order::Both => 2.0,
    };
    let finding = (worst == Order::Both).then(|| {
        let statement = format!("`{}`: {words}", fuse.name);
        Finding::new(code("both-may-open"), &fuse.name, statement)
            .with_hint("keep a spare of both; never a larger main for its sake alone: it must guard its own wires")
            .with_label(fuse.span, "this fuse")
    });
    let check = Check::new(
        Kind::Selectivity,
        verdict,
        format!("{words}{}", by_place(places)),
    )
    .about(upstream.name.clone())
    .figure("ratio", ratio)
    .figure("from_a", from_a)
    .figure("to_a", to_a)
    .figure("within_gates_to_a", within_to)
    .figure("order", rank(worst))
    .figure("order_dead_short", rank(dead_short))
    .source(fuse.device.source.clone())
    .source(upstream.device.source.clone())
    .source(Source::new(
        "a fuse application guide",
        "1.6 to 1 within one family",
        Standing::Published,
    ))
    .source(Source::new(
        "clearing taken as 1.2 times melting",
        "",
        Standing::Judgement,
    ));
    Some((check, finding))
}

/// How many places it opens first at, and the worst of them.
fn by_place(places: &[Place]) -> String {
    let firsts: Vec<(&Place, &First)> = places
        .iter()
        .filter_map(|place| Some((place, place.first.as_ref()?)))
        .collect();
    let Some((place, worst)) = firsts.iter().max_by_key(|(_, first)| first.order) else {
        return String::new();
    };
    let count = |order| {
        firsts
            .iter()
            .filter(|(_, first)| first.order == order)
            .count()
    };
    let all = match firsts.len() {
        1 => "the end of its wire".to_owned(),
        many => format!("the ends of its {many} wires"),
    };
    let (within, likely, both) = (
        count(Order::Within),
        count(Order::Likely),
        count(Order::Both),
    );
    if likely + both == 0 {
        return format!("; for shorts at {all} too");
    }
    let named = format!("worst `{}` with `{}`", place.label, worst.upstream);
    format!(
        "; for shorts at {all}: first within the gates at {within}, likely at {likely}, both may open at {both}, {named}"
    )
}

fn beyond(within_to: Option<f64>) -> String {
    within_to.map_or_else(String::new, |amps| format!(" above {}", Amps::new(amps)))
}
