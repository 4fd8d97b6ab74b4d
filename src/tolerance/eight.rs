//! Eight drawn boats at a time, solved and read.

use super::batch::{Batch, LANES, Worker};
use super::questions::{Lanes, Watch};
use super::taker::Taker;
use crate::network::Settings;

/// Eight drawn boats side by side, with every column that is watched.
pub(super) struct Eight<'b> {
    pub batch: &'b Batch<'b>,
    pub watch: &'b Watch,
    worker: Worker<'b>,
    lanes: Lanes,
    /// Every column; not a number where its state has no operating point.
    pub columns: Vec<[f64; LANES]>,
}

impl<'b> Eight<'b> {
    pub(super) fn new(batch: &'b Batch<'b>, watch: &'b Watch) -> Self {
        Self {
            worker: batch.worker(),
            lanes: Lanes::new(batch),
            columns: vec![[0.0; LANES]; watch.columns()],
            batch,
            watch,
        }
    }

    /// Puts the values of up to eight boats into the lanes of the wanted setups;
    /// lanes past the last boat repeat it.
    pub(super) fn load(&mut self, boats: &[Vec<f64>], wanted: impl Fn(usize) -> bool) {
        for lane in 0..LANES {
            let values = &boats[lane.min(boats.len() - 1)];
            self.worker.load(lane, values, &wanted);
            let resolved = self.worker.resolved();
            self.watch.note(&mut self.lanes, lane, resolved, values);
        }
        self.worker.commit(wanted);
    }

    /// Solves the wanted setups of what is loaded: reads their columns, and what
    /// the takers show; true for each lane with an operating point in all of them.
    pub(super) fn solve(
        &mut self,
        wanted: impl Fn(usize) -> bool,
        takers: &[Taker],
        shown: &mut [[f64; LANES]],
    ) -> [bool; LANES] {
        let (watch, lanes, columns) = (self.watch, &self.lanes, &mut self.columns);
        let mut all = [true; LANES];
        let worker = &mut self.worker;
        worker.solve(&Settings::study(), wanted, |setup, outcome, solved| {
            let sound = |values: [f64; LANES]| {
                std::array::from_fn(|lane| if solved[lane] { values[lane] } else { f64::NAN })
            };
            watch.read(setup, outcome, lanes, |column, values| {
                columns[column] = sound(values);
            });
            for (taker, shown) in takers.iter().zip(&mut *shown) {
                if taker.setup == setup {
                    *shown = sound(taker.probe.read(outcome, lanes));
                }
            }
            for lane in 0..LANES {
                all[lane] &= solved[lane];
            }
        });
        all
    }

    /// As [`Self::load`] and [`Self::solve`], in every setup and without takers.
    pub(super) fn solved(&mut self, boats: &[Vec<f64>]) -> [bool; LANES] {
        self.load(boats, |_| true);
        self.solve(|_| true, &[], &mut [])
    }

    /// Every column of one lane.
    pub(super) fn row(&self, lane: usize) -> Vec<f64> {
        self.columns.iter().map(|column| column[lane]).collect()
    }
}
