//! What coils tell relays, and feeds their control unit, in what is shown of a suspect.

use super::contacts::Coil;
use super::frame::Frame;
use super::simulate::Shown;
use super::suspect::Suspect;
use crate::circuit::PartId;
use crate::devices::Model;
use std::collections::BTreeSet;

/// Whether a feed of the control unit is dead: its outputs then conduct nothing.
pub(super) fn module_is_dead(frame: &Frame<'_>, standing: &BTreeSet<PartId>) -> bool {
    frame.module.iter().any(|(unit, _)| standing.contains(unit))
}

/// The feeds of the control unit that are dead.
pub(super) fn dead_module<'a>(
    frame: &'a Frame<'_>,
    shown: &'a Shown,
    suspect: &'a Suspect,
) -> impl Iterator<Item = PartId> + 'a {
    frame.module.iter().filter_map(move |(unit, cut_v)| {
        let t = &frame.circuit.part(*unit).terminals;
        let volts = shown.volts[t[0].0] - shown.volts[t[1].0];
        let fed = volts.is_finite() && volts.abs() > *cut_v;
        let broken = suspect.dulled.contains(&(*unit, 0.0));
        (!fed || broken).then_some(*unit)
    })
}

/// Relays that their coils want closed.
pub(super) fn wanted(frame: &Frame<'_>, shown: &Shown, now: &BTreeSet<PartId>) -> BTreeSet<PartId> {
    let mut wanted = BTreeSet::new();
    for coil in &frame.moving.coils {
        let Model::Relay(relay) = frame.resolved.part(coil.part) else {
            continue;
        };
        let branch = &frame.net.branches[coil.branch];
        let coil_v = (shown.volts[branch.from] - shown.volts[branch.to]).abs();
        let coil_v = coil_v - opposing_v(coil, shown, relay.coil_warm.typical.si());
        let holds = now.contains(&coil.part) && coil_v > relay.drop_out_warm.si();
        if holds || coil_v >= relay.pull_in_warm.si() {
            wanted.insert(coil.part);
        }
    }
    wanted
}

/// Volts of a shift solenoid's holding winding that its second winding undoes,
/// as in the steady solution.
fn opposing_v(coil: &Coil, shown: &Shown, coil_ohm: f64) -> f64 {
    let winding = coil.pull_winding;
    winding.map_or(0.0, |branch| (-shown.amps[branch]).max(0.0) * coil_ohm)
}
