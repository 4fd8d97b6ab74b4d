//! How the volts of each consumer hang on each wire.
//!
//! For the currents of a solved state the drop that the rule counts is linear
//! in the resistances of the wires: rule drop = sum of amperes times ohms, with
//! amperes that say how much of a wire's own current the consumer's share of
//! the way sees. On a way without loops these are the wire's current itself.
//! They are found by following the currents once more for every wire, with one
//! ohm in that wire and none elsewhere.
//!
//! Used by sizing, which asks what a thicker wire would gain.

use super::net::Role;
use super::operating::Closing;
use super::report::OFF_A;
use super::rule;
use super::share::{Shares, Stream, Supplied, follow};
use super::view::View;
use crate::circuit::zones::FuseId;
use crate::circuit::{Device, PartId};
use crate::devices::Model;
use crate::tables::OutOfTable;
use crate::tables::drops::service_limit;

/// One judged state as its consumers see the wires.
#[derive(Debug, Clone, PartialEq)]
pub struct Contributions {
    /// State's name.
    pub state: String,
    /// Everything whose volts are held against a limit.
    pub consumers: Vec<Consumer>,
    /// Whether the loads alone decide every wire's current: one supply
    /// delivers, none takes charge, and no two ways run side by side. Then no
    /// choice of sizes shifts current from one wire to another.
    pub by_loads_alone: bool,
}

/// A load, the feed of a fuse block, a starter or a coil.
#[derive(Debug, Clone, PartialEq)]
pub struct Consumer {
    /// The part.
    pub part: PartId,
    /// What it asks.
    pub demand: Demand,
    /// Wires on its way by index in the circuit, with the amperes each counts
    /// with; only those above zero, in the circuit's order.
    pub amps: Vec<(usize, f64)>,
}

/// What a consumer asks of its wires.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Demand {
    /// A rule drop at or below a limit.
    Drop {
        /// The rule's drop now, volts.
        rule_drop_v: f64,
        /// Its limit, volts.
        limit_v: f64,
    },
    /// Volts at a starter while it cranks.
    Starter {
        /// What it gets now, volts.
        has_v: f64,
        /// What service manuals ask for, volts.
        needs_v: f64,
    },
    /// Volts across the coil of a relay that stands pulled in, or at the moment
    /// it closed.
    Coil {
        /// What it gets, volts.
        has_v: f64,
        /// Where it pulls in when warm, volts.
        pull_in_v: f64,
        /// Where it lets go when warm, volts.
        drop_out_v: f64,
        /// Whether these are the volts at which it closed, before its contact
        /// moved.
        closing: bool,
    },
}

/// Current from which a starter counts as cranking, amperes.
const CRANKING_A: f64 = 5.0;

/// The consumers of a solved state.
pub(super) fn of_state(view: &View<'_>, state: &str) -> Result<Contributions, OutOfTable> {
    let ways = Ways::of(view);
    let mut consumers = Vec::new();
    for (index, role) in view.net.roles.iter().enumerate() {
        if view.current(index).abs() < OFF_A {
            continue;
        }
        match *role {
            Role::Load { part, .. } if is_main_field(view, index, part) => {
                consumers.extend(drop_of_load(view, &ways, index, part));
                consumers.extend(starter(view, &ways, index, part)?);
            }
            Role::Coil(part) if view.operated.pulled_in.contains(&part) => {
                consumers.extend(coil(view, &ways, index, part, false));
            }
            _ => {}
        }
    }
    consumers.extend(blocks(view, &ways));
    for closing in &view.operated.closings {
        consumers.extend(closings(view, closing)?);
    }
    Ok(Contributions {
        state: state.to_owned(),
        consumers,
        by_loads_alone: by_loads_alone(view),
    })
}

/// Shares with one ohm in one wire and none elsewhere, for every wire that
/// carries current.
struct Ways(Vec<(usize, Shares)>);

impl Ways {
    fn of(view: &View<'_>) -> Self {
        let supplied: Vec<Supplied> = view.supplies.iter().map(|(_, s)| *s).collect();
        let mut streams: Vec<Stream> = view
            .streams
            .iter()
            .map(|stream| Stream {
                rule_ohm: 0.0,
                ..*stream
            })
            .collect();
        let mut ways = Vec::new();
        for (at, &branch) in view.stream_branches.iter().enumerate() {
            let Role::Wire(wire) = view.net.roles[branch] else {
                continue;
            };
            streams[at].rule_ohm = 1.0;
            ways.push((wire, follow(&view.node_v, &streams, &supplied)));
            streams[at].rule_ohm = 0.0;
        }
        Self(ways)
    }

    /// Amperes by wire on the way to one node and back from another.
    fn amps(
        &self,
        supply: usize,
        enters: Option<usize>,
        leaves: Option<usize>,
    ) -> Vec<(usize, f64)> {
        let amps = |shares: &Shares| {
            let feed = enters.map_or(0.0, |node| shares.feed[supply][node].drop_v);
            let back = leaves.map_or(0.0, |node| shares.back[supply][node].drop_v);
            feed + back
        };
        let all = self.0.iter().map(|(wire, shares)| (*wire, amps(shares)));
        all.filter(|(_, amps)| *amps > 0.0).collect()
    }
}

/// Of a motor with two fields, the one that carries more; the first if alike.
fn is_main_field(view: &View<'_>, index: usize, part: PartId) -> bool {
    let own_a = view.current(index).abs();
    let others = view.net.roles.iter().enumerate().filter(|(other, role)| {
        *other != index && matches!(role, Role::Load { part: of, .. } if *of == part)
    });
    others.into_iter().all(|(other, _)| {
        let other_a = view.current(other).abs();
        other_a < own_a || (other_a <= own_a && index < other)
    })
}

