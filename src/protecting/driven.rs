//! A motor behind a fuse as its circuit feeds it.

use super::case::{Case, Fitted};
use crate::circuit::PartId;
use crate::devices::{Model, MotorModel};
use crate::solving::StateSolution;

/// The circuit as a motor sees it, settled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Feed {
    /// Volts without the motor.
    pub volts: f64,
    /// Resistance of everything before it, ohms.
    pub ohm: f64,
}

/// A motor behind a fuse, in the state it draws most, running and locked.
pub(super) struct Driven<'a> {
    pub motor: &'a MotorModel,
    pub name: &'a str,
    pub state: &'a StateSolution,
    /// What the motor sees.
    pub feed: Feed,
    /// Its current running, amperes.
    pub running_a: f64,
    /// Current of the fuse beside the motor's own, amperes.
    pub beside_a: f64,
    /// Current of the fuse and of the motor with it locked, as solved.
    pub locked_a: f64,
}

impl<'a> Driven<'a> {
    /// None where it never runs, or is no turning motor.
    pub(super) fn of(case: &'a Case<'_>, fuse: &Fitted, part: PartId) -> Option<Self> {
        let Model::Motor(motor) = case.resolved.part(part) else {
            return None;
        };
        let name = case.circuit.part(part).name.as_str();
        let state = case.running(part)?;
        let stalled = case.stalled(part, state)?;
        let reading = |state: &StateSolution| {
            let found = state.parts.get(name)?;
            Some((found.voltage_v?.abs(), found.current_a?.abs()))
        };
        let (running, locked) = (reading(state)?, reading(stalled)?);
        let through =
            |state: &StateSolution| state.fuses.get(&fuse.name).map(|f| f.current_a.abs());
        let more_a = locked.1 - running.1;
        let ohm = if more_a > 1e-6 {
            ((running.0 - locked.0) / more_a).max(1e-4)
        } else {
            1e-4
        };
        // Not all its current need come through this fuse, nor all of the fuse's
        // be its own.
        let beside_a = (through(state)? - running.1).max(0.0);
        Some(Self {
            motor,
            name,
            state,
            feed: Feed {
                volts: running.0 + ohm * running.1,
                ohm,
            },
            running_a: running.1,
            beside_a,
            locked_a: locked.1,
        })
    }
}
