//! Where a fault current flows: the whole feed side as one network of
//! resistances, all contacts made, every battery and charger feeding.
//!
//! A short at a terminal through a return is found by superposition: volts
//! without it, less its current times the volts that one ampere there takes.
//! So feeds side by side share as their resistances tell, and each device and
//! wire has its own current.
//!
//! # Limits
//! Copper and battery stay as they are at one of three moments: softest (hot
//! copper, the battery's slow resistance, no charger), typical (its fast
//! resistance alone, no charger), hardest (cold, chargers at full output). All
//! minus posts count as one.

use super::ways::{Edge, Through, tied_to_minus};
use crate::circuit::{Circuit, Device, TerminalId};
use crate::devices::{Model, Resolved};
use crate::network::{Linear, PlanError};
use crate::quantities::Band;
use std::cell::RefCell;

/// How hard a short is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Moment {
    /// Least current.
    Softest,
    /// As a battery gives at once.
    Typical,
    /// Most current.
    Hardest,
}

impl Moment {
    /// All, softest first.
    pub(super) const ALL: [Self; 3] = [Self::Softest, Self::Typical, Self::Hardest];

    /// The resistance of a band that belongs to it.
    pub(super) fn ohm(self, band: Band<f64>) -> f64 {
        match self {
            Self::Softest => band.high,
            Self::Typical => band.typical,
            Self::Hardest => band.low,
        }
    }

    /// The figure of a band of what drives the current.
    const fn drive(self, band: Band<f64>) -> f64 {
        match self {
            Self::Softest => band.low,
            Self::Typical => band.typical,
            Self::Hardest => band.high,
        }
    }
}

/// The feed side of a circuit at its three moments.
pub(super) struct Faults {
    grids: [RefCell<Grid>; 3],
}

/// A short's current, and what each edge carries of it.
#[derive(Debug, Clone)]
pub(super) struct Fault {
    edges: Vec<(Through, f64)>,
}

impl Fault {
    /// Current through a device or a wire, amperes, either way.
    pub(super) fn through(&self, what: Through) -> f64 {
        let edges = self.edges.iter().filter(|(through, _)| *through == what);
        edges.map(|(_, amps)| amps.abs()).fold(0.0, f64::max)
    }
}

/// Resistance below which none is counted, ohms: a bolted joint has more.
const LEAST_OHM: f64 = 1e-6;
/// Share of a current that flows backwards in a diode before it is taken out.
const BACKWARDS: f64 = 1e-6;

struct Grid {
    linear: Linear,
    /// By edge, then by battery; a diode taken out is zero.
    conductances: Vec<f64>,
    edges: Vec<Edge>,
    /// Injected by the sources, amperes by node.
    injected: Vec<f64>,
    /// Node of the minus posts.
    reference: usize,
}

impl Faults {
    /// Plans the feed side.
    ///
    /// # Errors
    /// A terminal out of range, which a read circuit never has.
    pub(super) fn of(
        circuit: &Circuit,
        resolved: &Resolved,
        edges: &[Edge],
    ) -> Result<Self, PlanError> {
        let tied = tied_to_minus(circuit);
        let is_feed = |edge: &&Edge| !tied.contains(&edge.from) && !tied.contains(&edge.to);
        let feed: Vec<Edge> = edges.iter().filter(is_feed).copied().collect();
        let is_live = |terminal: &TerminalId| !tied.contains(terminal);
        let grid = |moment| Grid::new(circuit, resolved, &feed, is_live, moment).map(RefCell::new);
        let [softest, typical, hardest] = Moment::ALL;
        Ok(Self {
            grids: [grid(softest)?, grid(typical)?, grid(hardest)?],
        })
    }

    /// A short at a terminal through `back_ohm` to the minus posts.
    pub(super) fn at(&self, terminal: TerminalId, back_ohm: f64, moment: Moment) -> Fault {
        self.grids[moment as usize]
            .borrow_mut()
            .fault(terminal, back_ohm)
    }
}

impl Grid {
    fn new(
        circuit: &Circuit,
        resolved: &Resolved,
        feed: &[Edge],
        is_live: impl Fn(&TerminalId) -> bool,
        moment: Moment,
    ) -> Result<Self, PlanError> {
        let reference = circuit.terminals.len();
        let mut ends: Vec<(usize, usize)> = feed.iter().map(|e| (e.from.0, e.to.0)).collect();
        let siemens = |ohm: f64| 1.0 / ohm.max(LEAST_OHM);
        let mut conductances: Vec<f64> = feed.iter().map(|e| siemens(moment.ohm(e.ohm))).collect();
        let mut injected = vec![0.0; reference + 1];
        for id in circuit.part_ids() {
            let plus = circuit.part(id).terminals.first().copied();
            let Some(plus) = plus.filter(&is_live) else {
                continue;
            };
            match (&circuit.part(id).device, resolved.part(id)) {
                (Device::Battery(_), Model::Battery(battery)) => {
                    let slow = match moment {
                        Moment::Softest => battery.slow.si().high,
                        Moment::Typical | Moment::Hardest => 0.0,
                    };
                    let ohm = moment.ohm(battery.fast.si()) + slow;
                    ends.push((plus.0, reference));
                    conductances.push(siemens(ohm));
                    injected[plus.0] += moment.drive(battery.open_volts.si()) * siemens(ohm);
                }
                (Device::Charger(_), Model::Charger(charger)) if moment == Moment::Hardest => {
                    injected[plus.0] += charger.output.high.si();
                }
                _ => {}
            }
        }
        Ok(Self {
            linear: Linear::new(reference + 1, reference, ends)?,
            conductances,
            edges: feed.to_vec(),
            injected,
            reference,
        })
    }

    fn fault(&mut self, at: TerminalId, back_ohm: f64) -> Fault {
        let mut conductances = self.conductances.clone();
        loop {
            let currents = self.currents(&conductances, at, back_ohm);
            let most = currents.iter().map(|a| a.abs()).fold(0.0, f64::max);
            let backwards = (0..currents.len()).find(|&edge| {
                !self.edges[edge].both
                    && conductances[edge] > 0.0
                    && currents[edge] < -BACKWARDS * most
            });
            // Each round takes out one diode at least, or ends.
            let Some(diode) = backwards else {
                let edges = self.edges.iter().zip(&currents);
                return Fault {
                    edges: edges.map(|(edge, amps)| (edge.through, *amps)).collect(),
                };
            };
            conductances[diode] = 0.0;
        }
    }

    /// Current of every edge from its first to its second end.
    fn currents(&mut self, conductances: &[f64], at: TerminalId, back_ohm: f64) -> Vec<f64> {
        self.linear.factor(conductances);
        let mut open = self.injected.clone();
        self.linear.solve(&mut open);
        let mut one = vec![0.0; self.reference + 1];
        one[at.0] = 1.0;
        self.linear.solve(&mut one);
        let fault_a = open[at.0] / (one[at.0] + back_ohm).max(LEAST_OHM);
        let volts = |node: usize| open[node] - fault_a * one[node];
        let each = self.edges.iter().zip(conductances);
        each.map(|(edge, siemens)| siemens * (volts(edge.from.0) - volts(edge.to.0)))
            .collect()
    }
}
