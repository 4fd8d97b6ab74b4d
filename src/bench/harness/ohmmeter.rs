//! What an ohmmeter sees of a circuit with its battery off.

use super::loads::of_load;
use crate::bench::{Draws, Refused};
use crate::circuit::zones::{FuseId, fuse_terminals, fuses};
use crate::circuit::{Circuit, ContactPosition, Device, PartId, State, SwitchKind, TerminalId};
use crate::devices::{Model, Resolved};
use crate::network::{Branch, Conductor, Law, Plan, Settings, Solver, Start, Supply};
use crate::quantities::{Band, Ohms};
use crate::tables::OutOfTable;
use crate::tables::readings::plugged_in;
use std::collections::BTreeSet;

/// Lanes solved side by side.
const LANES: usize = 8;
/// What the meter drives its current with: its size does not matter.
const METER: Supply = Supply {
    emf_v: 0.4,
    r_ohm: 100.0,
    r_charge_ohm: 100.0,
};
/// A way between two terminals.
struct Way {
    from: TerminalId,
    to: TerminalId,
    ohms: Band<f64>,
}

/// How a circuit stands while it is measured, its battery off.
#[derive(Debug, Clone, Default)]
pub struct Standing<'a> {
    /// The state whose switches are set; none for everything at rest.
    pub state: Option<&'a State>,
    /// Relays bridged from 30 to 87.
    pub pulled_in: BTreeSet<PartId>,
    /// Fuses out of their holders.
    pub out: Vec<FuseId>,
    /// Parts and plugs pulled apart.
    pub unplugged: BTreeSet<PartId>,
    /// Whether brushes show the film of one try; else the winding alone is seen.
    pub film: bool,
}

/// The minus post of the first battery: ground.
pub fn ground(circuit: &Circuit) -> TerminalId {
    circuit.minus_post().unwrap_or(TerminalId(0))
}

/// Ohms between two terminals: the typical circuit first, then specimens,
/// `count` in all and a few more. None where nothing conducts.
///
/// # Errors
/// A figure no table has, or wiring that makes no network.
pub fn ohms_between(
    circuit: &Circuit,
    resolved: &Resolved,
    standing: &Standing<'_>,
    (from, ground): (TerminalId, TerminalId),
    count: usize,
    draws: &mut Draws,
) -> Result<Vec<Option<f64>>, Refused> {
    let ways = ways(circuit, resolved, standing)?;
    let mut branches: Vec<Branch> = ways
        .iter()
        .map(|way| Branch {
            law: Law::Conductor,
            from: way.from.0,
            to: way.to.0,
        })
        .collect();
    branches.push(Branch {
        law: Law::Supply,
        from: from.0,
        to: ground.0,
    });
    let plan = Plan::new(circuit.terminals.len(), ground.0, &branches)
        .map_err(|why| Refused::Wiring(why.to_string()))?;
    let mut solver = Solver::<LANES>::new(&plan);
    let meter = ways.len();
    let mut found = Vec::with_capacity(count);
    while found.len() < count {
        for lane in 0..LANES {
            let is_typical = found.is_empty() && lane == 0;
            for (index, way) in ways.iter().enumerate() {
                let ohms = if is_typical {
                    way.ohms.typical
                } else {
                    draws.of(way.ohms)
                };
                let conductance_s = 1.0 / ohms.max(1e-9);
                solver.set(index, lane, Conductor { conductance_s })?;
            }
            solver.set(meter, lane, METER)?;
        }
        let outcome = solver.solve(&Start::flat(0.0), &Settings::report());
        let currents = outcome.currents_a(meter);
        let volts = outcome.voltages_v(from.0);
        for lane in 0..LANES {
            if let Some(failure) = outcome.failure(lane) {
                return Err(failure.into());
            }
            // The supply's current leaves it: its sign is the meter's own.
            let amps = currents[lane].abs();
            found.push((amps > 1e-12).then(|| volts[lane].abs() / amps));
        }
    }
    Ok(found)
}

fn ways(
    circuit: &Circuit,
    resolved: &Resolved,
    standing: &Standing<'_>,
) -> Result<Vec<Way>, OutOfTable> {
    let mut ways = Vec::new();
    for id in circuit.part_ids() {
        if standing.unplugged.contains(&id) {
            ways.extend(socket(circuit, resolved, standing, id));
            continue;
        }
        of_part(circuit, resolved, standing, id, &mut ways)?;
    }
    let is_in = |fuse: &FuseId| !standing.out.contains(fuse);
    for fuse in fuses(circuit).into_iter().filter(is_in) {
        let (from, to) = fuse_terminals(circuit, fuse);
        if let Model::Links(links) = resolved.part(fuse.part) {
            let link = &links[fuse.slot.unwrap_or(0)];
            let ohms = sum(link.cold.si(), link.clips.si());
            ways.push(Way { from, to, ohms });
        }
    }
    for (wire, model) in circuit.wires.iter().zip(&resolved.wires) {
        let copper_ohm = model.copper_ohm();
        let joints = model.joints.si();
        let ohms = Band {
            low: copper_ohm + joints.low,
            typical: copper_ohm + joints.typical,
            high: copper_ohm + joints.high,
        };
        ways.push(Way {
            from: wire.from,
            to: wire.to,
            ohms,
        });
    }
    ways.extend(circuit.joins.iter().map(|join| Way {
        from: join.part,
        to: join.to,
        ohms: resolved.bolted.si(),
    }));
    Ok(ways)
}

