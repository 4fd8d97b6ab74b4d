//! Gates and networks of the blade as the references print them, and a clock
//! matched to them, worked out without the program: for every test that holds
//! a fuse in time against another computation.

use super::integrator::{BLADE_EARLY, BLADE_LATE, BLADE_NOMINAL, Network};
use ampkeel::tables::fuses::Edge;

/// Multiple, earliest and latest, seconds: types C and F, recalled.
const BLADE_GATES: [(f64, f64, f64); 5] = [
    (1.35, 0.75, 1800.0),
    (1.6, 0.25, 50.0),
    (2.0, 0.15, 5.0),
    (3.5, 0.04, 0.5),
    (6.0, 0.02, 0.1),
];

/// The network of an instance.
pub(crate) const fn blade(edge: Edge) -> Network {
    match edge {
        Edge::Early => BLADE_EARLY,
        Edge::Nominal => BLADE_NOMINAL,
        Edge::Late => BLADE_LATE,
    }
}

/// Gate of an instance at a multiple from 1.35 on: log-log between the rows,
/// constant I2t above, the middle their geometric mean.
pub(crate) fn blade_gate_s(edge: Edge, multiple: f64) -> f64 {
    let of = |row: (f64, f64, f64)| match edge {
        Edge::Early => row.1,
        Edge::Nominal => (row.1 * row.2).sqrt(),
        Edge::Late => row.2,
    };
    if multiple >= 6.0 {
        return of(BLADE_GATES[4]) * (6.0 / multiple).powi(2);
    }
    let upper = BLADE_GATES.iter().position(|row| row.0 >= multiple);
    let upper = upper.expect("inside").max(1);
    let (low, high) = (BLADE_GATES[upper - 1], BLADE_GATES[upper]);
    let share = (multiple / low.0).ln() / (high.0 / low.0).ln();
    of(low) * (of(high) / of(low)).powf(share)
}

/// Opening of a cold passive network at a constant multiple, by halving.
pub(crate) fn passive_s(network: &[(f64, f64)], multiple: f64) -> f64 {
    let heat = |t: f64| -> f64 {
        let each = network.iter();
        each.map(|(a, tau)| a * multiple * multiple * (1.0 - (-t / tau).exp()))
            .sum()
    };
    let (mut low, mut high) = (1e-9f64, 1e6f64);
    for _ in 0..100 {
        let middle = (low * high).sqrt();
        if heat(middle) < 1.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// How much faster the clock of an instance runs so that a constant current
/// opens it at its gate; below 1.35 as there.
pub(crate) fn blade_pace(edge: Edge, multiple: f64) -> f64 {
    let at = multiple.max(1.35 * (1.0 + 1e-9));
    passive_s(blade(edge), at) / blade_gate_s(edge, at)
}
