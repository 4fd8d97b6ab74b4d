//! Suspects in relays, switches, drivers, diodes, rectifier and battery.

use super::{Gathering, OPEN_OHM, site_of};
use crate::circuit::{Device, LoadLaw, PartId, Suppression, SwitchKind, Winding};
use crate::devices::Model;
use crate::network::{Law, Supply};
use crate::solving::{Role, Setting};
use crate::tracing::cause::Cause;
use crate::tracing::frame::{Extra, Frame, absent, ohms, whole};
use crate::tracing::suspect::{Site, Suspect};

/// Ohms of a contact that is welded.
const WELDED_OHM: f64 = 0.01;
/// Degrees of a burnt contact, ohms, with their shares (judgement).
const BURNT: [(f64, f64); 6] = [
    (0.3, 0.15),
    (0.8, 0.12),
    (2.0, 0.12),
    (6.0, 0.11),
    (20.0, 0.1),
    (OPEN_OHM, 0.4),
];

pub(super) fn gather(all: &mut Gathering<'_, '_>) {
    let circuit = all.frame.circuit;
    for part in circuit.part_ids() {
        match &circuit.part(part).device {
            Device::Relay(spec) => {
                let diode = spec
                    .suppression
                    .is_some_and(|given| given.value == Suppression::Diode);
                relay(all, part, diode);
            }
            Device::Switch(switch) => contacts(all, part, &switch.kind),
            Device::Driver(_) => channels(all, part),
            Device::Diode(_) => {
                for branch in all.frame.of_part(part).collect::<Vec<_>>() {
                    let shunt = all.frame.extra(Extra::Shunt(branch));
                    all.push(
                        Suspect::new(Cause::DiodeShort, site_of(part), 1.0)
                            .edit(shunt, ohms(0.02))
                            .degree(0.02)
                            .told("conducts both ways"),
                    );
                    all.push(
                        Suspect::new(Cause::OpenWire, site_of(part), 0.5)
                            .edit(Some(branch), absent(Law::Diode))
                            .told("open"),
                    );
                }
            }
            Device::Charger(spec) => {
                let winding = spec.winding.map(|given| given.value);
                rectifier(all, part, winding);
            }
            Device::Battery(_) => battery(all, part),
            _ => {}
        }
    }
    reversed(all);
}

fn branch_of(all: &Gathering<'_, '_>, role: Role) -> Option<usize> {
    all.frame.net.roles.iter().position(|own| *own == role)
}

fn relay(all: &mut Gathering<'_, '_>, part: PartId, diode: bool) {
    let make = branch_of(all, Role::Make(part));
    let coil = branch_of(all, Role::Coil(part));
    all.push(
        Suspect::new(Cause::RelayStuck, site_of(part), 1.0)
            .edit(make, ohms(WELDED_OHM))
            .told("welded: it stays on"),
    );
    all.push(
        Suspect::new(Cause::RelayStuck, site_of(part), 1.0)
            .edit(make, ohms(OPEN_OHM))
            .edit(coil, ohms(OPEN_OHM))
            .told("it does not pull in: coil open, or stuck"),
    );
    for (ohm, share) in BURNT {
        all.push(
            Suspect::new(Cause::RelayContactsBurnt, site_of(part), share)
                .edit(make, ohms(ohm))
                .degree(ohm)
                .told("it clicks, its contacts pass too little"),
        );
    }
    let shunt = coil.and_then(|coil| all.frame.extra(Extra::Shunt(coil)));
    for ohm in [0.1, 1.0, 6.0] {
        all.push(
            Suspect::new(Cause::RelayCoilShort, site_of(part), 0.4)
                .edit(shunt, ohms(ohm))
                .degree(ohm)
                .told("its coil is shorted"),
        );
    }
    if diode {
        all.push(
            Suspect::new(Cause::DiodeShort, site_of(part), 1.0)
                .edit(shunt, ohms(0.05))
                .degree(0.05)
                .told("the diode across its coil is shorted, or the plug is turned"),
        );
    }
}

