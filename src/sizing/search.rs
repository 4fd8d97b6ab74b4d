//! The search: a good answer first, then every other that could be lighter.
//!
//! A Lagrangian bound with prices on the limits says how light an answer could
//! be at best; a choice whose price-corrected copper is above the best answer
//! cannot be part of a lighter one. Branching runs over the groups that share
//! limits; once only groups that share none are left, each takes its lightest
//! point by itself.

use super::bound::Prices;
use super::greedy::{Load, first_answer, improve};
use super::problem::Problem;

/// What the search found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    /// Place of the point of every group.
    pub picks: Vec<usize>,
    /// Copper, kg.
    pub kg: f64,
    /// Copper below which no answer lies, kg.
    pub bound_kg: f64,
    /// Prices of the limits, kg per volt.
    pub prices: Vec<f64>,
}

/// Choices looked at before the search stops and prints its gap.
const MOST_STEPS: usize = 400_000;
/// Copper too little to count, kg.
const NOTHING_KG: f64 = 1e-12;

/// The lightest choice of points, or the best found with a bound below it.
pub(super) fn search(problem: &Problem) -> Found {
    let start = improve(problem, first_answer(problem));
    let mut best_kg = problem.kg(&start);
    let mut best = start;
    let prices = Prices::of(problem, best_kg);
    if let Some(picks) = prices.repaired.clone() {
        let picks = improve(problem, picks);
        let kg = problem.kg(&picks);
        if kg < best_kg {
            (best, best_kg) = (picks, kg);
        }
    }
    let mut walk = Walk::new(problem, &prices, best, best_kg);
    walk.descend(0, prices.bound_kg);
    let bound_kg = if walk.steps >= MOST_STEPS {
        prices.bound_kg.min(walk.best_kg)
    } else {
        walk.best_kg
    };
    Found {
        kg: walk.best_kg,
        picks: walk.best,
        bound_kg,
        prices: prices.prices.clone(),
    }
}

struct Walk<'a> {
    problem: &'a Problem,
    prices: &'a Prices,
    /// Groups in the order they are decided.
    order: Vec<usize>,
    /// Place in the order from which no two groups share a limit.
    apart_from: usize,
    /// Volts the groups from each place on lose at least, by limit.
    least_v: Vec<Vec<f64>>,
    load: Load,
    picks: Vec<usize>,
    best: Vec<usize>,
    best_kg: f64,
    steps: usize,
}

impl<'a> Walk<'a> {
    fn new(problem: &'a Problem, prices: &'a Prices, best: Vec<usize>, best_kg: f64) -> Self {
        let mut order: Vec<usize> = (0..problem.groups.len()).collect();
        order.sort_by_key(|&group| (usize::MAX - problem.groups[group].amps.len(), group));
        let mut least_v = vec![vec![0.0; problem.limits_v.len()]; order.len() + 1];
        for at in (0..order.len()).rev() {
            let (head, tail) = least_v.split_at_mut(at + 1);
            head[at].clone_from(&tail[0]);
            let group = &problem.groups[order[at]];
            for (row, amps) in &group.amps {
                let kind = problem.ohms[*row];
                let least = group.points.iter().map(|point| point.ohm[kind]);
                least_v[at][*row] += amps * least.fold(f64::INFINITY, f64::min);
            }
        }
        Self {
            apart_from: apart_from(problem, &order),
            load: Load::none(problem),
            picks: vec![0; order.len()],
            problem,
            prices,
            order,
            least_v,
            best,
            best_kg,
            steps: 0,
        }
    }

    /// Decides the groups from a place in the order on; `bound_kg` holds for
    /// everything below.
    fn descend(&mut self, at: usize, bound_kg: f64) {
        if at >= self.apart_from {
            self.finish(at);
            return;
        }
        let group = self.order[at];
        for &(point, extra_kg) in &self.prices.ranked[group] {
            if bound_kg + extra_kg >= self.best_kg - NOTHING_KG || self.steps >= MOST_STEPS {
                return;
            }
            self.steps += 1;
            self.load.add(self.problem, group, point);
            if self.may_fit(at, group) && self.apart_kg(at + 1) < self.best_kg - NOTHING_KG {
                self.picks[group] = point;
                self.descend(at + 1, bound_kg + extra_kg);
            }
            self.load.remove(self.problem, group, point);
        }
    }

    /// Whether the limits of a group leave room for the groups after it.
    fn may_fit(&self, at: usize, group: usize) -> bool {
        let amps = &self.problem.groups[group].amps;
        amps.iter().all(|(row, _)| {
            let least_v = self.load.volts(*row) + self.least_v[at + 1][*row];
            Load::fits(self.problem, *row, least_v)
        })
    }

    /// Copper if every group left had the others left at their thickest: never
    /// more than what is really needed below.
    fn apart_kg(&self, at: usize) -> f64 {
        let decided = self.order[..at].iter();
        let mut kg = self.problem.settled_kg + self.load.kg;
        debug_assert!(decided.len() == at);
        for &group in &self.order[at..] {
            match self.lightest(at, group) {
                Some(point) => kg += self.problem.groups[group].points[point].kg,
                None => return f64::INFINITY,
            }
        }
        kg
    }

