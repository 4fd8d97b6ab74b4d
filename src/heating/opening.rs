//! Opening times at a constant current, from the gates.
//!
//! Log-log between gates; above the last gate the heat to melt, I2t, is held
//! constant (derived). Below the first opening gate nothing is promised.

use crate::quantities::{Amps, Seconds};
use crate::tables::fuses::Gate;

/// Multiple up to which a fuse is made to hold; a thermal breaker holds to 1.
pub const HOLDS: f64 = 1.1;
/// Multiple from which a fuse is made to open.
pub const OPENS_FROM: f64 = 1.35;
/// Room for the rounding of a quotient.
const ROUNDING: f64 = 1e-9;

/// Where a current stands among the gates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zone {
    /// It is made to hold.
    Holds,
    /// Neither holding nor opening is promised.
    NothingPromised,
    /// Between gates.
    Opens,
    /// Above the last gate: constant I2t, derived.
    AboveGates,
}

/// When a fuse opens at a current, from cold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// Current over the rating in this air.
    pub multiple: f64,
    /// The current.
    pub current: Amps,
    /// Which gates speak.
    pub zone: Zone,
    /// It opens no sooner; none where it holds.
    pub earliest: Option<Seconds>,
    /// Geometric mean of the two edges; no typical fuse.
    pub middle: Option<Seconds>,
    /// It opens no later; none where it may never open.
    pub latest: Option<Seconds>,
}

/// Opening at a multiple of the rating; gates by rising multiple.
///
/// Where nothing is promised the earliest is that of the first opening gate:
/// a smaller current opens no sooner than a larger one.
pub fn opening(gates: &[Gate], multiple: f64, current: Amps) -> Opening {
    let opening: Vec<&Gate> = gates.iter().filter(|gate| gate.latest.is_some()).collect();
    let edge = |pick: fn(&Gate) -> Option<Seconds>| -> Vec<(f64, f64)> {
        opening
            .iter()
            .filter_map(|gate| Some((gate.multiple, pick(gate)?.si())))
            .collect()
    };
    let early = edge(|gate| gate.earliest);
    let late = edge(|gate| gate.latest);
    let first = late.first().map_or(OPENS_FROM, |gate| gate.0);
    let last = late.last().map_or(OPENS_FROM, |gate| gate.0);
    let zone = if multiple <= holds_to(gates) * (1.0 + ROUNDING) {
        Zone::Holds
    } else if multiple < first * (1.0 - ROUNDING) {
        Zone::NothingPromised
    } else if multiple <= last * (1.0 + ROUNDING) {
        Zone::Opens
    } else {
        Zone::AboveGates
    };
    let (earliest, latest) = match zone {
        Zone::Holds => (None, None),
        Zone::NothingPromised => (early.first().map(|gate| gate.1), None),
        Zone::Opens | Zone::AboveGates => (time_at(&early, multiple), time_at(&late, multiple)),
    };
    let middle = earliest
        .zip(latest)
        .map(|(early, late)| (early * late).sqrt());
    Opening {
        multiple,
        current,
        zone,
        earliest: earliest.map(Seconds::new),
        middle: middle.map(Seconds::new),
        latest: latest.map(Seconds::new),
    }
}

/// Largest multiple at which a gate asks for no opening.
pub fn holds_to(gates: &[Gate]) -> f64 {
    let holding = gates.iter().filter(|gate| gate.latest.is_none());
    holding
        .map(|gate| gate.multiple)
        .max_by(f64::total_cmp)
        .unwrap_or(HOLDS)
}

/// Time of an edge: log-log between gates, constant I2t above the last.
fn time_at(edge: &[(f64, f64)], multiple: f64) -> Option<f64> {
    let (first, last) = (edge.first()?, edge.last()?);
    if multiple <= first.0 {
        return Some(first.1);
    }
    if multiple >= last.0 {
        let ratio = last.0 / multiple;
        return Some(last.1 * ratio * ratio);
    }
    // At a gate its own time, without the rounding of logarithms.
    if let Some(gate) = edge
        .iter()
        .find(|gate| (gate.0 - multiple).abs() <= ROUNDING * gate.0)
    {
        return Some(gate.1);
    }
    edge.windows(2).find_map(|pair| match pair {
        [(m0, t0), (m1, t1)] if *m0 <= multiple && multiple <= *m1 => {
            let share = (multiple / m0).ln() / (m1 / m0).ln();
            Some((t0.ln() + share * (t1 / t0).ln()).exp())
        }
        _ => None,
    })
}
