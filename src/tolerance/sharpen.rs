//! Readings taken on the boat narrow what is not known.
//!
//! Each unknown is a normal deviate `z` through its range (0 its median). The
//! likeliest boat minimises `|z|^2 + sum ((reading - shown)/error)^2`, found by
//! Gauss and Newton's steps. Its slopes span the few directions `s` of `z` that
//! the readings tell of. A boat is drawn as the ranges have it across these
//! directions; along them its own likeliest place is sought (Broyden's steps),
//! a place is drawn around it, and the boat is weighed by how likely it is over
//! how often it is drawn so. As many boats are then taken by their weights.
//!
//! # Limits
//! Where readings contradict the ranges few boats carry the weight; how many
//! count is told. Meter errors are normal, as widely spread as one anywhere
//! within the usual limits of a meter (judgement), each reading its own.
//!
//! # Source
//! Bayes' rule by Laplace's approximation and importance weights: textbook.

use super::along::{Along, Place, SEEKING, dot};
use super::batch::{Batch, LANES};
use super::dense::Split;
use super::eight::Eight;
use super::questions::Watch;
use super::sampling::{Drawing, KEPT, Row, Sampled, in_chunks};
use super::strata::Triangle;
use super::taker::Taker;
use crate::quantities::Band;
use std::f64::consts::SQRT_2;
use std::ops::Range;

/// What the readings did.
#[derive(Debug, Clone)]
pub(super) struct Sharpened {
    /// Drawn boats as the readings leave them.
    pub sampled: Sampled,
    /// How many boats the readings leave, counted by their weights.
    pub counting: f64,
    /// Each reading against what the rest of the boat would show.
    pub readings: Vec<Against>,
    /// Misfit of the likeliest boat, and what one in a hundred sound boats has.
    pub misfit: (f64, f64),
}

/// A reading against what everything else would show there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Against {
    /// Number of the reading in the file; some readings no study can take.
    pub reading: usize,
    /// What the rest would show.
    pub expected: f64,
    /// With this spread, the meter's error counted in.
    pub sd: f64,
}

/// Rounds of Gauss and Newton's steps.
const ROUNDS: usize = 12;
/// Deviate by which slopes are taken either side.
const STEP: f64 = 0.25;
/// Deviates beyond which no boat is looked for.
pub(super) const FAR: f64 = 5.0;

/// Share of the normal distribution below a deviate.
fn normal(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// The value of a range at a deviate.
fn at(band: &Band<f64>, z: f64) -> f64 {
    Triangle::new(*band).figure(normal(z))
}

/// Draws boats as the readings leave them; none where the circuit shows none.
pub(super) fn sharpened(
    batch: &Batch<'_>,
    watch: &Watch,
    drawing: Drawing,
    takers: &[Taker],
) -> Option<Sharpened> {
    if takers.is_empty() {
        return None;
    }
    let mut shower = Shower::new(batch, watch, takers);
    let likeliest = shower.likeliest()?;
    let along = Along::of(&likeliest)?;
    let count = drawing.samples.min(KEPT);
    let new = || Shower::new(batch, watch, takers);
    let draw = |shower: &mut Shower<'_>, boats| shower.drawn(&along, drawing.seed, boats);
    let chunks = in_chunks(drawing.threads, 0..count, &new, &draw);
    let (rows, logs): (Vec<Row>, Vec<f64>) = chunks.into_iter().flatten().unzip();
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights = cut(logs.iter().map(|log| (log - most).exp()).collect());
    let total: f64 = weights.iter().sum();
    if !(total > 0.0 && total.is_finite()) {
        return None;
    }
    let squares: f64 = weights.iter().map(|w| w * w).sum();
    let misfit = likeliest.misfit;
    Some(Sharpened {
        counting: total * total / squares,
        readings: shower.against(&likeliest),
        misfit: (misfit, rare(takers.len())),
        sampled: Sampled {
            kept: taken_by_weight(rows, &weights, total),
            beyond: Vec::new(),
            unsolved: 0,
        },
    })
}

/// Weights with those above the root of their count times their mean cut to it:
/// a few boats drawn far too seldom would else stand for all (truncated
/// importance weights, textbook).
fn cut(mut weights: Vec<f64>) -> Vec<f64> {
    let count = weights.len() as f64;
    let most = weights.iter().sum::<f64>() / count * count.sqrt();
    for weight in &mut weights {
        *weight = weight.min(most);
    }
    weights
}

/// Misfit that one in a hundred boats has with so many readings: chi-squared by
/// Wilson and Hilferty's formula (textbook).
fn rare(readings: usize) -> f64 {
    const ONE_IN_A_HUNDRED: f64 = 2.326_35;
    let count = readings as f64;
    let ninth = 2.0 / (9.0 * count);
    count * (1.0 - ninth + ONE_IN_A_HUNDRED * ninth.sqrt()).powi(3)
}

/// As many rows as there are, each as often as its weight asks.
fn taken_by_weight(rows: Vec<Row>, weights: &[f64], total: f64) -> Vec<Row> {
    let count = rows.len();
    let step = total / count as f64;
    let mut taken = Vec::with_capacity(count);
    let mut reached = 0.0;
    for (row, weight) in rows.into_iter().zip(weights) {
        reached += weight;
        while taken.len() < count && (taken.len() as f64 + 0.5) * step <= reached {
            taken.push(row.clone());
        }
    }
    taken
}

/// The likeliest boat and the circuit straightened there.
pub(super) struct Likeliest {
    pub z: Vec<f64>,
    shown: Vec<f64>,
    /// Slope of each reading with each deviate.
    pub slopes: Vec<Vec<f64>>,
    /// `J J^T + R`, split.
    split: Split,
    misfit: f64,
}

struct Shower<'b> {
    eight: Eight<'b>,
    takers: &'b [Taker],
}

