//! What a relay or solenoid with each condition shows: coil in the rig's loop,
//! contacts under a load, volts at which it closes.
//!
//! # Limits
//! A diode the wrong way round is taken as some tens of milliohms until the
//! lead's fuse has opened; both are drawn. Severities are judgement.

use super::evidence::{Evidence, Run, RunKind};
use super::family::{Bench, Family, Warned, Weighed, among};
use super::relay_trial::Trial;
use super::short::SHORTED;
use super::specimen::Group;
use super::{Estimate, Measure, estimates, relay_words};
use crate::bench::{Draws, Refused, Rig};
use crate::devices::RelayModel;
use crate::tables::contacts::{ContactKind, faulty};

/// What may be wrong with a relay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    Healthy,
    OpenCoil,
    ShortedCoil,
    Shorted,
    OpenPull,
    BurntContacts,
    WeldedContacts,
    Stuck,
    WeakPullIn,
    DiodeReversed,
    PoorContact,
    LowSupply,
}

const FAULTS: [(Fault, &str); 12] = [
    (Fault::Healthy, "healthy"),
    (Fault::OpenCoil, "open-coil"),
    (Fault::ShortedCoil, "shorted-coil"),
    (Fault::Shorted, SHORTED),
    (Fault::OpenPull, "open-pull-winding"),
    (Fault::BurntContacts, "burnt-contacts"),
    (Fault::WeldedContacts, "welded-contacts"),
    (Fault::Stuck, "stuck"),
    (Fault::WeakPullIn, "weak-pull-in"),
    (Fault::DiodeReversed, "diode-reversed"),
    (Fault::PoorContact, "poor-contact"),
    (Fault::LowSupply, "low-supply"),
];

impl Family for RelayModel {
    fn part(&self) -> &'static str {
        "relay"
    }

    fn noun(&self) -> &'static str {
        if self.is_solenoid() {
            "solenoid"
        } else {
            "relay"
        }
    }

    fn measures(&self) -> Vec<Measure> {
        let pull = self.pull_winding.map(|_| Measure::PullOhms);
        let all = [
            Measure::Volts,
            Measure::Amps,
            Measure::PostVolts,
            Measure::Ohms,
            Measure::Millivolts,
            Measure::LoadAmps,
            Measure::PullIn,
            Measure::Moves,
        ];
        all.into_iter().chain(pull).collect()
    }

    fn kinds(&self) -> &'static [RunKind] {
        &[RunKind::On, RunKind::Off]
    }

    fn given(&self) -> &'static [Measure] {
        &[Measure::LoadAmps]
    }

    fn asks(&self, _: &Evidence, is_new: bool) -> Vec<Measure> {
        if is_new {
            return vec![Measure::Millivolts];
        }
        let all = self.measures().into_iter();
        all.filter(|of| *of != Measure::LoadAmps).collect()
    }

    /// Its contacts with the coil off.
    fn asked(&self, evidence: &Evidence) -> Vec<Run> {
        if evidence.runs.is_empty() || evidence.runs.iter().any(Run::is_off) {
            return Vec::new();
        }
        vec![Run {
            kind: Some(RunKind::Off),
            readings: Vec::new(),
        }]
    }

    fn lacks(&self, evidence: &Evidence) -> Option<&'static str> {
        let mut runs = evidence.runs.iter();
        let asks = |run: &Run| run.is_off() && run.get(Measure::Ohms).is_some();
        runs.any(asks).then_some(
            "`--ohms` are those of the coil, and off or on is the same to them: leave `--run off` out. Contacts, 30 to 87 with the coil off, must read open; anything less is welded: give `--run off --millivolts` with the lamp on them",
        )
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let kind = if self.is_solenoid() {
            ContactKind::StarterSolenoid
        } else {
            ContactKind::RelayContact
        };
        let trial = Trial {
            relay: self,
            bench,
            bad_ohm: faulty(kind)?.value.si(),
        };
        let has = |fault: Fault| match fault {
            Fault::OpenPull => self.pull_winding.is_some(),
            Fault::DiodeReversed => !self.is_solenoid(),
            _ => true,
        };
        let all = FAULTS.into_iter().filter(|(fault, _)| has(*fault));
        all.map(|(fault, word)| trial.group(fault, word, draws))
            .collect()
    }

    fn estimates(&self, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
        let coil = "coil resistance, over all conditions by their odds";
        let mut found: Vec<Estimate> = estimates::winding(weighed, coil).into_iter().collect();
        found.extend(estimates::of_contact(weighed, Measure::LoadAmps, draws));
        found
    }

    fn cautions(&self) -> Warned {
        if self.is_solenoid() {
            return (
                &["starter"],
                &["vapour", "switch-far", "eyes", "short", "lamp-hot", "studs"],
            );
        }
        (
            &["relay"],
            &["vapour", "switch-far", "eyes", "short", "lamp-hot"],
        )
    }

    fn most_a(&self, rig: &Rig) -> Option<f64> {
        Some(rig.open_volts.high.si() / self.coil_warm.low.si())
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&relay_words::WORDS, condition)
    }

    fn name(&self, measure: Measure) -> &'static str {
        relay_words::name(measure)
    }

    fn how_aboard(&self, measure: Measure) -> Option<&'static str> {
        match measure {
            Measure::Millivolts => {
                Some("millivolts across its closed contacts under the load they feed")
            }
            Measure::Volts => Some("the volts right at its coil's terminals"),
            _ => self.how(measure),
        }
    }

    fn how(&self, measure: Measure) -> Option<&'static str> {
        relay_words::how(measure, self.is_solenoid())
    }
}
