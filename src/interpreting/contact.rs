//! What a fuse, breaker, switch, plug or joint with each condition shows: volts
//! across it under a current, ohms out of its circuit.
//!
//! The current is the one that was read; where none was, anything up to what the
//! part is made for, and for some fuses up to a few times that, so that volts alone
//! tell little but a contact that takes them all. A fuse is read on its own test
//! points (millivolts) and from wire to wire (volts), clips included.
//!
//! # Limits
//! Above 60 % of its rating a fuse's element is hotter than here, which its
//! rise with the current covers to about 30 %. Severities are judgement.

use super::contact_trial::Trial;
use super::evidence::{Evidence, Run, RunKind};
use super::family::{Bench, Family, Warned, Weighed, among};
use super::specimen::Group;
use super::{Estimate, Measure, contact_words, estimates, fuse_rating};
use crate::bench::{Draws, Refused};
use crate::devices::LinkModel;
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Fraction, Ohms};
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
pub(super) enum Fault {
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

/// Share of fuses that are read while they carry more than their rating, and up to
/// how many times that (judgement).
pub(super) const OVERLOADED: f64 = 0.1;
pub(super) const OVERLOAD: f64 = 4.0;
/// Up to this one reads volts under it, however small the rating.
const LEAST_MOST: Amps = Amps::new(1.0);

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
    pub(super) fn within_rating(&self) -> Amps {
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
