//! A small symmetric system, as many unknowns as there are readings.

/// The lower triangle of a matrix split as `L L^T`.
#[derive(Debug, Clone)]
pub(super) struct Split {
    rows: Vec<Vec<f64>>,
}

impl Split {
    /// Splits a symmetric matrix; none where it is not positive.
    pub(super) fn of(matrix: &[Vec<f64>]) -> Option<Self> {
        let mut rows: Vec<Vec<f64>> = Vec::with_capacity(matrix.len());
        for (i, given) in matrix.iter().enumerate() {
            let mut row = vec![0.0; i + 1];
            for j in 0..=i {
                let known: f64 = (0..j)
                    .map(|k| row[k] * if j == i { row[k] } else { rows[j][k] })
                    .sum();
                let left = given[j] - known;
                row[j] = if j == i {
                    if !(left > 0.0 && left.is_finite()) {
                        return None;
                    }
                    left.sqrt()
                } else {
                    left / rows[j][j]
                };
            }
            rows.push(row);
        }
        Some(Self { rows })
    }

    /// Solves for one right side.
    pub(super) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let count = self.rows.len();
        let mut x = right.to_vec();
        for i in 0..count {
            let known: f64 = (0..i).map(|k| self.rows[i][k] * x[k]).sum();
            x[i] = (x[i] - known) / self.rows[i][i];
        }
        for i in (0..count).rev() {
            let known: f64 = (i + 1..count).map(|k| self.rows[k][i] * x[k]).sum();
            x[i] = (x[i] - known) / self.rows[i][i];
        }
        x
    }
}

impl Split {
    /// Normal deviates spread as the inverse of the matrix has it.
    pub(super) fn spread(&self, plain: &[f64]) -> Vec<f64> {
        let count = self.rows.len();
        let mut x = plain.to_vec();
        for i in (0..count).rev() {
            let known: f64 = (i + 1..count).map(|k| self.rows[k][i] * x[k]).sum();
            x[i] = (x[i] - known) / self.rows[i][i];
        }
        x
    }

    /// Logarithm of the root of the matrix's determinant.
    pub(super) fn log_root(&self) -> f64 {
        let diagonal = self.rows.iter().enumerate();
        diagonal.map(|(i, row)| row[i].ln()).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_textbook_system_is_solved() {
        // 4x + 2y = 10, 2x + 3y = 9: x = 1.5, y = 2 by hand.
        let split = Split::of(&[vec![4.0, 2.0], vec![2.0, 3.0]]).expect("positive");
        let x = split.solve(&[10.0, 9.0]);
        assert!((x[0] - 1.5).abs() < 1e-14 && (x[1] - 2.0).abs() < 1e-14);
        assert!(Split::of(&[vec![1.0, 2.0], vec![2.0, 1.0]]).is_none());
    }
}
