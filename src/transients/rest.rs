//! Where a run starts from: a state at rest, or a cold and dead circuit.

use super::build::state_index;
use super::elements::Element;
use super::elements::motor::Motion;
use super::scenario::{Scenario, Short, TransientError};
use super::system::Point;
use crate::circuit::{Circuit, PartId};
use crate::network::Parameters;
use crate::solving::{Net, Operated, Role, Workings};
use std::collections::{BTreeMap, BTreeSet};

/// A heating ratio beyond this is a wire that carries next to nothing on average.
const MOST_PULSE: f64 = 20.0;

/// The operating point a run starts from, if it does not start cold.
///
/// # Errors
/// No such state, or one without an operating point.
pub(super) fn before<'a>(
    circuit: &Circuit,
    workings: &'a Workings,
    scenario: &Scenario,
) -> Result<Option<&'a Operated>, TransientError> {
    let Some(name) = &scenario.from else {
        return Ok(None);
    };
    let point = workings.points[state_index(circuit, name)?].as_ref();
    let found = point.ok_or_else(|| TransientError::NoStart(name.clone()))?;
    Ok(Some(found))
}

/// Relays that have pulled in when a run starts: those of the state before;
/// none where it starts cold.
pub(super) fn pulled_in(before: Option<&Operated>) -> BTreeSet<PartId> {
    before.map_or_else(BTreeSet::new, |point| point.pulled_in.clone())
}

/// Heating over mean current squared of branches that carry pulsed loads.
pub(super) fn pulses(point: Option<&Operated>) -> BTreeMap<usize, f64> {
    let Some(point) = point else {
        return BTreeMap::new();
    };
    let ripple = point.ripple_a2.iter();
    let shares = ripple.map(|(&branch, &extra_a2)| {
        let mean = point.point.currents_a[branch];
        let share = 1.0 + extra_a2 / (mean * mean).max(1e-12);
        (branch, share.min(MOST_PULSE))
    });
    shares.collect()
}

/// Puts every branch of the net where the state before left it.
pub(super) fn fill(
    elements: &mut [Element],
    start: &mut Point,
    before: Option<&Operated>,
    capacitors: &[(usize, usize)],
    ends: &[(usize, usize)],
) {
    for (element, x) in elements.iter().zip(&mut start.x) {
        if let Element::Filament(lamp) = element {
            x[0] = lamp.cold();
        }
    }
    let Some(before) = before else {
        return;
    };
    for branch in 0..before.settings.len() {
        let i = before.point.currents_a[branch];
        let across = across(before, ends[branch]);
        let x = &mut start.x[branch];
        match &mut elements[branch] {
            Element::Wire(wire) => *x = wire.settled(i),
            Element::Link(link) => *x = link.settled(i),
            Element::Battery(battery) => x[0] = battery.settled(i),
            Element::Filament(lamp) if i != 0.0 => x[0] = lamp.settled(across),
            Element::Warming(heater) => x[0] = heater.settled(across),
            Element::Motor(motor) => {
                x[0] = i;
                let Parameters::Motor(law) = before.settings[branch].parameters else {
                    continue;
                };
                let speed = if before.settings[branch].scale > 0.0 {
                    law.speed_rad_s(across)
                } else {
                    0.0
                };
                // What jams does so at once.
                if motor.forward_nm.is_finite() && speed != 0.0 {
                    x[1] = speed;
                    motor.turned = true;
                    motor.motion = if speed > 0.0 {
                        Motion::Forward
                    } else {
                        Motion::Backward
                    };
                }
            }
            Element::Still(..) | Element::Filament(_) | Element::Capacitor(_) => {}
        }
    }
    for &(load, capacitor) in capacitors {
        start.x[capacitor][0] = across(before, ends[load]);
    }
}

fn across(point: &Operated, (from, to): (usize, usize)) -> f64 {
    point.point.voltages_v[from] - point.point.voltages_v[to]
}

/// Where a short lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShortPlace {
    /// Branch of the wire.
    pub(super) wire_branch: usize,
    /// Node the short lies on.
    pub(super) onto: usize,
}

/// Finds the wire and the terminal of a short.
///
/// # Errors
/// No such wire or terminal; a figure out of range.
pub(super) fn short_place(
    circuit: &Circuit,
    net: &Net,
    short: &Short,
) -> Result<ShortPlace, TransientError> {
    if !(short.ohm > 0.0 && short.ohm.is_finite()) {
        let words = "a short has a resistance above zero: 1 mohm is a bolted one";
        return Err(TransientError::Range(words.to_owned()));
    }
    if !short.at_s.is_finite() {
        let words = "a short is made at some time";
        return Err(TransientError::Range(words.to_owned()));
    }
    if !(0.0..=1.0).contains(&short.share) {
        let words = "a short lies between 0 % and 100 % of its wire";
        return Err(TransientError::Range(words.to_owned()));
    }
    let named = circuit.wires.iter().position(|wire| {
        let by_name = wire
            .name
            .as_ref()
            .is_some_and(|name| name.value == short.wire);
        by_name || circuit.wire_label(wire) == short.wire
    });
    let wire = named.ok_or_else(|| TransientError::Unknown {
        kind: "wire",
        name: short.wire.clone(),
    })?;
    let branch = net.roles.iter().position(|role| *role == Role::Wire(wire));
    let onto = match &short.to {
        None => net.reference,
        Some(label) => {
            let mut terminals = circuit.terminals.iter();
            let found = terminals.position(|terminal| terminal.label == *label);
            found.ok_or_else(|| TransientError::Unknown {
                kind: "terminal",
                name: label.clone(),
            })?
        }
    };
    Ok(ShortPlace {
        wire_branch: branch.unwrap_or_default(),
        onto,
    })
}
