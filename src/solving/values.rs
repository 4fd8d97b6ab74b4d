//! What each branch is worth in one state: its parameters, and whether it
//! conducts at all.

use super::net::{Net, Role};
use crate::circuit::{Circuit, Condition, ContactPosition, Device, PartId, State, SwitchKind};
use crate::devices::{LinkModel, Model, POOR_CONTACT_OHM, Resolved, RunningLaw};
use crate::network::{
    Charger, Conductor, ConstantCurrent, Diode, HeatedConductor, HeatedLink, Parameters, Supply,
};
use crate::quantities::{Band, Ohms};
use std::collections::{BTreeMap, BTreeSet};

/// A branch's parameters with its scale: 0 is absent, 1 whole, a duty between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Setting {
    /// Parameters of the branch's law.
    pub parameters: Parameters,
    /// Scale of its current.
    pub scale: f64,
}

impl Setting {
    /// A motor under a law: an open winding is not there.
    pub(crate) fn of_motor(law: &RunningLaw) -> Self {
        Self {
            parameters: law.branch().into(),
            scale: f64::from(u8::from(law.fed)),
        }
    }
}

/// What differs between rounds and states.
#[derive(Debug, Clone)]
pub(crate) struct Standing<'a> {
    /// The state.
    pub state: &'a State,
    /// Relays that have pulled in.
    pub pulled_in: &'a BTreeSet<PartId>,
    /// Mean-square ripple by branch, A^2; missing is none.
    pub ripple_a2: &'a BTreeMap<usize, f64>,
    /// Wires that burn, by index in the circuit.
    pub burning: &'a BTreeSet<usize>,
}

/// Volts of a low battery in the same signatures.
const LOW_SUPPLY_V: f64 = 10.5;
/// Slope of a diode above its knee, ohms: small against any lead.
const DIODE_SLOPE_OHM: f64 = 0.01;

/// Settings of every branch in the order of the net.
pub(crate) fn settings(
    circuit: &Circuit,
    resolved: &Resolved,
    net: &Net,
    at: &Standing<'_>,
) -> Vec<Setting> {
    let one = |index: usize| setting(circuit, resolved, net, at, index);
    (0..net.branches.len()).map(one).collect()
}

/// Setting of one branch.
pub(super) fn setting(
    circuit: &Circuit,
    resolved: &Resolved,
    net: &Net,
    at: &Standing<'_>,
    index: usize,
) -> Setting {
    let extra_a2 = at.ripple_a2.get(&index).copied().unwrap_or(0.0);
    let condition = |part: PartId| {
        at.state
            .conditions
            .get(&part)
            .map_or(Condition::Healthy, |given| given.value)
    };
    match net.roles[index] {
        Role::Supply(part) => supply(resolved.part(part), low_supply(at.state)),
        Role::Charger(part) => charger(resolved.part(part), at.state, part),
        Role::Link(fuse) => link(resolved.part(fuse.part), fuse.slot.unwrap_or(0), extra_a2),
        Role::Switch(part, a, b) => contact(
            switch_ohms(resolved.part(part)),
            switch_made(circuit, at, part, a, b),
        ),
        Role::Make(part) => contact(
            relay_contact(resolved.part(part)),
            at.pulled_in.contains(&part),
        ),
        Role::Break(part) => contact(
            relay_contact(resolved.part(part)),
            !at.pulled_in.contains(&part),
        ),
        Role::Coil(part) => coil(resolved.part(part), condition(part)),
        Role::CoilDiode(_) => whole(Diode {
            v_drop_v: 0.7,
            r_on_ohm: DIODE_SLOPE_OHM,
        }),
        Role::PullWinding(part) => pull_winding(resolved.part(part)),
        Role::Channel { part, channel } => {
            channel_pair(resolved.part(part), channel_made(at, part, channel))
        }
        Role::Load { part, .. } => load(resolved.part(part), at.state, part, condition(part)),
        Role::Diode(part) => diode(resolved.part(part)),
        Role::Pin(part) => pin(circuit, resolved, part),
        Role::Wire(wire) => wire_setting(circuit, resolved, at, wire, extra_a2),
        Role::Join => contact(resolved.bolted, true),
    }
}

fn whole(parameters: impl Into<Parameters>) -> Setting {
    Setting {
        parameters: parameters.into(),
        scale: 1.0,
    }
}

fn low_supply(state: &State) -> bool {
    state
        .conditions
        .values()
        .any(|given| given.value == Condition::LowSupply)
}

fn supply(model: &Model, low: bool) -> Setting {
    let Model::Battery(battery) = model else {
        return open();
    };
    let emf_v = if low {
        LOW_SUPPLY_V
    } else {
        battery.open_volts.typical.si()
    };
    whole(Supply {
        emf_v,
        r_ohm: battery.settled().si(),
        r_charge_ohm: battery.charging.typical.si(),
    })
}

fn charger(model: &Model, state: &State, part: PartId) -> Setting {
    let (Model::Charger(charger), Some(current)) = (model, state.charging.get(&part)) else {
        return open();
    };
    whole(Charger {
        i_max_a: current.typical.si(),
        v_set_v: charger.set_point.typical.si(),
        r_regulator_ohm: charger.droop.si(),
    })
}

fn link(model: &Model, slot: usize, extra_a2: f64) -> Setting {
    let Model::Links(links) = model else {
        return open();
    };
    let link: &LinkModel = &links[slot];
    whole(HeatedLink {
        r_contacts_ohm: link.clips.typical.si(),
        r_cold_ohm: link.cold.typical.si(),
        beta_per_a2: link.rise_per_a2,
        extra_a2,
        rise_cap: link.rise_cap,
    })
}

