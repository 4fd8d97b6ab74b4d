//! Suspects along wires, at their ends, at bolts, pins and studs.

use super::{BOLTED, Gathering, JOINTS, OPEN_OHM, RESISTIVE};
use crate::circuit::{Device, PartId, Place, TerminalId};
use crate::solving::Role;
use crate::tracing::cause::Cause;
use crate::tracing::frame::{Extra, Frame, absent, ohms};
use crate::tracing::suspect::{Site, Suspect};

/// Metres of wire that weigh as much as its two ends (judgement).
const ENDS_M: f64 = 0.3;
/// A wire under the cowl, hot and shaken, over one elsewhere (judgement).
const UNDER_THE_COWL: f64 = 1.5;
/// Where along a wire a short is tried.
const ALONG: [f64; 3] = [0.03, 0.5, 0.97];
/// Area from which a cable feeds a starter, mm2: 8 AWG and more.
const HEAVY_MM2: f64 = 8.0;
/// Degrees of water between terminals, ohms, with their shares (judgement).
const WET: [(f64, f64); 4] = [(0.5, 0.2), (3.0, 0.3), (20.0, 0.3), (150.0, 0.2)];

pub(super) fn gather(all: &mut Gathering<'_, '_>) {
    for wire in 0..all.frame.circuit.wires.len() {
        if !is_ground(all, wire) {
            shorts(all, wire);
        }
        cut(all, wire);
        joints(all, wire);
    }
    bolts(all);
    pins(all);
    studs(all);
    touching(all);
    bridges(all);
}

fn is_ground(all: &Gathering<'_, '_>, wire: usize) -> bool {
    let wire = &all.frame.circuit.wires[wire];
    all.frame.grounded.contains(&wire.from) && all.frame.grounded.contains(&wire.to)
}

fn exposure(all: &Gathering<'_, '_>, wire: usize) -> f64 {
    let wire = &all.frame.circuit.wires[wire];
    let place = if wire.place == Place::EngineSpace {
        UNDER_THE_COWL
    } else {
        1.0
    };
    (wire.length.value.typical.si() + ENDS_M) * place
}

fn shorts(all: &mut Gathering<'_, '_>, wire: usize) {
    let weight = exposure(all, wire);
    let frame = all.frame;
    let mut short = |along: f64, ohm: f64, share: f64| {
        let mut suspect = short_at(frame, wire, along, ohm);
        suspect.weight = weight * share;
        all.push(suspect);
    };
    for (ohm, share) in BOLTED {
        for along in ALONG {
            short(along, ohm, share / ALONG.len() as f64);
        }
    }
    for (ohm, share) in RESISTIVE {
        short(0.5, ohm, share);
    }
    let ends = [frame.circuit.wires[wire].from, frame.circuit.wires[wire].to];
    let wet = ends.iter().any(|end| gets_wet(all, *end));
    for (ohm, share) in WET {
        let weight = share * if wet { 1.0 } else { 0.15 };
        let mut suspect = short_at(frame, wire, 0.97, ohm).told("water between it and ground");
        suspect.cause = Cause::Water;
        suspect.weight = weight;
        all.push(suspect);
    }
}

/// A short to ground at a share of a wire's length.
pub(in crate::tracing) fn short_at(
    frame: &Frame<'_>,
    wire: usize,
    along: f64,
    ohm: f64,
) -> Suspect {
    let [first, second] = frame.halves(wire);
    let laid = &frame.circuit.wires[wire];
    let mut suspect = Suspect::new(Cause::ShortToGround, Site::Wire(wire), 1.0)
        .edit(first, frame.half(wire, along, 0.0))
        .edit(second, frame.half(wire, 1.0 - along, 0.0))
        .edit(frame.extra(Extra::Leak(wire)), ohms(ohm))
        .degree(ohm);
    suspect.along = Some(along);
    suspect.end = match along {
        along if along < 0.1 => Some(laid.from),
        along if along > 0.9 => Some(laid.to),
        _ => None,
    };
    suspect
}

