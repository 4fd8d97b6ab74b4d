//! From the first instant to the last: steps, what happens on the way, restarts.
//!
//! A step is accepted where its estimated error is allowed. Then everything
//! watched is looked at, at four moments of the step, so that an opening
//! inside a falling step is seen. The earliest is found on the dense output,
//! then landed on by stepping anew from the step's beginning, and what happens
//! there is a restart with a small step and voltages balanced afresh.

use super::balance::Balance;
use super::build::Built;
use super::elements::Element;
use super::elements::motor::Motion;
use super::made::Made;
use super::relays::Relay;
use super::scenario::{Scenario, TransientError};
use super::system::{Point, Step};
use super::trace::Recorder;
use super::watch::{Kind, Watch, What};
use crate::circuit::Circuit;
use crate::solving::Workings;

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// When, seconds.
    pub time_s: f64,
    /// What.
    pub what: What,
    /// Part, `BLOCK.SLOT`, `FROM to TO` or the state.
    pub subject: String,
    /// Current through it the moment before, amperes.
    pub current_a: Option<f64>,
    /// Energy of currents that were left no way, joules: what the arc takes.
    pub arc_j: f64,
}

/// First step after a restart, seconds.
const FIRST_STEP_S: f64 = 1e-7;
/// So many steps at least, each written down at four moments.
const FEWEST_STEPS: f64 = 16.0;
/// A step this small is none.
pub(super) const LEAST_STEP_S: f64 = 1e-14;
/// More than this is a circuit that finds no rest.
const MOST_EVENTS: usize = 400;
/// Steps after which a run is given up.
const MOST_STEPS: usize = 200_000;
/// Refusals in a row after which the voltages are balanced afresh.
const AFRESH: usize = 6;

/// How much longer a step of order 4 may be, by its error over that allowed.
fn longer(error: f64) -> f64 {
    0.9 / error.sqrt().sqrt()
}

/// A run under way.
pub(super) struct March<'a> {
    /// The circuit.
    pub(super) circuit: &'a Circuit,
    /// Its net and figures.
    pub(super) workings: &'a Workings,
    /// What is asked.
    pub(super) scenario: &'a Scenario,
    /// The system.
    pub(super) built: Built,
    balance: Balance,
    /// What is watched for.
    pub(super) watches: Vec<Watch>,
    /// Relays as they stand.
    pub(super) relays: Vec<Relay>,
    /// What is written down.
    pub(super) recorder: Recorder,
    /// What happened.
    pub(super) events: Vec<Event>,
    /// Where it stands.
    pub(super) point: Point,
    /// A moment within a step.
    pub(super) inside: Point,
    /// How far it came, seconds.
    pub(super) time_s: f64,
    /// Steps accepted.
    pub(super) steps: usize,
    /// Steps taken again with a smaller one.
    pub(super) refused: usize,
    /// Why it ended before its time.
    pub(super) ended: Option<String>,
}

/// What a stretch between two restarts ended with.
enum Ending {
    Time,
    Fired(usize),
    Due,
    Stuck,
}

impl<'a> March<'a> {
    /// Stands at the first instant.
    ///
    /// # Errors
    /// A class no table holds; wiring that makes no network.
    pub(super) fn new(
        circuit: &'a Circuit,
        workings: &'a Workings,
        made: &Made,
        scenario: &'a Scenario,
        built: Built,
    ) -> Result<Self, TransientError> {
        let relays = Relay::all(circuit, workings, &built.pulled_in)?;
        Ok(Self {
            balance: Balance::new(&built.system, workings.net.reference)?,
            watches: super::watch::all(circuit, workings, made, &built, &relays)?,
            recorder: Recorder::new(circuit, workings, &built, &relays),
            point: built.start.clone(),
            inside: Point::default(),
            circuit,
            workings,
            scenario,
            built,
            relays,
            events: Vec::new(),
            time_s: 0.0,
            steps: 0,
            refused: 0,
            ended: None,
        })
    }

    /// What was taken for what nobody named.
    pub(super) fn assumed(&mut self) -> Vec<crate::findings::Assumed> {
        std::mem::take(&mut self.built.assumed)
    }

    /// Runs to the end, or to where it can go no further.
    ///
    /// # Errors
    /// No voltages balance the currents at some instant.
    pub(super) fn run(&mut self) -> Result<(), TransientError> {
        self.happened(What::Switched, self.scenario.state.clone(), None);
        self.restart()?;
        loop {
            if let Some(watch) = self.past_now() {
                self.let_happen(watch)?;
            } else {
                match self.stretch() {
                    Ending::Time | Ending::Stuck => return Ok(()),
                    Ending::Fired(watch) => self.let_happen(watch)?,
                    Ending::Due => {
                        self.let_due_happen();
                        self.restart()?;
                    }
                }
            }
            if self.events.len() >= MOST_EVENTS {
                self.ended = Some(self.restless());
                return Ok(());
            }
        }
    }

    /// What keeps happening.
    fn restless(&self) -> String {
        match self.events.last().map(|event| event.what) {
            Some(What::PullsIn | What::LetsGo) => "it finds no rest: a relay chatters".to_owned(),
            Some(What::Opens | What::ClosesAgain) => {
                "a breaker opens and closes again for as long as this lasts".to_owned()
            }
            _ => "it finds no rest".to_owned(),
        }
    }

    /// Lets what fired happen; where a contact opened, voltages are balanced afresh.
    fn let_happen(&mut self, watch: usize) -> Result<(), TransientError> {
        let opened = self.apply(watch);
        if opened { self.restart() } else { Ok(()) }
    }

