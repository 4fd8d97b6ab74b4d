//! Relays in time: a coil past its pull-in moves the contact after its operate
//! time, one below its drop-out after its release time; if the coil thinks
//! better of it before, nothing moves.
//!
//! # Limits
//! Times are those of the class, release without a diode across the coil. The
//! coil has no inductance and the temperature of its place. No bounce.

use super::scenario::TransientError;
use super::system::{Point, System};
use crate::circuit::{Circuit, Device, PartId};
use crate::devices::Model;
use crate::solving::{Role, Workings};
use crate::tables::devices::relay_class;
use std::collections::BTreeSet;

/// A relay as it stands.
#[derive(Debug, Clone)]
pub(super) struct Relay {
    /// The part.
    pub(super) part: PartId,
    /// Branch of its coil.
    pub(super) coil: usize,
    /// Branch of a shift solenoid's second winding, and what a backward ampere
    /// in it takes from the pull, volts.
    opposing: Option<(usize, f64)>,
    pull_in_v: f64,
    drop_out_v: f64,
    operate_s: f64,
    release_s: f64,
    /// Whether it has pulled in.
    pub(super) closed: bool,
    /// When it will move, if it is on its way.
    pub(super) due_s: Option<f64>,
}

/// Volts a coil must fall back before a move on its way is called off.
const SECOND_THOUGHT_V: f64 = 1e-3;

impl Relay {
    /// Every relay of a circuit, standing as given.
    ///
    /// # Errors
    /// A class no table holds.
    pub(super) fn all(
        circuit: &Circuit,
        workings: &Workings,
        pulled_in: &BTreeSet<PartId>,
    ) -> Result<Vec<Self>, TransientError> {
        let mut relays = Vec::new();
        for (coil, role) in workings.net.roles.iter().enumerate() {
            let Role::Coil(part) = *role else { continue };
            let (Model::Relay(model), Device::Relay(spec)) =
                (workings.resolved.part(part), &circuit.part(part).device)
            else {
                continue;
            };
            let class = spec.class.as_ref().map_or("plug-in", |given| &given.value);
            let times = relay_class(class)?.value;
            let mut roles = workings.net.roles.iter();
            let winding = roles.position(|role| *role == Role::PullWinding(part));
            relays.push(Self {
                part,
                coil,
                opposing: winding.map(|branch| (branch, model.coil_warm.typical.si())),
                pull_in_v: model.pull_in_warm.si(),
                drop_out_v: model.drop_out_warm.si(),
                operate_s: times.operate.si(),
                release_s: times.release.si(),
                closed: pulled_in.contains(&part),
                due_s: None,
            });
        }
        Ok(relays)
    }

    /// Volts that pull.
    pub(super) fn pull_v(&self, system: &System, point: &Point) -> f64 {
        let coil_v = system.across(self.coil, &point.v).abs();
        match self.opposing {
            None => coil_v,
            Some((branch, ohm)) => coil_v - (-system.current(branch, point)).max(0.0) * ohm,
        }
    }

    /// Volts past what changes its mind; rises through zero there.
    pub(super) fn past_change(&self, system: &System, point: &Point) -> f64 {
        let pull_v = self.pull_v(system, point);
        match (self.closed, self.due_s.is_some()) {
            (false, false) => pull_v - self.pull_in_v,
            (true, false) => self.drop_out_v - pull_v,
            (false, true) => self.pull_in_v - pull_v - SECOND_THOUGHT_V,
            (true, true) => pull_v - self.drop_out_v - SECOND_THOUGHT_V,
        }
    }

    /// Changes its mind at `time_s`.
    pub(super) fn change(&mut self, time_s: f64) {
        let after_s = if self.closed {
            self.release_s
        } else {
            self.operate_s
        };
        self.due_s = match self.due_s {
            None => Some(time_s + after_s),
            Some(_) => None,
        };
    }

    /// Moves.
    pub(super) fn flip(&mut self) {
        self.closed = !self.closed;
        self.due_s = None;
    }
}
