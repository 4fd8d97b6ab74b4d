//! What the solved states ask of wires and fuses.

use super::choices::{Choices, Ohms};
use crate::circuit::zones::{FuseId, fuse_name, fuses};
use crate::circuit::{Circuit, PartId};
use crate::solving::{Consumer, Demand, StateSolution, Survey};
use crate::tables::OutOfTable;
use crate::tables::drops::service_limit;
use std::collections::BTreeMap;

/// Current from which a wire or fuse counts as used, amperes.
const USED_A: f64 = 1e-4;
/// Volts that a coil is left at least above where it closes or lets go.
const COIL_ROOM_V: f64 = 0.005;
/// Relative difference below which two currents are one that flows through both.
const IN_LINE: f64 = 1e-6;
/// Room left for rounding when a limit is met exactly.
const ROUNDING: f64 = 1e-9;

/// What one wire has to do.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct WireNeed {
    /// Whether any judged state uses it.
    pub used: bool,
    /// Whether any judged state cranks a starter through it.
    pub cranks: bool,
    /// Largest heating current of any judged state, cranking left out, amperes.
    pub steady_a: f64,
    /// Largest heating current of any judged state, amperes.
    pub heating_a: f64,
    /// Largest heating current of any state, what-if states too, amperes.
    pub most_a: f64,
    /// Largest current while it cranks a starter, amperes.
    pub cranking_a: f64,
}

/// What one fuse has to carry.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct FuseNeed {
    /// Whether any judged state loads it.
    pub used: bool,
    /// Largest steady heating current of any judged state, amperes.
    pub load_a: f64,
}

/// What a row of the problem stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum RowKind {
    /// The rule drop of a load or block.
    Drop,
    /// Volts at a starter.
    Starter,
    /// Volts across a relay's coil.
    Coil,
}

/// A limit on volts: the sum of amperes times ohms stays at or below it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    /// What it stands for.
    pub kind: RowKind,
    /// Whose volts.
    pub part: PartId,
    /// In which state.
    pub state: String,
    /// Which ohms count.
    pub ohms: Ohms,
    /// Wires with their amperes.
    pub amps: Vec<(usize, f64)>,
    /// Volts at most.
    pub limit_v: f64,
}

/// What all judged states ask.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Needs {
    /// Of each wire.
    pub wires: Vec<WireNeed>,
    /// Of each fuse.
    pub fuses: BTreeMap<FuseId, FuseNeed>,
    /// Volts.
    pub rows: Vec<Row>,
}

/// A relay in a state, closing or closed.
pub(super) type CoilKey = (PartId, String, bool);

/// Coil volts of the relays that the file's own sizes pull in: sizing leaves
/// each its pull-in, or its drop-out where it only holds.
pub(super) type CoilVolts = BTreeMap<CoilKey, f64>;

/// What a fuse in line with a charger carries while the battery is low: all
/// that the state says the charger gives, however full the battery is there.
/// Nought where it carries no charger's current.
fn charged_a(circuit: &Circuit, state: &StateSolution, fuse_a: f64) -> f64 {
    let written = circuit.states.iter().find(|one| one.name == state.name);
    let charging = written.into_iter().flat_map(|one| &one.charging);
    let in_line = charging.filter(|(part, _)| {
        let gives_a = state.chargers.get(&circuit.part(**part).name);
        gives_a.is_some_and(|gives_a| {
            fuse_a > USED_A && (fuse_a - gives_a.abs()).abs() < IN_LINE * fuse_a
        })
    });
    in_line.map(|(_, amps)| amps.high.si()).fold(0.0, f64::max)
}

/// Coil volts of a survey.
pub(super) fn coil_volts(survey: &Survey) -> CoilVolts {
    let mut volts = CoilVolts::new();
    for state in &survey.contributions {
        for consumer in &state.consumers {
            if let Demand::Coil { has_v, closing, .. } = consumer.demand {
                volts.insert((consumer.part, state.state.clone(), closing), has_v);
            }
        }
    }
    volts
}

impl Needs {
    /// What a survey asks of the wires, which have the sizes `now` in it.
    pub(super) fn of(
        circuit: &Circuit,
        choices: &[Choices],
        now: &[Option<usize>],
        survey: &Survey,
        coils: &CoilVolts,
    ) -> Self {
        let mut needs = Self {
            wires: vec![WireNeed::default(); circuit.wires.len()],
            ..Self::default()
        };
        needs.currents(circuit, survey);
        for state in &survey.contributions {
            for consumer in &state.consumers {
                let limit_v = needs.limit_v(choices, now, &state.state, consumer, coils);
                needs.rows.extend(limit_v.map(|(kind, limit_v)| Row {
                    kind,
                    part: consumer.part,
                    state: state.state.clone(),
                    ohms: ohms_of(kind),
                    amps: consumer.amps.clone(),
                    limit_v: limit_v - ROUNDING * limit_v.abs(),
                }));
            }
        }
        needs
    }

