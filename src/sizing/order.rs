//! Which opens first: a fuse raised where it and one behind it may both open.
//!
//! Done last, with the sizes decided: only ratings that every wire behind the
//! fuse stands as it is, never above a label or a maker's largest, and only
//! where nothing else gets worse. So it costs no copper; where nothing is to be
//! had the order stays as it is, and `protect` says so.

use super::fuses::{FuseBinding, Rated};
use super::guard::{Guard, Pair};
use super::judge::Judge;
use super::plan::Task;
use super::rounds::Settled;
use crate::protecting::Verdict;
use crate::solving::SolveError;

/// Ratings with the order of opening mended where it can be; none where none
/// was changed.
///
/// # Errors
/// A figure that no table has.
pub(super) fn parted(
    task: &Task<'_>,
    settled: &Settled,
    judge: &Judge<'_>,
) -> Result<Option<Vec<Rated>>, SolveError> {
    let mut ratings = settled.plan.ratings.clone();
    let mut guard = Guard::of(&settled.circuit, task.choices, task.fuses)?;
    let mut changed = false;
    let upstream: std::collections::BTreeSet<usize> =
        mixed(&guard).map(|pair| pair.upstream).collect();
    for fuse in upstream {
        for rating_a in larger(task, settled, fuse, ratings[fuse]) {
            let mut other = ratings.clone();
            other[fuse] = Rated {
                rating_a,
                binding: FuseBinding::Selectivity,
                collides: false,
            };
            let circuit = task.applied(&settled.plan.sizes, &other);
            if judge.worse(&circuit)?.is_some() {
                continue;
            }
            let found = Guard::of(&circuit, task.choices, task.fuses)?;
            let is_better = mixed(&found).count() < mixed(&guard).count()
                && found.open(true).count() <= guard.open(true).count();
            if is_better {
                (ratings, guard, changed) = (other, found, true);
                break;
            }
        }
    }
    Ok(changed.then_some(ratings))
}

/// Pairs of which both may open.
fn mixed(guard: &Guard) -> impl Iterator<Item = &Pair> {
    let pairs = guard.pairs.iter();
    pairs.filter(|pair| pair.verdict >= Verdict::Caution)
}

/// Larger ratings that a fuse may get with the wires as they are.
fn larger(task: &Task<'_>, settled: &Settled, fuse: usize, now: Rated) -> Vec<f64> {
    let case = &task.fuses[fuse];
    if case.keep || now.binding == FuseBinding::Unused {
        return Vec::new();
    }
    let basis = task.circuit.limits.fuse_basis;
    let wires = case.wires.iter().chain(&case.returns);
    let stand = wires.filter_map(|&wire| {
        let choice = task.choices[wire].at(settled.plan.sizes[wire]);
        choice.largest_fuse_a(basis)
    });
    let most_a = stand.fold(case.cap_a(), f64::min);
    let ratings = case.ratings_a.iter().copied();
    ratings
        .filter(|rating| *rating > now.rating_a && *rating <= most_a)
        .collect()
}
