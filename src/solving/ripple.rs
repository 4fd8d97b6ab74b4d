//! Ripple of loads that are switched on and off: it heats fuses and wires by
//! its mean square, beyond the mean current.
//!
//! A load on for a share d of the time, drawing I while on, has the mean d I
//! and the mean square d I^2; the difference d (1 - d) I^2 is ripple. It
//! spreads through the wiring like a small current drawn at the load; several
//! loads are taken as out of step, so their squares add.

use super::net::{Net, Role};
use super::operating::Operated;
use crate::circuit::State;
use crate::devices::{Model, Resolved};
use crate::network::{Parameters, Solver};
use std::collections::BTreeMap;

/// Mean-square ripple of every wire and fuse, A^2; empty where nothing pulses.
pub(super) fn spread(
    resolved: &Resolved,
    net: &Net,
    state: &State,
    operated: &Operated,
    solver: &mut Solver<1>,
) -> BTreeMap<usize, f64> {
    let mut ripple: BTreeMap<usize, f64> = BTreeMap::new();
    for (index, role) in net.roles.iter().enumerate() {
        let Role::Load { part, .. } = *role else {
            continue;
        };
        let duty = match resolved.part(part) {
            Model::PulsePump(pump) => pump.duty.typical.si(),
            _ => state.duty.get(&part).map_or(1.0, |duty| duty.typical.si()),
        };
        let mean_a = operated.point.currents_a[index];
        if duty >= 1.0 || duty <= 0.0 || mean_a == 0.0 || operated.settings[index].scale >= 1.0 {
            continue;
        }
        let branch = net.branches[index];
        let variance_a2 = mean_a * mean_a * (1.0 - duty) / duty;
        let response = solver.small_signal().transfer_ohm(branch.to, branch.from);
        for other in 0..net.roles.len() {
            let Some(ohms) = settled_ohms(operated, other) else {
                continue;
            };
            let across = net.branches[other];
            let share = (response[across.from][0] - response[across.to][0]) / ohms;
            if share.is_finite() {
                *ripple.entry(other).or_default() += variance_a2 * share * share;
            }
        }
    }
    ripple.retain(|_, a2| *a2 > 1e-12);
    ripple
}

/// Resistance of a wire or fuse at the temperature it has settled to: it is too
/// slow to follow the ripple.
fn settled_ohms(operated: &Operated, index: usize) -> Option<f64> {
    let square = operated.point.currents_a[index].powi(2);
    match operated.settings[index].parameters {
        Parameters::HeatedConductor(law) => Some(
            law.r_joint_ohm
                + law.r_ambient_ohm / (1.0 - law.kappa_per_a2 * (square + law.extra_a2)),
        ),
        Parameters::HeatedLink(law) => {
            let rise = (law.beta_per_a2 * (square + law.extra_a2)).min(law.rise_cap);
            Some(law.r_contacts_ohm + law.r_cold_ohm * (1.0 + rise))
        }
        _ => None,
    }
}