/// Ohms added at one end of a wire: 0 for the first, 1 for the second.
pub(in crate::tracing) fn joint_at(
    frame: &Frame<'_>,
    wire: usize,
    end: usize,
    ohm: f64,
    cause: Cause,
) -> Suspect {
    let laid = &frame.circuit.wires[wire];
    let terminal = [laid.from, laid.to][end];
    let label = &frame.circuit.terminal(terminal).label;
    Suspect::new(cause, Site::Wire(wire), 1.0)
        .edit(frame.halves(wire)[end], frame.half(wire, 0.5, ohm))
        .degree(ohm)
        .at_end(terminal)
        .told(format!("the joint at `{label}`"))
}

/// Pins, switches and what sits in the bilge get wet first.
fn gets_wet(all: &Gathering<'_, '_>, end: TerminalId) -> bool {
    let circuit = all.frame.circuit;
    matches!(
        circuit.part(circuit.terminal(end).part).device,
        Device::Plug(_) | Device::Switch(_) | Device::Pump(_) | Device::Fuse(_)
    )
}

fn cut(all: &mut Gathering<'_, '_>, wire: usize) {
    let [first, second] = all.frame.halves(wire);
    let (cause, weight) = if is_ground(all, wire) {
        (Cause::BadGround, 0.4)
    } else {
        (Cause::OpenWire, exposure(all, wire))
    };
    let law = crate::network::Law::HeatedConductor;
    all.push(
        Suspect::new(cause, Site::Wire(wire), weight)
            .edit(first, absent(law))
            .edit(second, absent(law))
            .degree(OPEN_OHM)
            .told("open"),
    );
}

fn joints(all: &mut Gathering<'_, '_>, wire: usize) {
    let frame = all.frame;
    let area = frame.resolved.wires[wire].area_mm2;
    let heavy = area >= HEAVY_MM2;
    let cause = match (all.opens() && heavy, is_ground(all, wire)) {
        (true, _) => Cause::SneakPath,
        (_, true) => Cause::BadGround,
        _ => Cause::HighResistanceJoint,
    };
    let ends = [frame.circuit.wires[wire].from, frame.circuit.wires[wire].to];
    for (which, end) in ends.into_iter().enumerate() {
        // A heavy joint fails by milliohms, a thin one by ohms.
        let scale = if heavy { 0.1 } else { 1.0 };
        let where_it_sits = if gets_wet(all, end) { 1.5 } else { 1.0 };
        for (ohm, share) in JOINTS {
            let mut suspect = joint_at(frame, wire, which, ohm * scale, cause);
            suspect.weight = share * where_it_sits;
            all.push(suspect);
        }
    }
}

/// Terminals bolted straight on: each is one joint.
fn bolts(all: &mut Gathering<'_, '_>) {
    let frame = all.frame;
    let branches = (0..frame.net.roles.len()).filter(|at| frame.net.roles[*at] == Role::Join);
    for (branch, join) in branches.zip(&frame.circuit.joins) {
        let grounded = frame.grounded.contains(&join.part);
        let post = matches!(
            frame
                .circuit
                .part(frame.circuit.terminal(join.part).part)
                .device,
            Device::Battery(_)
        );
        let cause = match (all.opens() && post, grounded) {
            (true, _) => Cause::SneakPath,
            (_, true) => Cause::BadGround,
            _ => Cause::HighResistanceJoint,
        };
        let scale = if post { 0.1 } else { 1.0 };
        for (ohm, share) in JOINTS {
            let suspect = Suspect::new(cause, Site::Terminal(join.part), share)
                .edit(Some(branch), ohms(ohm * scale))
                .degree(ohm * scale)
                .told("the bolted joint");
            all.push(suspect);
        }
    }
}

/// Pins of plugs: bad contact, corroded.
fn pins(all: &mut Gathering<'_, '_>) {
    let frame = all.frame;
    for part in frame.circuit.part_ids() {
        let Device::Plug(plug) = &frame.circuit.part(part).device else {
            continue;
        };
        let branches: Vec<usize> = frame.of_part(part).collect();
        for (pin, branch) in plug.pins.iter().zip(branches) {
            for (ohm, share) in JOINTS {
                for (cause, weight) in [(Cause::HighResistanceJoint, 1.0), (Cause::Water, 0.5)] {
                    let suspect = Suspect::new(cause, Site::Part(part), share * weight)
                        .edit(Some(branch), ohms(ohm))
                        .degree(ohm)
                        .told(format!("pin `{pin}`"));
                    all.push(suspect);
                }
            }
        }
    }
}