    /// The lightest point of a group where the others left are at their thickest.
    fn lightest(&self, at: usize, group: usize) -> Option<usize> {
        let of = &self.problem.groups[group];
        let own_least = |row: usize| {
            let kind = self.problem.ohms[row];
            let ohms = of.points.iter().map(|point| point.ohm[kind]);
            ohms.fold(f64::INFINITY, f64::min)
        };
        let room: Vec<(usize, f64, f64)> = of
            .amps
            .iter()
            .map(|(row, amps)| {
                let others_v = self.least_v[at][*row] - amps * own_least(*row);
                (*row, *amps, self.load.volts(*row) + others_v)
            })
            .collect();
        of.points.iter().position(|point| {
            room.iter().all(|(row, amps, used_v)| {
                let volts = used_v + amps * point.ohm[self.problem.ohms[*row]];
                Load::fits(self.problem, *row, volts)
            })
        })
    }

    /// The groups left share no limit: each takes its lightest point.
    fn finish(&mut self, at: usize) {
        self.steps += 1;
        let mut kg = self.problem.settled_kg + self.load.kg;
        let mut chosen = Vec::with_capacity(self.order.len() - at);
        for &group in &self.order[at..] {
            let Some(point) = self.lightest(at, group) else {
                return;
            };
            kg += self.problem.groups[group].points[point].kg;
            chosen.push((group, point));
        }
        if kg < self.best_kg - NOTHING_KG {
            self.best.clone_from(&self.picks);
            for (group, point) in chosen {
                self.best[group] = point;
            }
            self.best_kg = self.problem.kg(&self.best);
        }
    }
}

/// First place in an order from which no two groups share a limit.
fn apart_from(problem: &Problem, order: &[usize]) -> usize {
    let mut taken = vec![false; problem.limits_v.len()];
    for at in (0..order.len()).rev() {
        let rows = &problem.groups[order[at]].amps;
        if rows.iter().any(|(row, _)| taken[*row]) {
            return at + 1;
        }
        for (row, _) in rows {
            taken[*row] = true;
        }
    }
    0
}

#[cfg(test)]
mod tests {
    use super::super::choices::Ohms;
    use super::super::frontier::Option3;
    use super::super::problem::{Limit, Problem};
    use super::search;

    /// Wires in a tree: the first two are shared, the others hang on them.
    fn made(random: &mut fastrand::Rng) -> (Vec<Vec<Option3>>, Vec<Limit>) {
        let wires: Vec<Vec<Option3>> = (0..6)
            .map(|_| {
                let length = 1.0 + 9.0 * random.f64();
                let option = |choice: usize| {
                    let area = 1.6f64.powf(choice as f64);
                    Option3 {
                        choice,
                        kg: length * area,
                        ohm: [length / area, 1.1 * length / area],
                    }
                };
                (0..4).map(option).collect()
            })
            .collect();
        let limits = (2..6)
            .map(|own| {
                let shared_a = 1.0 + 3.0 * random.f64();
                let mut amps = vec![(own, 1.0 + random.f64()), (0, shared_a), (1, shared_a)];
                amps.sort_by_key(|(wire, _)| *wire);
                Limit {
                    ohms: if random.bool() {
                        Ohms::Rule
                    } else {
                        Ohms::Copper
                    },
                    amps,
                    most_v: 8.0 + 40.0 * random.f64(),
                }
            })
            .collect();
        (wires, limits)
    }

    fn lightest(wires: &[Vec<Option3>], limits: &[Limit]) -> Option<f64> {
        let mut best: Option<f64> = None;
        for number in 0..4usize.pow(6) {
            let pick = |wire: usize| &wires[wire][number / 4usize.pow(wire as u32) % 4];
            let fits = limits.iter().all(|limit| {
                let volts = limit
                    .amps
                    .iter()
                    .map(|(wire, amps)| amps * pick(*wire).ohm[limit.ohms as usize]);
                volts.sum::<f64>() <= limit.most_v
            });
            let kg: f64 = (0..6).map(|wire| pick(wire).kg).sum();
            if fits && best.is_none_or(|least| kg < least) {
                best = Some(kg);
            }
        }
        best
    }

    #[test]
    fn the_search_finds_the_lightest_of_all_choices_and_its_bound_says_so() {
        let mut random = fastrand::Rng::with_seed(11);
        let mut solvable = 0;
        for _ in 0..60 {
            let (wires, limits) = made(&mut random);
            let Some(least_kg) = lightest(&wires, &limits) else {
                continue;
            };
            solvable += 1;
            let found = search(&Problem::new(&wires, &limits));
            assert!(
                (found.kg - least_kg).abs() < 1e-9,
                "{} {least_kg}",
                found.kg
            );
            assert!((found.bound_kg - least_kg).abs() < 1e-9);
        }
        assert!(solvable > 30, "{solvable}");
    }
}
