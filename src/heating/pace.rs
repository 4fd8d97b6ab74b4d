//! The pace of an element's clock: as fitted, or matched to its gates.
//!
//! A passive network cannot follow every gate: the early blade network is up to
//! 1.6 times later than its gate, other networks leave the log-log line between
//! two gates by more. Matched, its clock runs s(m) times faster, s being the
//! passive time over the gate's time at the multiple m, so that a constant
//! current opens it exactly at its gate. Below the first opening gate s stays
//! as it is there.
//!
//! The passive time is known the other way round: the least multiple that opens
//! within t has m^-2 = Z(t) = sum a (1 - exp(-t/tau)). So s, its slope and its
//! curvature are exact at knots of t; between them s is a quintic in m^2, smooth
//! enough for steps of order 4.

use super::decays::Decays;
use super::opening::opening;
use crate::quantities::{Amps, Seconds};
use crate::tables::fuses::{Edge, Gate, ThermalState};

/// How an element's clock runs.
#[derive(Debug, Clone, PartialEq)]
pub enum Pace {
    /// As the network was fitted.
    Passive,
    /// Scaled so that a constant current meets the gates exactly: the network
    /// that is called stretched.
    Matched(Clock),
}

impl Pace {
    /// Factor on the clock, and its slope, by the square of a multiple of the
    /// rating.
    pub fn at(&self, square: f64) -> (f64, f64) {
        match self {
            Self::Passive => (1.0, 0.0),
            Self::Matched(clock) => clock.at(square),
        }
    }
}

/// The factor of a matched clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Clock {
    /// Squares from which each piece holds, rising.
    from: Vec<f64>,
    pieces: Vec<Piece>,
}

/// A quintic over a stretch of squares, by the share of the way along it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    square: f64,
    over_width: f64,
    terms: [f64; 6],
}

/// The factor at a square with its first two derivatives.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Knot {
    square: f64,
    factor: f64,
    slope: f64,
    bend: f64,
}

/// Pieces from one gate to the next by the logarithm of time, and to one time
/// constant of the slowest state: near the least current that opens it, time
/// goes with the logarithm of what that is passed by.
const BETWEEN_GATES: u32 = 56;
const TO_A_TIME_CONSTANT: f64 = 5.0;
/// Share of the last gate's passive time within which nothing is lost.
const ADIABATIC: f64 = 1e-4;
/// A rounded network may just miss its first gate; so much more opens it.
const NUDGE: f64 = 1.0 + 1e-6;

impl Clock {
    /// Matches a network to one edge of its gates, the middle being their
    /// geometric mean; it runs as fitted where no gate asks for an opening.
    pub fn matched(states: &[ThermalState], gates: &[Gate], edge: Edge) -> Self {
        let opening = gates.iter().filter(|gate| gate.latest.is_some());
        let passive = |gate: &Gate| {
            let at = passive_s(states, gate.multiple);
            at.or_else(|| passive_s(states, gate.multiple * NUDGE))
        };
        let mut marks: Vec<f64> = opening.filter_map(passive).collect();
        marks.extend(marks.last().map(|last_s| ADIABATIC * last_s));
        let mut pieces: Vec<Piece> = Vec::new();
        for pair in marks.windows(2) {
            let Some(stretch) = Stretch::new(states, gates, edge, pair[0], pair[1]) else {
                continue;
            };
            let times = times(states, pair[0], pair[1]).into_iter();
            let knots: Vec<Knot> = times.filter_map(|t| stretch.knot(t)).collect();
            pieces.extend(
                knots
                    .windows(2)
                    .map(|pair| Piece::between(&pair[0], &pair[1])),
            );
        }
        // Beyond both ends it stays as it is there.
        let ends = pieces.first().zip(pieces.last());
        let ends = ends.map(|(first, last)| {
            let square = last.square + 1.0 / last.over_width;
            (
                Piece::level(0.0, first.at(first.square).0),
                Piece::level(square, last.at(square).0),
            )
        });
        let (first, last) = ends.unwrap_or((Piece::level(0.0, 1.0), Piece::level(1.0, 1.0)));
        let pieces: Vec<Piece> = [first].into_iter().chain(pieces).chain([last]).collect();
        Self {
            from: pieces.iter().map(|piece| piece.square).collect(),
            pieces,
        }
    }

