//! The upright pieces of conductors: which track of its channel each takes.
//!
//! Of two that share heights the order with fewer crossings is taken; those
//! that do not share any may lie on one track.

use super::grid::Stretch;
use super::rows::Arrangement;
use super::symbol::Side;

/// A stretch with the heights of its stops.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    pub stretch: Stretch,
    pub y: [f64; 2],
}

impl Run {
    fn span(&self) -> (f64, f64) {
        (self.y[0].min(self.y[1]), self.y[0].max(self.y[1]))
    }

    fn is_straight(&self) -> bool {
        self.stretch.sides[0] != self.stretch.sides[1] && (self.y[0] - self.y[1]).abs() < 1e-9
    }

    fn covers(&self, y: f64) -> bool {
        let (low, high) = self.span();
        y > low && y < high
    }

    /// Heights of its stops on one side.
    fn stops(&self, side: Side) -> impl Iterator<Item = f64> + '_ {
        (0..2)
            .filter(move |at| self.stretch.sides[*at] == side)
            .map(|at| self.y[at])
    }
}

/// The runs of a channel, each with its track; none where it is straight.
#[derive(Debug, Clone, Default)]
pub(super) struct Tracks {
    pub runs: Vec<(Run, Option<usize>)>,
    pub count: usize,
}

/// Gives the conductors of a channel their tracks.
pub(super) fn tracks(now: &Arrangement<'_>, channel: usize) -> Tracks {
    let runs: Vec<Run> = now.grid.channels[channel]
        .iter()
        .map(|stretch| Run {
            stretch: *stretch,
            y: stretch.stops.map(|stop| now.stop_y(stretch.edge, stop)),
        })
        .collect();
    let mut order: Vec<usize> = (0..runs.len())
        .filter(|at| !runs[*at].is_straight())
        .collect();
    order.sort_by(|a, b| runs[*a].span().0.total_cmp(&runs[*b].span().0));
    untangle(&runs, &mut order);
    let mut track: Vec<Option<usize>> = vec![None; runs.len()];
    let mut count = 0;
    for (place, &at) in order.iter().enumerate() {
        let before = order[..place]
            .iter()
            .filter(|other| meet(&runs[**other], &runs[at]));
        let free = before
            .filter_map(|other| track[*other])
            .max()
            .map_or(0, |last| last + 1);
        track[at] = Some(free);
        count = count.max(free + 1);
    }
    Tracks {
        runs: runs.into_iter().zip(track).collect(),
        count,
    }
}

/// Swaps neighbours while that saves crossings; every swap saves at least one,
/// so it ends.
fn untangle(runs: &[Run], order: &mut [usize]) {
    let mut moved = true;
    while moved {
        moved = false;
        for at in 1..order.len() {
            let (a, b) = (&runs[order[at - 1]], &runs[order[at]]);
            if cost(b, a) < cost(a, b) {
                order.swap(at - 1, at);
                moved = true;
            }
        }
    }
}

/// Crossings of two with the first on a track to the left of the second's.
fn cost(left: &Run, right: &Run) -> usize {
    let first = left.stops(Side::Right).filter(|y| right.covers(*y)).count();
    let second = right.stops(Side::Left).filter(|y| left.covers(*y)).count();
    first + second
}

/// Whether two may not lie on one track.
fn meet(a: &Run, b: &Run) -> bool {
    let ((low_a, high_a), (low_b, high_b)) = (a.span(), b.span());
    low_a < high_b + super::align::APART && low_b < high_a + super::align::APART
}