/// A stud that lost its bolt: every ring on it is loose.
fn studs(all: &mut Gathering<'_, '_>) {
    let frame = all.frame;
    for part in frame.circuit.part_ids() {
        if !matches!(frame.circuit.part(part).device, Device::Stud) {
            continue;
        }
        for ohm in [1.0, 10.0, OPEN_OHM] {
            if let Some(suspect) = loose_stud(all, part, ohm) {
                all.push(suspect);
            }
        }
    }
}

fn loose_stud(all: &Gathering<'_, '_>, part: PartId, ohm: f64) -> Option<Suspect> {
    let frame = all.frame;
    let stud = frame.circuit.part(part).terminals[0];
    let cause = if frame.grounded.contains(&stud) {
        Cause::BadGround
    } else {
        Cause::HighResistanceJoint
    };
    let mut suspect = Suspect::new(cause, Site::Part(part), 0.3)
        .degree(ohm)
        .told("its bolt: every ring on it");
    for (at, wire) in frame.circuit.wires.iter().enumerate() {
        let halves = frame.halves(at);
        if wire.from == stud {
            suspect = suspect.edit(halves[0], frame.half(at, 0.5, ohm));
        } else if wire.to == stud {
            suspect = suspect.edit(halves[1], frame.half(at, 0.5, ohm));
        }
    }
    (suspect.edits.len() > 1).then_some(suspect)
}

/// A live stud of a solenoid, motor or post that touches metal beside it.
fn touching(all: &mut Gathering<'_, '_>) {
    let frame = all.frame;
    let circuit = frame.circuit;
    for (wire, laid) in circuit.wires.iter().enumerate() {
        for (end, along) in [(laid.from, 0.01), (laid.to, 0.99)] {
            let part = circuit.terminal(end).part;
            let bare = match &circuit.part(part).device {
                Device::Relay(relay) => relay
                    .class
                    .as_ref()
                    .is_some_and(|class| class.value.contains("solenoid")),
                Device::Motor(_) | Device::Stud | Device::Battery(_) => true,
                _ => false,
            };
            if !bare || frame.grounded.contains(&end) {
                continue;
            }
            let [first, second] = frame.halves(wire);
            let name = &circuit.terminal(end).label;
            let mut suspect = Suspect::new(Cause::ShortToGround, Site::Part(part), 0.15)
                .edit(first, frame.half(wire, along, 0.0))
                .edit(second, frame.half(wire, 1.0 - along, 0.0))
                .edit(frame.extra(Extra::Leak(wire)), ohms(0.01))
                .degree(0.01)
                .told(format!(
                    "its stud `{name}` touches metal or a lug beside it"
                ));
            suspect.end = Some(end);
            all.push(suspect);
        }
    }
}

/// Water, a strand or a bent tab between neighbours.
fn bridges(all: &mut Gathering<'_, '_>) {
    let frame = all.frame;
    for (at, (from, to)) in frame.pairs.iter().enumerate() {
        let branch = frame.extra(Extra::Bridge(at));
        let part = frame.circuit.terminal(*from).part;
        let names = [from, to].map(|end| frame.circuit.terminal(*end).name.clone());
        let between = format!("between `{}` and `{}`", names[0], names[1]);
        for (ohm, share) in WET {
            let suspect = Suspect::new(Cause::Water, Site::Part(part), share)
                .edit(branch, ohms(ohm))
                .degree(ohm)
                .told(format!("water {between}"));
            all.push(suspect);
        }
        let suspect = Suspect::new(Cause::ShortToGround, Site::Part(part), 0.2)
            .edit(branch, ohms(0.02))
            .degree(0.02)
            .told(format!("a strand or tab {between}"));
        all.push(suspect);
    }
}
