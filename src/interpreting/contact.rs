//! What a fuse, breaker, switch, plug or joint with each condition shows: volts
//! across it under a current, ohms out of its circuit.
//!
//! The current is the one that was read; where none was, anything up to what the
//! part is made for, and for some fuses up to a few times that, so that volts alone
//! tell little but a contact that takes them all. A fuse is read on its own test points (millivolts) and from wire to wire
//! (volts), clips included.
//!
//! # Limits
//! Above 60 % of its rating a fuse's element is hotter than here, which its
//! rise with the current covers to about 30 %. Severities are judgement.

use super::evidence::{Evidence, Run, RunKind};
use super::family::{Bench, Family, Warned, Weighed, among};
use super::specimen::{Group, SPECIMENS, Seen, Specimen, sound_contact};
use super::supply::{self, Trouble};
use super::{Estimate, Measure, contact_words, estimates, fuse_rating};
use crate::bench::{Draws, Refused};
use crate::devices::LinkModel;
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Fraction, Ohms};
use crate::tables::fuses::FuseStyle;

/// What kind of contact it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sort {
    /// A fuse in its holder.
    Fuse(FuseStyle),
    /// A breaker.
    Breaker,
    /// A switch.
    Switch,
    /// A pin of a plug with its socket, a stud, a splice.
    Joint,
}

/// A fuse, breaker, switch or joint.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactPart {
    /// What it is.
    pub sort: Sort,
    /// Element, and clips or contact.
    pub link: LinkModel,
    /// Resistance at which clips or contact are surely bad.
    pub faulty: Ohms,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    Healthy,
    Open,
    Tired,
    WrongRating,
    Poor,
    Welded,
}

const FAULTS: [(Fault, &str); 6] = [
    (Fault::Healthy, "healthy"),
    (Fault::Open, "open"),
    (Fault::Tired, "tired-fuse"),
    (Fault::WrongRating, "wrong-fuse"),
    (Fault::Poor, "poor-contact"),
    (Fault::Welded, "welded-contacts"),
];

/// Ohms of an open contact or element.
const OPEN_OHM: f64 = 1e7;
/// How many times as much a tired element has.
const TIRED: (f64, f64) = (1.5, 10.0);
/// Share of fuses that are read while they carry more than their rating, and up to
/// how many times that (judgement).
const OVERLOADED: f64 = 0.1;
const OVERLOAD: f64 = 4.0;
/// Likelihood from which a reading of the current may be one of none.
const LEFT_OVER: f64 = 0.01;
/// Least current anyone reads volts under, amperes.
const LEAST_A: f64 = 0.3;
/// Up to this one reads them, however small the rating.
const LEAST_MOST: Amps = Amps::new(1.0);
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

impl ContactPart {
    pub(super) fn is_fuse(&self) -> bool {
        matches!(self.sort, Sort::Fuse(_))
    }

    fn can_show(&self, fault: Fault) -> bool {
        match fault {
            Fault::Healthy | Fault::Open | Fault::Poor => true,
            Fault::Tired | Fault::WrongRating => self.is_fuse(),
            Fault::Welded => self.switches(),
        }
    }

    fn asks_of_a_run(&self) -> Vec<Measure> {
        match self.sort {
            Sort::Fuse(_) => vec![
                Measure::Amps,
                Measure::Millivolts,
                Measure::Volts,
                Measure::Ohms,
            ],
            Sort::Joint => vec![Measure::Amps, Measure::Millivolts],
            Sort::Breaker | Sort::Switch => {
                vec![Measure::Amps, Measure::Millivolts, Measure::Ohms]
            }
        }
    }

    /// The most it is taken to carry within its rating, where no current was read.
    fn within_rating(&self) -> Amps {
        Amps::new(self.link.rating.si().max(LEAST_MOST.si()))
    }

    /// The currents supposed where none was read, in words.
    fn supposed(&self) -> String {
        let most = self.within_rating();
        let over = if self.is_fuse() {
            let (share, over) = (Fraction::new(OVERLOADED), nominal(most * OVERLOAD));
            format!(", and up to {over} for {share} of fuses,")
        } else {
            String::new()
        };
        format!("anything up to {}{over}", nominal(most))
    }

    fn switches(&self) -> bool {
        matches!(self.sort, Sort::Switch | Sort::Breaker)
    }
}

