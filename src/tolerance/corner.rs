//! The worst that the ranges allow: every unknown at its bad end.
//!
//! Which end is bad is read off the slope of each verdict with each unknown (a
//! difference between both ends, each solved); the corner is solved, then every
//! unknown is tried at its other end from there, until none makes it worse. So
//! the corner found is the worst among its neighbours, whatever the laws do in
//! between.
//!
//! # Limits
//! A verdict that two unknowns turn together and neither alone may hide a worse
//! corner.

use super::batch::{Batch, LANES};
use super::eight::Eight;
use super::questions::Watch;

/// A question at its worst corner.
#[derive(Debug, Clone)]
pub(super) struct Corner {
    /// Its value in the typical boat.
    pub typical: f64,
    /// Its value there.
    pub value: f64,
    /// By how much it is missed there; below nought it holds.
    pub miss: f64,
}

/// Rounds of trying the other end; each round that changes nothing ends it.
const ROUNDS: usize = 4;

/// The worst corner of every question.
pub(super) fn worst(batch: &Batch<'_>, watch: &Watch) -> Vec<Corner> {
    let mut solver = Corners(Eight::new(batch, watch));
    let typical = solver.typical();
    let slopes = solver.slopes();
    let questions = typical.into_iter().enumerate();
    questions
        .map(|(question, typical)| solver.worst(question, typical, &slopes))
        .collect()
}

struct Corners<'b>(Eight<'b>);

impl Corners<'_> {
    /// The value of each question in the typical boat.
    fn typical(&mut self) -> Vec<f64> {
        self.0.solved(&[self.0.batch.typical()]);
        let questions = 0..self.0.watch.questions.len();
        questions
            .map(|question| self.0.columns[self.0.watch.value(question)][0])
            .collect()
    }

    /// How much worse each question is at the high end of each unknown than at
    /// the low end, by unknown and question.
    fn slopes(&mut self) -> Vec<Vec<f64>> {
        let typical = self.0.batch.typical();
        let numbers: Vec<usize> = (0..self.0.batch.unknowns.len()).collect();
        let mut slopes = Vec::with_capacity(numbers.len());
        for some in numbers.chunks(LANES / 2) {
            let ends = some.iter().flat_map(|&number| {
                let band = self.0.batch.unknowns[number].band;
                [band.low, band.high].map(|end| {
                    let mut values = typical.clone();
                    values[number] = end;
                    values
                })
            });
            let circuits: Vec<Vec<f64>> = ends.collect();
            self.0.solved(&circuits);
            for pair in 0..some.len() {
                let slope = |question| {
                    let miss = &self.0.columns[self.0.watch.miss(question)];
                    let slope = miss[2 * pair + 1] - miss[2 * pair];
                    if slope.is_finite() { slope } else { 0.0 }
                };
                slopes.push((0..self.0.watch.questions.len()).map(slope).collect());
            }
        }
        slopes
    }

    fn worst(&mut self, question: usize, typical: f64, slopes: &[Vec<f64>]) -> Corner {
        let mut values = self.0.batch.typical();
        let mut matters = Vec::new();
        for (number, slopes) in slopes.iter().enumerate() {
            let band = self.0.batch.unknowns[number].band;
            let slope = slopes[question];
            if slope.abs() > 1e-12 {
                values[number] = if slope > 0.0 { band.high } else { band.low };
                matters.push(number);
            }
        }
        let mut corner = self.at(question, &values, typical);
        for _ in 0..ROUNDS {
            if !self.turned(question, &mut values, &matters, &mut corner) {
                break;
            }
        }
        corner
    }

    /// Solves up to eight circuits in the one setup that a question is put to; by
    /// how much each misses it.
    fn missed(&mut self, question: usize, circuits: &[Vec<f64>]) -> [f64; LANES] {
        let of = self.0.watch.questions[question].setup;
        let is_its_own = |setup| setup == of;
        self.0.load(circuits, is_its_own);
        self.0.solve(is_its_own, &[], &mut []);
        self.0.columns[self.0.watch.miss(question)]
    }

    fn at(&mut self, question: usize, values: &[f64], typical: f64) -> Corner {
        let miss = self.missed(question, &[values.to_vec()])[0];
        Corner {
            typical,
            value: self.0.columns[self.0.watch.value(question)][0],
            miss,
        }
    }

    /// Tries each unknown that matters at its other end; takes those that make
    /// it worse. True if any did.
    fn turned(
        &mut self,
        question: usize,
        values: &mut [f64],
        matters: &[usize],
        corner: &mut Corner,
    ) -> bool {
        let mut worse = Vec::new();
        for some in matters.chunks(LANES) {
            let other = |&number: &usize| {
                let band = self.0.batch.unknowns[number].band;
                let mut values = values.to_vec();
                let is_high = values[number] > band.typical;
                values[number] = if is_high { band.low } else { band.high };
                values
            };
            let circuits: Vec<Vec<f64>> = some.iter().map(other).collect();
            let misses = self.missed(question, &circuits);
            for (lane, (number, miss)) in some.iter().zip(misses).enumerate() {
                if miss > corner.miss + 1e-9 {
                    worse.push((*number, circuits[lane][*number]));
                }
            }
        }
        if worse.is_empty() {
            return false;
        }
        let mut turned = values.to_vec();
        for (number, end) in worse {
            turned[number] = end;
        }
        let found = self.at(question, &turned, corner.typical);
        let is_worse = found.miss > corner.miss;
        if is_worse {
            values.copy_from_slice(&turned);
            *corner = found;
        }
        is_worse
    }
}
