//! What is known of a part that is to take another's place.
//!
//! A class, and what was read of it on the bench: its running becomes the known
//! working point of its model, a run with its shaft held the resistance of its
//! winding. A run with an open outlet is carried to the pressure of the boat by
//! the class's own shares of friction, drag and pressure.
//!
//! # Limits
//! Readings carry their meter's error; the class's shares are drawn in whatever
//! was not read.

use crate::bench::{Draws, Refused, Rig};
use crate::circuit::{Condition, Given, MotorSpec, WorkingPoint};
use crate::devices::{Model, MotorModel, motor_alone, pump_alone};
use crate::findings::Assumed;
use crate::interpreting::estimates::middle_nine;
use crate::interpreting::evidence::{Run, RunKind};
use crate::interpreting::fault::CREEP_RAD_S;
use crate::interpreting::kernel::Kernel;
use crate::interpreting::{Evidence, Measure};
use crate::network::Motor;
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Celsius, Ohms, Pascals, Quantity, RadiansPerSecond, Volts};
use crate::sources::{Source, Standing};
use crate::span::Span;

/// A part to be fitted, as far as it is known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Replacement {
    /// Its class; that of the part it replaces where none is given.
    pub class: Option<String>,
    /// What was read of it on the bench.
    pub evidence: Evidence,
    /// Its current with the shaft held, where no volts were read beside it.
    pub locked: Option<Amps>,
    /// The largest fuse its maker allows.
    pub max_fuse: Option<Amps>,
}

/// Why no model of the replacement can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotKnown {
    /// Nothing was said of it.
    #[error(
        "say what the new one is: `--class CLASS`, or what it read on the bench, as in `--volts 12.1V --amps 4.6A`, or both"
    )]
    Nothing,
    /// A run without volts or amperes.
    #[error("a run of the new one needs volts and amperes, both at the part itself")]
    HalfRun,
    /// A dry run.
    #[error("a dry run says nothing of what it draws at work: run it filled")]
    Dry,
    /// A class that does not turn.
    #[error(
        "a `{0}` works by a pulsed coil and has neither start nor stall of a motor: put it into the file and ask `solve` and `protect`"
    )]
    Pulsed(String),
    /// A reading that gives no sensible motor.
    #[error("{0} cannot be read of a sound one: {1}")]
    Senseless(String, &'static str),
    /// A figure no table has, or a rig that has no point.
    #[error(transparent)]
    Refused(#[from] Refused),
}

impl From<crate::tables::OutOfTable> for NotKnown {
    fn from(why: crate::tables::OutOfTable) -> Self {
        Self::Refused(why.into())
    }
}

/// Current from which the held shaft was meant, and speed that counts as held.
const HELD_RAD_S: f64 = CREEP_RAD_S;
/// Specimens of the rig that a held current is read through.
const SPECIMENS: usize = 512;

/// A replacement as it would stand in the file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fitting {
    pub spec: MotorSpec,
    /// What it is, in words.
    pub words: String,
    pub assumed: Vec<Assumed>,
}

/// Readings of a run with its shaft turning.
struct Running {
    volts: Band<Volts>,
    amps: Band<Amps>,
    pressure: Pascals,
    speed: Option<Band<RadiansPerSecond>>,
    is_open: bool,
}

impl Replacement {
    /// The replacement as it would stand in place of `old`, whose model is `had`.
    pub(super) fn fitting(
        &self,
        old: &MotorSpec,
        had: &MotorModel,
        is_pump: bool,
        rig: &Rig,
        seed: u64,
    ) -> Result<Fitting, NotKnown> {
        let evidence = &self.evidence;
        let has_read = evidence.runs.iter().any(|run| !run.readings.is_empty());
        if self.class.is_none() && !has_read && self.locked.is_none() {
            return Err(NotKnown::Nothing);
        }
        let kernel = Kernel::of(rig)?;
        let mut notes = Vec::new();
        let mut spec = MotorSpec {
            class: self.class.clone().map(given).or_else(|| old.class.clone()),
            max_fuse: self.max_fuse.map(given),
            ..MotorSpec::default()
        };
        if self.class.is_none() {
            notes.push(("class as of the one it replaces".to_owned(), "the file"));
        }
        spec.resistance = self.winding(&kernel, rig, &spec, is_pump, seed)?.map(given);
        let held = spec.resistance.is_some();
        if !held {
            notes.push((
                "stalled current by its class's ratio, not read: `--locked 17A` or a run with `--speed 0rpm` gives it".to_owned(),
                "",
            ));
        }
        let running = self.running(&kernel, had)?;
        if let Some(running) = &running {
            self.sensible(running)?;
            spec.at = Some(at_work(&spec, running, had, is_pump, rig.air)?);
        }
        if self.max_fuse.is_none()
            && let Some(most) = old.max_fuse
        {
            spec.max_fuse = Some(most);
            notes.push((
                format!(
                    "largest fuse its maker allows taken as the old one's {}: read it on the new one and give `--max-fuse`",
                    nominal(most.value)
                ),
                "",
            ));
        }
        let assumed = notes.into_iter().map(|(what, from)| Assumed {
            subject: "replacement".to_owned(),
            what,
            source: Source::new(
                if from.is_empty() {
                    "what was not said"
                } else {
                    from
                },
                "",
                Standing::Judgement,
            ),
        });
        Ok(Fitting {
            words: self.in_words(&spec, running.as_ref(), is_pump),
            assumed: assumed.collect(),
            spec,
        })
    }