fn contact(ohms: Band<Ohms>, made: bool) -> Setting {
    conductance(if made { 1.0 / ohms.typical.si() } else { 0.0 })
}

fn conductance(conductance_s: f64) -> Setting {
    whole(Conductor { conductance_s })
}

/// A branch that is not there.
fn open() -> Setting {
    Setting {
        parameters: Conductor::OPEN.into(),
        scale: 0.0,
    }
}

fn switch_ohms(model: &Model) -> Band<Ohms> {
    match model {
        Model::Switch(contact) => *contact,
        _ => Band::exactly(Ohms::new(1.0)),
    }
}

/// Whether a switch joins two of its terminals, directly, in this state.
fn switch_made(circuit: &Circuit, at: &Standing<'_>, part: PartId, a: usize, b: usize) -> bool {
    let Device::Switch(switch) = &circuit.part(part).device else {
        return false;
    };
    match (&switch.kind, at.state.contacts.get(&part)) {
        (SwitchKind::Simple { .. }, Some(ContactPosition::Simple { closed })) => *closed,
        (SwitchKind::Selector { positions }, Some(ContactPosition::Selector { position })) => {
            positions.get(*position).is_some_and(|(_, pairs)| {
                pairs.iter().any(|&(x, y)| (x.min(y), x.max(y)) == (a, b))
            })
        }
        _ => false,
    }
}

fn relay_contact(model: &Model) -> Band<Ohms> {
    match model {
        Model::Relay(relay) => relay.contact,
        _ => Band::exactly(Ohms::new(1.0)),
    }
}

fn coil(model: &Model, condition: Condition) -> Setting {
    let Model::Relay(relay) = model else {
        return open();
    };
    if condition == Condition::Open {
        return conductance(relay.suppressor_s);
    }
    conductance(1.0 / relay.coil_warm.typical.si() + relay.suppressor_s)
}

fn pull_winding(model: &Model) -> Setting {
    match model {
        Model::Relay(relay) => relay
            .pull_winding
            .map_or_else(open, |ohms| contact(ohms, true)),
        _ => open(),
    }
}

fn channel_made(at: &Standing<'_>, part: PartId, channel: usize) -> bool {
    match at.state.contacts.get(&part) {
        Some(ContactPosition::Channels { closed }) => closed.contains(&channel),
        _ => false,
    }
}

fn channel_pair(model: &Model, made: bool) -> Setting {
    let Model::Driver(driver) = model else {
        return open();
    };
    let law = Diode {
        v_drop_v: driver.drop.typical.si(),
        r_on_ohm: DIODE_SLOPE_OHM,
    };
    Setting {
        parameters: law.into(),
        scale: f64::from(u8::from(made)),
    }
}

fn diode(model: &Model) -> Setting {
    match model {
        Model::Diode(diode) => whole(Diode {
            v_drop_v: diode.drop.typical.si(),
            r_on_ohm: DIODE_SLOPE_OHM,
        }),
        _ => open(),
    }
}

fn pin(circuit: &Circuit, resolved: &Resolved, part: PartId) -> Setting {
    let apart = matches!(&circuit.part(part).device, Device::Plug(plug) if plug.unplugged);
    match resolved.part(part) {
        Model::Plug(ohms) => contact(*ohms, !apart),
        _ => open(),
    }
}

fn load(model: &Model, state: &State, part: PartId, condition: Condition) -> Setting {
    let duty = state.duty.get(&part).map_or(1.0, |duty| duty.typical.si());
    let scaled = |parameters: Parameters| {
        let scale = if condition == Condition::Open {
            0.0
        } else {
            duty
        };
        Setting { parameters, scale }
    };
    match model {
        Model::Motor(motor) => Setting::of_motor(&motor.law(condition)),
        Model::PulsePump(pump) => {
            let stuck = matches!(condition, Condition::Locked);
            let share = if stuck { 1.0 } else { pump.duty.typical.si() };
            let scale = if condition == Condition::Open {
                0.0
            } else {
                share
            };
            Setting {
                parameters: Conductor {
                    conductance_s: 1.0 / pump.coil_warm.typical.si(),
                }
                .into(),
                scale,
            }
        }
        Model::Solenoid(solenoid) => match solenoid.held {
            Some(held) => scaled(
                ConstantCurrent {
                    i_a: held.typical.si(),
                    v_cut_v: LEAST_ELECTRONICS_V,
                }
                .into(),
            ),
            None => scaled(
                Conductor {
                    conductance_s: 1.0 / solenoid.coil_warm.typical.si(),
                }
                .into(),
            ),
        },
        Model::Load(load) => scaled(load.branch()),
        _ => open(),
    }
}

/// Volts under which a held solenoid's driver acts as a resistance.
const LEAST_ELECTRONICS_V: f64 = 6.0;

fn wire_setting(
    circuit: &Circuit,
    resolved: &Resolved,
    at: &Standing<'_>,
    index: usize,
    extra_a2: f64,
) -> Setting {
    let wire = &circuit.wires[index];
    let model = &resolved.wires[index];
    let poor = at.state.conditions.iter().any(|(part, given)| {
        given.value == Condition::PoorContact
            && circuit
                .part(*part)
                .terminals
                .first()
                .is_some_and(|t| *t == wire.from || *t == wire.to)
    });
    let burns = at.burning.contains(&index);
    whole(HeatedConductor {
        r_joint_ohm: model.joints.typical.si() + if poor { POOR_CONTACT_OHM } else { 0.0 },
        r_ambient_ohm: if burns {
            model.copper_burnt()
        } else {
            model.copper_ohm()
        },
        kappa_per_a2: if burns { 0.0 } else { model.kappa_per_a2 },
        extra_a2,
    })
}
