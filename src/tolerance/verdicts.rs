//! Three-valued verdicts: holds, fails, cannot tell yet.

use super::batch::Batch;
use super::corner::Corner;
use super::questions::{Limit, Question, Side, Watch};
use super::sampling::Sampled;
use crate::findings::Code;
use crate::quantities::Dimension;

/// How a verdict stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Bad in nearly every drawn circuit.
    Fails,
    /// Bad in some, good in others.
    Open,
    /// Good in nearly every drawn circuit.
    Holds,
}

/// Share of drawn circuits that may differ before a verdict is open: one in
/// forty either way, so that 95 in 100 agree between both ends (judgement).
pub(super) const DIFFER: f64 = 0.025;

impl Standing {
    /// By the share of drawn circuits in which it is bad.
    pub(super) fn of(share: f64) -> Self {
        if share > 1.0 - DIFFER {
            Self::Fails
        } else if share < DIFFER {
            Self::Holds
        } else {
            Self::Open
        }
    }

    /// As people read it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Fails => "fails",
            Self::Open => "cannot tell yet",
            Self::Holds => "holds",
        }
    }
}

impl Question {
    /// How it stands by the share of drawn boats in which it is bad. What was guessed
    /// neither holds nor fails by its guess.
    fn standing(&self, share: f64) -> Standing {
        if self.is_guessed {
            Standing::Open
        } else {
            Standing::of(share)
        }
    }
}

/// A rule of `solve` over all drawn circuits.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The finding it would be.
    pub code: Code,
    /// Part, fuse or wire.
    pub subject: String,
    /// State; none where no state matters.
    pub state: Option<String>,
    /// Dimension of all its figures.
    pub dimension: Dimension,
    /// How it stands.
    pub standing: Standing,
    /// Share of drawn circuits in which it is bad.
    pub share: f64,
    /// Its limit in the typical circuit.
    pub limit: f64,
    /// The limit over the drawn circuits, 5 and 95 percent: it differs where a
    /// size nobody read sets it.
    pub limits: (f64, f64),
    /// On which side of the limit it is bad.
    pub side: Side,
    /// Value with five percent of the drawn circuits below it.
    pub p5: f64,
    /// With half of them below it.
    pub p50: f64,
    /// With 95 percent of them below it.
    pub p95: f64,
    /// Value of the typical boat.
    pub typical: f64,
    /// Value in the worst corner of all ranges that was found, solved there.
    pub worst: f64,
    /// Whether it is good even there.
    pub holds_at_worst: bool,
    /// Whether its limit is a guess by the very fuse that is held against it, so
    /// that the share says nothing: it is open whatever the share.
    pub is_guessed: bool,
    /// Its number among the questions.
    pub(super) question: usize,
}

impl Verdict {
    /// What a finding of the same kind names: the fuse alone where a fuse is held
    /// against a wire.
    pub(super) fn about_fuse_or_part(&self) -> &str {
        let before = self.subject.split(" before ").next();
        before.unwrap_or(&self.subject)
    }
}

/// The values of a column with 5, 50 and 95 percent of the samples below them.
pub(super) fn percentiles(sampled: &Sampled, column: usize) -> [f64; 3] {
    const SHARES: [f64; 3] = [0.05, 0.5, 0.95];
    if let Some(histogram) = sampled.beyond.get(column) {
        return SHARES.map(|share| histogram.percentile(share));
    }
    let mut values: Vec<f64> = sampled.kept.iter().map(|row| row.columns[column]).collect();
    values.retain(|value| value.is_finite());
    values.sort_by(f64::total_cmp);
    let Some(last) = values.len().checked_sub(1) else {
        return [f64::NAN; 3];
    };
    SHARES.map(|share| {
        let at = share * last as f64;
        let (below, within) = (at.floor() as usize, at.fract());
        values[below] + within * (values[(below + 1).min(last)] - values[below])
    })
}

/// Share of the samples in which a question is missed.
fn missed(sampled: &Sampled, column: usize) -> f64 {
    if let Some(histogram) = sampled.beyond.get(column) {
        return histogram.above_nought as f64 / (histogram.counted as f64).max(1.0);
    }
    let misses = sampled.kept.iter().map(|row| row.columns[column]);
    let sound = misses.filter(|miss| miss.is_finite());
    let bad = sound.clone().filter(|miss| *miss > 0.0).count();
    bad as f64 / (sound.count() as f64).max(1.0)
}

/// 5 and 95 percent of a limit, from values and by how much they miss it.
fn limits(watch: &Watch, sampled: &Sampled, question: usize, side: Side) -> (f64, f64) {
    let (value, miss) = (watch.value(question), watch.miss(question));
    let each = sampled.kept.iter().map(|row| {
        let over = match side {
            Side::Above => row.columns[miss],
            Side::Below => -row.columns[miss],
        };
        row.columns[value] / (1.0 + over)
    });
    let mut each: Vec<f64> = each.filter(|limit| limit.is_finite()).collect();
    each.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let place = (share * each.len() as f64) as usize;
        each.get(place).copied().unwrap_or(f64::NAN)
    };
    (at(0.05), at(0.95))
}

/// The verdict on every question.
pub(super) fn verdicts(
    batch: &Batch<'_>,
    watch: &Watch,
    sampled: &Sampled,
    worst: &[Corner],
) -> Vec<Verdict> {
    let questions = watch.questions.iter().enumerate();
    let verdict = |(at, question): (usize, &Question)| {
        let share = missed(sampled, watch.miss(at));
        let [p5, p50, p95] = percentiles(sampled, watch.value(at));
        Verdict {
            code: question.code,
            subject: question.subject.clone(),
            state: question.state.clone(),
            dimension: question.dimension,
            standing: question.standing(share),
            is_guessed: question.is_guessed,
            share,
            limit: Limit::typical(question.limit, &batch.workings.resolved),
            limits: limits(watch, sampled, at, question.side),
            side: question.side,
            p5,
            p50,
            p95,
            typical: worst[at].typical,
            worst: worst[at].value,
            holds_at_worst: worst[at].miss <= 0.0 && !question.is_guessed,
            question: at,
        }
    };
    questions.map(verdict).collect()
}

/// What fails first, then what is open, each by how often it is bad; what no share
/// tells before the others.
pub(super) fn sorted(mut verdicts: Vec<Verdict>) -> Vec<Verdict> {
    verdicts.sort_by(|a, b| {
        let by_share = b.share.total_cmp(&a.share);
        a.standing
            .cmp(&b.standing)
            .then(b.is_guessed.cmp(&a.is_guessed))
            .then(by_share)
            .then_with(|| a.subject.cmp(&b.subject))
            .then_with(|| a.code.name().cmp(b.code.name()))
    });
    verdicts
}
