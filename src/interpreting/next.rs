//! The reading that would separate the conditions best.
//!
//! Specimens are drawn again by their odds; for each reading not yet taken, each
//! of them is read once, with error, and the odds are worked out anew. The
//! reading that leaves the least entropy on the average is the one to take.

use super::Measure;
use super::kernel::{Kernel, scaled, unscaled};
use super::odds::Odds;
use super::specimen::{Group, Specimen, normal};
use crate::bench::Draws;

/// Specimens that stand for the odds.
const SPECIMENS: usize = 320;

/// A reading worth taking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Worth {
    /// In which run.
    pub run: usize,
    /// What to read.
    pub measure: Measure,
    /// Entropy it is expected to take away, bits.
    pub bits: f64,
}

/// The best of the candidates; none where nothing is left to learn.
pub(super) fn best(
    groups: &[Group],
    odds: &Odds,
    candidates: &[(usize, Measure)],
    kernel: &Kernel,
    draws: &mut Draws,
) -> Option<Worth> {
    let drawn = redrawn(groups, odds);
    let before = entropy(&shares(
        groups.len(),
        drawn.iter().map(|(at, _)| (*at, 1.0)),
    ));
    let worth = candidates.iter().map(|&(run, measure)| Worth {
        run,
        measure,
        bits: before - after(groups.len(), &drawn, run, measure, kernel, draws),
    });
    worth
        .filter(|worth| worth.bits.is_finite())
        .max_by(|a, b| a.bits.total_cmp(&b.bits))
        .filter(|worth| worth.bits > 0.02)
}

/// Specimens drawn again by their odds, at even steps: group and specimen.
fn redrawn<'a>(groups: &'a [Group], odds: &Odds) -> Vec<(usize, &'a Specimen)> {
    let known: f64 = odds.share.iter().sum();
    let step = known / SPECIMENS as f64;
    let mut drawn = Vec::with_capacity(SPECIMENS);
    if step <= 0.0 {
        return drawn;
    }
    let (mut sum, mut next) = (0.0, 0.5 * step);
    for (at, group) in groups.iter().enumerate() {
        let whole: f64 = odds.taken[at].each.iter().sum();
        if whole <= 0.0 {
            continue;
        }
        for (one, density) in group.specimens.iter().zip(&odds.taken[at].each) {
            sum += odds.share[at] * density / whole;
            while next < sum && drawn.len() < SPECIMENS {
                drawn.push((at, one));
                next += step;
            }
        }
    }
    drawn
}

/// Mean entropy once the measure is read, bits.
fn after(
    groups: usize,
    drawn: &[(usize, &Specimen)],
    run: usize,
    measure: Measure,
    kernel: &Kernel,
    draws: &mut Draws,
) -> f64 {
    let figure = |one: &Specimen| one.runs[run].get(measure);
    let mut sum = 0.0;
    for (_, one) in drawn {
        let shown = figure(one);
        let off = kernel.deviation(measure, shown) * normal(draws);
        let read = if measure.is_yes_or_no() {
            shown
        } else {
            unscaled(measure, scaled(measure, shown) + off)
        };
        let weighed = drawn
            .iter()
            .map(|(at, other)| (*at, kernel.density(measure, read, figure(other), 1.0)));
        sum += entropy(&shares(groups, weighed));
    }
    sum / drawn.len().max(1) as f64
}

fn shares(groups: usize, weighed: impl Iterator<Item = (usize, f64)>) -> Vec<f64> {
    let mut shares = vec![0.0; groups];
    for (at, weight) in weighed {
        shares[at] += weight;
    }
    let sum: f64 = shares.iter().sum();
    shares.iter().map(|share| share / sum).collect()
}

fn entropy(shares: &[f64]) -> f64 {
    let of = |share: f64| {
        if share > 0.0 {
            -share * share.log2()
        } else {
            0.0
        }
    };
    shares.iter().map(|&share| of(share)).sum()
}
