//! Ratings: what each fuse has to carry, what it may be, and what it asks of
//! the wires behind it.
//!
//! A fuse with a label gets the rating on its label, where that carries the
//! load: whoever replaces it will fit what the cover says, so the wires behind
//! it have to stand that. Without a label it gets the least rating that
//! carries the load at 80 %, the air around it counted. Never above a label or
//! a maker's largest.

use super::choices::Choices;
use super::needs::Needs;
use super::stock::Stock;
use crate::circuit::zones::{FuseId, Written, Zones, fuse_name, fuses, written};
use crate::circuit::{Circuit, Device, PartId};
use crate::devices::{Model, Resolved};
use crate::quantities::Amps;
use crate::solving::{Demand, Survey};
use crate::tables::OutOfTable;
use crate::tables::fuses::{FuseStyle, steady_loading};
use std::collections::BTreeSet;

/// A fuse of the circuit and what holds it.
#[derive(Debug, Clone)]
pub(super) struct FuseCase {
    /// Which.
    pub id: FuseId,
    /// `NAME` or `BLOCK.SLOT`.
    pub name: String,
    /// Family; none for a breaker.
    pub style: Option<FuseStyle>,
    /// Fitted rating, amperes.
    pub was_a: f64,
    /// Held against sizing.
    pub keep: bool,
    /// Rating on the cover, amperes.
    pub label_a: Option<f64>,
    /// Least of the makers' largest behind it, with whose it is.
    pub maker: Option<(f64, PartId)>,
    /// Ratings at hand, rising, amperes.
    pub ratings_a: Vec<f64>,
    /// Wires behind it, up to the next fuse.
    pub wires: Vec<usize>,
    /// Wires that nothing guards by which loads behind it get their current
    /// back to a battery.
    pub returns: Vec<usize>,
    /// Share of the rating that may be loaded steadily there.
    pub share: f64,
    /// Least rating that rides the starts behind it out, amperes; zero where
    /// none was found wanting.
    pub start_a: f64,
    /// The most with which a short behind it is ended in time, amperes, where
    /// no wire can be made thick enough.
    pub short_a: f64,
}

/// What decided a rating.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FuseBinding {
    /// The file holds it.
    Keep,
    /// The rating on its cover.
    Label,
    /// The least rating that carries the load.
    Load,
    /// The least rating that rides out the starts behind it.
    Start,
    /// The most with which a short behind it is ended in time.
    Short,
    /// A larger one than the load asks, so that the fuses behind it open first.
    Selectivity,
    /// The fitted rating carries the load and suits the wires: no change.
    Fitted,
    /// No judged state loads it.
    Unused,
    /// The largest the wires, the label or a maker allow, though the load
    /// asks for more.
    Ceiling,
}

impl FuseBinding {
    /// The word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Keep => "keep",
            Self::Label => "label",
            Self::Load => "load",
            Self::Start => "start",
            Self::Short => "short",
            Self::Selectivity => "selectivity",
            Self::Fitted => "fitted",
            Self::Unused => "unused",
            Self::Ceiling => "ceiling",
        }
    }
}

/// A rating with its reason.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rated {
    /// Amperes.
    pub rating_a: f64,
    /// What decided it.
    pub binding: FuseBinding,
    /// Whether the load, the caps and the wires leave no rating at all.
    pub collides: bool,
}

/// Relative room for rounding between ratings.
const ROUNDING: f64 = 1e-9;

/// Every fuse with its figures.
///
/// # Errors
/// When a table cannot be read.
pub(super) fn cases(
    circuit: &Circuit,
    resolved: &Resolved,
    zones: &Zones,
    stock: &Stock,
    survey: &Survey,
) -> Result<Vec<FuseCase>, OutOfTable> {
    let steady = steady_loading()?.value.si();
    let mut cases = Vec::new();
    for id in fuses(circuit) {
        let Some(Written {
            style,
            rating,
            label,
            keep,
        }) = written(circuit, id)
        else {
            continue;
        };
        let Model::Links(links) = resolved.part(id.part) else {
            continue;
        };
        let ratings = stock.ratings_for(style)?;
        cases.push(FuseCase {
            id,
            name: fuse_name(circuit, id),
            style,
            was_a: rating.value.si(),
            keep,
            label_a: label.map(|given| given.value.si()),
            maker: maker(circuit, zones, id),
            ratings_a: ratings.into_iter().map(Amps::si).collect(),
            wires: zones
                .wires
                .get(&id)
                .map_or_else(Vec::new, |wires| wires.iter().copied().collect()),
            returns: returns(circuit, zones, survey, id),
            share: steady * links[id.slot.unwrap_or(0)].ambient_factor,
            start_a: 0.0,
            short_a: f64::INFINITY,
        });
    }
    Ok(cases)
}

/// Wires on the way of a load right behind a fuse that stand behind no fuse and
/// on no plus post: its way back. What the fuse lets through, a stalled motor's
/// current too, comes back by them.
fn returns(circuit: &Circuit, zones: &Zones, survey: &Survey, id: FuseId) -> Vec<usize> {
    let Some(reached) = zones.terminals.get(&id) else {
        return Vec::new();
    };
    let mut wires = BTreeSet::new();
    for consumer in survey
        .contributions
        .iter()
        .flat_map(|state| &state.consumers)
    {
        let terminals = &circuit.part(consumer.part).terminals;
        let is_load = matches!(consumer.demand, Demand::Drop { .. });
        if is_load && terminals.iter().any(|terminal| reached.contains(terminal)) {
            let own = consumer.amps.iter().map(|(wire, _)| *wire);
            wires.extend(own.filter(|wire| {
                !zones.bare.contains_key(wire) && zones.before(*wire).next().is_none()
            }));
        }
    }
    wires.into_iter().collect()
}

