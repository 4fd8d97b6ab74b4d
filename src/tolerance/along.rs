//! The few directions that readings tell of, and boats on their way along them.

use super::dense::Split;
use super::sharpen::{FAR, Likeliest};
use super::strata::hashed;
use super::taker::Taker;
use std::f64::consts::PI;

/// The directions of the deviates that the readings tell of.
pub(super) struct Along {
    /// Of length 1 and square to each other.
    directions: Vec<Vec<f64>>,
    /// Slope of each reading along each direction, at the likeliest boat.
    slopes: Vec<Vec<f64>>,
    /// The likeliest boat along them.
    likeliest: Vec<f64>,
    /// How many unknowns there are.
    unknowns: usize,
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

impl Along {
    /// None where no reading tells anything.
    pub(super) fn of(likeliest: &Likeliest) -> Option<Self> {
        let mut directions: Vec<Vec<f64>> = Vec::new();
        for slopes in &likeliest.slopes {
            let whole = dot(slopes, slopes).sqrt();
            let mut left = slopes.clone();
            // Twice, so that rounding leaves nothing along the others.
            for _ in 0..2 {
                for direction in &directions {
                    let along = dot(&left, direction);
                    for (left, direction) in left.iter_mut().zip(direction) {
                        *left -= along * direction;
                    }
                }
            }
            let length = dot(&left, &left).sqrt();
            if length > 1e-6 * whole {
                directions.push(left.iter().map(|left| left / length).collect());
            }
        }
        if directions.is_empty() {
            return None;
        }
        let along = |z: &Vec<f64>| directions.iter().map(|d| dot(d, z)).collect();
        Some(Self {
            slopes: likeliest.slopes.iter().map(along).collect(),
            likeliest: along(&likeliest.z),
            unknowns: likeliest.z.len(),
            directions,
        })
    }
}

/// A boat on its way to where the readings put it.
pub(super) struct Place {
    /// Its deviates across the directions.
    across: Vec<f64>,
    /// Its deviates along them.
    pub s: Vec<f64>,
    /// Slopes of the readings along them, as they were seen on the way.
    slopes: Vec<Vec<f64>>,
    /// Where it stood before, and what it showed there.
    before: Option<(Vec<f64>, Vec<f64>)>,
    /// Logarithm of how densely its place is drawn.
    pub log_drawn: f64,
}

/// Steps to a boat's own likeliest place.
pub(super) const SEEKING: usize = 6;

impl Place {
    pub(super) fn new(along: &Along, seed: u64, boat: u64) -> Self {
        let plain: Vec<f64> = (0..along.unknowns)
            .map(|number| deviate(seed, number, boat))
            .collect();
        let mut across = plain.clone();
        for direction in &along.directions {
            let part = dot(&plain, direction);
            for (across, direction) in across.iter_mut().zip(direction) {
                *across -= part * direction;
            }
        }
        Self {
            across,
            s: along.likeliest.clone(),
            slopes: along.slopes.clone(),
            before: None,
            log_drawn: 0.0,
        }
    }

    pub(super) fn z(&self, along: &Along) -> Vec<f64> {
        let mut z = self.across.clone();
        for (s, direction) in self.s.iter().zip(&along.directions) {
            for (z, direction) in z.iter_mut().zip(direction) {
                *z += s * direction;
            }
        }
        z.iter().map(|z| z.clamp(-FAR, FAR)).collect()
    }

    /// `I + A^T R^-1 A`, split.
    fn curvature(&self, takers: &[Taker]) -> Option<Split> {
        let count = self.s.len();
        let entry = |i: usize, j: usize| {
            let each = self.slopes.iter().zip(takers);
            let sum: f64 = each.map(|(a, t)| a[i] * a[j] / (t.sd * t.sd)).sum();
            sum + if i == j { 1.0 } else { 0.0 }
        };
        let matrix: Vec<Vec<f64>> = (0..count)
            .map(|i| (0..count).map(|j| entry(i, j)).collect())
            .collect();
        Split::of(&matrix)
    }

    /// One step to where this boat shows the readings best.
    pub(super) fn step(&mut self, takers: &[Taker], shown: Vec<f64>) {
        if shown.iter().any(|shown| !shown.is_finite()) {
            return;
        }
        self.learn(&shown);
        let pull = |i: usize| {
            let each = takers.iter().zip(&self.slopes).zip(&shown);
            each.map(|((t, a), shown)| a[i] * (t.value - shown) / (t.sd * t.sd))
                .sum::<f64>()
                - self.s[i]
        };
        let right: Vec<f64> = (0..self.s.len()).map(pull).collect();
        let Some(split) = self.curvature(takers) else {
            return;
        };
        let step = split.solve(&right);
        // A step too far for straight lines is shortened.
        let length = dot(&step, &step).sqrt();
        let part = (STRIDE / length).min(1.0);
        let before = self.s.clone();
        for (s, step) in self.s.iter_mut().zip(&step) {
            *s += part * step;
        }
        self.before = Some((before, shown));
    }

    /// Broyden's correction of the slopes by what the last step showed.
    fn learn(&mut self, shown: &[f64]) {
        let Some((before, shown_before)) = &self.before else {
            return;
        };
        let moved: Vec<f64> = self.s.iter().zip(before).map(|(s, b)| s - b).collect();
        let square = dot(&moved, &moved);
        if square < 1e-12 {
            return;
        }
        for (reading, slopes) in self.slopes.iter_mut().enumerate() {
            let missed = shown[reading] - shown_before[reading] - dot(slopes, &moved);
            for (slope, moved) in slopes.iter_mut().zip(&moved) {
                *slope += missed * moved / square;
            }
        }
    }

    /// Draws its final place around the likeliest.
    pub(super) fn settle(&mut self, takers: &[Taker], along: &Along, seed: u64, boat: u64) {
        let Some(split) = self.curvature(takers) else {
            self.log_drawn = f64::INFINITY;
            return;
        };
        let first = along.unknowns;
        let plain: Vec<f64> = (0..self.s.len())
            .map(|number| deviate(seed, first + number, boat))
            .collect();
        let off = split.spread(&plain);
        for (s, off) in self.s.iter_mut().zip(&off) {
            *s += off;
        }
        self.log_drawn = -0.5 * dot(&plain, &plain) + split.log_root();
    }
}

/// Longest step along the readings' directions, deviates.
const STRIDE: f64 = 1.5;

/// A normal deviate of a seed, axis and boat (Box and Muller's formula, textbook).
fn deviate(seed: u64, axis: usize, boat: u64) -> f64 {
    let radius = (-2.0 * hashed(seed, 2 * axis, boat).ln()).sqrt();
    radius * (2.0 * PI * hashed(seed, 2 * axis + 1, boat)).cos()
}
