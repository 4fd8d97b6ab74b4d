//! What happens in time when a switch is turned, a shaft jams or a wire shorts:
//! from microseconds to half an hour in one run.
//!
//! [`run`] puts a circuit from rest, or from the steady point of a state, into
//! another state and follows it: motor inrush and stall, lamps and input
//! capacitors, the cranking dip with relays that drop out, fuse heat, wire
//! heat and battery sag. What happens (a fuse opens, a relay moves, a shaft
//! turns or stands, insulation passes its class) is landed on exactly.
//!
//! The method is an L-stable Rosenbrock method of order 4 with error control
//! (`rosenbrock`); each branch's states are eliminated locally, so that the
//! network's star-mesh elimination serves (`system`). Being L-stable it takes
//! microsecond steps while currents move and steps of seconds once only heat
//! moves, without a second method. An opened contact leaves the current of an
//! inductance no way: it goes to zero at once and its energy is told
//! (`balance`).
//!
//! # Limits
//! Every figure is the typical one of its class unless the file gives it;
//! fuses are one instance of their band at a time. No arc, no contact bounce, no
//! commutation ripple, no inductance of wires and coils; pulsed loads draw
//! their mean. A running motor's heat is taken as carried off; a standing one's
//! heats its copper. The battery keeps its charge. Further limits stand with
//! each branch under `elements`.
//!
//! Used by the command line.

#![allow(
    clippy::needless_range_loop,
    reason = "several arrays are walked in step by one count of states"
)]

mod balance;
mod branches;
mod build;
mod due;
mod elements;
mod judge;
mod landing;
mod local;
mod machines;
mod made;
mod march;
mod plot;
mod relays;
mod rest;
mod rosenbrock;
mod scenario;
mod screen;
mod study;
mod system;
mod trace;
mod watch;

pub use march::Event;
pub use plot::csv;
pub use scenario::{Jam, Scenario, Short, TransientError, USUAL_TOLERANCE};
pub use screen::document;
pub use study::{Openings, Study, study};
pub use trace::Column;
pub use watch::What;

use crate::circuit::{Circuit, Device, Part, PartId};
use crate::findings::Assumed;
use crate::solving::{Workings, workings};
use made::Made;
use std::collections::BTreeSet;

/// A run, written down.
#[derive(Debug, Clone, PartialEq)]
pub struct Transient {
    /// When each value was taken, seconds; a moment at which something happens
    /// stands twice, before and after.
    pub times_s: Vec<f64>,
    /// Every quantity.
    pub columns: Vec<Column>,
    /// Batteries and chargers among the subjects.
    pub supplies: Vec<String>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// How far it came, seconds.
    pub reached_s: f64,
    /// Why it ended before its time.
    pub ended: Option<String>,
    /// Steps accepted.
    pub steps: usize,
    /// Steps taken again.
    pub refused: usize,
    /// Figures that entered.
    pub assumed: Vec<Assumed>,
}

impl Transient {
    /// One quantity: `values_of("pump", "current_a")`.
    pub fn column(&self, subject: &str, quantity: &str) -> Option<&Column> {
        let mut columns = self.columns.iter();
        columns.find(|column| column.subject == subject && column.quantity == quantity)
    }

    /// When something first happened to a part, seconds.
    pub fn first(&self, what: What, subject: &str) -> Option<f64> {
        let mut events = self.events.iter();
        let found = events.find(|event| event.what == what && event.subject == subject);
        found.map(|event| event.time_s)
    }
}

/// A circuit made ready for many runs.
#[derive(Debug, Clone)]
pub struct Ready<'a> {
    circuit: &'a Circuit,
    workings: Workings,
    made: Made,
}

impl<'a> Ready<'a> {
    /// Solves every state of a circuit once.
    ///
    /// # Errors
    /// A wire size or class that no table holds.
    pub fn new(circuit: &'a Circuit) -> Result<Self, TransientError> {
        let workings = workings(circuit)?;
        Ok(Self {
            made: Made::of(circuit, &workings.resolved)?,
            workings,
            circuit,
        })
    }

    /// Relays that stay pulled in once a state has settled; none where it has
    /// no operating point.
    fn pulled_in(&self, state: &str) -> BTreeSet<PartId> {
        let index = build::state_index(self.circuit, state).ok();
        let point = index.and_then(|index| self.workings.points[index].as_ref());
        rest::pulled_in(point)
    }

    /// Follows the circuit through a scenario.
    ///
    /// # Errors
    /// Names it does not have, figures out of range, no balance at some instant.
    pub fn run(&self, scenario: &Scenario) -> Result<Transient, TransientError> {
        if !(scenario.duration_s > 0.0 && scenario.duration_s <= LONGEST_S) {
            let words = "a run lasts between nothing and two hours";
            return Err(TransientError::Range(words.to_owned()));
        }
        if !(1e-12..=1e-2).contains(&scenario.tolerance) {
            let words = "a relative tolerance lies between 1e-12 and 1e-2";
            return Err(TransientError::Range(words.to_owned()));
        }
        let built = build::build(self.circuit, &self.workings, &self.made, scenario)?;
        let mut march =
            march::March::new(self.circuit, &self.workings, &self.made, scenario, built)?;
        march.run()?;
        let mut assumed = self.workings.resolved.assumed.clone();
        assumed.extend(march.assumed());
        let is_supply =
            |part: &&Part| matches!(part.device, Device::Battery(_) | Device::Charger(_));
        let supplies = self.circuit.parts.iter().filter(is_supply);
        let (times_s, columns) = march.recorder.into_columns();
        Ok(Transient {
            times_s,
            columns,
            supplies: supplies.map(|part| part.name.clone()).collect(),
            events: march.events,
            reached_s: march.time_s,
            ended: march.ended,
            steps: march.steps,
            refused: march.refused,
            assumed,
        })
    }
}

/// Longest run, seconds.
const LONGEST_S: f64 = 7200.0;

/// Follows a circuit through one scenario.
///
/// # Errors
/// As [`Ready::new`] and [`Ready::run`].
pub fn run(circuit: &Circuit, scenario: &Scenario) -> Result<Transient, TransientError> {
    Ready::new(circuit)?.run(scenario)
}