    /// Factor and its slope by the square of the multiple.
    pub fn at(&self, square: f64) -> (f64, f64) {
        let after = self.from.partition_point(|from| *from <= square);
        self.pieces[after.saturating_sub(1)].at(square)
    }
}

impl Piece {
    /// The same everywhere.
    const fn level(square: f64, factor: f64) -> Self {
        Self {
            square,
            over_width: 0.0,
            terms: [factor, 0.0, 0.0, 0.0, 0.0, 0.0],
        }
    }

    /// Through two knots with their slopes and curvatures.
    fn between(from: &Knot, to: &Knot) -> Self {
        let width = to.square - from.square;
        let (slope, bend) = (width * from.slope, 0.5 * width * width * from.bend);
        // What is left at the far end for the three higher terms.
        let rise = to.factor - from.factor - slope - bend;
        let slant = width * to.slope - slope - 2.0 * bend;
        let curve = 0.5 * width * width * to.bend - bend;
        Self {
            square: from.square,
            over_width: 1.0 / width,
            terms: [
                from.factor,
                slope,
                bend,
                10.0 * rise - 4.0 * slant + curve,
                -15.0 * rise + 7.0 * slant - 2.0 * curve,
                6.0 * rise - 3.0 * slant + curve,
            ],
        }
    }

    fn at(&self, square: f64) -> (f64, f64) {
        let x = (square - self.square) * self.over_width;
        let [a, b, c, d, e, f] = self.terms;
        let factor = a + x * (b + x * (c + x * (d + x * (e + x * f))));
        let slope = b + x * (2.0 * c + x * (3.0 * d + x * (4.0 * e + x * 5.0 * f)));
        (factor, slope * self.over_width)
    }
}

/// What lies between two gates.
struct Stretch<'a> {
    states: &'a [ThermalState],
    gates: &'a [Gate],
    edge: Edge,
    /// d ln(gate's time) / d ln m: constant between two gates.
    falls: f64,
}

impl<'a> Stretch<'a> {
    fn new(
        states: &'a [ThermalState],
        gates: &'a [Gate],
        edge: Edge,
        from_s: f64,
        to_s: f64,
    ) -> Option<Self> {
        let (from, to) = (least(states, from_s), least(states, to_s));
        let (first_s, last_s) = (gate_s(gates, edge, from)?, gate_s(gates, edge, to)?);
        Some(Self {
            states,
            gates,
            edge,
            falls: (last_s / first_s).ln() / (to / from).ln(),
        })
    }

    fn knot(&self, t: f64) -> Option<Knot> {
        let multiple = least(self.states, t);
        let square = multiple * multiple;
        let factor = t / gate_s(self.gates, self.edge, multiple)?;
        // Z, its first and its second derivative by time.
        let derived = |state: &ThermalState| {
            let tau = state.tau.si();
            let gained = state.a / tau * (-t / tau).exp();
            (gained, -gained / tau)
        };
        let each = self.states.iter().map(derived);
        let (gains, slows) = each.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        let heat = 1.0 / square;
        // t by the square q = 1/Z.
        let by_square = -heat * heat / gains;
        let twice = -by_square * (2.0 * heat - heat * heat * slows / (gains * gains));
        // s = t / gate, and the gate goes as q to the power falls / 2.
        let power = 0.5 * self.falls;
        let log_slope = by_square / t - power / square;
        let log_bend = twice / t - (by_square / t).powi(2) + power / (square * square);
        Some(Knot {
            square,
            factor,
            slope: factor * log_slope,
            bend: factor * (log_bend + log_slope * log_slope),
        })
    }
}

