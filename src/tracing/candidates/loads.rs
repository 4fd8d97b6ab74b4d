//! Suspects inside loads: short, locked, dragging, open, dead.

use super::{Gathering, site_of};
use crate::circuit::{Condition, Device, PartId};
use crate::devices::{LoadShape, Model, MotorModel, RunningLaw};
use crate::solving::{Role, Setting};
use crate::tracing::cause::Cause;
use crate::tracing::frame::{Extra, absent, ohms};
use crate::tracing::suspect::Suspect;

/// Degrees of a short inside a load, ohms, with their shares (judgement).
const INSIDE: [(f64, f64); 6] = [
    (0.02, 0.35),
    (0.1, 0.25),
    (0.25, 0.15),
    (0.5, 0.1),
    (0.9, 0.08),
    (1.6, 0.07),
];
/// Winding of a larger motor than the file's class, over its own (judgement).
const LARGER: f64 = 0.55;
/// How a motor drags: its torque over a sound one's, what it still does, and
/// the share of such cases (judgement). A bent shaft or hinge adds to the load as
/// grit adds to friction.
const DRAGS: [(f64, f64, f64); 4] = [
    (1.5, 0.75, 0.3),
    (2.2, 0.6, 0.3),
    (3.3, 0.45, 0.25),
    (5.0, 0.25, 0.15),
];
/// What a motor still does with a shorted coil, and with bad brushes (judgement).
const SHORTED_COIL: f64 = 0.6;
const BRUSHES: f64 = 0.5;

pub(super) fn gather(all: &mut Gathering<'_, '_>) {
    for part in all.frame.circuit.part_ids() {
        match all.frame.resolved.part(part) {
            Model::Motor(motor) => {
                shorted(all, part, 1.0);
                of_motor(all, part, motor);
            }
            Model::PulsePump(_) => {
                shorted(all, part, 1.0);
                open(all, part, Cause::OpenWire, 1.5, "its coil or its own plug");
                all.push(
                    Suspect::new(Cause::LockedMotor, site_of(part), 0.7)
                        .dull(part, 0.0)
                        .told("stuck plunger"),
                );
            }
            Model::Solenoid(_) => {
                shorted(all, part, 0.7);
                open(
                    all,
                    part,
                    Cause::OpenWire,
                    1.0,
                    "its winding or its own plug",
                );
            }
            Model::Load(load) => {
                let electronics = matches!(load.shape, LoadShape::Power(_) | LoadShape::Current(_));
                shorted(all, part, 0.7);
                if electronics {
                    module(all, part);
                } else {
                    open(
                        all,
                        part,
                        Cause::OpenWire,
                        1.5,
                        "burnt out, or its own plug",
                    );
                }
            }
            _ => {}
        }
    }
}

/// Branches through which a load draws.
fn draws(all: &Gathering<'_, '_>, part: PartId) -> Vec<usize> {
    let roles = &all.frame.net.roles;
    let is_load = |at: &usize| matches!(roles[*at], Role::Load { .. });
    all.frame.of_part(part).filter(is_load).collect()
}

fn shorted(all: &mut Gathering<'_, '_>, part: PartId, weight: f64) {
    for branch in draws(all, part) {
        let shunt = all.frame.extra(Extra::Shunt(branch));
        for (ohm, share) in INSIDE {
            all.push(
                Suspect::new(Cause::ShortInLoad, site_of(part), weight * share)
                    .edit(shunt, ohms(ohm))
                    .dull(part, 0.0)
                    .degree(ohm)
                    .told("shorted inside"),
            );
        }
    }
}

fn open(all: &mut Gathering<'_, '_>, part: PartId, cause: Cause, weight: f64, what: &str) {
    let mut suspect = Suspect::new(cause, site_of(part), weight)
        .dull(part, 0.0)
        .told(format!("open: {what}"));
    for branch in draws(all, part) {
        let law = all.frame.branches[branch].law;
        suspect = suspect.edit(Some(branch), absent(law));
    }
    all.push(suspect);
}

/// Adds a suspect with every winding of a motor under one law.
fn push_under(all: &mut Gathering<'_, '_>, part: PartId, mut suspect: Suspect, law: &RunningLaw) {
    for branch in draws(all, part) {
        suspect = suspect.edit(Some(branch), Setting::of_motor(law));
    }
    all.push(suspect);
}

fn dragging(all: &mut Gathering<'_, '_>, part: PartId, motor: &MotorModel, weight: f64) {
    for (times, works, share) in DRAGS {
        let mut law = motor.law(Condition::Healthy);
        law.forward_nm *= times;
        law.reverse_nm *= times;
        let suspect = Suspect::new(Cause::DraggingMotor, site_of(part), weight * share)
            .dull(part, works)
            .told("it turns against too much friction");
        push_under(all, part, suspect, &law);
    }
}

fn of_motor(all: &mut Gathering<'_, '_>, part: PartId, motor: &MotorModel) {
    // Pumps stand a winter with old fuel or grit in them; starters rarely seize.
    let seizes = match all.frame.circuit.part(part).device {
        Device::Pump(_) => 1.0,
        _ => 0.4,
    };
    dragging(all, part, motor, seizes);
    let kinds = [
        (
            Cause::LockedMotor,
            Condition::Locked,
            1.0,
            0.0,
            "it does not turn",
        ),
        (
            Cause::ShortInLoad,
            Condition::ShortedCoil,
            0.3,
            SHORTED_COIL,
            "a coil of its armature is shorted",
        ),
        (
            Cause::OpenWire,
            Condition::WornBrush,
            0.6,
            BRUSHES,
            "its brushes are worn or its film is bad",
        ),
        (
            Cause::OpenWire,
            Condition::Open,
            1.5,
            0.0,
            "open: its winding, brushes or own plug",
        ),
    ];
    for (cause, condition, weight, works, what) in kinds {
        // A stalled winding is all that limits the current: its whole range counts.
        let ohms = motor.parameters.r.si();
        let windings = match condition {
            Condition::Locked => {
                let mut all = vec![
                    (ohms.low / ohms.typical, 0.3),
                    (1.0, 0.4),
                    (ohms.high / ohms.typical, 0.2),
                ];
                // Of a class alone, it may as well be a larger one.
                if motor.known.is_none() && !motor.winding_known {
                    all.push((LARGER, 0.1));
                }
                all
            }
            _ => vec![(1.0, 1.0)],
        };
        for (times, share) in windings {
            let mut law = motor.law(condition);
            law.r_ohm *= times;
            let suspect = Suspect::new(cause, site_of(part), weight * seizes * share)
                .dull(part, works)
                .told(what);
            push_under(all, part, suspect, &law);
        }
    }
}

fn module(all: &mut Gathering<'_, '_>, part: PartId) {
    open(all, part, Cause::Module, 1.0, "dead inside");
    for branch in draws(all, part) {
        let shunt = all.frame.extra(Extra::Shunt(branch));
        for ohm in [0.1, 1.0, 60.0] {
            all.push(
                Suspect::new(Cause::Module, site_of(part), 0.3)
                    .edit(shunt, ohms(ohm))
                    .dull(part, 0.0)
                    .degree(ohm)
                    .told("shorted or leaking inside"),
            );
        }
    }
}
