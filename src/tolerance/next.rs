//! What to measure next: which few figures, once known, let verdicts be told.
//!
//! Each verdict's miss is split over the unknowns by their squared correlation
//! with it over the samples: shares of its variance, which is what they are for
//! verdicts that follow their unknowns in straight lines. A measurement takes
//! the shares of the figures it tells away; a verdict counts as settled in the
//! part of the drawn boats in which what is left no longer reaches its limit.
//!
//! # Limits
//! A measurement is taken as exact within the few percent of tape and meter, and
//! verdicts as straight in their unknowns; both are right enough to choose by.

use super::batch::Batch;
use super::questions::Watch;
use super::sampling::Sampled;
use super::unknowns::Way;
use super::verdicts::{Standing, Verdict};
use std::collections::BTreeMap;

/// Something worth measuring.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Part, fuse or wire.
    pub subject: String,
    /// What of it, in words; several figures that one measurement tells.
    pub what: Vec<&'static str>,
    /// How.
    pub way: Way,
    /// Verdicts it would settle, together with those before it in the list:
    /// by subject, with the chance.
    pub settles: Vec<(String, f64)>,
    /// The largest share of any open verdict's variance that it accounts for.
    pub share: f64,
}

/// How many are named.
const NAMED: usize = 6;
/// Chance gained over all open verdicts below which nothing more is named.
const LEAST_GAIN: f64 = 0.05;
/// Spreads of what is left that a verdict must be away from its limit: one in
/// forty beyond it, as verdicts are told.
const AWAY: f64 = 1.96;
/// Largest count of open verdicts looked at.
const LOOKED_AT: usize = 40;

/// An open verdict as its unknowns make it.
struct Open {
    subject: String,
    mean: f64,
    variance: f64,
    /// Slope with each unknown, of the miss, and the unknown's mean.
    slopes: Vec<(f64, f64)>,
    /// Share of the variance of each unknown.
    shares: Vec<f64>,
}

/// What to measure, and what stays open after all of it.
pub(super) struct Steps {
    /// The most telling first.
    pub measures: Vec<Measure>,
    /// Open verdicts that cannot be told in some boats even then: by subject, with
    /// the share of those boats.
    pub left: Vec<(String, f64)>,
}

/// What to measure, the most telling first.
pub(super) fn measures(
    batch: &Batch<'_>,
    watch: &Watch,
    sampled: &Sampled,
    verdicts: &[Verdict],
) -> Steps {
    let is_open = |verdict: &&Verdict| verdict.standing == Standing::Open;
    let open: Vec<Open> = verdicts
        .iter()
        .filter(is_open)
        .take(LOOKED_AT)
        .filter_map(|verdict| Open::of(batch, watch, sampled, verdict))
        .collect();
    let mut groups: BTreeMap<(&str, Way), Vec<usize>> = BTreeMap::new();
    for (number, unknown) in batch.unknowns.iter().enumerate() {
        if unknown.way != Way::None {
            let group = groups.entry((&unknown.subject, unknown.way)).or_default();
            group.push(number);
        }
    }
    // What no open verdict hangs on settles nothing.
    groups.retain(|_, group| open.iter().any(|open| open.share(group) > 0.0));
    let mut known: Vec<usize> = Vec::new();
    let mut chosen = Vec::new();
    let mut before: Vec<f64> = vec![0.0; open.len()];
    while chosen.len() < NAMED {
        let settled = |group: &Vec<usize>| -> Vec<f64> {
            let all: Vec<usize> = known.iter().chain(group).copied().collect();
            open.iter()
                .map(|open| open.settled(sampled, &all))
                .collect()
        };
        let gain = |after: &[f64]| -> f64 {
            let each = after.iter().zip(&before);
            each.map(|(after, before)| (after - before).max(0.0)).sum()
        };
        let tried = groups
            .iter()
            .map(|(key, group)| (key, group, settled(group)));
        // The first of equals, so that the order is the same everywhere.
        let best = tried.fold(
            None,
            |best: Option<(_, _, Vec<f64>, f64)>, (key, group, after)| {
                // Where nothing settles yet, the largest share leads there.
                let lead: f64 = open.iter().map(|open| open.share(group)).sum();
                let gain = gain(&after) + 0.01 * lead;
                match best {
                    Some(old) if old.3 >= gain => Some(old),
                    _ => Some((*key, group.clone(), after, gain)),
                }
            },
        );
        let Some(((subject, way), group, after, gain)) = best else {
            break;
        };
        if gain < LEAST_GAIN * 0.2 {
            break;
        }
        let settles = open.iter().zip(after.iter().zip(&before));
        let settles = settles.filter(|(_, (after, before))| **after > **before + LEAST_GAIN);
        let share = |open: &Open| open.share(&group);
        chosen.push(Measure {
            subject: subject.to_owned(),
            what: group.iter().map(|at| batch.unknowns[*at].what).collect(),
            way,
            settles: settles
                .map(|(open, (after, _))| (open.subject.clone(), *after))
                .collect(),
            share: open.iter().map(share).fold(0.0, f64::max),
        });
        groups.remove(&(subject, way));
        known.extend(group);
        before = after;
    }
    let left = open.iter().zip(&before);
    let left = left.filter(|(_, told)| **told < 1.0 - LEAST_GAIN);
    Steps {
        measures: chosen,
        left: left
            .map(|(open, told)| (open.subject.clone(), 1.0 - told))
            .collect(),
    }
}

