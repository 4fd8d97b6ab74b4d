//! What a motor with each condition shows in the rig: with a pump on its shaft,
//! or turning free.
//!
//! Battery at rest and pressure are drawn near what was read and weighed by how
//! well a condition explains them; everything else is solved in the rig's loop.
//!
//! # Limits
//! The start of the current is that of a winding with its inductance and inertia
//! on a stiff supply: the peak within some percent.

use super::aim::Aims;
use super::evidence::RunKind;
use super::family::Bench;
use super::fault::{self, Fault, Ill, Sizes};
use super::specimen::{Brings, Group, OPEN_OHM, SPECIMENS, Seen, Specimen};
use super::{Measure, supply};
use crate::bench::{Draws, FILM, Feed, Load, Refused, Settled, settled};
use crate::circuit::{Condition, Given, WorkingPoint};
use crate::devices::{LinkModel, MotorModel, RunningLaw};
use crate::quantities::{Band, RadiansPerSecond, Volts};
use crate::sources::{Source, Standing};

/// Share of bad commutators that are crusted over, and times the ohms that gives to a
/// meter's small current (judgement).
const CRUSTED: f64 = 0.3;
const CRUST: (f64, f64) = (1.0, 100.0);

/// How far the speed of a sound one may be from one known as a plain figure.
const SPEED_WITHIN: f64 = 0.04;
/// Brush drop of real pumps over the class's: 0.5 to 1.5 of 0.8 V in `brush-drop`.
pub(super) const BRUSHES: Band<f64> = Band {
    low: 0.625,
    typical: 1.0,
    high: 1.8,
};
/// Share of starters of a class that are geared ones (judgement).
const GEARED: f64 = 0.1;
/// Their current at no load over that of a plain one: 45 and 90 A against 30 A in
/// `starters`.
const GEARED_TIMES: Band<f64> = Band {
    low: 1.3,
    typical: 2.0,
    high: 3.2,
};
/// A motor as it is tried.
pub(super) struct Turning<'a> {
    /// Its figures.
    pub motor: &'a MotorModel,
    /// What may be wrong with it.
    pub ills: &'a [Ill],
    /// Sizes of its faults.
    pub sizes: Sizes,
    /// Whether nothing is on its shaft, whatever it is known to draw under load.
    pub is_free: bool,
    /// Whether it may be a geared one, which idles at more (starters).
    pub may_be_geared: bool,
    /// Ohms that brushes and their film add to what a meter shows.
    pub film_ohm: Band<f64>,
}

/// All specimens of all conditions.
pub(super) fn groups(
    turning: &Turning<'_>,
    bench: &Bench<'_>,
    draws: &mut Draws,
) -> Result<Vec<Group>, Refused> {
    // Specimens are copied by the ten thousand: without its citation.
    let bare = MotorModel {
        source: Source::new("", "", Standing::Derived),
        ..turning.motor.clone()
    };
    let trial = Trial {
        turning,
        motor: &bare,
        bench,
        aims: Aims::of(bench.evidence),
    };
    let of = |ill: &Ill| {
        let word = ill.word();
        Ok(Group {
            condition: word,
            prior: bench.priors.of(word),
            brings: trial.brings(ill.like()),
            specimens: trial.specimens(*ill, draws)?,
        })
    };
    turning.ills.iter().map(of).collect()
}

struct Trial<'a> {
    turning: &'a Turning<'a>,
    motor: &'a MotorModel,
    bench: &'a Bench<'a>,
    /// Where its joint or short is sought.
    aims: Aims,
}

/// A specimen before its loops are solved.
struct Drawn {
    fault: Fault,
    weight: f64,
    feed: Feed,
    /// Law and pressure of each run.
    laws: Vec<(RunningLaw, f64)>,
    sound: MotorModel,
    shown_ohm: f64,
    film_ohm: f64,
    fuse_ohm: f64,
    /// Current of that fuse beside the pump's own.
    beside_a: f64,
}

