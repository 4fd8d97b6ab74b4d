//! Specimens of charging systems: what one with a condition gives, and shows.
//!
//! # Limits
//! What each fault leaves of the output, and every share here, is judgement.

use super::charger::Fault;
use super::charger_output::{held, outputs};
use super::charging_balance::{Charges, Giver, Sink};
use super::family::{Bench, Family};
use super::specimen::{Brings, Expected, Group, OPEN_OHM, SPECIMENS, Seen, Specimen};
use super::{Measure, OPEN_V, diode};
use crate::bench::{ChargerPart, Draws, Refused};
use crate::circuit::Winding;
use crate::quantities::Band;

/// Half width of one system's output around its class: as in `bench`.
const OUTPUT: Band<f64> = band(0.8, 1.0, 1.2);
/// Charging lead with its joints, ohms.
const LEAD_OHM: Band<f64> = band(0.005, 0.02, 0.08);
/// What a running engine takes: ignition and gauges, up to pump and injectors.
const LOADS_A: Band<f64> = band(0.0, 2.0, 9.0);
/// Ac on the posts of a sound system, volts.
const QUIET_V: Band<f64> = band(0.01, 0.06, 0.28);
/// Share of stators with three phases.
const THREE_PHASE: f64 = 0.4;
/// Share of stators made with a grounded end, where the file does not say: a lighting
/// coil often has one, a full-wave rectifier with its regulator wants both ends free
/// (judgement).
const GROUNDED_LIGHTING: f64 = 0.4;
const GROUNDED_REGULATED: f64 = 0.02;
/// Share of grounded stators whose copper lies on the iron, and the most ohms those show;
/// the others track through damp and carbon (judgement).
const BARE: f64 = 0.6;
const BARE_OHM: f64 = 5.0;
/// Share of dead regulators that let nothing through at all (judgement).
const DEAD: f64 = 0.6;
/// What a sulphated battery has against charge, over a sound one.
const SULPHATED: (f64, f64) = (4.0, 30.0);
/// Volts of one shorted cell less, at rest.
const CELL_V: f64 = 2.05;
/// Ohms of a sound rectifier from plus to ground, and of a winding to ground.
const INSULATED_OHM: (f64, f64) = (1e5, 1e8);
/// Ohms from which a leg leaks and is no dead short: `leak-readings`.
const LEAST_LEAK_OHM: f64 = 5.0;

const fn band(low: f64, typical: f64, high: f64) -> Band<f64> {
    Band { low, typical, high }
}

/// Slowest speed an engine charges at, rad/s: 600 rpm.
pub(super) const LEAST_SPEED: f64 = 600.0 * std::f64::consts::TAU / 60.0;

/// A system as drawn, before an engine speed.
struct Drawn {
    weight: f64,
    sink: Sink,
    /// Share of its class's output.
    share: f64,
    /// Where in the class's range of output it lies, 0 to 1.
    place: f64,
    set_v: f64,
    lead_ohm: f64,
    is_cut: bool,
    ac_v: Expected,
    coil_ohm: f64,
    to_ground_ohm: f64,
    plus_ohm: f64,
    diode_v: (f64, f64),
}

/// A system and how it was read.
pub(super) struct Trial<'a> {
    part: &'a ChargerPart,
    bench: &'a Bench<'a>,
    charges: Charges,
    /// Of each run.
    outputs: Vec<Vec<Band<f64>>>,
    sound_v: Band<f64>,
    held_v: Band<f64>,
}

impl<'a> Trial<'a> {
    pub(super) fn of(part: &'a ChargerPart, bench: &'a Bench<'a>) -> Result<Self, Refused> {
        let runs = bench.runs.iter();
        Ok(Self {
            part,
            bench,
            charges: Charges::of(bench.rig.air)?,
            outputs: runs
                .map(|run| outputs(part, run))
                .collect::<Result<_, _>>()?,
            sound_v: diode::sound_v()?,
            held_v: held(part)?,
        })
    }

    pub(super) fn group(&self, fault: Fault, condition: &'static str, draws: &mut Draws) -> Group {
        let rest = self.bench.evidence.rest_v.map(|read| {
            let mut range = at_rest(false).band;
            if fault == Fault::BatteryWeak {
                range.low -= CELL_V;
            }
            Brings::within("battery at rest", Measure::PostVolts, range, read)
        });
        let ac = self.bench.evidence.runs.iter().filter_map(|run| {
            let read = run.get(Measure::AcVolts)?;
            let what = self.part.name(Measure::AcVolts);
            let range = ac_volts(fault, true).band;
            Some(Brings::within(what, Measure::AcVolts, range, read))
        });
        Group {
            condition,
            prior: self.bench.priors.of(condition),
            brings: rest.into_iter().chain(ac).collect(),
            specimens: (0..SPECIMENS)
                .map(|_| self.specimen(fault, draws))
                .collect(),
        }
    }

