//! A branch with memory as the stages of one step see it: its states eliminated.

use super::elements::{MOST, Slopes, States};

/// A branch with memory as the stages of one step see it.
#[derive(Debug, Clone)]
pub(super) struct Local {
    /// The branch.
    pub(super) branch: usize,
    /// Its two nodes.
    pub(super) ends: (usize, usize),
    /// Count of its states.
    pub(super) count: usize,
    /// Their scales.
    pub(super) scales: States,
    /// Current at the step's beginning, amperes.
    pub(super) i: f64,
    /// What each state adds to it.
    pub(super) i_x: States,
    /// Rates there.
    pub(super) f: States,
    /// Inverse of `1/(h g)` less the slopes of the rates.
    pub(super) inverse: [States; MOST],
    /// What a volt changes in each state.
    pub(super) by_v: States,
}

/// Scales of a branch; states beyond its own never count.
pub(super) fn padded(own: &[f64]) -> States {
    let mut scales = [f64::INFINITY; MOST];
    scales[..own.len()].copy_from_slice(own);
    scales
}

/// Sum of products over its states.
pub(super) fn dot(a: &States, b: &States, count: usize) -> f64 {
    (0..count).map(|at| a[at] * b[at]).sum()
}

/// A matrix of so many rows and columns times a vector.
#[inline]
pub(super) fn times(matrix: &[States; MOST], vector: &States, count: usize) -> States {
    match count {
        1 => times_of::<1>(matrix, vector),
        2 => times_of::<2>(matrix, vector),
        3 => times_of::<3>(matrix, vector),
        4 => times_of::<4>(matrix, vector),
        _ => times_of::<MOST>(matrix, vector),
    }
}

#[inline]
fn times_of<const N: usize>(matrix: &[States; MOST], vector: &States) -> States {
    let mut out = [0.0; MOST];
    for row in 0..N {
        for column in 0..N {
            out[row] += matrix[row][column] * vector[column];
        }
    }
    out
}

impl Local {
    /// A branch between two nodes, nothing taken yet.
    pub(super) fn new(branch: usize, ends: (usize, usize), scales: &[f64]) -> Self {
        Self {
            branch,
            ends,
            count: scales.len(),
            scales: padded(scales),
            i: 0.0,
            i_x: [0.0; MOST],
            f: [0.0; MOST],
            inverse: [[0.0; MOST]; MOST],
            by_v: [0.0; MOST],
        }
    }

    /// Takes what it needs of its slopes.
    pub(super) fn take(&mut self, slopes: &Slopes, over: f64) {
        self.invert(slopes, over);
        self.i = slopes.i;
        for state in 0..self.count {
            self.f[state] = slopes.f[state];
            self.i_x[state] = slopes.i_x[state];
        }
        self.by_v = times(&self.inverse, &slopes.f_v, self.count);
    }

    /// Inverts `over` less the slopes of the rates, by elimination with the
    /// largest pivot of each column.
    fn invert(&mut self, slopes: &Slopes, over: f64) {
        let (count, inverse) = (self.count, &mut self.inverse);
        if count == 1 {
            inverse[0][0] = 1.0 / (over - slopes.f_x[0][0]);
            return;
        }
        if count == 2 {
            let [[a, b, ..], [c, d, ..], ..] = slopes.f_x;
            let (a, d) = (over - a, over - d);
            let one = 1.0 / (a * d - b * c);
            (inverse[0][0], inverse[0][1]) = (d * one, b * one);
            (inverse[1][0], inverse[1][1]) = (c * one, a * one);
            return;
        }
        let mut matrix = slopes.f_x;
        for row in 0..count {
            for column in 0..count {
                matrix[row][column] = -matrix[row][column];
                inverse[row][column] = 0.0;
            }
            matrix[row][row] += over;
            inverse[row][row] = 1.0;
        }
        for column in 0..count {
            let largest = |a: &usize, b: &usize| {
                let size = |row: usize| matrix[row][column].abs();
                size(*a).total_cmp(&size(*b))
            };
            let pivot = (column..count).max_by(largest).unwrap_or(column);
            matrix.swap(column, pivot);
            inverse.swap(column, pivot);
            let over = 1.0 / matrix[column][column];
            for at in 0..count {
                matrix[column][at] *= over;
                inverse[column][at] *= over;
            }
            for row in (0..count).filter(|&row| row != column) {
                let share = matrix[row][column];
                for at in 0..count {
                    matrix[row][at] -= share * matrix[column][at];
                    inverse[row][at] -= share * inverse[column][at];
                }
            }
        }
    }
}