impl Trial<'_> {
    fn specimens(&self, ill: Ill, draws: &mut Draws) -> Result<Vec<Specimen>, Refused> {
        let drawn: Vec<Drawn> = (0..SPECIMENS).map(|_| self.draw(ill, draws)).collect();
        let loops: Vec<(Feed, Load)> = drawn
            .iter()
            .flat_map(|one| one.laws.iter().map(|(law, _)| (one.feed, load(law))))
            .collect();
        let found = settled(&loops)?;
        let runs = self.bench.runs.len();
        let specimens = drawn.iter().zip(found.chunks(runs));
        Ok(specimens
            .map(|(one, found)| self.specimen(one, found))
            .collect())
    }

    fn draw(&self, ill: Ill, draws: &mut Draws) -> Drawn {
        let condition = ill.like();
        let fault = Fault::draw(
            ill,
            &self.turning.sizes,
            (self.bench.rig.ohms_error.plus, &self.aims),
            draws,
        );
        let sound = self.sound(draws);
        let (feed, mut weight) = supply::feed(self.bench, &fault.trouble, draws);
        weight *= fault.weight;
        let mut laws = Vec::with_capacity(self.bench.runs.len());
        for run in &self.bench.runs {
            let kind = run.kind();
            let expected = fault::pressure(condition, kind, self.motor.pressure_pa);
            let read = run.get(Measure::Pressure);
            let kernel = self.bench.kernel;
            let deviation = kernel.deviation(Measure::Pressure, read.unwrap_or(0.0));
            let (pressure_pa, density) = expected.given(read, deviation, draws);
            weight *= density;
            let law = fault.law(&sound, pressure_pa, kind == RunKind::Dry);
            laws.push((law, pressure_pa));
        }
        Drawn {
            fault,
            weight,
            feed,
            laws,
            sound,
            shown_ohm: film(ill, draws),
            film_ohm: draws.of(self.turning.film_ohm),
            fuse_ohm: draws.quantity(&self.fuse().cold),
            beside_a: self.bench.rig.beside_fuse_a(draws),
        }
    }

    /// A sound specimen; its brushes differ too, and its speed from the known one.
    fn sound(&self, draws: &mut Draws) -> MotorModel {
        let mut one = self.motor.clone();
        let brush_v = one.parameters.v_brush.si();
        one.parameters.v_brush = Volts::new(brush_v * draws.of(BRUSHES));
        one.known = one.known.as_ref().map(widened);
        let mut one = one.specimen(&mut |band| draws.of(band));
        if self.turning.is_free {
            // After the working point was met: that is one under load.
            one = one.unloaded();
        }
        if self.turning.may_be_geared && one.known.is_none() && draws.chance(GEARED) {
            let torque = one.parameters.tc;
            one.parameters.tc = torque.times(draws.of(GEARED_TIMES));
        }
        one
    }

    /// What a condition brings along of the readings that are drawn from.
    fn brings(&self, condition: Condition) -> Vec<Brings> {
        let rest = supply::brings(self.bench, condition == Condition::LowSupply);
        let pressure = self.bench.evidence.runs.iter().filter_map(|run| {
            let read = run.get(Measure::Pressure)?;
            let expected = fault::pressure(condition, run.kind(), self.motor.pressure_pa);
            let what = Measure::Pressure.words();
            Some(Brings::within(what, Measure::Pressure, expected.band, read))
        });
        rest.into_iter().chain(pressure).collect()
    }

    /// The fuse that millivolts are read across: the one named, else the one in
    /// the lead.
    fn fuse(&self) -> &LinkModel {
        let Bench { rig, evidence, .. } = self.bench;
        evidence.fuse.as_ref().unwrap_or(&rig.fuse)
    }

    fn specimen(&self, one: &Drawn, found: &[Settled]) -> Specimen {
        let law = one.laws.first().map(|(law, _)| law);
        Specimen {
            weight: one.weight,
            runs: one
                .laws
                .iter()
                .zip(found)
                .map(|(run, s)| self.seen(one, run, s))
                .collect(),
            winding_ohm: law.filter(|law| law.fed).map_or(f64::NAN, |law| law.r_ohm),
        }
    }

    fn seen(&self, one: &Drawn, (law, pressure_pa): &(RunningLaw, f64), s: &Settled) -> Seen {
        let part_v = if law.fed {
            s.part_v
        } else {
            one.fault.idle_v(one.feed.open_v())
        };
        let turning = law.branch().speed_rad_s(s.part_v);
        let speed = if law.fed {
            turning.max(one.fault.creep_rad_s())
        } else {
            0.0
        };
        let (peak, settling) = start(one, law, s, speed);
        let not_nulled = 0.5 * self.bench.rig.ohms_error.plus;
        let ohms = match one.fault.short {
            Some(short) => short.shown_ohm,
            None if one.fault.condition == Condition::Open => OPEN_OHM,
            None => law.r_ohm * one.shown_ohm + one.film_ohm + not_nulled,
        };
        Seen::NOTHING
            .with(Measure::Volts, part_v)
            .with(Measure::Amps, s.current_a)
            .with(Measure::Speed, speed)
            .with(Measure::Pressure, *pressure_pa)
            .with(Measure::PostVolts, s.post_v)
            .with(Measure::Ohms, ohms)
            .with(
                Measure::Millivolts,
                self.fuse()
                    .across_v(one.fuse_ohm, s.current_a + one.beside_a),
            )
            .with(
                Measure::Flow,
                f64::from(u8::from(turning > 0.0 && law.fed && one.fault.streams)),
            )
            .with(Measure::Peak, peak)
            .with(Measure::Settling, settling)
    }
}