    fn specimen(&self, fault: Fault, draws: &mut Draws) -> Specimen {
        let one = self.draw(fault, draws);
        let mut weight = one.weight;
        let mut runs = Vec::with_capacity(self.bench.runs.len());
        for (at, run) in self.bench.runs.iter().enumerate() {
            let read = run.get(Measure::AcVolts);
            let kernel = self.bench.kernel;
            let deviation = kernel.deviation(Measure::AcVolts, read.unwrap_or(0.0));
            let (ac_v, density) = one.ac_v.given(read, deviation, draws);
            weight *= density;
            runs.push(self.seen(&one, at, draws).with(Measure::AcVolts, ac_v));
        }
        Specimen {
            weight,
            runs,
            winding_ohm: one.coil_ohm,
        }
    }

    fn draw(&self, fault: Fault, draws: &mut Draws) -> Drawn {
        let (sink, weight) = self.battery(fault, draws);
        let is_three = draws.chance(THREE_PHASE);
        let share = match fault {
            Fault::DiodeShorted => draws.of(band(0.25, 0.5, 0.8)),
            Fault::DiodeOpen => draws.of(band(0.4, 0.55, 0.8)),
            Fault::StatorShorted => draws.of(band(0.15, 0.5, 0.9)),
            Fault::StatorGrounded => draws.of(band(0.15, 0.6, 1.0)),
            Fault::DiodeLeaky => draws.of(band(0.6, 0.95, 1.0)),
            Fault::StatorOpen if is_three => draws.of(band(0.35, 0.55, 0.7)),
            Fault::StatorOpen | Fault::LegShorted | Fault::LeadOpen => 0.0,
            Fault::RegulatorDead if draws.chance(DEAD) => 0.0,
            Fault::RegulatorDead => draws.of(band(0.0, 0.01, 0.12)),
            _ => 1.0,
        };
        let set_v = if fault == Fault::RegulatorHigh {
            draws.of(band(self.held_v.high, 16.0, 18.0))
        } else {
            // What is accepted is accepted at the posts, behind a sound lead under
            // the engine's own loads, and evenly up to its ends.
            let lost_v = sink.loads_a * (draws.of(LEAD_OHM) + self.part.model.droop.si());
            draws.between(self.held_v.low, self.held_v.high) + lost_v
        };
        let plus_ohm = match fault {
            Fault::LegShorted => draws.decades(0.02, LEAST_LEAK_OHM),
            Fault::DiodeLeaky => draws.decades(LEAST_LEAK_OHM, INSULATED_OHM.0),
            _ => draws.decades(INSULATED_OHM.0, INSULATED_OHM.1),
        };
        Drawn {
            weight,
            sink,
            share,
            place: draws.of(band(0.0, 0.5, 1.0)),
            set_v,
            lead_ohm: match fault {
                Fault::PoorContact => draws.decades(0.08, 5.0),
                _ => draws.of(LEAD_OHM),
            },
            is_cut: matches!(fault, Fault::LeadOpen | Fault::LegShorted),
            ac_v: ac_volts(fault, is_three && share > 0.0),
            coil_ohm: self.coil(fault, draws),
            to_ground_ohm: self.to_ground(fault, draws),
            plus_ohm,
            diode_v: self.worst_diode(fault, plus_ohm, draws),
        }
    }

    /// Its battery, sound or not, and the density of its volts at rest.
    fn battery(&self, fault: Fault, draws: &mut Draws) -> (Sink, f64) {
        let is_weak = fault == Fault::BatteryWeak;
        let has_short = is_weak && draws.chance(0.5);
        let read = self.bench.evidence.rest_v;
        let mut weight = 1.0;
        let mut rest_v = None;
        if read.is_some() {
            let kernel = self.bench.kernel;
            let deviation = kernel.deviation(Measure::PostVolts, read.unwrap_or(0.0));
            let (near, density) = at_rest(has_short).given(read, deviation, draws);
            (rest_v, weight) = (Some(near), density);
        }
        let whole_v = rest_v.map(|v| if has_short { v + CELL_V } else { v });
        let give_ohm = draws.quantity(&self.bench.rig.battery);
        let mut sink = self.charges.draw(whole_v, give_ohm, draws);
        if has_short {
            sink.open_v -= CELL_V;
        } else if is_weak {
            sink.charge_ohm *= draws.decades(SULPHATED.0, SULPHATED.1);
        }
        sink.loads_a = draws.of(LOADS_A);
        (sink, weight)
    }

