//! Sums of decaying exponentials and where they change sign, exactly.
//!
//! f(t) = sum c exp(-r t). Times exp(r0 t), r0 the slowest rate, f keeps its
//! signs and the derivative of the product has one term less; so its roots,
//! found the same way, part the time axis into stretches on which the product
//! is monotone, with at most one root each.

/// A sum of decaying exponentials; a constant has rate 0.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Decays {
    /// Coefficient and rate per second, by rising rate.
    terms: Vec<(f64, f64)>,
}

/// Halvings that bring a bracket down to the last bit.
const HALVINGS: usize = 120;

impl Decays {
    /// Collects terms; rates at zero or above.
    pub(super) fn new(terms: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let mut all: Vec<(f64, f64)> = terms.into_iter().filter(|term| term.0 != 0.0).collect();
        all.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut merged: Vec<(f64, f64)> = Vec::with_capacity(all.len());
        for (factor, rate) in all {
            match merged.last_mut() {
                Some(last) if last.1.total_cmp(&rate).is_eq() => last.0 += factor,
                _ => merged.push((factor, rate)),
            }
        }
        Self { terms: merged }
    }

    /// Value at a time.
    pub(super) fn at(&self, t: f64) -> f64 {
        self.terms.iter().map(|(c, r)| c * (-r * t).exp()).sum()
    }

    /// Its derivative.
    pub(super) fn slope(&self) -> Self {
        Self::new(self.terms.iter().map(|(c, r)| (-c * r, *r)))
    }

    /// Times between two ends at which it changes sign, rising.
    pub(super) fn crossings(&self, from: f64, to: f64) -> Vec<f64> {
        // As with polynomials, there are no more roots than changes of sign in
        // the row of coefficients.
        let signs = self.terms.windows(2);
        let changes = signs.filter(|pair| (pair[0].0 > 0.0) != (pair[1].0 > 0.0));
        let most = changes.count();
        if most == 0 {
            return Vec::new();
        }
        let slowest = self.terms[0].1;
        // The slowest taken to a constant: the same signs, no underflow.
        let scaled = Self {
            terms: self.terms.iter().map(|(c, r)| (*c, r - slowest)).collect(),
        };
        let mut marks = vec![from];
        if most > 1 {
            marks.extend(scaled.slope().crossings(from, to));
        }
        marks.push(to);
        marks
            .windows(2)
            .filter_map(|pair| scaled.crossing_between(pair[0], pair[1]))
            .collect()
    }

    /// The one sign change of a monotone stretch; a root right at its start
    /// belongs to the stretch before.
    fn crossing_between(&self, from: f64, to: f64) -> Option<f64> {
        let (first, last) = (self.at(from), self.at(to));
        let changes = (first < 0.0 && last >= 0.0) || (first > 0.0 && last <= 0.0);
        if !changes {
            return None;
        }
        let (mut low, mut high) = (from, to);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if middle <= low || middle >= high {
                break;
            }
            if (self.at(middle) > 0.0) == (first > 0.0) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(high)
    }
}

#[cfg(test)]
mod tests {
    use super::Decays;

    /// (x - 1/2)(x - 1/4) with x = exp(-t): roots ln 2 and ln 4.
    #[test]
    fn both_roots_of_a_quadratic_in_the_exponential_are_found() {
        let f = Decays::new([(0.125, 0.0), (-0.75, 1.0), (1.0, 2.0)]);
        let roots = f.crossings(0.0, 100.0);
        assert_eq!(roots.len(), 2);
        assert!((roots[0] - 2f64.ln()).abs() < 1e-12);
        assert!((roots[1] - 4f64.ln()).abs() < 1e-12);
    }

    /// A hump of 1e-6 between two far points: exp(-t) - exp(-2t) tops at ln 2
    /// with 1/4.
    #[test]
    fn a_hump_between_the_ends_is_not_missed() {
        let f = Decays::new([(-(0.25 - 1e-6), 0.0), (1.0, 1.0), (-1.0, 2.0)]);
        assert_eq!(f.crossings(0.0, 1e6).len(), 2);
        let above = Decays::new([(-(0.25 + 1e-6), 0.0), (1.0, 1.0), (-1.0, 2.0)]);
        assert!(above.crossings(0.0, 1e6).is_empty());
    }
}