fn drop_of_load(view: &View<'_>, ways: &Ways, index: usize, part: PartId) -> Option<Consumer> {
    let limit_pct = rule::limit_pct(view.circuit, part)?;
    let (enters, leaves) = view.ends(index);
    let supply = view.main_supply(enters)?;
    let feed = view.shares.feed[supply][enters].drop_v;
    let back = view.shares.back[supply][leaves].drop_v;
    Some(Consumer {
        part,
        demand: Demand::Drop {
            rule_drop_v: feed + back,
            limit_v: limit_v(view, limit_pct),
        },
        amps: ways.amps(supply, Some(enters), Some(leaves)),
    })
}

fn limit_v(view: &View<'_>, limit_pct: f64) -> f64 {
    limit_pct / 100.0 * view.circuit.boat.nominal.si()
}

fn starter(
    view: &View<'_>,
    ways: &Ways,
    index: usize,
    part: PartId,
) -> Result<Option<Consumer>, OutOfTable> {
    let cranks = view.current(index).abs() > CRANKING_A;
    if !(cranks && view.circuit.is_starter(part)) {
        return Ok(None);
    }
    let needs_v = service_limit("at the starter, cranking, the same manual")?.value;
    let consumer = across(view, ways, index, part, |has_v| Demand::Starter {
        has_v,
        needs_v,
    });
    Ok(consumer)
}

/// Coils at a point at which they told their relays to close: a solenoid with
/// a second winding asks for more there than once it has closed.
fn closings(view: &View<'_>, closing: &Closing) -> Result<Vec<Consumer>, OutOfTable> {
    let before = View::new(view.circuit, view.resolved, view.net, &closing.at)?;
    let ways = Ways::of(&before);
    let roles = before.net.roles.iter().enumerate();
    let coils = roles.filter_map(|(index, role)| match *role {
        Role::Coil(part)
            if closing.relays.contains(&part) && view.operated.pulled_in.contains(&part) =>
        {
            coil(&before, &ways, index, part, true)
        }
        _ => None,
    });
    Ok(coils.collect())
}

fn coil(
    view: &View<'_>,
    ways: &Ways,
    index: usize,
    part: PartId,
    closing: bool,
) -> Option<Consumer> {
    let Model::Relay(relay) = view.resolved.part(part) else {
        return None;
    };
    let (pull_in_v, drop_out_v) = (relay.pull_in_warm.si(), relay.drop_out_warm.si());
    across(view, ways, index, part, |has_v| Demand::Coil {
        has_v,
        pull_in_v,
        drop_out_v,
        closing,
    })
}

/// A consumer held by the volts across its branch.
fn across(
    view: &View<'_>,
    ways: &Ways,
    index: usize,
    part: PartId,
    demand: impl Fn(f64) -> Demand,
) -> Option<Consumer> {
    let (enters, leaves) = view.ends(index);
    let supply = view.main_supply(enters)?;
    Some(Consumer {
        part,
        demand: demand(view.across(index)?.abs()),
        amps: ways.amps(supply, Some(enters), Some(leaves)),
    })
}

/// Feeds of fuse blocks: the way to them alone.
fn blocks(view: &View<'_>, ways: &Ways) -> Vec<Consumer> {
    let mut consumers = Vec::new();
    for part in view.circuit.part_ids() {
        let Device::FuseBlock(block) = &view.circuit.part(part).device else {
            continue;
        };
        let slots = (0..block.slots.len()).map(|slot| FuseId {
            part,
            slot: Some(slot),
        });
        let current_a: f64 = slots.map(|slot| view.link_current(slot)).sum();
        let feed = view.circuit.part(part).terminals[0].0;
        let limit_pct = rule::limit_pct(view.circuit, part);
        if let (true, Some(limit_pct), Some(supply)) =
            (current_a > OFF_A, limit_pct, view.main_supply(feed))
        {
            consumers.push(Consumer {
                part,
                demand: Demand::Drop {
                    rule_drop_v: view.shares.feed[supply][feed].drop_v,
                    limit_v: limit_v(view, limit_pct),
                },
                amps: ways.amps(supply, Some(feed), None),
            });
        }
    }
    consumers
}

/// Smallest current that counts as one, amperes.
const LEAST_A: f64 = 1e-6;

/// Whether the loads alone decide every wire's current.
fn by_loads_alone(view: &View<'_>) -> bool {
    let supplies = view.supplies.iter().map(|(_, supplied)| supplied);
    let delivering = supplies.clone().filter(|s| s.delivered_a > LEAST_A).count();
    let taking = supplies.filter(|s| s.delivered_a < -LEAST_A).count();
    if delivering != 1 || taking > 0 {
        return false;
    }
    let mut parent: Vec<usize> = (0..view.net.nodes).collect();
    for (stream, &branch) in view.streams.iter().zip(&view.stream_branches) {
        if stream.current_a.abs() <= LEAST_A || draws(&view.net.roles[branch]) {
            continue;
        }
        let (a, b) = (root(&mut parent, stream.from), root(&mut parent, stream.to));
        if a == b {
            return false;
        }
        parent[a.max(b)] = a.min(b);
    }
    true
}

/// Whether a branch is a consumer and not a way for current to others.
fn draws(role: &Role) -> bool {
    matches!(
        role,
        Role::Load { .. } | Role::Coil(_) | Role::CoilDiode(_) | Role::PullWinding(_)
    )
}

fn root(parent: &mut [usize], mut node: usize) -> usize {
    while parent[node] != node {
        parent[node] = parent[parent[node]];
        node = parent[node];
    }
    node
}
