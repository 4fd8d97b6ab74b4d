//! Families with a turning armature: pumps, trim motors and blowers, starters.
//!
//! A pump runs in its liquid; the others turn free on the bench, as `bench` has
//! them clamped down, so that only what shows without a load can be found.

use super::evidence::{Evidence, Run, RunKind};
use super::family::{Bench, Family, Warned, Weighed, among};
use super::fault::{Ill, Sizes};
use super::odds::DOUBTED;
use super::pump::{self, Turning};
use super::specimen::Group;
use super::{Estimate, Measure, estimates, motor_words, words};
use crate::bench::{Draws, Refused, Rig, free_current, fuse_words};
use crate::circuit::Condition;
use crate::devices::MotorModel;
use crate::quantities::{Amps, Band};

/// What may be wrong with a motor that turns free.
const FREE: [Ill; 11] = [
    Ill::As(Condition::Healthy),
    Ill::As(Condition::Locked),
    Ill::As(Condition::Dragging),
    Ill::As(Condition::Open),
    Ill::As(Condition::CoilOpen),
    Ill::As(Condition::ShortedCoil),
    Ill::As(Condition::WornBrush),
    Ill::As(Condition::PoorContact),
    Ill::As(Condition::LowSupply),
    Ill::As(Condition::Hot),
    Ill::Shorted,
];

const NO_FILM: Band<f64> = Band {
    low: 0.0,
    typical: 0.0,
    high: 0.0,
};
/// What brushes and film add to the few milliohms of a starter, ohms.
const STARTER_FILM: Band<f64> = Band {
    low: 0.0,
    typical: 0.05,
    high: 0.5,
};

/// A pump with a turning armature.
pub(super) struct Pump<'a> {
    pub motor: &'a MotorModel,
    /// Whether it pumps petrol.
    pub fuel: bool,
}

impl Pump<'_> {
    fn builds_pressure(&self) -> bool {
        self.motor.parameters.ap_per_pa.typical > 0.0
    }

    /// How a run was taken of which nobody said whether its outlet was open.
    fn taken_as_open(&self, evidence: &Evidence) -> Option<String> {
        let is_unsaid = |run: &Run| {
            let turns = run.get(Measure::Amps).is_some() || run.get(Measure::Speed).is_some();
            turns && run.kind.is_none() && run.kind() == RunKind::Wet
        };
        let applies = self.builds_pressure() && evidence.runs.iter().any(is_unsaid);
        applies.then(|| "Taken as run in its liquid with its outlet open, as `bench` has it. Was it against its pressure? Add `--run at-pressure`: it draws more then.".to_owned())
    }
}

impl Family for Pump<'_> {
    fn part(&self) -> &'static str {
        "pump"
    }

    fn measures(&self) -> Vec<Measure> {
        let all = MOTOR_MEASURES.into_iter().chain([
            Measure::Pressure,
            Measure::Millivolts,
            Measure::Flow,
        ]);
        all.filter(|of| self.builds_pressure() || *of != Measure::Pressure)
            .collect()
    }

    fn kinds(&self) -> &'static [RunKind] {
        &[RunKind::Dry, RunKind::Wet, RunKind::AtPressure]
    }

    fn drawn(&self) -> &'static [Measure] {
        &[Measure::Pressure]
    }

    fn asks(&self, evidence: &Evidence, is_new: bool) -> Vec<Measure> {
        let can = self.measures().into_iter();
        if is_new {
            let usual = [
                Measure::Amps,
                Measure::Speed,
                Measure::Pressure,
                Measure::Volts,
            ];
            return can.filter(|of| usual.contains(of)).collect();
        }
        let has_fuse = evidence.fuse.is_some();
        can.filter(|of| has_fuse || *of != Measure::Millivolts)
            .collect()
    }

    /// A fuel pump against its pressure.
    fn asked(&self, evidence: &Evidence) -> Vec<Run> {
        let builds = self.builds_pressure() && self.motor.pressure_pa > 0.0;
        let is_made = evidence
            .runs
            .iter()
            .any(|run| run.kind() == RunKind::AtPressure);
        let kind = match (builds && !is_made, evidence.runs.is_empty()) {
            (true, _) => RunKind::AtPressure,
            (false, true) => RunKind::Wet,
            (false, false) => return Vec::new(),
        };
        vec![Run {
            kind: Some(kind),
            readings: Vec::new(),
        }]
    }

    fn lacks(&self, evidence: &Evidence) -> Option<&'static str> {
        let across = evidence
            .readings()
            .any(|(_, of, _)| of == Measure::Millivolts);
        (across && evidence.fuse.is_none()).then_some(
            "`--millivolts` across which fuse? Add `--fuse-rating 15A`, and `--fuse-style` where it is no blade fuse",
        )
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let ills: Vec<Ill> = Condition::ALL
            .into_iter()
            .map(|(condition, _)| Ill::As(condition))
            .chain([Ill::Shorted])
            .collect();
        let turning = Turning {
            motor: self.motor,
            ills: &ills,
            sizes: Sizes::PUMP,
            is_free: false,
            may_be_geared: false,
            film_ohm: NO_FILM,
        };
        pump::groups(&turning, bench, draws)
    }

    fn estimates(&self, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
        of_motor(self.motor, weighed, draws)
    }

    fn notes(&self, weighed: &Weighed<'_>) -> Result<Vec<String>, Refused> {
        let mut all = notes(weighed)?;
        all.extend(self.taken_as_open(weighed.bench.evidence));
        Ok(all)
    }

    fn cautions(&self) -> Warned {
        let topic: &[&str] = if self.fuel { &["fuel-pump"] } else { &["pump"] };
        (topic, &["polarity", "eyes", "short"])
    }

    fn most_a(&self, rig: &Rig) -> Option<f64> {
        Some(stalled_a(self.motor, rig))
    }

    fn at_rest(&self, condition: &str) -> Option<&'static str> {
        words::at_rest(condition)
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&motor_words::PUMP, condition)
    }
}

