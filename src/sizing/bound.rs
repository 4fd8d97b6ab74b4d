//! A bound on the copper: limits priced instead of held.
//!
//! With a price of lambda kg per volt on each limit, least copper is at least
//! the least of copper + lambda x (volts - limit) over all choices, whether
//! they meet the limits or not; that least falls apart into the groups. Any
//! prices give a true bound; the best are sought by subgradient steps.

use super::greedy::raised;
use super::problem::Problem;

/// The best prices found and what they say.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    /// Copper below which no answer lies, kg.
    pub bound_kg: f64,
    /// The prices, kg per volt, one a limit.
    pub prices: Vec<f64>,
    /// Of each group: its points with what each is above the group's least in
    /// price-corrected copper, kg, rising.
    pub ranked: Vec<Vec<(usize, f64)>>,
    /// The answer nearest to the best prices, raised to meet the limits.
    pub repaired: Option<Vec<usize>>,
}

/// Steps of the search for prices.
const STEPS: usize = 300;
/// Steps without gain after which the stride is halved.
const PATIENCE: usize = 12;

impl Prices {
    /// Seeks prices for a problem with an answer of `best_kg`.
    pub(super) fn of(problem: &Problem, best_kg: f64) -> Self {
        let mut prices = vec![0.0; problem.limits_v.len()];
        let mut best = (f64::NEG_INFINITY, prices.clone());
        let mut stride = 1.0;
        let mut waited = 0;
        let mut repaired = None;
        for _ in 0..STEPS {
            let (bound_kg, picks, slope_v) = priced(problem, &prices);
            if bound_kg > best.0 {
                best = (bound_kg, prices.clone());
                repaired = Some(picks);
                waited = 0;
            } else {
                waited += 1;
                if waited >= PATIENCE {
                    stride *= 0.5;
                    waited = 0;
                    prices.clone_from(&best.1);
                    continue;
                }
            }
            let steep: f64 = slope_v.iter().map(|slope| slope * slope).sum();
            if steep <= 0.0 || best_kg - bound_kg <= 0.0 {
                break;
            }
            let step = stride * (best_kg - bound_kg) / steep;
            for (price, slope) in prices.iter_mut().zip(&slope_v) {
                *price = (*price + step * slope).max(0.0);
            }
        }
        Self {
            bound_kg: best.0,
            ranked: ranked(problem, &best.1),
            prices: best.1,
            repaired: repaired.map(|picks| raised(problem, picks)),
        }
    }
}

/// The bound at some prices, the points it takes, and how far these are above
/// each limit in volts.
fn priced(problem: &Problem, prices: &[f64]) -> (f64, Vec<usize>, Vec<f64>) {
    let mut slope_v: Vec<f64> = problem.limits_v.iter().map(|limit| -limit).collect();
    let mut bound_kg = problem.settled_kg;
    let mut picks = Vec::with_capacity(problem.groups.len());
    for (price, limit_v) in prices.iter().zip(&problem.limits_v) {
        bound_kg -= price * limit_v;
    }
    for (at, group) in problem.groups.iter().enumerate() {
        let weights = weights(problem, at, prices);
        let corrected = |point: usize| {
            let point = &group.points[point];
            point.kg + weights[0] * point.ohm[0] + weights[1] * point.ohm[1]
        };
        let least = (0..group.points.len()).min_by(|a, b| corrected(*a).total_cmp(&corrected(*b)));
        let pick = least.unwrap_or(0);
        bound_kg += corrected(pick);
        for (row, amps) in &group.amps {
            slope_v[*row] += amps * group.points[pick].ohm[problem.ohms[*row]];
        }
        picks.push(pick);
    }
    (bound_kg, picks, slope_v)
}

/// Price of an ohm of a group, by kind of ohm.
fn weights(problem: &Problem, group: usize, prices: &[f64]) -> [f64; 2] {
    let mut weights = [0.0; 2];
    for (row, amps) in &problem.groups[group].amps {
        weights[problem.ohms[*row]] += prices[*row] * amps;
    }
    weights
}

fn ranked(problem: &Problem, prices: &[f64]) -> Vec<Vec<(usize, f64)>> {
    let of = |at: usize| {
        let weights = weights(problem, at, prices);
        let points = problem.groups[at].points.iter().enumerate();
        let mut all: Vec<(usize, f64)> = points
            .map(|(at, point)| {
                let corrected = point.kg + weights[0] * point.ohm[0] + weights[1] * point.ohm[1];
                (at, corrected)
            })
            .collect();
        all.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        let least = all.first().map_or(0.0, |(_, kg)| *kg);
        for (_, kg) in &mut all {
            *kg -= least;
        }
        all
    };
    (0..problem.groups.len()).map(of).collect()
}
