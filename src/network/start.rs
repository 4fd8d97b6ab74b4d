//! Where Newton's method starts and when it stops.

use super::outcome::Point;

/// Where Newton's method starts, the same for every lane.
#[derive(Debug, Clone, PartialEq)]
pub enum Start {
    /// No node voltages yet: every load is linearised at its nominal voltage,
    /// heated branches cold, supplies delivering, diodes at 0 V.
    Flat {
        /// Nominal voltage of loads, volts.
        load_v: f64,
    },
    /// From a solved point, usually a neighbour of the one sought.
    From {
        /// Voltage of each node against the reference, volts; one a node.
        voltages_v: Vec<f64>,
        /// Current of each branch, amperes; one a branch.
        currents_a: Vec<f64>,
    },
}

impl Start {
    /// A flat start with loads at `load_v` volts.
    pub fn flat(load_v: f64) -> Self {
        Self::Flat { load_v }
    }

    /// A start from a solved point.
    pub fn from_point(point: &Point) -> Self {
        Self::From {
            voltages_v: point.voltages_v.clone(),
            currents_a: point.currents_a.clone(),
        }
    }
}

/// When Newton's method stops, and what imbalance is let pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// The last step of every node voltage is below this, volts.
    pub step_v: f64,
    /// Currents at each node balance within this plus 64 eps times the sum of
    /// |conductance x voltage| there, amperes.
    pub residual_a: f64,
    /// Plain Newton steps before a lane goes to the damped method.
    pub most_steps: u32,
}

impl Settings {
    /// For a point that is shown: step below 1e-9 V, balance within 1e-9 A.
    pub const fn report() -> Self {
        Self {
            step_v: 1e-9,
            residual_a: 1e-9,
            most_steps: 40,
        }
    }

    /// For one of many samples: step below 1e-5 V (leaves about 1e-11 V), balance within 1e-5 A.
    pub const fn study() -> Self {
        Self {
            step_v: 1e-5,
            residual_a: 1e-5,
            most_steps: 12,
        }
    }
}