/// Where a motor that turns free is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Use {
    /// Power trim: its engine can drop.
    Trim,
    /// A blower, or any other small motor.
    Other,
    /// A starter, on jump cables.
    Starter,
}

/// A motor that turns free on the bench.
pub(super) struct Free<'a> {
    /// Its figures, loaded as in the boat.
    pub motor: &'a MotorModel,
    pub used: Use,
}

impl Free<'_> {
    /// What a starter of its class draws free: types differ, and its own is not known.
    fn class_range(&self, weighed: &Weighed<'_>) -> Result<Option<String>, Refused> {
        let rig = weighed.bench.rig;
        if self.used != Use::Starter || rig.aboard.is_some() {
            return Ok(None);
        }
        let Band { low, high, .. } = free_current(self.motor, rig)?;
        let known = if self.motor.known.is_some() {
            "As the file knows it"
        } else {
            "Of its power alone"
        };
        Ok(Some(format!(
            "{known}, nine in ten sound plain ones draw {low} to {high} turning free on this rig, as `bench` has it; a geared one draws up to three times a plain one (`ampkeel tables starters`), and the range of the odds holds some of those. Its own manual's figure, written in a file as `at`, says more."
        )))
    }
}

impl Family for Free<'_> {
    fn part(&self) -> &'static str {
        match self.used {
            Use::Starter => "starter",
            Use::Trim | Use::Other => "motor",
        }
    }

    fn measures(&self) -> Vec<Measure> {
        MOTOR_MEASURES.to_vec()
    }

    fn groups(&self, bench: &Bench<'_>, draws: &mut Draws) -> Result<Vec<Group>, Refused> {
        let winding_ohm = self.motor.parameters.r.typical.si();
        let (sizes, film_ohm) = match self.used {
            Use::Starter => (Sizes::starter(winding_ohm), STARTER_FILM),
            Use::Trim | Use::Other => (Sizes::drive(winding_ohm), NO_FILM),
        };
        // In the boat it turns what it drives.
        let turning = Turning {
            motor: self.motor,
            is_free: bench.rig.aboard.is_none(),
            may_be_geared: self.used == Use::Starter,
            ills: &FREE,
            sizes,
            film_ohm,
        };
        pump::groups(&turning, bench, draws)
    }

    fn estimates(&self, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
        of_motor(self.motor, weighed, draws)
    }

    fn notes(&self, weighed: &Weighed<'_>) -> Result<Vec<String>, Refused> {
        let mut found = notes(weighed)?;
        found.extend(self.class_range(weighed)?);
        Ok(found)
    }

    fn cautions(&self) -> Warned {
        match self.used {
            Use::Trim => (
                &["motor", "trim"],
                &["vapour", "switch-far", "polarity", "eyes", "short"],
            ),
            Use::Other => (
                &["motor"],
                &[
                    "vapour",
                    "switch-far",
                    "polarity",
                    "eyes",
                    "short",
                    "ign-protected",
                ],
            ),
            Use::Starter => (
                &["motor", "starter"],
                &[
                    "vapour",
                    "polarity",
                    "eyes",
                    "short",
                    "neg-first",
                    "ign-protected",
                ],
            ),
        }
    }

    fn most_a(&self, rig: &Rig) -> Option<f64> {
        Some(stalled_a(self.motor, rig))
    }

    fn at_rest(&self, condition: &str) -> Option<&'static str> {
        words::at_rest(condition)
    }

    fn words(&self, condition: &str) -> (&'static str, &'static str) {
        among(&motor_words::FREE, condition)
    }

    fn name(&self, measure: Measure) -> &'static str {
        match (self.used, measure) {
            (Use::Starter, Measure::Volts) => "volts from stud to case",
            (Use::Starter, Measure::Ohms) => "ohms from stud to case",
            _ => measure.words(),
        }
    }

    fn how_aboard(&self, measure: Measure) -> Option<&'static str> {
        let _ = measure;
        None
    }

    fn how(&self, measure: Measure) -> Option<&'static str> {
        Some(match (self.used, measure) {
            (Use::Starter, Measure::Volts) => {
                "the volts from its stud to its case while it turns free"
            }
            (Use::Starter, Measure::Amps) => {
                "the current turning free, a large zeroed clamp around one cable"
            }
            (Use::Starter, Measure::Ohms) => {
                "ohms from its stud to its case while you turn the shaft, the lowest of ten tries"
            }
            (_, Measure::Speed) => {
                "its speed turning free, from the ripple of the current or by a mark on its shaft"
            }
            _ => return None,
        })
    }
}