    /// Refuses a held shaft that draws less than a turning one.
    fn sensible(&self, running: &Running) -> Result<(), NotKnown> {
        let of_run = self.runs().filter(|run| is_held(run));
        let held = of_run.filter_map(|run| run.get(Measure::Amps));
        let mut held = held.chain(self.locked.map(Quantity::si));
        if held.any(|amps| amps < running.amps.low.si()) {
            return Err(NotKnown::Senseless(
                "less current with the shaft held than turning".to_owned(),
                "one of the two is a slip; was the clamp zeroed?",
            ));
        }
        Ok(())
    }

    fn runs(&self) -> impl Iterator<Item = &Run> {
        self.evidence
            .runs
            .iter()
            .filter(|run| !run.readings.is_empty())
    }

    /// The run with the shaft turning; that at pressure where there are several.
    fn running(&self, kernel: &Kernel, had: &MotorModel) -> Result<Option<Running>, NotKnown> {
        let turning = || self.runs().filter(|run| !is_held(run));
        let best = turning()
            .find(|run| run.kind() == RunKind::AtPressure)
            .or_else(|| turning().next());
        let Some(run) = best else {
            return Ok(None);
        };
        if run.kind() == RunKind::Dry {
            return Err(NotKnown::Dry);
        }
        let (Some(volts), Some(amps)) = (run.get(Measure::Volts), run.get(Measure::Amps)) else {
            return Err(NotKnown::HalfRun);
        };
        let near = |measure, value: f64| {
            let reach = kernel.reach(measure, value);
            (value - reach, value, value + reach)
        };
        let is_open = run.kind() == RunKind::Wet;
        let pressure_pa = match run.get(Measure::Pressure) {
            Some(read) => read,
            None if is_open => 0.0,
            None => had.pressure_pa,
        };
        Ok(Some(Running {
            volts: band(near(Measure::Volts, volts)),
            amps: band(near(Measure::Amps, amps)),
            pressure: Pascals::new(pressure_pa),
            speed: run
                .get(Measure::Speed)
                .map(|speed| band(near(Measure::Speed, speed))),
            is_open,
        }))
    }

    /// Its winding at 20 degC, from a run with the shaft held or a held current
    /// read on the rig; none where neither was read.
    fn winding(
        &self,
        kernel: &Kernel,
        rig: &Rig,
        spec: &MotorSpec,
        is_pump: bool,
        seed: u64,
    ) -> Result<Option<Band<Ohms>>, NotKnown> {
        let class = model(spec, is_pump, rig.air)?;
        let brush_v = class.parameters.v_brush.si();
        // What copper at the bench's temperature is over that at 20 degC.
        let warmth = class.law(Condition::Healthy).r_ohm / class.parameters.r.typical.si();
        let mut draws = Draws::seeded(seed);
        let near = |measure, value: f64, draws: &mut Draws| {
            let reach = kernel.reach(measure, value);
            draws.between(value - reach, value + reach)
        };
        let held = self.runs().find(|run| is_held(run));
        let of_run = held.map(|run| (run.get(Measure::Volts), run.get(Measure::Amps)));
        let sample: Vec<f64> = match (of_run, self.locked) {
            (Some((Some(volts), Some(amps))), _) => (0..SPECIMENS)
                .map(|_| {
                    let over = near(Measure::Volts, volts, &mut draws) - brush_v;
                    over / near(Measure::Amps, amps, &mut draws)
                })
                .collect(),
            (Some(_), None) => return Err(NotKnown::HalfRun),
            (_, Some(amps)) => (0..SPECIMENS)
                .map(|_| {
                    let mut feed = rig.specimen(&mut draws);
                    if let Some(rest_v) = self.evidence.rest_v {
                        feed = feed.at_rest(rest_v);
                    }
                    let amps = near(Measure::Amps, amps.si(), &mut draws);
                    (feed.supply.emf_v - brush_v) / amps - feed.ohm()
                })
                .collect(),
            (None, None) => return Ok(None),
        };
        let found = middle_nine(sample.into_iter().map(|r| (r, 1.0)).collect());
        let Some(ohms) = found.filter(|ohms| ohms.low > 0.0) else {
            return Err(NotKnown::Senseless(
                "so much current with the shaft held".to_owned(),
                "more than battery and leads can give; was the clamp zeroed?",
            ));
        };
        Ok(Some(band::<Ohms>((
            ohms.low / warmth,
            ohms.typical / warmth,
            ohms.high / warmth,
        ))))
    }