    fn currents(&mut self, circuit: &Circuit, survey: &Survey) {
        for state in &survey.solution.states {
            let judged = !state.what_if;
            for reading in &state.wires {
                let need = &mut self.wires[reading.wire];
                need.most_a = need.most_a.max(reading.rms_a);
                need.used |= judged && reading.rms_a > USED_A;
                need.cranks |= judged && reading.cranking;
                if !judged {
                    continue;
                }
                need.heating_a = need.heating_a.max(reading.rms_a);
                if reading.cranking {
                    need.cranking_a = need.cranking_a.max(reading.current_a.abs());
                } else {
                    need.steady_a = need.steady_a.max(reading.rms_a);
                }
            }
            for id in fuses(circuit).into_iter().filter(|_| judged) {
                let reading = state.fuses.get(&fuse_name(circuit, id));
                let now_a = reading.map_or(0.0, |reading| reading.current_a);
                let load_a = charged_a(circuit, state, now_a).max(now_a);
                let need = self.fuses.entry(id).or_default();
                need.used |= load_a > USED_A;
                need.load_a = need.load_a.max(load_a);
            }
        }
    }

    /// What kind of limit a consumer sets, and its volts.
    fn limit_v(
        &self,
        choices: &[Choices],
        now: &[Option<usize>],
        state: &str,
        consumer: &Consumer,
        coils: &CoilVolts,
    ) -> Option<(RowKind, f64)> {
        let spare = |has_v: f64, needs_v: f64| {
            let lost = consumer.amps.iter().map(|(wire, amps)| {
                let model = &choices[*wire].at(now[*wire]).model;
                amps * model.copper_at(self.wires[*wire].heating_a)
            });
            lost.sum::<f64>() + has_v - needs_v
        };
        match consumer.demand {
            Demand::Drop { limit_v, .. } => Some((RowKind::Drop, limit_v)),
            Demand::Starter { has_v, needs_v } => Some((RowKind::Starter, spare(has_v, needs_v))),
            Demand::Coil {
                has_v,
                pull_in_v,
                drop_out_v,
                closing,
            } => {
                let before_v = coils.get(&(consumer.part, state.to_owned(), closing))?;
                // A relay that only holds in the file has to go on holding.
                let holds_only = *before_v < pull_in_v;
                let needs_v = if holds_only { drop_out_v } else { pull_in_v };
                Some((RowKind::Coil, spare(has_v, needs_v + COIL_ROOM_V)))
            }
        }
    }

    /// Leaves only what holds whatever the currents.
    pub(super) fn forget_currents(&mut self) {
        for need in &mut self.wires {
            *need = WireNeed {
                used: need.used,
                cranks: need.cranks,
                ..WireNeed::default()
            };
        }
    }

    /// The same with a twentieth less room for every coil.
    pub(super) fn tightened(mut self) -> Self {
        for row in self.rows.iter_mut().filter(|row| row.kind == RowKind::Coil) {
            row.limit_v -= 0.05 * row.limit_v.abs();
        }
        self
    }

    /// Takes in what other solutions ask, so that an answer serves them all.
    pub(super) fn and(mut self, other: Self) -> Self {
        for (need, more) in self.wires.iter_mut().zip(other.wires) {
            need.used |= more.used;
            need.cranks |= more.cranks;
            need.steady_a = need.steady_a.max(more.steady_a);
            need.heating_a = need.heating_a.max(more.heating_a);
            need.most_a = need.most_a.max(more.most_a);
            need.cranking_a = need.cranking_a.max(more.cranking_a);
        }
        for (id, more) in other.fuses {
            let need = self.fuses.entry(id).or_default();
            need.used |= more.used;
            need.load_a = need.load_a.max(more.load_a);
        }
        self.rows.extend(other.rows);
        self
    }
}

const fn ohms_of(kind: RowKind) -> Ohms {
    match kind {
        RowKind::Drop => Ohms::Rule,
        RowKind::Starter | RowKind::Coil => Ohms::Copper,
    }
}

/// Volts one section of a starter's circuit may lose.
///
/// # Errors
/// When the table cannot be read.
pub(super) fn section_limit_v() -> Result<f64, OutOfTable> {
    Ok(service_limit("each section of the starter circuit, cranking")?.value)
}
