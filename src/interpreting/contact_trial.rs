//! Specimens of fuses, switches and joints: what one draws, under the current that was
//! read or one that is supposed.
//!
//! # Limits
//! Severities, and what a contact bears, are judgement.

use super::Measure;
use super::contact::{ContactPart, Fault, OVERLOAD, OVERLOADED};
use super::evidence::Run;
use super::family::Bench;
use super::specimen::{Group, OPEN_OHM, SPECIMENS, Seen, Specimen, sound_contact};
use super::supply::{self, Trouble};
use crate::bench::Draws;
use crate::quantities::{Band, Ohms};

/// How many times as much a tired element has.
const TIRED: (f64, f64) = (1.5, 10.0);
/// Share of tired elements that hang together by a corroded thread, and times the ohms
/// that those have (judgement).
const CRACKED: f64 = 0.15;
const CRACKED_TIMES: (f64, f64) = (10.0, 3000.0);
/// Likelihood from which a reading of the current may be one of none.
const LEFT_OVER: f64 = 0.01;
/// Least current anyone reads volts under, amperes.
const LEAST_A: f64 = 0.3;
/// Up to how many times what is surely bad a poor contact goes; it begins where the
/// sound ones end, whatever lies between, and spreads evenly over decades (judgement).
const POOR: f64 = 50.0;
/// Ohms it reaches however good the sound ones are (judgement).
const POOR_OHM: f64 = 5.0;
/// Power that a contact bears for as long as a reading takes, and over which so many
/// watts more make it the rarer by e: what gets hotter glows or melts (judgement).
const BEARS_W: f64 = 40.0;
const RARER_W: f64 = 20.0;
/// Share of contacts that are read with nothing to feed or nothing to load them, the
/// key off or the load unplugged: no volts stand across an open one then (judgement).
const DEAD: f64 = 0.3;

/// A contact as drawn.
struct Drawn {
    weight: f64,
    /// Volts of the battery that feeds it.
    emf_v: f64,
    element_ohm: f64,
    clips_ohm: f64,
}

/// A contact and how it was read.
pub(super) struct Trial<'a> {
    pub part: &'a ContactPart,
    pub bench: &'a Bench<'a>,
    /// Elements of the neighbouring ratings.
    pub others: Vec<Band<Ohms>>,
}

