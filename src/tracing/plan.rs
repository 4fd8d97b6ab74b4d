//! What the search will take: tests, minutes, tools and parts to bring.
//!
//! For a handful of suspects, taken evenly over their odds, the search is
//! played through with the tests at hand: always the test that tells most per
//! minute, always the outcome that this suspect most likely shows.

use super::groups::Group;
use super::next::Ranked;
use super::scene::Scene;
use super::sites::part_to_change;
use super::weighing::Weighed;
use std::collections::BTreeSet;

/// What to expect of the search.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// Tests, on the average.
    pub tests: f64,
    /// Minutes, on the average.
    pub minutes: f64,
    /// Share of the searches that end with one cause at nine in ten.
    pub settled: f64,
    /// Tools for the tests and parts for the three likeliest causes.
    pub bring: Vec<String>,
}

/// Suspects that the search is played for.
const PLAYED: usize = 16;
/// Tests looked at in each play.
const TESTS: usize = 40;
/// Most tests of one search.
const LONGEST: usize = 10;
/// Odds at which a search ends.
const FOUND: f64 = 0.9;
/// Bits below which no test is worth doing.
const NOTHING: f64 = 0.02;

/// Plays the search through.
pub(super) fn plan(
    scene: &Scene<'_>,
    weighed: &Weighed,
    live: &[usize],
    tests: &[Ranked],
    best: &[Group],
) -> Plan {
    let tests = &tests[..tests.len().min(TESTS)];
    let class = classes(scene, live);
    let total: f64 = live.iter().map(|at| weighed.odds[*at]).sum();
    let mut plan = Plan::default();
    let mut tools: BTreeSet<&'static str> = BTreeSet::new();
    for play in 0..PLAYED {
        let at = (play as f64 + 0.5) / PLAYED as f64 * total;
        let hidden = at_share(weighed, live, at);
        let search = search(weighed, live, tests, &class, hidden);
        plan.tests += search.tests.len() as f64 / PLAYED as f64;
        plan.minutes += search.minutes / PLAYED as f64;
        plan.settled += f64::from(u8::from(search.settled)) / PLAYED as f64;
        tools.extend(search.tests.iter().map(|test| tests[*test].cost.tools));
    }
    plan.bring = tools.into_iter().map(str::to_owned).collect();
    for group in best.iter().take(3) {
        let part = part_for(scene, group);
        if !plan.bring.contains(&part) {
            plan.bring.push(part);
        }
    }
    plan
}

struct Search {
    tests: Vec<usize>,
    minutes: f64,
    settled: bool,
}

/// Number of the group of each live suspect; faults inside one part are one, for it is
/// the part that is changed.
fn classes(scene: &Scene<'_>, live: &[usize]) -> Vec<usize> {
    let mut firsts: Vec<usize> = Vec::new();
    live.iter()
        .map(|at| {
            let own = &scene.suspects[*at];
            let like = |first: &usize| {
                let first = &scene.suspects[*first];
                let part = part_to_change(own);
                first.is_like(own) || (part.is_some() && part == part_to_change(first))
            };
            firsts.iter().position(like).unwrap_or_else(|| {
                firsts.push(*at);
                firsts.len() - 1
            })
        })
        .collect()
}

/// Position in `live` at which the running sum of odds passes a share.
fn at_share(weighed: &Weighed, live: &[usize], share: f64) -> usize {
    let mut sum = 0.0;
    for (position, at) in live.iter().enumerate() {
        sum += weighed.odds[*at];
        if sum >= share {
            return position;
        }
    }
    live.len().saturating_sub(1)
}

fn search(
    weighed: &Weighed,
    live: &[usize],
    tests: &[Ranked],
    class: &[usize],
    hidden: usize,
) -> Search {
    let mut weights: Vec<f64> = live.iter().map(|at| weighed.odds[*at]).collect();
    let mut found = Search {
        tests: Vec::new(),
        minutes: 0.0,
        settled: false,
    };
    loop {
        found.settled = most(&weights, class) >= FOUND;
        if found.settled || found.tests.len() >= LONGEST {
            return found;
        }
        let scored = (0..tests.len())
            .filter(|test| !found.tests.contains(test))
            .map(|test| (test, bits(&weights, class, &tests[test].outcomes.odds)))
            .filter(|(_, bits)| *bits > NOTHING);
        let minutes = |test: usize| tests[test].cost.minutes;
        let best = scored.max_by(|a, b| (a.1 / minutes(a.0)).total_cmp(&(b.1 / minutes(b.0))));
        let Some((test, _)) = best else {
            return found;
        };
        let odds = &tests[test].outcomes.odds;
        let shows = odds[hidden].iter().enumerate();
        let shows = shows
            .max_by(|a, b| a.1.total_cmp(b.1))
            .map_or(0, |(at, _)| at);
        for (weight, odds) in weights.iter_mut().zip(odds) {
            *weight *= odds[shows];
        }
        found.minutes += minutes(test);
        found.tests.push(test);
    }
}

/// Odds of the likeliest class.
fn most(weights: &[f64], class: &[usize]) -> f64 {
    let sums = sums(weights, class);
    let total: f64 = sums.iter().sum();
    sums.into_iter().fold(0.0, f64::max) / total.max(f64::MIN_POSITIVE)
}

fn sums(weights: &[f64], class: &[usize]) -> Vec<f64> {
    let count = class.iter().max().map_or(0, |most| most + 1);
    let mut sums = vec![0.0; count];
    for (weight, class) in weights.iter().zip(class) {
        sums[*class] += weight;
    }
    sums
}

/// Mutual information of outcome and class, bits.
fn bits(weights: &[f64], class: &[usize], odds: &[Vec<f64>]) -> f64 {
    let outcomes = odds.first().map_or(0, Vec::len);
    let by_class = sums(weights, class);
    let total: f64 = by_class.iter().sum();
    let mut bits = 0.0;
    for outcome in 0..outcomes {
        let shares: Vec<f64> = weights
            .iter()
            .zip(odds)
            .map(|(weight, odds)| weight * odds[outcome])
            .collect();
        let joint = sums(&shares, class);
        let sum: f64 = joint.iter().sum();
        for (share, own) in joint.iter().zip(&by_class) {
            if *share > 0.0 && sum > 0.0 {
                bits += share / total * ((share / own) / (sum / total)).log2();
            }
        }
    }
    bits
}

/// What to have at hand for a cause.
fn part_for(scene: &Scene<'_>, group: &Group) -> String {
    use super::cause::Cause as C;
    let place = group.subject(scene);
    match group.cause {
        C::ShortToGround | C::OpenWire | C::StopLine => {
            format!("wire, sleeve and crimps for `{place}`")
        }
        C::HighResistanceJoint | C::BadGround | C::SneakPath | C::Water => {
            format!("brush, lugs and crimps for `{place}`")
        }
        C::FuseHolder => format!("a sealed holder for `{place}`"),
        C::TiredFuse | C::WrongFuse | C::ReversedPolarity => {
            format!("fuses of the printed rating for `{place}`")
        }
        C::OverloadAdded => "a fuse block and wire for a feed of its own".to_owned(),
        _ => format!("a replacement for `{place}`, bought only once a test says so"),
    }
}