/// What is left where a part was pulled out: the bridge in a relay's socket.
fn socket(
    circuit: &Circuit,
    resolved: &Resolved,
    standing: &Standing<'_>,
    id: PartId,
) -> Option<Way> {
    let Model::Relay(relay) = resolved.part(id) else {
        return None;
    };
    let t = &circuit.part(id).terminals;
    standing.pulled_in.contains(&id).then(|| Way {
        from: t[2],
        to: t[3],
        ohms: relay.contact.si(),
    })
}

fn sum(a: Band<f64>, b: Band<f64>) -> Band<f64> {
    Band {
        low: a.low + b.low,
        typical: a.typical + b.typical,
        high: a.high + b.high,
    }
}

fn of_part(
    circuit: &Circuit,
    resolved: &Resolved,
    standing: &Standing<'_>,
    id: PartId,
    ways: &mut Vec<Way>,
) -> Result<(), OutOfTable> {
    let part = circuit.part(id);
    let t = &part.terminals;
    let mut add = |from: usize, to: usize, ohms: Band<f64>| {
        ways.push(Way {
            from: t[from],
            to: t[to],
            ohms,
        });
    };
    match (&part.device, resolved.part(id)) {
        (Device::Switch(switch), Model::Switch(contact)) => {
            for (a, b) in made(&switch.kind, standing, id) {
                add(a, b, contact.si());
            }
        }
        (Device::Plug(plug), Model::Plug(contact)) if !plug.unplugged => {
            for pin in 0..plug.pins.len() {
                add(2 * pin, 2 * pin + 1, contact.si());
            }
        }
        (_, Model::Relay(relay)) => {
            let across = |ohm: f64| 1.0 / (1.0 / ohm + relay.suppressor_s);
            let coil = relay.coil_warm.si();
            let coil = Band {
                low: across(coil.low),
                typical: across(coil.typical),
                high: across(coil.high),
            };
            add(1, 0, coil);
            if let Some(winding) = &relay.pull_winding {
                add(1, 3, winding.si());
            }
            let closed = if standing.pulled_in.contains(&id) {
                3
            } else {
                4
            };
            add(2, closed, relay.contact.si());
        }
        (_, Model::Charger(_)) => {
            let (least, _) = plugged_in("rectifier plus to ground")?.value;
            // Sound diodes leak some microamperes: up to ten megohms (judgement).
            add(0, 1, spread_up(least, 10.0));
        }
        (_, model) => {
            if let Some(ohms) = of_load(part, model, standing.film)? {
                let common = t.len() - 1;
                for field in 0..common {
                    add(field, common, ohms);
                }
            }
        }
    }
    Ok(())
}

/// From a least reading up to a hundred times it, mostly `middle` times.
fn spread_up(least: Ohms, middle: f64) -> Band<f64> {
    Band {
        low: least.si(),
        typical: least.si() * middle,
        high: least.si() * 100.0,
    }
}

/// Contacts a switch makes: as its state says, else as it rests.
fn made(kind: &SwitchKind, standing: &Standing<'_>, id: PartId) -> Vec<(usize, usize)> {
    let position = standing.state.and_then(|state| state.contacts.get(&id));
    match (kind, position) {
        (SwitchKind::Simple { .. }, Some(ContactPosition::Simple { closed })) => {
            if *closed {
                vec![(0, 1)]
            } else {
                Vec::new()
            }
        }
        (SwitchKind::Simple { normally_closed }, _) => {
            if *normally_closed {
                vec![(0, 1)]
            } else {
                Vec::new()
            }
        }
        (SwitchKind::Selector { positions }, Some(ContactPosition::Selector { position })) => {
            positions
                .get(*position)
                .map_or_else(Vec::new, |(_, pairs)| pairs.clone())
        }
        (SwitchKind::Selector { positions }, _) => positions
            .iter()
            .find(|(name, _)| name == "off" || name == "rest")
            .map_or_else(Vec::new, |(_, pairs)| pairs.clone()),
    }
}
