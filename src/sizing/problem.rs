//! The choice of sizes for given currents: least copper under limits that are
//! linear in the ohms of the wires.

use super::choices::Ohms;
use super::frontier::{Option3, Point, frontier};

/// A limit as the search sees it: the sum of amperes times ohms over the
/// groups stays at or below it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Limit {
    /// Which ohms count.
    pub ohms: Ohms,
    /// Amperes by wire.
    pub amps: Vec<(usize, f64)>,
    /// Volts at most.
    pub most_v: f64,
}

/// Wires that stand under the same limits with the same amperes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    /// The wires.
    pub wires: Vec<usize>,
    /// Their combinations, light to heavy.
    pub points: Vec<Point>,
    /// Limits it counts in, with its amperes.
    pub amps: Vec<(usize, f64)>,
}

/// Least copper under limits.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Problem {
    /// Wires taken together.
    pub groups: Vec<Group>,
    /// Volts left to the groups under each limit.
    pub limits_v: Vec<f64>,
    /// Place of each limit in the list given.
    pub rows: Vec<usize>,
    /// Which ohms each limit counts.
    pub ohms: Vec<usize>,
    /// Wires decided beforehand: wire and place of its size.
    pub settled: Vec<(usize, usize)>,
    /// Copper of those, kg.
    pub settled_kg: f64,
    /// Limits that not even the thickest sizes meet, by their place in the list
    /// given, with the volts the thickest leave.
    pub hopeless: Vec<(usize, f64)>,
}

/// How far above the least that can be reached a limit is put that no choice
/// meets, as a share of that least.
const RELAXED: f64 = 1.1;

/// Relative difference below which amperes are the same: solved currents carry
/// rounding.
const SAME_AMPS: f64 = 1e-7;

impl Problem {
    /// Builds the problem from each wire's sizes and the limits.
    pub(super) fn new(wires: &[Vec<Option3>], limits: &[Limit]) -> Self {
        let mut problem = Self::default();
        let mut live: Vec<(usize, f64)> = Vec::new();
        for (at, limit) in limits.iter().enumerate() {
            let kind = limit.ohms as usize;
            let total = |pick: fn(f64, f64) -> f64, start: f64| -> f64 {
                let of = |(wire, amps): &(usize, f64)| {
                    let ohms = wires[*wire].iter().map(|option| option.ohm[kind]);
                    amps * ohms.fold(start, pick)
                };
                limit.amps.iter().map(of).sum()
            };
            let least_v = total(f64::min, f64::INFINITY);
            if least_v > limit.most_v {
                problem.hopeless.push((at, least_v));
                live.push((at, least_v * RELAXED));
            } else if total(f64::max, 0.0) > limit.most_v {
                live.push((at, limit.most_v));
            }
        }
        let live = undominated(limits, live);
        problem.ohms = live
            .iter()
            .map(|(at, _)| limits[*at].ohms as usize)
            .collect();
        problem.limits_v = live.iter().map(|(_, limit_v)| *limit_v).collect();
        problem.rows = live.iter().map(|(at, _)| *at).collect();
        let rows: Vec<&Limit> = live.iter().map(|(at, _)| &limits[*at]).collect();
        problem.group(wires, &rows);
        problem
    }

    /// Settles wires without a choice, and takes the others together.
    fn group(&mut self, wires: &[Vec<Option3>], rows: &[&Limit]) {
        let mut columns: Vec<(usize, Vec<(usize, f64)>)> = Vec::new();
        for (wire, options) in wires.iter().enumerate() {
            let column: Vec<(usize, f64)> = rows
                .iter()
                .enumerate()
                .filter_map(|(row, limit)| {
                    let (_, amps) = limit.amps.iter().find(|(of, _)| *of == wire)?;
                    Some((row, *amps))
                })
                .collect();
            let lightest = options.iter().min_by(|a, b| a.kg.total_cmp(&b.kg));
            let Some(lightest) = lightest else { continue };
            if options.len() > 1 && !column.is_empty() {
                columns.push((wire, column));
                continue;
            }
            self.settled.push((wire, lightest.choice));
            self.settled_kg += lightest.kg;
            for (row, amps) in column {
                self.limits_v[row] -= amps * lightest.ohm[self.ohms[row]];
            }
        }
        while let Some((_, first)) = columns.first().cloned() {
            let (same, others): (Vec<_>, Vec<_>) = columns
                .into_iter()
                .partition(|(_, column)| are_same(column, &first));
            columns = others;
            self.add_groups(wires, &same);
        }
    }

    fn add_groups(&mut self, wires: &[Vec<Option3>], same: &[(usize, Vec<(usize, f64)>)]) {
        let mut left = same;
        while let Some((_, first)) = left.first() {
            // The largest of amperes that differ by rounding: never too few.
            let most = |row: usize, amps: f64| {
                let others = left.iter().filter_map(|(_, column)| column.get(row));
                others.fold(amps, |most, (_, other)| most.max(*other))
            };
            let amps: Vec<(usize, f64)> = first
                .iter()
                .enumerate()
                .map(|(at, (row, amps))| (*row, most(at, *amps)))
                .collect();
            let counts = [0, 1].map(|kind| amps.iter().any(|(row, _)| self.ohms[*row] == kind));
            let options: Vec<Vec<Option3>> =
                left.iter().map(|(wire, _)| wires[*wire].clone()).collect();
            let (points, taken) = frontier(&options, counts);
            self.groups.push(Group {
                wires: left[..taken].iter().map(|(wire, _)| *wire).collect(),
                points,
                amps,
            });
            left = &left[taken..];
        }
    }

    /// Copper of a choice of points, kg.
    pub(super) fn kg(&self, picks: &[usize]) -> f64 {
        let groups = self.groups.iter().zip(picks);
        groups
            .map(|(group, pick)| group.points[*pick].kg)
            .sum::<f64>()
            + self.settled_kg
    }

    /// Place of every wire's size under a choice of points.
    pub(super) fn sizes(&self, picks: &[usize], wires: usize) -> Vec<usize> {
        let mut sizes = vec![0; wires];
        for (wire, choice) in &self.settled {
            sizes[*wire] = *choice;
        }
        for (group, pick) in self.groups.iter().zip(picks) {
            for (wire, choice) in group.wires.iter().zip(&group.points[*pick].picks) {
                sizes[*wire] = *choice;
            }
        }
        sizes
    }
}

/// Whether two columns stand under the same limits with the same amperes.
fn are_same(a: &[(usize, f64)], b: &[(usize, f64)]) -> bool {
    a.len() == b.len()
        && a.iter().zip(b).all(|((row_a, amps_a), (row_b, amps_b))| {
            row_a == row_b && (amps_a - amps_b).abs() <= SAME_AMPS * amps_a.max(*amps_b)
        })
}

/// Limits that no other limit of the same ohms implies.
fn undominated(limits: &[Limit], live: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
    let implies = |(by, by_v): &(usize, f64), (of, of_v): &(usize, f64)| {
        let (by, of) = (&limits[*by], &limits[*of]);
        by.ohms == of.ohms
            && *of_v > 0.0
            && *by_v > 0.0
            && of.amps.iter().all(|(wire, amps)| {
                let other = by.amps.iter().find(|(of, _)| of == wire);
                other.is_some_and(|(_, other)| other * of_v >= amps * by_v)
            })
    };
    let mut kept: Vec<(usize, f64)> = Vec::new();
    for row in live {
        if kept.iter().any(|other| implies(other, &row)) {
            continue;
        }
        kept.retain(|other| !implies(&row, other));
        kept.push(row);
    }
    kept
}