/// The least of the makers' largest fuses among the parts right behind a fuse.
fn maker(circuit: &Circuit, zones: &Zones, id: FuseId) -> Option<(f64, PartId)> {
    let reached = zones.terminals.get(&id)?;
    let behind = circuit.part_ids().filter(|part| {
        let first = circuit.part(*part).terminals.first();
        first.is_some_and(|terminal| reached.contains(terminal))
    });
    let largest = behind.filter_map(|part| {
        let most = match &circuit.part(part).device {
            Device::Pump(spec) | Device::Motor(spec) => spec.max_fuse,
            Device::Load(load) => load.max_fuse,
            _ => None,
        }?;
        Some((most.value.si(), part))
    });
    largest.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
}

impl FuseCase {
    /// The most its label and the makers behind it allow, amperes.
    pub(super) fn cap_a(&self) -> f64 {
        let label_a = self.label_a.unwrap_or(f64::INFINITY);
        label_a.min(self.maker.map_or(f64::INFINITY, |(most_a, _)| most_a))
    }

    /// Least rating in amperes for what it has to carry.
    pub(super) fn needed_a(&self, needs: &Needs) -> f64 {
        let load_a = needs.fuses.get(&self.id).map_or(0.0, |need| need.load_a);
        load_a / self.share
    }

    /// The rating to size the wires for, where wires behind it can be made to
    /// stand at most `ceiling_a`. Where no rating that rides the starts out is
    /// allowed, the load alone decides.
    pub(super) fn target(&self, needs: &Needs, ceiling_a: f64) -> Rated {
        let load_a = self.needed_a(needs);
        if self.start_a > load_a {
            let rated = self.target_for(needs, self.start_a, ceiling_a);
            if !rated.collides {
                let binding = match rated.binding {
                    FuseBinding::Load => FuseBinding::Start,
                    other => other,
                };
                return Rated { binding, ..rated };
            }
        }
        self.target_for(needs, load_a, ceiling_a)
    }

    fn target_for(&self, needs: &Needs, needed_a: f64, ceiling_a: f64) -> Rated {
        let rated = |rating_a, binding| Rated {
            rating_a,
            binding,
            collides: false,
        };
        if self.keep {
            return Rated {
                collides: self.was_a > ceiling_a * (1.0 + ROUNDING),
                ..rated(self.was_a, FuseBinding::Keep)
            };
        }
        let cap_a = self.cap_a().min(ceiling_a).min(self.short_a) * (1.0 + ROUNDING);
        let needed_a = needed_a * (1.0 - ROUNDING);
        let used = needs.fuses.get(&self.id).is_some_and(|need| need.used);
        if !used {
            let largest_a = self.ratings_a.iter().rfind(|rating| **rating <= cap_a);
            let fits = self.was_a <= cap_a;
            return Rated {
                collides: !fits && largest_a.is_none(),
                ..rated(
                    largest_a.copied().filter(|_| !fits).unwrap_or(self.was_a),
                    FuseBinding::Unused,
                )
            };
        }
        if let Some(label_a) = self.label_a
            && (needed_a..=cap_a).contains(&label_a)
            && (self.ratings_a.contains(&label_a) || label_a.total_cmp(&self.was_a).is_eq())
        {
            return rated(label_a, FuseBinding::Label);
        }
        let fitted_fits = (needed_a..=cap_a).contains(&self.was_a);
        let mut fits = self.ratings_a.iter().filter(|rating| **rating <= cap_a);
        let least_a = fits.clone().find(|rating| **rating >= needed_a);
        // What is at hand is no reason for a larger one than the one in place.
        if let Some(least_a) = least_a.filter(|least_a| !(fitted_fits && **least_a > self.was_a)) {
            let binding = if self.label_a.is_some_and(|label_a| label_a > self.short_a) {
                FuseBinding::Short
            } else {
                FuseBinding::Load
            };
            return rated(*least_a, binding);
        }
        let largest_a = fits.next_back().copied();
        Rated {
            collides: !fitted_fits,
            ..rated(
                if fitted_fits {
                    self.was_a
                } else {
                    largest_a.unwrap_or(self.was_a)
                },
                if fitted_fits {
                    FuseBinding::Fitted
                } else {
                    FuseBinding::Ceiling
                },
            )
        }
    }

    /// The rating to write once the wires are chosen: the fitted one where it
    /// carries the load and suits everything, else the target.
    pub(super) fn final_rating(&self, needs: &Needs, target: Rated, wires_stand_a: f64) -> Rated {
        let cap_a = self.cap_a().min(wires_stand_a).min(self.short_a) * (1.0 + ROUNDING);
        let needed_a = self.needed_a(needs).max(self.start_a) * (1.0 - ROUNDING);
        let suits = (needed_a..=cap_a).contains(&self.was_a);
        let changed = target.rating_a.total_cmp(&self.was_a).is_ne();
        let by_need = [FuseBinding::Load, FuseBinding::Start].contains(&target.binding);
        if changed && suits && by_need {
            return Rated {
                rating_a: self.was_a,
                binding: FuseBinding::Fitted,
                collides: false,
            };
        }
        target
    }

    /// The most the thickest sizes of the wires behind it can stand, amperes.
    pub(super) fn ceiling_a(&self, circuit: &Circuit, choices: &[Choices]) -> f64 {
        let basis = circuit.limits.fuse_basis;
        let most = self.wires.iter().filter_map(|&wire| {
            let sizes = choices[wire].all.iter();
            let stands = sizes.filter_map(|choice| choice.largest_fuse_a(basis));
            stands.max_by(f64::total_cmp)
        });
        most.fold(f64::INFINITY, f64::min)
    }
}
