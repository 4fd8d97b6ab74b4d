//! From specimens and readings to odds.

use super::kernel::{Kernel, scaled};
use super::specimen::{Group, Specimen};
use super::{Evidence, Measure};
use crate::tables::OutOfTable;
use crate::tables::devices::prior_odds;

/// What everything the conditions do not explain is called.
pub const NONE_OF_THESE: &str = "none-of-these";

/// Odds from which a condition is still to be told from another.
pub(super) const DOUBTED: f64 = 0.05;

/// Odds before anything is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Priors(Vec<(String, f64)>);

/// Odds that do not fit the part.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PriorsError {
    /// A name that is no condition of the part.
    #[error("`{given}` is no condition of a {part}; they are: {known}")]
    Unknown {
        /// The name.
        given: String,
        /// The kind of part.
        part: &'static str,
        /// All names.
        known: String,
    },
    /// Odds below zero, or none above.
    #[error("odds of `{0}` are a share from 0 to 1, and one at least is above zero")]
    OutOfRange(String),
    /// No table.
    #[error(transparent)]
    OutOfTable(#[from] OutOfTable),
}

impl Priors {
    /// The built-in odds of a kind of part ([`super::Examined::part`]), changed
    /// by `own`, and made to add up to 1.
    ///
    /// # Errors
    /// A name that is no condition, or odds that are no shares.
    pub fn of_part(part: &'static str, own: &[(String, f64)]) -> Result<Self, PriorsError> {
        let built_in = prior_odds(part)?.value;
        let mut odds: Vec<(String, f64)> = built_in
            .iter()
            .map(|(name, share)| ((*name).to_owned(), *share))
            .collect();
        for (name, share) in own {
            let Some(entry) = odds.iter_mut().find(|(known, _)| known == name) else {
                let known: Vec<&str> = built_in.iter().map(|(name, _)| *name).collect();
                return Err(PriorsError::Unknown {
                    given: name.clone(),
                    part,
                    known: known.join(", "),
                });
            };
            if !(0.0..=1.0).contains(share) {
                return Err(PriorsError::OutOfRange(name.clone()));
            }
            entry.1 = *share;
        }
        let sum: f64 = odds.iter().map(|(_, share)| share).sum();
        if sum <= 0.0 {
            let first = own
                .first()
                .map_or_else(String::new, |(name, _)| name.clone());
            return Err(PriorsError::OutOfRange(first));
        }
        for entry in &mut odds {
            entry.1 /= sum;
        }
        Ok(Self(odds))
    }

    pub(super) fn of(&self, condition: &str) -> f64 {
        let found = self.0.iter().find(|(name, _)| name == condition);
        found.map_or(0.0, |(_, share)| *share)
    }
}

/// One reading in the form it is compared in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Compared {
    pub run: usize,
    pub measure: Measure,
    pub value: f64,
    /// Which figure of the specimen it is held against.
    pub against: Measure,
    /// How much wider than usual its curve is.
    pub wider: f64,
}

/// The readings as they stand; those in `drawn` are drawn from, not compared.
pub(super) fn compared(evidence: &Evidence, drawn: &[Measure]) -> Vec<Compared> {
    let all = evidence.readings();
    all.filter(|(_, measure, _)| !drawn.contains(measure))
        .map(|(run, measure, value)| Compared {
            run,
            measure,
            value,
            against: measure,
            wider: 1.0,
        })
        .collect()
}

/// Density of all readings for one specimen.
pub(super) fn density(one: &Specimen, readings: &[Compared], kernel: &Kernel, wider: f64) -> f64 {
    readings.iter().fold(one.weight, |so_far, reading| {
        if so_far == 0.0 {
            return 0.0;
        }
        let figure = one.runs[reading.run].get(reading.against);
        let wider = reading.wider * wider;
        so_far * kernel.density(reading.measure, reading.value, figure, wider)
    })
}

/// How the specimens of one group take the readings.
#[derive(Debug, Clone)]
pub(super) struct Taken {
    /// Mean density.
    pub likelihood: f64,
    /// Density of each specimen.
    pub each: Vec<f64>,
}

impl Taken {
    /// How many specimens carry the mean: (sum)^2 / sum of squares.
    fn carried_by(&self) -> f64 {
        let sum: f64 = self.each.iter().sum();
        let squares: f64 = self.each.iter().map(|d| d * d).sum();
        if squares > 0.0 {
            sum * sum / squares
        } else {
            0.0
        }
    }
}

fn taken(group: &Group, readings: &[Compared], kernel: &Kernel, wider: f64) -> Taken {
    let each: Vec<f64> = group
        .specimens
        .iter()
        .map(|one| density(one, readings, kernel, wider))
        .collect();
    let likelihood = each.iter().sum::<f64>() / each.len().max(1) as f64;
    Taken { likelihood, each }
}