impl<'b> Shower<'b> {
    fn new(batch: &'b Batch<'b>, watch: &'b Watch, takers: &'b [Taker]) -> Self {
        Self {
            eight: Eight::new(batch, watch),
            takers,
        }
    }

    /// The values of every unknown at a boat's deviates.
    fn values(&self, z: &[f64]) -> Vec<f64> {
        let unknowns = self.eight.batch.unknowns.iter();
        unknowns.zip(z).map(|(of, z)| at(&of.band, *z)).collect()
    }

    /// What each reading would show in up to eight boats; not a number where a
    /// boat has no operating point.
    fn shown(&mut self, boats: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let takers = self.takers;
        let values: Vec<Vec<f64>> = boats.iter().map(|z| self.values(z)).collect();
        let is_read = |setup| takers.iter().any(|taker| taker.setup == setup);
        self.eight.load(&values, is_read);
        let mut shown = vec![[f64::NAN; LANES]; takers.len()];
        self.eight.solve(is_read, takers, &mut shown);
        by_boat(&shown, boats.len())
    }

    fn slopes(&mut self, z: &[f64]) -> Vec<Vec<f64>> {
        let numbers: Vec<usize> = (0..z.len()).collect();
        let mut slopes = vec![vec![0.0; z.len()]; self.takers.len()];
        for some in numbers.chunks(LANES / 2) {
            let either = some.iter().flat_map(|&number| {
                [-STEP, STEP].map(|step| {
                    let mut moved = z.to_vec();
                    moved[number] += step;
                    moved
                })
            });
            let boats: Vec<Vec<f64>> = either.collect();
            let shown = self.shown(&boats);
            for (pair, number) in some.iter().enumerate() {
                for (reading, slopes) in slopes.iter_mut().enumerate() {
                    let rise = shown[2 * pair + 1][reading] - shown[2 * pair][reading];
                    let slope = rise / (2.0 * STEP);
                    slopes[*number] = if slope.is_finite() { slope } else { 0.0 };
                }
            }
        }
        slopes
    }

    /// The misfit of a boat: its own deviates, and the readings it misses.
    fn misfit(&self, z: &[f64], shown: &[f64]) -> f64 {
        let own: f64 = z.iter().map(|z| z * z).sum();
        own + self.missed(shown)
    }

    /// By how much the readings are missed, in squared spreads.
    fn missed(&self, shown: &[f64]) -> f64 {
        let each = self.takers.iter().zip(shown);
        each.map(|(taker, shown)| ((taker.value - shown) / taker.sd).powi(2))
            .sum()
    }

    fn split(&self, slopes: &[Vec<f64>]) -> Option<Split> {
        let row = |(i, of): (usize, &Vec<f64>)| {
            let mut row: Vec<f64> = slopes.iter().map(|other| dot(of, other)).collect();
            row[i] += self.takers[i].sd.powi(2);
            row
        };
        let matrix: Vec<Vec<f64>> = slopes.iter().enumerate().map(row).collect();
        Split::of(&matrix)
    }

    /// The least misfit, by steps that are halved until they better it.
    fn likeliest(&mut self) -> Option<Likeliest> {
        let mut z = vec![0.0; self.eight.batch.unknowns.len()];
        let mut shown = self.shown(std::slice::from_ref(&z)).pop()?;
        let mut misfit = self.misfit(&z, &shown);
        if !misfit.is_finite() {
            return None;
        }
        for _ in 0..ROUNDS {
            let slopes = self.slopes(&z);
            let aim = self.aim(&z, &shown, &slopes)?;
            let parts = std::iter::successors(Some(1.0), |part| Some(0.5 * part));
            let tried = parts.take(LANES).map(|part: f64| {
                let moved = z.iter().zip(&aim).map(|(z, aim)| z + part * (aim - z));
                moved.map(|z| z.clamp(-FAR, FAR)).collect::<Vec<f64>>()
            });
            let boats: Vec<Vec<f64>> = tried.collect();
            let all = self.shown(&boats);
            let misfits: Vec<f64> = boats
                .iter()
                .zip(&all)
                .map(|(z, shown)| self.misfit(z, shown))
                .collect();
            let best = (0..LANES)
                .filter(|at| misfits[*at].is_finite())
                .min_by(|a, b| misfits[*a].total_cmp(&misfits[*b]))?;
            let gain = misfit - misfits[best];
            if gain <= 0.0 {
                break;
            }
            z.clone_from(&boats[best]);
            shown.clone_from(&all[best]);
            misfit = misfits[best];
            if gain < 1e-6 * (1.0 + misfit) {
                break;
            }
        }
        let slopes = self.slopes(&z);
        Some(Likeliest {
            split: self.split(&slopes)?,
            z,
            shown,
            slopes,
            misfit,
        })
    }

