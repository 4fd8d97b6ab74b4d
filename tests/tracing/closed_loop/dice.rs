//! Seeded chance of the closed loop.

/// Draws; the same seed gives the same cases everywhere.
pub(super) struct Dice(fastrand::Rng);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self(fastrand::Rng::with_seed(seed))
    }

    pub(super) fn share(&mut self) -> f64 {
        self.0.f64()
    }

    pub(super) fn chance(&mut self, odds: f64) -> bool {
        self.share() < odds
    }

    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Even on a logarithmic scale.
    pub(super) fn log_between(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    /// A deviate of the normal distribution (sum of twelve, cut at six).
    pub(super) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }

    /// A factor around 1 with a spread of its logarithm.
    pub(super) fn factor(&mut self, spread: f64) -> f64 {
        (spread * self.normal()).exp()
    }

    pub(super) fn below(&mut self, count: usize) -> usize {
        self.0.usize(0..count.max(1))
    }

    /// One of several; none of none.
    pub(super) fn one<'a, T>(&mut self, of: &'a [T]) -> Option<&'a T> {
        let at = self.below(of.len());
        of.get(at)
    }

    /// Index by weight.
    pub(super) fn weighted(&mut self, weights: &[f64]) -> usize {
        let mut left = self.share() * weights.iter().sum::<f64>();
        for (at, weight) in weights.iter().enumerate() {
            left -= weight;
            if left < 0.0 {
                return at;
            }
        }
        weights.len().saturating_sub(1)
    }
}