    fn in_words(&self, spec: &MotorSpec, running: Option<&Running>, is_pump: bool) -> String {
        let class = spec
            .class
            .as_ref()
            .map_or("one of its class", |class| &class.value);
        let mut words = format!("a {class}");
        if let Some(running) = running {
            let how = if !is_pump {
                "turning"
            } else if running.is_open {
                "with its outlet open"
            } else if running.pressure.si() > 0.0 {
                "against its pressure"
            } else {
                "at work"
            };
            words = format!(
                "{words} that read {} at {} {how}",
                running.amps.typical, running.volts.typical
            );
        }
        match self.locked {
            Some(locked) => format!("{words}, {locked} held"),
            None => words,
        }
    }
}

/// Whether the shaft was held in a run.
fn is_held(run: &Run) -> bool {
    run.get(Measure::Speed)
        .is_some_and(|speed| speed <= HELD_RAD_S)
}

/// The working point in the boat: the bench's, carried to the pressure there.
fn at_work(
    spec: &MotorSpec,
    running: &Running,
    had: &MotorModel,
    is_pump: bool,
    air: Celsius,
) -> Result<WorkingPoint, NotKnown> {
    let on_bench = WorkingPoint {
        voltage: given(running.volts),
        current: given(running.amps),
        pressure: Some(given(Band::exactly(running.pressure))),
        speed: running.speed.map(given),
    };
    let fitted = model(
        &MotorSpec {
            at: Some(on_bench.clone()),
            ..spec.clone()
        },
        is_pump,
        air,
    )?;
    let law = |pressure_pa: f64| -> Motor {
        let there = fitted.at_pressure(Pascals::new(pressure_pa));
        there.law(Condition::Healthy).branch()
    };
    let volts = running.volts.typical.si();
    if law(running.pressure.si()).speed_rad_s(volts) <= HELD_RAD_S {
        return Err(NotKnown::Senseless(
            format!("{} at {}", running.amps.typical, running.volts.typical),
            "with such a winding it would stand still",
        ));
    }
    let builds = fitted.parameters.ap_per_pa.typical > 0.0;
    if !builds || (running.pressure.si() - had.pressure_pa).abs() < 1.0 {
        return Ok(on_bench);
    }
    let current = |pressure_pa: f64| {
        let motor = law(pressure_pa);
        let over_v = volts - motor.v_brush_v - motor.k_v_s * motor.speed_rad_s(volts);
        (over_v / motor.r_ohm).max(1e-6)
    };
    // The same share more as the class draws more against that pressure.
    let more = current(had.pressure_pa) / current(running.pressure.si());
    let speed = law(had.pressure_pa).speed_rad_s(volts);
    Ok(WorkingPoint {
        voltage: on_bench.voltage,
        current: given(running.amps.scaled(more)),
        pressure: Some(given(Band::exactly(Pascals::new(had.pressure_pa)))),
        speed: running
            .speed
            .map(|_| given(Band::exactly(RadiansPerSecond::new(speed)))),
    })
}

fn model(spec: &MotorSpec, is_pump: bool, air: Celsius) -> Result<MotorModel, NotKnown> {
    let alone = if is_pump { pump_alone } else { motor_alone };
    if let Model::Motor(motor) = alone(spec, "replacement", air)?.0 {
        return Ok(*motor);
    }
    let class = spec.class.as_ref().map(|given| given.value.clone());
    Err(NotKnown::Pulsed(class.unwrap_or_default()))
}

fn given<T>(value: T) -> Given<T> {
    Given::new(value, Span::default())
}

fn band<Q: Quantity>((low, typical, high): (f64, f64, f64)) -> Band<Q> {
    Band::new(Q::new(low), Q::new(typical), Q::new(high))
}