fn contacts(all: &mut Gathering<'_, '_>, part: PartId, kind: &SwitchKind) {
    let circuit = all.frame.circuit;
    let terminals = &circuit.part(part).terminals;
    for branch in all.frame.of_part(part).collect::<Vec<_>>() {
        let Role::Switch(_, a, b) = all.frame.net.roles[branch] else {
            continue;
        };
        let between = match kind {
            SwitchKind::Simple { .. } => String::new(),
            SwitchKind::Selector { .. } => format!(
                " between `{}` and `{}`",
                circuit.terminal(terminals[a]).name,
                circuit.terminal(terminals[b]).name
            ),
        };
        for (ohm, share) in BURNT {
            all.push(
                Suspect::new(Cause::SwitchFault, site_of(part), share)
                    .edit(Some(branch), ohms(ohm))
                    .degree(ohm)
                    .told(format!("its contact{between} is burnt or worn")),
            );
        }
        all.push(
            Suspect::new(Cause::SwitchFault, site_of(part), 0.5)
                .edit(Some(branch), ohms(0.03))
                .told(format!("its contact{between} stays closed")),
        );
    }
    stop_line(all, part);
}

/// A contact that grounds something stops the engine: its line bridged to plus
/// is a short as soon as it closes; nicked to ground it stops for good.
fn stop_line(all: &mut Gathering<'_, '_>, part: PartId) {
    let frame = all.frame;
    let t = &frame.circuit.part(part).terminals;
    let stops: Vec<usize> = (0..t.len())
        .filter(|at| {
            frame
                .of_part(part)
                .any(|branch| match frame.net.roles[branch] {
                    Role::Switch(_, a, b) => {
                        let other = if a == *at {
                            b
                        } else if b == *at {
                            a
                        } else {
                            return false;
                        };
                        frame.grounded.contains(&t[other]) && !frame.grounded.contains(&t[*at])
                    }
                    _ => false,
                })
        })
        .collect();
    for stop in stops {
        for (at, (from, to)) in frame.pairs.iter().enumerate() {
            let touches = *from == t[stop] || *to == t[stop];
            let other = if *from == t[stop] { *to } else { *from };
            if touches && !frame.grounded.contains(&other) {
                all.push(
                    Suspect::new(Cause::StopLine, Site::Part(part), 1.0)
                        .edit(frame.extra(Extra::Bridge(at)), ohms(0.02))
                        .told(format!(
                            "the stop line at `{}` is bridged to `{}`",
                            frame.circuit.terminal(t[stop]).label,
                            frame.circuit.terminal(other).label
                        )),
                );
            }
        }
        let circuit = frame.circuit;
        for (wire, laid) in circuit.wires.iter().enumerate() {
            if laid.from == t[stop] || laid.to == t[stop] {
                let nicked = Suspect::new(Cause::StopLine, Site::Wire(wire), 1.0)
                    .edit(frame.extra(Extra::Leak(wire)), ohms(0.05))
                    .told("the stop line is nicked and touches ground");
                let silent = sparks(frame);
                all.push(silent.fold(nicked, |nicked, part| nicked.dull(part, 0.0)));
            }
        }
    }
}

/// Coils and injectors: with the stop line at ground they are fed and do nothing.
fn sparks<'f>(frame: &'f Frame<'_>) -> impl Iterator<Item = PartId> + 'f {
    let circuit = frame.circuit;
    circuit.part_ids().filter(|part| {
        let class = match &circuit.part(*part).device {
            Device::Solenoid(spec) => spec.class.as_ref().map(|class| class.value.as_str()),
            Device::Load(load) => match &load.law.value {
                LoadLaw::Class(class) => Some(class.as_str()),
                _ => None,
            },
            _ => None,
        };
        class.is_some_and(|class| class.contains("ignition") || class.contains("injector"))
    })
}