    fn coil(&self, fault: Fault, draws: &mut Draws) -> f64 {
        let warmth = (234.5 + self.bench.rig.air.si()) / 254.5;
        let sound_ohm = draws.quantity(&self.part.coil) * warmth;
        match fault {
            Fault::StatorOpen => OPEN_OHM,
            Fault::StatorShorted => sound_ohm * draws.of(band(0.2, 0.6, 0.95)),
            _ => sound_ohm,
        }
    }

    fn to_ground(&self, fault: Fault, draws: &mut Draws) -> f64 {
        if fault == Fault::StatorGrounded {
            let most_ohm = if draws.chance(BARE) { BARE_OHM } else { 1e4 };
            return draws.decades(0.05, most_ohm);
        }
        let is_made_so = match self.part.winding {
            Some(Winding::Grounded) => true,
            Some(Winding::Floating) => false,
            None if self.part.regulated => draws.chance(GROUNDED_REGULATED),
            None => draws.chance(GROUNDED_LIGHTING),
        };
        if is_made_so && fault != Fault::StatorOpen {
            draws.quantity(&self.part.coil)
        } else {
            draws.decades(1e6, INSULATED_OHM.1)
        }
    }

    /// The diode unlike the others, both ways round.
    fn worst_diode(&self, fault: Fault, plus_ohm: f64, draws: &mut Draws) -> (f64, f64) {
        match fault {
            Fault::DiodeShorted | Fault::LegShorted => {
                let either_v = diode::shorted_v(draws);
                (either_v, either_v)
            }
            // Half of a leak lies in each diode of its leg.
            Fault::DiodeLeaky => {
                let back_v = diode::leaking_v(0.5 * plus_ohm);
                (draws.of(self.sound_v).min(back_v), back_v)
            }
            Fault::DiodeOpen => (OPEN_V, OPEN_V),
            _ => (draws.of(self.sound_v), OPEN_V),
        }
    }

    fn seen(&self, one: &Drawn, run: usize, draws: &mut Draws) -> Seen {
        let speeds = &self.outputs[run];
        let which = draws.between(0.0, speeds.len() as f64) as usize;
        let class = speeds[which.min(speeds.len() - 1)];
        let own = if one.place < 0.5 {
            class.low + (class.typical - class.low) * 2.0 * one.place
        } else {
            class.typical + (class.high - class.typical) * (2.0 * one.place - 1.0)
        };
        let giver = Giver {
            output_a: own * one.share * draws.of(OUTPUT),
            set_v: one.set_v,
            lead_ohm: one.lead_ohm + self.part.model.droop.si(),
        };
        let idle = Giver {
            output_a: 0.0,
            ..giver
        };
        let (amps, posts_v) = one.sink.settle(if one.is_cut { &idle } else { &giver });
        // With its lead open the rectifier stands at what its regulator holds.
        let at_plus_v = if one.is_cut && one.plus_ohm > LEAST_LEAK_OHM {
            one.set_v
        } else {
            posts_v + amps * one.lead_ohm
        };
        let not_nulled = 0.5 * self.bench.rig.ohms_error.plus;
        Seen::NOTHING
            .with(Measure::PostVolts, posts_v)
            .with(Measure::Volts, at_plus_v)
            .with(Measure::Amps, amps)
            .with(Measure::Ohms, one.coil_ohm + not_nulled)
            .with(Measure::ToGround, one.to_ground_ohm + not_nulled)
            .with(Measure::PlusToGround, one.plus_ohm + not_nulled)
            .with(Measure::Forward, one.diode_v.0)
            .with(Measure::Backward, one.diode_v.1)
    }
}

/// Ac volts on the posts, the engine charging.
fn ac_volts(fault: Fault, gives_on_two_phases: bool) -> Expected {
    let decades = |low, high| Expected::decades(low, high, MOST_AC_V);
    match fault {
        Fault::DiodeShorted => decades(0.15, 3.0),
        Fault::DiodeOpen => decades(0.08, 1.5),
        Fault::StatorOpen if gives_on_two_phases => decades(0.05, 1.0),
        Fault::StatorGrounded | Fault::DiodeLeaky => decades(0.03, 1.0),
        Fault::BatteryWeak => decades(0.03, 1.5),
        Fault::StatorOpen | Fault::LegShorted | Fault::LeadOpen | Fault::RegulatorDead => {
            Expected::new(0.0, 0.005, 0.03, MOST_AC_V)
        }
        _ => {
            let Band { low, typical, high } = QUIET_V;
            Expected::new(low, typical, high, MOST_AC_V)
        }
    }
}

/// The most that ac on a battery's posts may show, volts.
const MOST_AC_V: f64 = 5.0;

/// Volts at rest of a battery that starts its engine, or of one with a shorted cell.
fn at_rest(has_short: bool) -> Expected {
    if has_short {
        Expected::new(9.9, 10.6, 11.1, 16.0)
    } else {
        Expected::new(11.6, 12.5, 13.3, 16.0)
    }
}