impl Open {
    fn of(batch: &Batch<'_>, watch: &Watch, sampled: &Sampled, verdict: &Verdict) -> Option<Self> {
        let column = watch.miss(verdict.question);
        let rows: Vec<_> = sampled
            .kept
            .iter()
            .filter(|row| row.columns[column].is_finite())
            .collect();
        let count = rows.len() as f64;
        let mean = rows.iter().map(|row| row.columns[column]).sum::<f64>() / count;
        let square = |value: f64| value * value;
        let misses = rows.iter().map(|row| square(row.columns[column] - mean));
        let variance = misses.sum::<f64>() / count;
        if !(variance > 0.0 && variance.is_finite()) {
            return None;
        }
        let mut slopes = Vec::new();
        let mut shares = Vec::new();
        for number in 0..batch.unknowns.len() {
            let middle = rows.iter().map(|row| row.values[number]).sum::<f64>() / count;
            let (mut own, mut both) = (0.0, 0.0);
            for row in &rows {
                let away = row.values[number] - middle;
                own += away * away;
                both += away * (row.columns[column] - mean);
            }
            let slope = if own > 0.0 { both / own } else { 0.0 };
            let share = slope * slope * own / (count * variance);
            // A correlation that mere chance makes between unrelated columns.
            let by_chance = 9.0 / count;
            let is_real = share > by_chance;
            slopes.push((if is_real { slope } else { 0.0 }, middle));
            shares.push(if is_real { share } else { 0.0 });
        }
        Some(Self {
            subject: super::screen::about(verdict.code, &verdict.subject),
            mean,
            variance,
            slopes,
            shares,
        })
    }

    /// Share of the variance that some unknowns make together; figures that move
    /// each other's effect would add up to more than all of it.
    fn share(&self, group: &[usize]) -> f64 {
        let all: f64 = group.iter().map(|at| self.shares[*at]).sum();
        all.min(1.0)
    }

    /// Share of the drawn boats in which the verdict can be told once these
    /// unknowns are known.
    fn settled(&self, sampled: &Sampled, known: &[usize]) -> f64 {
        let told = self.share(known);
        if told <= 0.0 {
            return 0.0;
        }
        let left = (self.variance * (1.0 - told).max(0.0)).sqrt();
        let is_told = |values: &[f64]| {
            let slope = |at: &usize| {
                let (slope, middle) = self.slopes[*at];
                slope * (values[*at] - middle)
            };
            let expected = self.mean + known.iter().map(slope).sum::<f64>();
            expected.abs() > AWAY * left
        };
        let some = sampled.kept.iter().take(1024);
        let count = some.len() as f64;
        some.filter(|row| is_told(&row.values)).count() as f64 / count.max(1.0)
    }
}