    /// The first thing that is past already.
    fn past_now(&self) -> Option<usize> {
        let past =
            |watch: &Watch| watch.past(&self.built.system, &self.relays, &self.point, self.time_s);
        self.watches.iter().position(|watch| past(watch) >= 0.0)
    }

    /// Balances the voltages and writes the moment down.
    fn restart(&mut self) -> Result<(), TransientError> {
        let lost = self.balance.settle(&self.built.system, &mut self.point);
        let lost_j = lost.map_err(|reason| TransientError::Unbalanced {
            time_s: self.time_s,
            reason: reason.to_string(),
        })?;
        if let Some(event) = self.events.last_mut() {
            event.arc_j += lost_j;
        }
        self.built.system.rescale();
        self.write();
        Ok(())
    }

    /// Writes the present moment down.
    pub(super) fn write(&mut self) {
        self.recorder
            .write(self.time_s, &self.built.system, &self.relays, &self.point);
    }

    /// Steps until something happens.
    fn stretch(&mut self) -> Ending {
        let mut h = FIRST_STEP_S;
        let mut step = Step::default();
        let mut in_a_row = 0;
        loop {
            let due = self.next_due();
            let until = due.map_or(self.scenario.duration_s, |due| {
                due.min(self.scenario.duration_s)
            });
            let left = until - self.time_s;
            if left <= LEAST_STEP_S {
                return if self.time_s >= self.scenario.duration_s - LEAST_STEP_S {
                    Ending::Time
                } else {
                    Ending::Due
                };
            }
            let most = self.scenario.duration_s / FEWEST_STEPS;
            // Two halves rather than a whole and a crumb.
            h = h.min(most);
            h = if h >= left {
                left
            } else if 2.0 * h > left {
                0.5 * left
            } else {
                h
            };
            let sound = self
                .built
                .system
                .step(&self.point, h, self.scenario.tolerance, &mut step);
            if !sound || step.error > 1.0 {
                self.refused += 1;
                let factor = if sound { longer(step.error) } else { 0.1 };
                h *= factor.clamp(0.1, 0.9);
                in_a_row += 1;
                if in_a_row == AFRESH {
                    // Beside a kink of a law (a regulator's limit, a brush) the imbalance
                    // left by the last step may be what no smaller step cures.
                    let balanced = self.balance.afresh(&self.built.system, &mut self.point);
                    h = if balanced { FIRST_STEP_S } else { 0.0 };
                }
                if h < LEAST_STEP_S {
                    let why = if sound {
                        "no step is small enough for what happens here"
                    } else {
                        "a supply collapses under its loads"
                    };
                    self.ended = Some(why.to_owned());
                    return Ending::Stuck;
                }
                continue;
            }
            in_a_row = 0;
            self.steps += 1;
            if self.steps >= MOST_STEPS {
                self.ended = Some("too many steps".to_owned());
                return Ending::Stuck;
            }
            if let Some(watch) = self.look(&mut step, h) {
                return Ending::Fired(watch);
            }
            self.arrive(h, &mut step);
            h *= longer(step.error.max(1e-10)).clamp(0.2, 6.0);
        }
    }

    /// Takes the end of a step of `h` seconds for the present moment.
    pub(super) fn arrive(&mut self, h: f64, step: &mut Step) {
        let from_s = self.time_s;
        self.time_s += h;
        std::mem::swap(&mut self.point, &mut step.end);
        self.write();
        self.mark_turned();
        for watch in &mut self.watches {
            watch.keep_up(&self.built.system, &self.point, from_s);
        }
    }

    /// Remembers which shafts have turned.
    fn mark_turned(&mut self) {
        for (element, x) in self.built.system.elements.iter_mut().zip(&self.point.x) {
            if let Element::Motor(motor) = element
                && motor.has_turned(x)
            {
                motor.turned = true;
            }
        }
    }

    pub(super) fn happened(&mut self, what: What, subject: String, current_a: Option<f64>) {
        self.events.push(Event {
            time_s: self.time_s,
            what,
            subject,
            current_a,
            arc_j: 0.0,
        });
    }

    /// Lets what fired happen; returns whether a contact moved.
    fn apply(&mut self, watch: usize) -> bool {
        let Watch {
            at, subject, kind, ..
        } = self.watches[watch].clone();
        if kind == Kind::Coil {
            self.relays[at].change(self.time_s);
            return false;
        }
        let current = self.built.system.current(at, &self.point);
        let what = match (kind, &mut self.built.system.elements[at]) {
            (Kind::Heat, Element::Link(link)) => {
                link.open = !link.open;
                if link.open {
                    What::Opens
                } else {
                    What::ClosesAgain
                }
            }
            (Kind::CutOff(_), _) => {
                let runs = self.watches[watch].runs == Some(true);
                self.watches[watch].runs = Some(!runs);
                if runs { What::CutsOff } else { What::ComesBack }
            }
            (Kind::Limit { .. }, _) => {
                self.watches[watch].done = true;
                What::InsulationFails
            }
            (Kind::Copper(_, What::BurnsThrough), Element::Wire(wire)) => {
                wire.burnt = true;
                What::BurnsThrough
            }
            (Kind::Copper(..), _) => {
                self.watches[watch].done = true;
                What::InsulationPassed
            }
            (Kind::Winding(_), _) => {
                self.watches[watch].done = true;
                What::WindingHot
            }
            (Kind::Motion, Element::Motor(motor)) => {
                let x = &mut self.point.x[at];
                motor.motion = motor.next_motion(x);
                motor.turned = false;
                x[1] = 0.0;
                if motor.motion == Motion::Still {
                    What::Stands
                } else {
                    What::Turns
                }
            }
            _ => return false,
        };
        self.happened(what, subject, Some(current));
        matches!(what, What::Opens | What::ClosesAgain | What::BurnsThrough)
    }
}
