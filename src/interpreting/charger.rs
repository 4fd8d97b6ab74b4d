//! What a rectifier-regulator with its stator shows with each condition: volts and
//! amperes of the running engine, ac on the posts, ohms and the diode range with
//! all of it unplugged.
//!
//! # Limits
//! Ac volts and what each fault leaves of the output are judgement, after the
//! signs in `rectifier-faults`; a regulated unit that hides its diodes behind
//! thyristors reads open where a plain one shows them.

use super::charger_trial::{LEAST_SPEED, Trial};
use super::evidence::{Evidence, Run};
use super::family::{Bench, Family, Warned, Weighed, among};
use super::specimen::Group;
use super::{Estimate, Measure, charger_words, estimates};
use crate::bench::{ChargerPart, Draws, Refused};
use crate::circuit::Winding;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    Healthy,
    DiodeShorted,
    DiodeOpen,
    LegShorted,
    DiodeLeaky,
    StatorOpen,
    StatorShorted,
    StatorGrounded,
    RegulatorHigh,
    RegulatorDead,
    PoorContact,
    LeadOpen,
    BatteryWeak,
}

const FAULTS: [(Fault, &str); 13] = [
    (Fault::Healthy, "healthy"),
    (Fault::DiodeShorted, "diode-shorted"),
    (Fault::DiodeOpen, "diode-open"),
    (Fault::LegShorted, "leg-shorted"),
    (Fault::DiodeLeaky, "diode-leaky"),
    (Fault::StatorOpen, "stator-open"),
    (Fault::StatorShorted, "stator-shorted"),
    (Fault::StatorGrounded, "stator-grounded"),
    (Fault::RegulatorHigh, "regulator-high"),
    (Fault::RegulatorDead, "regulator-dead"),
    (Fault::PoorContact, "poor-contact"),
    (Fault::LeadOpen, "lead-open"),
    (Fault::BatteryWeak, "battery-weak"),
];

impl Family for ChargerPart {
    fn part(&self) -> &'static str {
        "charger"
    }

    fn noun(&self) -> &'static str {
        "charging system"
    }

    fn measures(&self) -> Vec<Measure> {
        vec![
            Measure::PostVolts,
            Measure::Volts,
            Measure::Amps,
            Measure::Speed,
            Measure::AcVolts,
            Measure::Ohms,
            Measure::ToGround,
            Measure::PlusToGround,
            Measure::Forward,
            Measure::Backward,
        ]
    }

    fn given(&self) -> &'static [Measure] {
        &[Measure::Speed]
    }

    fn drawn(&self) -> &'static [Measure] {
        &[Measure::AcVolts]
    }

    fn lacks(&self, evidence: &Evidence) -> Option<&'static str> {
        let slow = evidence
            .readings()
            .any(|(_, of, speed)| of == Measure::Speed && speed < LEAST_SPEED);
        slow.then_some("`--speed` is the engine's while it charges: 600 rpm at least")
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let trial = Trial::of(self, bench)?;
        let has = |fault: Fault| match fault {
            Fault::RegulatorHigh => self.regulated,
            Fault::StatorGrounded => self.winding != Some(Winding::Grounded),
            _ => true,
        };
        let all = FAULTS.into_iter().filter(|(fault, _)| has(*fault));
        Ok(all
            .map(|(fault, word)| trial.group(fault, word, draws))
            .collect())
    }

    fn estimates(&self, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
        estimates::of_charging_lead(weighed, draws)
    }

    fn notes(&self, weighed: &Weighed<'_>) -> Result<Vec<String>, Refused> {
        let runs = &weighed.bench.evidence.runs;
        let is_live = |run: &Run| {
            let live = [Measure::PostVolts, Measure::Volts, Measure::Amps];
            live.iter().any(|of| run.get(*of).is_some())
        };
        let unknown = runs
            .iter()
            .any(|run| is_live(run) && run.get(Measure::Speed).is_none());
        Ok(unknown
            .then(|| "No engine speed was given: anything from idle to 3000 rpm was allowed for. `--speed` narrows it much.".to_owned())
            .into_iter()
            .collect())
    }

    /// A stator made with a grounded end reads its coil to ground, and is sound; one
    /// that floats is shorted then.
    fn but(&self, weighed: &Weighed<'_>) -> Option<String> {
        let is_low =
            |(_, of, ohm): (usize, Measure, f64)| of == Measure::ToGround && ohm < super::OPEN_OHM;
        let is_read = weighed.bench.evidence.readings().any(is_low);
        let is_told = weighed.likeliest() == Some("stator-grounded");
        let words = if is_told {
            "one made with a grounded end, as its manual says, reads its coil there and is sound"
        } else {
            "only if its stator is made with a grounded end, as its manual says; a floating one must show over 1 Mohm and is shorted to ground"
        };
        (self.winding.is_none() && is_read).then(|| words.to_owned())
    }

    fn cautions(&self) -> Warned {
        (
            &["charging", "running", "battery"],
            &["vapour", "rotate", "neg-first", "eyes", "short", "kill"],
        )
    }

    fn is_fed(&self) -> bool {
        false
    }

    fn is_read_aboard(&self) -> bool {
        false
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&charger_words::WORDS, condition)
    }

    fn name(&self, measure: Measure) -> &'static str {
        charger_words::name(measure)
    }

    fn how(&self, measure: Measure) -> Option<&'static str> {
        charger_words::how(measure)
    }
}