    /// Where the straightened circuit has its least misfit.
    fn aim(&self, z: &[f64], shown: &[f64], slopes: &[Vec<f64>]) -> Option<Vec<f64>> {
        let right = self.straight(z, shown, slopes);
        let pull = self.split(slopes)?.solve(&right);
        Some(pulled(slopes, &pull))
    }

    /// Boats drawn as the readings leave them, each with the logarithm of its
    /// weight.
    fn drawn(&mut self, along: &Along, seed: u64, boats: Range<u64>) -> Vec<(Row, f64)> {
        let all: Vec<u64> = boats.collect();
        let mut drawn = Vec::with_capacity(all.len());
        for some in all.chunks(LANES) {
            let mut places: Vec<Place> = some
                .iter()
                .map(|boat| Place::new(along, seed, *boat))
                .collect();
            for _ in 0..SEEKING {
                let z: Vec<Vec<f64>> = places.iter().map(|place| place.z(along)).collect();
                let shown = self.shown(&z);
                for (place, shown) in places.iter_mut().zip(shown) {
                    place.step(self.takers, shown);
                }
            }
            for (place, boat) in places.iter_mut().zip(some) {
                place.settle(self.takers, along, seed, *boat);
            }
            let z: Vec<Vec<f64>> = places.iter().map(|place| place.z(along)).collect();
            drawn.extend(self.weighed(&z, &places));
        }
        drawn
    }

    /// Rows and weights of boats at their final places.
    fn weighed(&mut self, z: &[Vec<f64>], places: &[Place]) -> Vec<(Row, f64)> {
        let values: Vec<Vec<f64>> = z.iter().map(|z| self.values(z)).collect();
        self.eight.load(&values, |_| true);
        let mut shown = vec![[f64::NAN; LANES]; self.takers.len()];
        let solved = self.eight.solve(|_| true, self.takers, &mut shown);
        let shown = by_boat(&shown, places.len());
        let each = values.into_iter().zip(places).zip(shown).enumerate();
        each.map(|(lane, ((values, place), shown))| {
            let own: f64 = place.s.iter().map(|s| s * s).sum();
            let log = -0.5 * (own + self.missed(&shown)) - place.log_drawn;
            let sound = solved[lane] && log.is_finite();
            let row = Row {
                values,
                columns: self.eight.row(lane),
            };
            (row, if sound { log } else { f64::NEG_INFINITY })
        })
        .collect()
    }

    /// Each reading less what is shown, and what the straightened circuit adds back
    /// for these deviates.
    fn straight(&self, z: &[f64], shown: &[f64], slopes: &[Vec<f64>]) -> Vec<f64> {
        let each = self.takers.iter().zip(shown).zip(slopes);
        each.map(|((taker, shown), slopes)| taker.value - shown + dot(slopes, z))
            .collect()
    }

    /// Each reading against what the boat would show without it.
    fn against(&self, likeliest: &Likeliest) -> Vec<Against> {
        let count = self.takers.len();
        let straight = self.straight(&likeliest.z, &likeliest.shown, &likeliest.slopes);
        let whole = likeliest.split.solve(&straight);
        (0..count)
            .map(|reading| {
                // Leaving one out, from the whole: textbook identity of the
                // inverse's diagonal.
                let mut unit = vec![0.0; count];
                unit[reading] = 1.0;
                let diagonal = likeliest.split.solve(&unit)[reading];
                Against {
                    reading: self.takers[reading].reading,
                    expected: self.takers[reading].value - whole[reading] / diagonal,
                    sd: (1.0 / diagonal).sqrt(),
                }
            })
            .collect()
    }
}

/// Lanes of each reading as readings of each boat.
fn by_boat(shown: &[[f64; LANES]], boats: usize) -> Vec<Vec<f64>> {
    (0..boats)
        .map(|lane| shown.iter().map(|lanes| lanes[lane]).collect())
        .collect()
}

/// `J^T` times something of the readings.
fn pulled(slopes: &[Vec<f64>], pull: &[f64]) -> Vec<f64> {
    let unknowns = slopes.first().map_or(0, Vec::len);
    let of = |number: usize| {
        let each = slopes.iter().zip(pull);
        each.map(|(slopes, pull)| slopes[number] * pull).sum()
    };
    (0..unknowns).map(of).collect()
}
