//! Which opens first: a fuse or the one before it.
//!
//! Over every current from the least that must open the branch to what a short
//! right behind it draws. Within the gates where the branch's latest is no later
//! than the upstream's earliest; likely where the middles part by a fifth and
//! the ratings by 1.6 (of one family); else both may open.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::wires::{between, latest_s};
use crate::heating::OPENS_FROM;
use crate::quantities::{Amps, Seconds, print};
use crate::sources::{Source, Standing};

/// Clearing over melting at 12 V: little arc.
const CLEARS: f64 = 1.2;
/// Published ratio of ratings within one family.
const RATIO: f64 = 1.6;

/// How two devices share a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Order {
    Within,
    Likely,
    Both,
}

fn order(fuse: &Fitted, upstream: &Fitted, current_a: f64) -> Order {
    let current = Amps::new(current_a);
    let above = upstream.device.opening(current);
    let earliest = above.earliest.map_or(f64::INFINITY, Seconds::si);
    // Room for rounding where the two gates meet exactly, as at 5 to 1.
    if latest_s(fuse, current_a) <= earliest * (1.0 + 1e-9) {
        return Order::Within;
    }
    let middle =
        |opening: crate::heating::Opening| opening.middle.map_or(f64::INFINITY, Seconds::si);
    let below = middle(fuse.device.opening(current));
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
pub(super) fn judge(case: &Case<'_>, fuse: &Fitted) -> Option<Check> {
    let upstream = case.upstream(fuse)?;
    let fault = case.available(fuse)?;
    let from_a = OPENS_FROM * fuse.device.effective.si() * (1.0 + 1e-9);
    let to_a = fault.typical.max(from_a);
    let all: Vec<(f64, Order)> = between(from_a, to_a)
        .map(|current_a| (current_a, order(fuse, upstream, current_a)))
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
    let code = |order| match order {
        Order::Within => 0.0,
        Order::Likely => 1.0,
        Order::Both => 2.0,
    };
    Some(
        Check::new(Kind::Selectivity, verdict, words)
            .about(upstream.name.clone())
            .figure("ratio", ratio)
            .figure("from_a", from_a)
            .figure("to_a", to_a)
            .figure("within_gates_to_a", within_to)
            .figure("order", code(worst))
            .figure("order_dead_short", code(dead_short))
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
            )),
    )
}

fn beyond(within_to: Option<f64>) -> String {
    within_to.map_or_else(String::new, |amps| format!(" above {}", Amps::new(amps)))
}