impl Trial<'_> {
    pub(super) fn group(&self, fault: Fault, condition: &'static str, draws: &mut Draws) -> Group {
        Group {
            condition,
            prior: self.bench.priors.of(condition),
            brings: Vec::new(),
            specimens: (0..SPECIMENS)
                .map(|_| self.specimen(fault, draws))
                .collect(),
        }
    }

    fn draw(&self, fault: Fault, draws: &mut Draws) -> Drawn {
        let link = &self.part.link;
        let mut element_ohm = match (fault, self.others.len()) {
            (Fault::WrongRating, count) if count > 0 => {
                let which = draws.between(0.0, count as f64) as usize;
                draws.quantity(&self.others[which.min(count - 1)])
            }
            _ => draws.quantity(&link.cold),
        };
        if fault == Fault::Tired {
            let (least, most) = if draws.chance(CRACKED) {
                CRACKED_TIMES
            } else {
                TIRED
            };
            element_ohm *= draws.decades(least, most);
        }
        let clips_ohm = if fault == Fault::Poor {
            let most_ohm = (POOR * self.part.faulty.si()).max(POOR_OHM);
            draws.decades(link.clips.high.si().min(most_ohm), most_ohm)
        } else {
            sound_contact(&link.clips, draws)
        };
        let (feed, weight) = supply::feed(self.bench, &Trouble::NONE, draws);
        Drawn {
            weight,
            emf_v: feed.open_v(),
            element_ohm,
            clips_ohm,
        }
    }

    fn specimen(&self, fault: Fault, draws: &mut Draws) -> Specimen {
        let one = self.draw(fault, draws);
        let mut weight = one.weight;
        let mut runs = Vec::with_capacity(self.bench.runs.len());
        let is_dead = self.may_be_dead() && draws.chance(DEAD);
        for run in &self.bench.runs {
            let is_open = fault == Fault::Open || run.is_off() && fault != Fault::Welded;
            let (seen, likely) = if is_dead {
                (self.dead(&one, is_open), self.none_flows(run))
            } else if is_open {
                (self.seen(&one, 0.0, true), self.none_flows(run))
            } else {
                self.made(&one, run, draws)
            };
            weight *= likely;
            runs.push(seen);
        }
        Specimen {
            weight,
            runs,
            winding_ohm: one.element_ohm + one.clips_ohm,
        }
    }

    /// Whether it may be read without supply or load: no current was read of it.
    fn may_be_dead(&self) -> bool {
        let mut runs = self.bench.runs.iter();
        runs.all(|run| self.none_flows(run) > LEFT_OVER)
    }

    /// What one shows that nothing feeds or loads.
    fn dead(&self, one: &Drawn, is_open: bool) -> Seen {
        let ohms = self.seen(one, 0.0, is_open).get(Measure::Ohms);
        self.seen(one, 0.0, false).with(Measure::Ohms, ohms)
    }

    /// What one shows that conducts, and how likely it is met so.
    fn made(&self, one: &Drawn, run: &Run, draws: &mut Draws) -> (Seen, f64) {
        let current_a = self.current(run, draws);
        let seen = self.seen(one, current_a, false);
        let across_v = seen.get(Measure::Volts);
        let over = across_v / one.emf_v;
        let Some(read_a) = run.get(Measure::Amps) else {
            // No contact takes more volts than the battery has: a current that was
            // supposed is less.
            let held_a = if over > 1.0 {
                current_a / over
            } else {
                current_a
            };
            return (self.seen(one, held_a, false), 1.0);
        };
        // The load has what is left of the volts; at all of them it would draw this.
        let short_a = current_a / (1.0 - over).max(1e-6);
        let most_a = OVERLOAD * self.part.within_rating().si().max(current_a);
        if over >= 1.0 || short_a > most_a {
            return (seen, 0.0);
        }
        let too_hot_w = (across_v * current_a - BEARS_W).max(0.0);
        // One that is fed and loaded carries something.
        let flows = 1.0 - self.bench.kernel.as_nothing(Measure::Amps, read_a);
        (seen, flows * (-too_hot_w / RARER_W).exp())
    }

    /// Current near what was read, else anything it is made for; a fuse may carry far
    /// more for as long as a reading takes.
    fn current(&self, run: &Run, draws: &mut Draws) -> f64 {
        if let Some(read) = run.get(Measure::Amps) {
            let reach = self.bench.kernel.reach(Measure::Amps, read);
            return draws.between(read - reach, read + reach).max(0.0);
        }
        let rating_a = self.part.within_rating().si();
        let is_over = self.part.is_fuse() && draws.chance(OVERLOADED);
        draws.decades(
            LEAST_A,
            if is_over {
                OVERLOAD * rating_a
            } else {
                rating_a
            },
        )
    }

    /// How well a reading of the current goes with none flowing.
    fn none_flows(&self, run: &Run) -> f64 {
        let read = run.get(Measure::Amps).unwrap_or(0.0);
        self.bench.kernel.as_nothing(Measure::Amps, read)
    }

    fn seen(&self, one: &Drawn, current_a: f64, is_open: bool) -> Seen {
        let link = &self.part.link;
        let (element_v, whole_v, ohms) = if is_open {
            (one.emf_v, one.emf_v, OPEN_OHM)
        } else {
            let element_v = link.across_v(one.element_ohm, current_a);
            let whole_v = element_v + current_a * one.clips_ohm;
            (element_v, whole_v, self.by_ohms(one))
        };
        // A contact has no test points of its own: both are the same reading.
        let on_points_v = if self.part.is_fuse() {
            element_v
        } else {
            whole_v
        };
        Seen::NOTHING
            .with(Measure::Amps, if is_open { 0.0 } else { current_a })
            .with(Measure::Millivolts, on_points_v)
            .with(Measure::Volts, whole_v)
            .with(Measure::Ohms, ohms)
    }

    /// A fuse is measured out of its clips.
    fn by_ohms(&self, one: &Drawn) -> f64 {
        let own = if self.part.is_fuse() {
            one.element_ohm
        } else {
            one.element_ohm + one.clips_ohm
        };
        own + 0.5 * self.bench.rig.ohms_error.plus
    }
}