impl Family for ContactPart {
    fn part(&self) -> &'static str {
        match self.sort {
            Sort::Fuse(_) => "fuse",
            Sort::Breaker | Sort::Switch => "switch",
            Sort::Joint => "joint",
        }
    }

    fn noun(&self) -> &'static str {
        match self.sort {
            Sort::Breaker => "breaker",
            _ => self.part(),
        }
    }

    fn measures(&self) -> Vec<Measure> {
        let mut can = vec![Measure::Amps, Measure::Millivolts, Measure::Volts];
        if !matches!(self.sort, Sort::Joint) {
            can.push(Measure::Ohms);
        }
        can
    }

    fn kinds(&self) -> &'static [RunKind] {
        if self.switches() {
            &[RunKind::On, RunKind::Off]
        } else {
            &[]
        }
    }

    fn given(&self) -> &'static [Measure] {
        &[Measure::Amps]
    }

    fn asks(&self, evidence: &Evidence, is_new: bool) -> Vec<Measure> {
        if is_new {
            return vec![Measure::Millivolts];
        }
        let mut asks = self.asks_of_a_run();
        let last = evidence.runs.last();
        if !self.is_fuse() && last.is_some_and(|run| run.get(Measure::Volts).is_some()) {
            // Volts across a bare contact are its millivolts.
            asks.retain(|of| *of != Measure::Millivolts);
        }
        asks
    }

    /// A switch when it is off.
    fn asked(&self, evidence: &Evidence) -> Vec<Run> {
        let has_none = evidence.runs.is_empty();
        if !self.switches() || has_none || evidence.runs.iter().any(Run::is_off) {
            return Vec::new();
        }
        vec![Run {
            kind: Some(RunKind::Off),
            readings: Vec::new(),
        }]
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let trial = Trial {
            part: self,
            bench,
            others: fuse_rating::others(self)?,
        };
        let all = FAULTS
            .into_iter()
            .filter(|(fault, _)| self.can_show(*fault));
        Ok(all
            .map(|(fault, word)| trial.group(fault, word, draws))
            .collect())
    }

    fn estimates(&self, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
        let mut found = estimates::of_contact(weighed, Measure::Amps, draws);
        if self.is_fuse() {
            found.extend(estimates::through_a_fuse(weighed, &self.link));
        }
        found
    }

    fn notes(&self, weighed: &Weighed<'_>) -> Result<Vec<String>, Refused> {
        let mut runs = weighed.bench.evidence.runs.iter();
        let volts = |run: &Run| run.get(Measure::Millivolts).or(run.get(Measure::Volts));
        let unknown = runs.any(|run| volts(run).is_some() && run.get(Measure::Amps).is_none());
        let note = format!(
            "No current was given: {} was allowed for. `--amps` parts a bad contact from a large load; a 55 W lamp takes 4.6 A.",
            self.supposed()
        );
        let mut notes: Vec<String> = fuse_rating::note(self, weighed)?.into_iter().collect();
        notes.extend(unknown.then_some(note));
        Ok(notes)
    }

    fn cautions(&self) -> Warned {
        (
            &["tracing"],
            &[
                "switch-far",
                "fuse-lead",
                "vapour",
                "neg-first",
                "eyes",
                "short",
            ],
        )
    }

    /// No volts while nothing flows: an open one shows the same.
    fn hidden(&self, weighed: &Weighed<'_>) -> Option<String> {
        is_idle(weighed.bench).then(|| contact_words::IDLE.to_owned())
    }

    fn settles(&self, weighed: &Weighed<'_>) -> Option<String> {
        is_idle(weighed.bench).then(|| contact_words::UNDER_LOAD.to_owned())
    }

    fn but(&self, weighed: &Weighed<'_>) -> Option<String> {
        let current_a = fuse_rating::carried(self, weighed)?;
        Some(format!(
            "it carries {:.1} times its rating: find the load or the short that draws it",
            current_a.typical / self.link.rating.si()
        ))
    }

    fn is_read_aboard(&self) -> bool {
        false
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        if self.is_fuse() {
            among(&contact_words::FUSE, condition)
        } else {
            among(&contact_words::OTHER, condition)
        }
    }

    fn name(&self, measure: Measure) -> &'static str {
        contact_words::name(measure, self.is_fuse())
    }

    fn how(&self, measure: Measure) -> Option<&'static str> {
        contact_words::how(measure, self.is_fuse())
    }
}

/// Whether volts were read, none in any run, with no current and no ohms.
fn is_idle(bench: &Bench<'_>) -> bool {
    let kernel = bench.kernel;
    let is_nothing = |of: Measure, value: f64| value <= kernel.reach(of, 0.0);
    let mut has_volts = false;
    let mut readings = bench.evidence.readings();
    let all_nothing = readings.all(|(_, of, value)| {
        has_volts |= matches!(of, Measure::Millivolts | Measure::Volts);
        !of.is_ohms() && is_nothing(of, value)
    });
    has_volts && all_nothing
}

/// A contact as drawn.
struct Drawn {
    weight: f64,
    /// Volts of the battery that feeds it.
    emf_v: f64,
    element_ohm: f64,
    clips_ohm: f64,
}

struct Trial<'a> {
    part: &'a ContactPart,
    bench: &'a Bench<'a>,
    others: Vec<Band<Ohms>>,
}

impl Trial<'_> {
    fn group(&self, fault: Fault, condition: &'static str, draws: &mut Draws) -> Group {
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
            element_ohm *= draws.decades(TIRED.0, TIRED.1);
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