fn widened(at: &WorkingPoint) -> WorkingPoint {
    let wider = |speed: Given<Band<RadiansPerSecond>>| {
        if speed.value.is_range() {
            return speed;
        }
        Given::new(Band::within(speed.value.typical, SPEED_WITHIN), speed.span)
    };
    WorkingPoint {
        speed: at.speed.map(wider),
        ..at.clone()
    }
}

fn load(law: &RunningLaw) -> Load {
    Load::motor(law.branch()).scaled(if law.fed { 1.0 } else { 0.0 })
}

/// Largest current of the start, and the time until it is within a tenth of its
/// final value.
///
/// Two poles: the winding's L/R and the rotor's J/(k^2/R + b + 2 c2 w); the
/// current falls as `(peak - final) exp(-t/tau)`.
fn start(one: &Drawn, law: &RunningLaw, s: &Settled, speed: f64) -> (f64, f64) {
    if !law.fed {
        return (0.0, 0.0);
    }
    let stalled = |feed: &Feed| {
        let loop_ohm = law.r_ohm + feed.ohm();
        let over_brush_v = (feed.supply.emf_v - law.v_brush_v).max(0.0);
        (over_brush_v / loop_ohm, loop_ohm)
    };
    let (first_a, _) = stalled(&one.feed);
    let (stalled_a, loop_ohm) = stalled(&one.feed.towards(first_a));
    if speed <= fault::CREEP_RAD_S {
        return (s.current_a.max(stalled_a.min(s.current_a)), 0.0);
    }
    let parameters = &one.sound.parameters;
    let winding_s = parameters.l.typical / loop_ohm;
    let braking = law.k_v_s * law.k_v_s / loop_ohm + law.linear_nm_s;
    // What friction and pressure hold back does not speed the rotor up.
    let held = (law.forward_nm / (law.k_v_s * stalled_a).max(1e-9)).clamp(0.0, 0.9);
    let rotor_s = parameters.j.typical / braking / (1.0 - held);
    let ratio = (rotor_s / winding_s).max(1.5);
    let peak_a = stalled_a * ratio.powf(-1.0 / (ratio - 1.0));
    let settling_s = parameters.j.typical / (braking + 2.0 * law.drag_nm_s2 * speed);
    let fall = (peak_a - s.current_a) / (0.1 * s.current_a).max(1e-3);
    (peak_a, settling_s * fall.max(1.0).ln())
}

/// What a meter shows of the winding, as its multiple. A commutator that stood for years
/// may show far more than a film.
fn film(ill: Ill, draws: &mut Draws) -> f64 {
    let film = draws.of(FILM);
    if ill.word() == Condition::WornBrush.word() && draws.chance(CRUSTED) {
        let (least, most) = CRUST;
        return film * draws.decades(least, most);
    }
    film
}