/// Times of the knots from one mark down to the next, both included.
fn times(states: &[ThermalState], from_s: f64, to_s: f64) -> Vec<f64> {
    let by_log = (0..=BETWEEN_GATES).map(|at| {
        let share = f64::from(at) / f64::from(BETWEEN_GATES);
        from_s * (to_s / from_s).powf(share)
    });
    let slowest = states.iter().map(|s| s.tau.si()).fold(0.0, f64::max);
    let count = (TO_A_TIME_CONSTANT * (from_s - to_s) / slowest)
        .ceil()
        .min(400.0) as u32;
    let by_time = (1..count).map(|at| from_s + (to_s - from_s) * f64::from(at) / f64::from(count));
    let mut all: Vec<f64> = by_log.chain(by_time).collect();
    all.sort_by(|a, b| b.total_cmp(a));
    all.dedup_by(|a, b| (*a / *b - 1.0).abs() < 1e-9);
    all
}

/// Least multiple that opens a cold passive network within a time.
fn least(states: &[ThermalState], t: f64) -> f64 {
    let heats = |state: &ThermalState| -state.a * (-t / state.tau.si()).exp_m1();
    1.0 / states.iter().map(heats).sum::<f64>().sqrt()
}

/// Opening from cold at a constant multiple; none where it never opens.
pub(super) fn passive_s(states: &[ThermalState], multiple: f64) -> Option<f64> {
    let square = multiple * multiple;
    let settled: f64 = states.iter().map(|state| state.a * square).sum();
    let rates = states.iter().map(|s| (-s.a * square, 1.0 / s.tau.si()));
    let over = Decays::new(std::iter::once((settled - 1.0, 0.0)).chain(rates));
    over.crossings(0.0, horizon_s(states)).first().copied()
}

/// Time after which every state has settled to the last bit.
pub(super) fn horizon_s(states: &[ThermalState]) -> f64 {
    60.0 * states.iter().map(|s| s.tau.si()).fold(1e-3, f64::max)
}

fn gate_s(gates: &[Gate], edge: Edge, multiple: f64) -> Option<f64> {
    let found = opening(gates, multiple, Amps::new(multiple));
    let time = match edge {
        Edge::Early => found.earliest,
        Edge::Nominal => found.middle,
        Edge::Late => found.latest,
    };
    time.map(Seconds::si)
}

#[cfg(test)]
mod tests {
    use super::{Clock, gate_s, passive_s};
    use crate::heating::{Family, Protector};
    use crate::quantities::Amps;
    use crate::tables::fuses::{Edge, FuseStyle, early_stretch};

    fn clock(edge: Edge) -> (Clock, Protector) {
        let fuse = Protector::new(Family::Fuse(FuseStyle::Blade), Amps::new(20.0), None);
        let fuse = fuse.expect("made");
        let states = fuse.passive(edge).states;
        (Clock::matched(&states, &fuse.gates, edge), fuse)
    }

    #[test]
    fn the_factor_is_passive_time_over_gate_time_and_its_slope_the_difference() {
        for edge in Edge::ALL {
            let (clock, fuse) = clock(edge);
            let states = fuse.passive(edge).states;
            for step in 0..300 {
                let multiple = 1.3501 * 1.012f64.powi(step);
                let passive = passive_s(&states, multiple).expect("opens");
                let gate = gate_s(&fuse.gates, edge, multiple).expect("opens");
                let square = multiple * multiple;
                let (factor, slope) = clock.at(square);
                assert!(
                    (factor * gate / passive - 1.0).abs() < 1e-6,
                    "{edge:?} {multiple}: {factor}"
                );
                let by = 1e-6 * square;
                let rise = (clock.at(square + by).0 - clock.at(square - by).0) / (2.0 * by);
                assert!(
                    (slope - rise).abs() < 1e-4 * (factor / square),
                    "{multiple}"
                );
            }
        }
    }

    /// The references' own stretch of the early blade, which is derived there.
    #[test]
    fn the_early_blade_clock_is_the_tabulated_stretch_at_its_gates() {
        let (clock, _) = clock(Edge::Early);
        for multiple in [1.6, 2.0, 3.5, 6.0] {
            let listed = early_stretch(FuseStyle::Blade, multiple)
                .expect("table")
                .value;
            let factor = clock.at(multiple * multiple).0;
            assert!((factor / listed - 1.0).abs() < 0.01, "{multiple}: {factor}");
        }
    }
}
