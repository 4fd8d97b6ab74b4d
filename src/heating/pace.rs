//! The pace of an element's clock: as fitted, or matched to its gates.
//!
//! A passive network cannot follow every gate: the early blade network is up to
//! 1.6 times later than its gate, other networks leave the log-log line between
//! two gates by more. Matched, its clock runs s(m) times faster, s being the
//! passive time over the gate's time at the multiple m, so that a constant
//! current opens it exactly at its gate. Below the first opening gate s stays
//! as it is there.

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
    Matched {
        /// The gates, by rising multiple.
        gates: Vec<Gate>,
        /// Which edge of them; the middle is the geometric mean.
        edge: Edge,
    },
}

impl Pace {
    /// Factor on the clock at a multiple of the rating.
    pub(super) fn factor(&self, states: &[ThermalState], multiple: f64) -> f64 {
        let Self::Matched { gates, edge } = self else {
            return 1.0;
        };
        let opens = |gate: &&Gate| gate.latest.is_some();
        let Some(first) = gates.iter().find(opens) else {
            return 1.0;
        };
        let at = multiple.max(first.multiple);
        let passive_s = passive_s(states, at).or_else(|| passive_s(states, at * (1.0 + 1e-6)));
        match (passive_s, gate_s(gates, *edge, at)) {
            (Some(passive_s), Some(gate_s)) => passive_s / gate_s,
            _ => 1.0,
        }
    }
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
