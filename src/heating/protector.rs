//! A fuse or breaker as a band in time.

use super::course::Duty;
use super::element::{Element, Heat};
use super::opening::{Opening, holds_to, opening};
use super::pace::{Clock, Pace};
use crate::circuit::Circuit;
use crate::circuit::zones::{FuseId, Written, written};
use crate::devices::breaker_rating_factor;
use crate::quantities::{Amps, Celsius};
use crate::sources::Source;
use crate::tables::OutOfTable;
use crate::tables::fuses::{
    Edge, FuseStyle, Gate, ambient_factor, breaker_gates, breaker_network, gates, network,
};

/// What kind of device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// A fuse.
    Fuse(FuseStyle),
    /// A thermal breaker.
    Breaker,
}

impl Family {
    /// Of a fuse as the file writes it.
    pub fn of(fuse: &Written) -> Self {
        fuse.style.map_or(Self::Breaker, Self::Fuse)
    }

    /// The word in output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fuse(style) => style.word(),
            Self::Breaker => "breaker",
        }
    }
}

/// A fuse or breaker where it sits.
#[derive(Debug, Clone, PartialEq)]
pub struct Protector {
    /// What it is.
    pub family: Family,
    /// Rating printed on it.
    pub rating: Amps,
    /// Rating in the air around it.
    pub effective: Amps,
    /// Its gates, by rising multiple.
    pub gates: Vec<Gate>,
    /// Where the gates come from, with their weakest standing.
    pub source: Source,
    /// Where the thermal networks come from.
    pub network_source: Source,
    /// Early, middle, late.
    elements: [Vec<crate::tables::fuses::ThermalState>; 3],
}

/// What a duty does to one instance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Seconds from the start of its round at which it opens, and in which
    /// round, counted from 1.
    pub opens: Option<(f64, u32)>,
    /// Largest heat: 1 is melting.
    pub peak: f64,
}

/// What a duty does to the three instances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// The one that opens first.
    pub early: Run,
    /// Through the geometric mean of the gates.
    pub middle: Run,
    /// The one that opens last.
    pub late: Run,
}

/// Heat below which a breaker can be closed again, or closes by itself:
/// judgement, no figure was found.
pub const CLOSES_BELOW: f64 = 0.7;

/// Rounds without change of heat after which nothing more happens.
const STEADY: f64 = 1e-9;

impl Protector {
    /// A fuse or breaker in air of a temperature; its gates' own air where none
    /// is given.
    ///
    /// # Errors
    /// When the family is not made in this rating, or a fuse's air is outside
    /// -40 to 150 degrees C; a breaker's is held to what its table lists.
    pub fn new(family: Family, rating: Amps, air: Option<Celsius>) -> Result<Self, OutOfTable> {
        let of = |edge| match family {
            Family::Fuse(style) => network(style, rating, edge),
            Family::Breaker => breaker_network(edge),
        };
        let gates = match family {
            Family::Fuse(style) => gates(style, rating)?,
            Family::Breaker => breaker_gates()?,
        };
        let factor = match (family, air) {
            (_, None) => 1.0,
            (Family::Fuse(style), Some(air)) => ambient_factor(style, air)?.value,
            (Family::Breaker, Some(air)) => breaker_rating_factor(air)?,
        };
        let early = of(Edge::Early)?;
        Ok(Self {
            family,
            rating,
            effective: rating * factor,
            gates: gates.value,
            source: gates.source,
            network_source: early.source.clone(),
            elements: [early.value, of(Edge::Nominal)?.value, of(Edge::Late)?.value],
        })
    }

    /// A fuse or breaker of a circuit where it sits; none for a part that is
    /// neither.
    ///
    /// # Errors
    /// As [`Protector::new`].
    pub fn fitted(circuit: &Circuit, id: FuseId) -> Result<Option<Self>, OutOfTable> {
        let Some(fuse) = written(circuit, id) else {
            return Ok(None);
        };
        let air = circuit.ambient.at(circuit.part(id.part).place);
        Self::new(Family::of(&fuse), fuse.rating.value, Some(air)).map(Some)
    }

    /// Current over the rating in its air.
    pub fn multiple(&self, current_a: f64) -> f64 {
        current_a / self.effective.si()
    }

    /// Opening at a constant current from cold, by the gates.
    pub fn opening(&self, current: Amps) -> Opening {
        opening(&self.gates, self.multiple(current.si()), current)
    }

    /// Multiple up to which it is made to hold.
    pub fn holds_to(&self) -> f64 {
        holds_to(&self.gates)
    }

    /// One instance, its clock matched to the gates.
    pub fn element(&self, edge: Edge) -> Element {
        let passive = self.passive(edge);
        Element {
            pace: Pace::Matched(Clock::matched(&passive.states, &self.gates, edge)),
            ..passive
        }
    }

    /// One instance as its network was fitted.
    pub fn passive(&self, edge: Edge) -> Element {
        let at = match edge {
            Edge::Early => 0,
            Edge::Nominal => 1,
            Edge::Late => 2,
        };
        Element {
            states: self.elements[at].clone(),
            pace: Pace::Passive,
        }
    }

    /// Runs a duty through all three instances, clocks matched to the gates;
    /// `warm` gives each its heat at the start.
    pub fn run(&self, duty: &Duty, warm: impl Fn(&Element) -> Heat) -> Outcome {
        let of = |edge| {
            let element = self.element(edge);
            let heat = warm(&element);
            run(&element, heat, duty)
        };
        Outcome {
            early: of(Edge::Early),
            middle: of(Edge::Nominal),
            late: of(Edge::Late),
        }
    }
}

/// Runs a duty through one instance.
pub(super) fn run(element: &Element, mut heat: Heat, duty: &Duty) -> Run {
    let mut peak = heat.total();
    for round in 1..=duty.rounds {
        let before = heat.clone();
        let mut start_s = 0.0;
        for course in &duty.courses {
            let passage = element.pass(&mut heat, course);
            peak = peak.max(passage.peak);
            if let Some(opens_s) = passage.opens_s {
                return Run {
                    opens: Some((start_s + opens_s, round)),
                    peak,
                };
            }
            start_s += course.lasts_s;
        }
        let moved = heat.0.iter().zip(&before.0).map(|(a, b)| (a - b).abs());
        if moved.fold(0.0, f64::max) < STEADY {
            break;
        }
    }
    Run { opens: None, peak }
}

impl Element {
    /// Runs a duty from a state of heat.
    pub fn run(&self, heat: Heat, duty: &Duty) -> Run {
        run(self, heat, duty)
    }
}