fn channels(all: &mut Gathering<'_, '_>, part: PartId) {
    let circuit = all.frame.circuit;
    let Model::Driver(driver) = all.frame.resolved.part(part) else {
        return;
    };
    let law = crate::network::Diode {
        v_drop_v: driver.drop.typical.si(),
        r_on_ohm: 0.01,
    };
    let Device::Driver(spec) = &circuit.part(part).device else {
        return;
    };
    for (channel, name) in spec.channels.iter().enumerate() {
        let branches: Vec<usize> = all
            .frame
            .of_part(part)
            .filter(|at| all.frame.net.roles[*at] == Role::Channel { part, channel })
            .collect();
        for (scale, what) in [(1.0, "stays on"), (0.0, "never comes on")] {
            let setting = Setting {
                parameters: law.into(),
                scale,
            };
            let mut suspect = Suspect::new(Cause::Module, site_of(part), 0.4)
                .told(format!("its channel `{name}` {what}"));
            for branch in &branches {
                suspect = suspect.edit(Some(*branch), setting);
            }
            all.push(suspect);
        }
    }
}

fn rectifier(all: &mut Gathering<'_, '_>, part: PartId, winding: Option<Winding>) {
    let Some(branch) = branch_of(all, Role::Charger(part)) else {
        return;
    };
    let shunt = all.frame.extra(Extra::Shunt(branch));
    let what = match winding {
        Some(Winding::Floating) => "two diodes of it are shorted",
        _ => "a diode of it is shorted, the stator winding closes the way to ground",
    };
    for (ohm, share) in [
        (0.05, 0.2),
        (0.1, 0.12),
        (0.2, 0.12),
        (0.3, 0.12),
        (0.5, 0.12),
        (0.8, 0.07),
        (1.4, 0.05),
        (30.0, 0.1),
        (90.0, 0.1),
    ] {
        all.push(
            Suspect::new(Cause::RectifierShort, site_of(part), share)
                .edit(shunt, ohms(ohm))
                .degree(ohm)
                .told(if ohm > 10.0 {
                    "it leaks backwards"
                } else {
                    what
                }),
        );
    }
}

fn battery(all: &mut Gathering<'_, '_>, part: PartId) {
    let Model::Battery(model) = all.frame.resolved.part(part) else {
        return;
    };
    let branch = branch_of(all, Role::Supply(part));
    let r_ohm = model.settled().si();
    let r_charge_ohm = model.charging.typical.si();
    let kinds = [
        (11.8, 1.5, 0.35, "discharged"),
        (10.5, 3.0, 0.2, "a cell shorted"),
        (12.4, 8.0, 0.3, "worn out: volts without current"),
        (9.0, 5.0, 0.15, "empty"),
    ];
    for (emf_v, times, share, what) in kinds {
        all.push(
            Suspect::new(Cause::BatteryWeak, site_of(part), share)
                .edit(
                    branch,
                    whole(Supply {
                        emf_v,
                        r_ohm: r_ohm * times,
                        r_charge_ohm,
                    }),
                )
                .told(what),
        );
    }
}

/// Batteries as they are the wrong way round.
pub(in crate::tracing) fn reversal(frame: &Frame<'_>) -> Vec<(usize, Setting)> {
    let mut edits = Vec::new();
    for part in frame.circuit.part_ids() {
        let Model::Battery(model) = frame.resolved.part(part) else {
            continue;
        };
        let r_ohm = model.settled().si();
        let found = frame
            .net
            .roles
            .iter()
            .position(|role| *role == Role::Supply(part));
        if let Some(branch) = found {
            let supply = Supply {
                emf_v: -model.open_volts.typical.si(),
                r_ohm,
                r_charge_ohm: r_ohm,
            };
            edits.push((branch, whole(supply)));
        }
    }
    // Backwards, a rectifier conducts from ground straight to plus.
    for (at, role) in frame.net.roles.iter().enumerate() {
        if matches!(role, Role::Charger(_))
            && let Some(shunt) = frame.extra(Extra::Shunt(at))
        {
            edits.push((shunt, ohms(0.08)));
        }
    }
    edits
}

fn reversed(all: &mut Gathering<'_, '_>) {
    let circuit = all.frame.circuit;
    let battery = circuit
        .part_ids()
        .find(|part| matches!(circuit.part(*part).device, Device::Battery(_)));
    let Some(battery) = battery else { return };
    let mut suspect = Suspect::new(Cause::ReversedPolarity, Site::Part(battery), 1.0)
        .told("it is connected backwards");
    suspect.edits = reversal(all.frame);
    if all.opens() {
        all.push(suspect);
    }
}