/// The odds of all conditions.
#[derive(Debug, Clone)]
pub(super) struct Odds {
    /// In the order of the groups.
    pub taken: Vec<Taken>,
    /// Odds of each group.
    pub share: Vec<f64>,
    /// Odds that it is none of them.
    pub none: f64,
    /// Odds of none with the meter's own curve.
    pub misfit: f64,
    /// How much wider the curves were taken.
    pub wider: f64,
}

/// Widths of the curve that are tried in turn.
const WIDTHS: [f64; 4] = [1.0, 1.4, 2.0, 2.8];
/// Specimens that must carry the likeliest condition.
const CARRIERS: f64 = 25.0;

/// Works the odds out. Where too few specimens come near the readings the curves
/// are widened, which says less, never more.
pub(super) fn odds(
    groups: &[Group],
    prior_none: f64,
    evidence: &Evidence,
    readings: &[Compared],
    kernel: &Kernel,
) -> Odds {
    let broad = broad(groups, evidence);
    let mut found = with_width(groups, prior_none * broad, readings, kernel, 1.0);
    let misfit = found.none;
    for width in WIDTHS.into_iter().skip(1) {
        let best = (0..groups.len()).max_by(|&a, &b| found.share[a].total_cmp(&found.share[b]));
        let is_carried = best.is_none_or(|at| found.taken[at].carried_by() >= CARRIERS);
        if is_carried || misfit > 0.5 {
            break;
        }
        found = with_width(groups, prior_none * broad, readings, kernel, width);
    }
    found.misfit = misfit;
    found
}

fn with_width(
    groups: &[Group],
    none: f64,
    readings: &[Compared],
    kernel: &Kernel,
    wider: f64,
) -> Odds {
    let taken: Vec<Taken> = groups
        .iter()
        .map(|group| taken(group, readings, kernel, wider))
        .collect();
    let weights: Vec<f64> = groups
        .iter()
        .zip(&taken)
        .map(|(group, taken)| group.prior * taken.likelihood)
        .collect();
    let sum = weights.iter().sum::<f64>() + none;
    // Nothing left of any of them: none of these.
    let part = |weight: f64| if sum > 0.0 { weight / sum } else { 0.0 };
    Odds {
        share: weights.into_iter().map(part).collect(),
        taken,
        none: if sum > 0.0 { none / sum } else { 1.0 },
        misfit: 0.0,
        wider,
    }
}

impl Odds {
    /// What is left where every condition excludes one of the readings: a surprise in
    /// some thousand of each, against none of them.
    pub(super) fn excluded(&mut self, left: f64) {
        let known: f64 = self.share.iter().sum();
        let sum = left * known + self.none.max(1e-6);
        for share in &mut self.share {
            *share *= left / sum;
        }
        self.none = 1.0 - self.share.iter().sum::<f64>();
    }
}

/// Density of the readings where nothing is known: even from nothing to half as
/// much again as any specimen of any condition shows.
fn broad(groups: &[Group], evidence: &Evidence) -> f64 {
    let rest = evidence.rest_v.map_or(1.0, |_| 1.0 / 20.0);
    evidence.readings().fold(rest, |so_far, (run, measure, _)| {
        let shown = groups
            .iter()
            .flat_map(|group| &group.specimens)
            .map(|one| scaled(measure, one.runs[run].get(measure)))
            .filter(|shown| shown.is_finite());
        let (low, high) = shown.fold((0.0_f64, 0.0_f64), |(low, high), shown| {
            (low.min(shown), high.max(shown))
        });
        so_far / (1.5 * (high - low)).max(1e-6)
    })
}

/// Conditions the readings do not tell from the likeliest: they explain them a
/// quarter as well or better, and have not been ruled out before.
pub(super) fn twins(groups: &[Group], odds: &Odds) -> Vec<&'static str> {
    let Some(top) = likeliest(odds) else {
        return Vec::new();
    };
    let best = odds.taken[top].likelihood;
    (0..groups.len())
        .filter(|&at| at != top)
        .filter(|&at| odds.taken[at].likelihood >= 0.25 * best && odds.share[at] >= 0.005)
        .map(|at| groups[at].condition)
        .collect()
}

impl Odds {
    /// The condition that comes nearest, however far.
    pub(super) fn nearest(&self) -> Option<usize> {
        (0..self.share.len()).max_by(|&a, &b| self.share[a].total_cmp(&self.share[b]))
    }
}

/// The likeliest condition; none where none of them fits.
pub(super) fn likeliest(odds: &Odds) -> Option<usize> {
    let top = odds.nearest()?;
    (odds.share[top] > odds.none).then_some(top)
}