/// What can be read of any motor.
const MOTOR_MEASURES: [Measure; 7] = [
    Measure::Volts,
    Measure::Amps,
    Measure::Speed,
    Measure::PostVolts,
    Measure::Ohms,
    Measure::Peak,
    Measure::Settling,
];

/// The most a motor draws on the rig when it stalls: its least winding on the
/// fullest battery, amperes.
fn stalled_a(motor: &MotorModel, rig: &Rig) -> f64 {
    let volts = rig.open_volts.high.si() - motor.parameters.v_brush.si();
    let path =
        rig.battery.low + rig.leads.low + rig.fuse.cold.low + rig.fuse.clips.low + rig.burden.low;
    volts / (motor.parameters.r.low + path).si()
}

fn of_motor(motor: &MotorModel, weighed: &Weighed<'_>, draws: &mut Draws) -> Vec<Estimate> {
    let (evidence, kernel) = (weighed.bench.evidence, weighed.bench.kernel);
    let mut found = estimates::of_loop(evidence, weighed.bench.rig.aboard.is_some(), kernel, draws);
    let words = "winding resistance, brushes taken out, over all conditions by their odds";
    found.extend(estimates::winding(weighed, words));
    found.extend(estimates::back_emf(motor, evidence, kernel, draws));
    found
}

fn notes(weighed: &Weighed<'_>) -> Result<Vec<String>, Refused> {
    let mut notes = Vec::new();
    notes.extend(on_the_fuse(weighed)?);
    if weighed.share("coil-open") > DOUBTED && weighed.share("worn-brush") > DOUBTED {
        notes.push("An open coil and worn brushes differ in the ripple of the current alone: one deep notch at each brush against a ragged trace.".to_owned());
    }
    Ok(notes)
}

/// What the lead's fuse does at the current of a locked motor.
fn on_the_fuse(weighed: &Weighed<'_>) -> Result<Option<String>, Refused> {
    let bench = weighed.bench;
    let is_locked = weighed.likeliest() == Some("locked");
    let mut runs = bench.evidence.runs.iter();
    let Some(amps) = runs.find_map(|run| run.get(Measure::Amps)) else {
        return Ok(None);
    };
    if !is_locked || bench.rig.heavy {
        return Ok(None);
    }
    let when = fuse_words(bench.rig, bench.kernel.around(Measure::Amps, amps))?;
    Ok(when.map(|when| format!(
        "{} is {when}. That is for a cool, sound fuse: after repeated tries, in a hot holder or with age it can open all the same, so a fuse found open does not speak against a locked motor. The copper heats and the current sags, so it may also hold while the motor cooks.",
        Amps::new(amps)
    )))
}
