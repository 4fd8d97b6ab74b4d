//! What is worked out once for many runs: every fuse and breaker with its three
//! instances, every wire as a body that warms, with what it stands.

use super::scenario::TransientError;
use crate::circuit::zones::{FuseId, fuses};
use crate::circuit::{Circuit, Device, Reset};
use crate::devices::Resolved;
use crate::heating::{Element, Pace, Protector, WireBody, WireLimits};
use crate::tables::constants::constant;
use crate::tables::fuses::Edge;
use std::collections::BTreeMap;

/// All of it.
#[derive(Debug, Clone)]
pub(super) struct Made {
    /// Fuses and breakers; a rating that its family is not made in has no gates,
    /// and the reader has told so: it is left out.
    pub(super) fuses: BTreeMap<FuseId, Fitted>,
    /// Wires by index; none where no ampacity is published.
    pub(super) wires: Vec<Option<(WireBody, WireLimits)>>,
    /// Temperature at which copper parts, degC.
    pub(super) melts_degc: f64,
}

impl Made {
    /// Works it out.
    ///
    /// # Errors
    /// When a table cannot be read.
    pub(super) fn of(circuit: &Circuit, resolved: &Resolved) -> Result<Self, TransientError> {
        let mut wires = Vec::new();
        for (wire, model) in circuit.wires.iter().zip(&resolved.wires) {
            wires.push(match WireLimits::of(model)? {
                Some(limits) => {
                    let body = WireBody::new(wire.size.value, model, limits.class)?;
                    Some((body, limits))
                }
                None => None,
            });
        }
        Ok(Self {
            fuses: fitted(circuit),
            wires,
            melts_degc: constant("melting point")?.value,
        })
    }
}

/// A fuse or breaker.
#[derive(Debug, Clone)]
pub(super) struct Fitted {
    /// Rating in the air around it, amperes.
    pub(super) effective_a: f64,
    /// Closes by itself once it has cooled: a breaker with automatic reset.
    pub(super) closes_again: bool,
    /// Early, middle and late, clocks matched to the gates.
    instances: [Element; 3],
}

impl Fitted {
    /// One instance.
    pub(super) fn instance(&self, edge: Edge) -> &Element {
        match edge {
            Edge::Early => &self.instances[0],
            Edge::Nominal => &self.instances[1],
            Edge::Late => &self.instances[2],
        }
    }
}

fn fitted(circuit: &Circuit) -> BTreeMap<FuseId, Fitted> {
    let mut all = BTreeMap::new();
    for id in fuses(circuit) {
        let Ok(Some(device)) = Protector::fitted(circuit, id) else {
            continue;
        };
        let one = Fitted {
            effective_a: device.effective.si(),
            closes_again: closes_again(circuit, id),
            instances: Edge::ALL.map(|edge| device.element(edge)),
        };
        all.insert(id, one);
    }
    all
}

fn closes_again(circuit: &Circuit, id: FuseId) -> bool {
    match &circuit.part(id.part).device {
        Device::Breaker(breaker) => breaker
            .reset
            .is_some_and(|given| given.value == Reset::Automatic),
        _ => false,
    }
}

/// An element without heat, for what holds whatever flows.
pub(super) const fn heatless() -> Element {
    Element {
        states: Vec::new(),
        pace: Pace::Passive,
    }
}
