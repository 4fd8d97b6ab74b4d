//! `interpret`: what a set of readings says about a part.

use super::figures::above_zero;
use super::ohms::OhmsArgs;
use super::readings::Readings;
use super::rig::RigArgs;
use super::suits::SuitsArgs;
use super::{Answer, Failure, Loaded, Reply, interpret_log};
use crate::bench::{Aboard, Draws, Kind, Options, Rig, Subject, Usual, air, usual};
use crate::circuit::{BenchMeter, Circuit, Device, Fuse};
use crate::devices::{LinkModel, fuse_alone};
use crate::findings::Assumed;
use crate::interpreting::{
    Estimate, Evidence, Examined, HARNESS, Interpretation, Measure, Priors, Question, RunKind,
    SPECIMENS, Verdict, document, interpret,
};
use crate::present::json::Object;
use crate::quantities::{Amps, WireSize};
use crate::tables::devices::{ClassKind, class_names};
use crate::tables::fuses::{FuseStyle, cold_resistance};
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  ampkeel interpret boat.toml high-pressure --volts 10.5V --amps 17.6A --speed 0rpm
  ampkeel interpret --class \"high-pressure fuel pump\" --volts 12V --amps 5A
  ampkeel interpret --example high-pressure --run wet --volts 12V --amps 3.6A \\
      --run at-pressure --amps 4.9A --pressure 300kPa
  ampkeel interpret --class plug-in --ohms open
  ampkeel interpret --class battery --battery-volts 10.6V
  ampkeel interpret boat.toml pump --log readings.toml

Give what you read, any of it. `--battery-volts` is the battery at rest. Each
`--run` opens a new run; a dry run is reported, never asked for.";

/// Say what readings of a bench-tested part mean: conditions with odds
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    rig: RigArgs,
    /// Readings taken in the boat: the part is fed as its circuit feeds it in this state
    #[arg(long, value_name = "STATE", conflicts_with = "class")]
    state: Option<String>,
    #[command(flatten)]
    readings: Readings,
    #[command(flatten)]
    replacement: SuitsArgs,
    #[command(flatten)]
    ohms: OhmsArgs,
    /// Readings from a TOML file with `[[reading]]` entries: at, quantity, value, state
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Family of the fuse that `--millivolts` were read across
    #[arg(long, value_name = "STYLE", value_parser = style, requires = "fuse_rating")]
    fuse_style: Option<FuseStyle>,
    /// Rating of the fuse that `--millivolts` were read across
    #[arg(long, value_name = "AMPERES", value_parser = above_zero::<Amps>, allow_hyphen_values = true)]
    fuse_rating: Option<Amps>,
    /// Own odds of the conditions: a TOML file with `[pump]`, `[relay]`, `[battery]`
    #[arg(long, value_name = "FILE")]
    priors: Option<PathBuf>,
}

fn style(word: &str) -> Result<FuseStyle, String> {
    let all = FuseStyle::ALL;
    let found = all.into_iter().find(|style| style.word() == word);
    found.ok_or_else(|| format!("fuse families: {}", all.map(FuseStyle::word).join(", ")))
}

/// What the class of a battery is called here.
const BATTERY: &str = "battery";

/// The part, before its rig.
struct Part {
    title: String,
    examined: Examined,
    usual: Usual,
    assumed: Vec<Assumed>,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        self.rig.sensible()?;
        let mut options = self.rig.options();
        // Volts at rest are a reading here: they may be what is wrong.
        let rest = options.battery_volts.take();
        let rest_v = rest.map(|band| band.typical.si());
        if self.replacement.is_asked() {
            return self.replacement.run(&self.rig, self.read(rest_v)?);
        }
        self.ohms.sensible()?;
        if self.ohms.is_asked() {
            return self.of_harness(rest_v);
        }
        let loaded = self.rig.circuit("interpret")?;
        let state = self.state_of(loaded.as_ref())?;
        let part = match &loaded {
            Some((loaded, name)) => part_of(loaded, name, &options, state.is_some())?,
            None => self.class_part(&options)?,
        };
        let rig = match (&loaded, state) {
            (Some((loaded, name)), Some(state)) => {
                self.aboard(&loaded.circuit, name, state, &options, &part)?
            }
            _ => {
                let circuit = loaded.as_ref().map(|(loaded, _)| &loaded.circuit);
                Rig::new(circuit, &options, part.usual).map_err(told)?
            }
        };
        let evidence = self.evidence(rest_v, &part, &rig)?;
        let priors = priors(self.priors.as_deref(), part.examined.part())?;
        let assumed = [part.assumed, rig.assumed.clone()].concat();
        let kind = part.examined.part();
        let question = Question {
            title: part.title,
            examined: part.examined,
            rig,
            evidence,
            priors,
            seed: self.rig.seed,
        };
        let found = interpret(&question).map_err(told)?;
        let loaded = loaded.as_ref().map(|(loaded, _)| loaded);
        let aboard = question.rig.aboard.as_ref();
        Ok(reply(&found, kind, aboard, loaded, assumed))
    }

    /// Ohms of a way of the harness.
    fn of_harness(&self, rest_v: Option<f64>) -> Result<Reply, Failure> {
        let evidence = self.read(rest_v)?;
        let (state, own) = (self.state.as_deref(), self.priors.as_deref());
        let (loaded, found) = self.ohms.run(&self.rig, &evidence, state, own)?;
        Ok(reply(&found, HARNESS, None, Some(&loaded), Vec::new()))
    }

    /// The state the part was read in; none on the bench.
    fn state_of(&self, loaded: Option<&(Loaded, String)>) -> Result<Option<usize>, Failure> {
        let (Some(asked), Some((loaded, _))) = (&self.state, loaded) else {
            return Ok(None);
        };
        state_at(&loaded.circuit, asked).map(Some)
    }

    /// The boat in place of the bench.
    fn aboard(
        &self,
        circuit: &Circuit,
        name: &str,
        state: usize,
        options: &Options,
        part: &Part,
    ) -> Result<Rig, Failure> {
        if let Some(option) = self.rig.of_bench_alone() {
            return Err(refused(format!(
                "`{option}` belongs to the bench; with `--state` the boat's own wires and fuses feed the part"
            )));
        }
        let Some(id) = circuit.find(name) else {
            return Err(refused(format!("no part is called `{name}`")));
        };
        let mut draws = Draws::seeded(self.rig.seed);
        let rig = Rig::aboard(circuit, id, state, options, part.usual, &mut draws).map_err(told)?;
        let charged = |aboard: &Aboard| aboard.others.typical.si() < 0.0;
        if part.examined == Examined::Battery && rig.aboard.as_ref().is_some_and(charged) {
            return Err(refused(format!(
                "in `{}` the battery is being charged: its volts are then the regulator's; read it in a state that loads it",
                circuit.states[state].name
            )));
        }
        Ok(rig)
    }

    fn class_part(&self, options: &Options) -> Result<Part, Failure> {
        let class = self.rig.class.clone().unwrap_or_default();
        if class == BATTERY {
            return Ok(battery_part(BATTERY));
        }
        let found = Subject::of_class(&class, air(None, options)).map_err(|_| {
            let names = [ClassKind::Pump, ClassKind::Relay]
                .map(class_names)
                .concat();
            let mut names: Vec<&str> = names.into_iter().collect();
            names.push(BATTERY);
            let list = format!("classes: {}", names.join(", "));
            Failure::unknown("class", &class, names, list)
        })?;
        of_subject(found)
    }

    /// What was read, by options and log.
    fn read(&self, rest_v: Option<f64>) -> Result<Evidence, Failure> {
        let mut evidence = Evidence {
            rest_v,
            fuse: None,
            runs: self.readings.runs.clone(),
        };
        if let Some(path) = &self.log {
            let log = interpret_log::read(&text_of(path)?)
                .map_err(|why| refused(format!("`{}`: {why}", path.display())))?;
            evidence.rest_v = evidence.rest_v.or(log.rest_v);
            evidence.runs.extend(log.readings.runs);
        }
        Ok(evidence)
    }

    fn evidence(&self, rest_v: Option<f64>, part: &Part, rig: &Rig) -> Result<Evidence, Failure> {
        let mut evidence = Evidence {
            fuse: self.fuse(rig)?,
            ..self.read(rest_v)?
        };
        let can = part.examined.measures();
        if let Some((_, measure, _)) = evidence.readings().find(|(_, of, _)| !can.contains(of)) {
            let list: Vec<String> = can.iter().map(|of| format!("--{}", of.option())).collect();
            return Err(refused(format!(
                "`--{}` says nothing about {}; it takes {}",
                measure.option(),
                part.title,
                list.join(", ")
            )));
        }
        if part.examined == Examined::Battery && rig.aboard.is_none() {
            with_its_load(&evidence)?;
        }
        if rig.aboard.is_some() && can.contains(&Measure::Pressure) {
            // In its place a pump works against what it feeds.
            for run in &mut evidence.runs {
                run.kind.get_or_insert(RunKind::AtPressure);
            }
        }
        let is_pump = matches!(part.examined, Examined::Pump(..));
        let across = evidence
            .readings()
            .any(|(_, of, _)| of == Measure::Millivolts);
        if is_pump && across && evidence.fuse.is_none() {
            return Err(refused(
                "`--millivolts` across which fuse? Add `--fuse-rating 15A`, and `--fuse-style` where it is no blade fuse",
            ));
        }
        Ok(evidence)
    }

    /// The fuse that millivolts were read across.
    fn fuse(&self, rig: &Rig) -> Result<Option<LinkModel>, Failure> {
        let aboard = rig.aboard.as_ref().and_then(|aboard| aboard.fuse.as_ref());
        let Some(rating) = self.fuse_rating else {
            return Ok(aboard.map(|_| rig.fuse.clone()));
        };
        if let Some((fuse, _)) = aboard {
            return Err(refused(format!(
                "in the boat `--millivolts` are those across `{}`, the {} fuse before the part: leave `--fuse-rating` out",
                fuse.name, fuse.device.rating
            )));
        }
        let style = self.fuse_style.unwrap_or(FuseStyle::Blade);
        cold_resistance(style, rating).map_err(told)?;
        let (link, _) = fuse_alone(&Fuse::new(style, rating), "fuse", rig.air).map_err(told)?;
        Ok(Some(link))
    }
}

/// Odds beforehand: the built-in ones, changed by a file.
pub(super) fn priors(own: Option<&Path>, part: &'static str) -> Result<Priors, Failure> {
    let own = match own {
        Some(path) => interpret_log::odds(&text_of(path)?, part)
            .map_err(|why| refused(format!("`{}`: {why}", path.display())))?,
        None => Vec::new(),
    };
    Priors::of_part(part, &own).map_err(told)
}

/// A part the file does not have.
pub(super) fn unknown_part(circuit: &Circuit, name: &str) -> Failure {
    let names = || circuit.parts.iter().map(|part| part.name.as_str());
    let list = format!("this file has: {}", names().collect::<Vec<_>>().join(", "));
    Failure::unknown("part", name, names(), list)
}

/// The index of a state by its name.
pub(super) fn state_at(circuit: &Circuit, asked: &str) -> Result<usize, Failure> {
    let names = || circuit.states.iter().map(|state| state.name.as_str());
    if let Some(at) = names().position(|name| name == asked) {
        return Ok(at);
    }
    let list = format!("this file has: {}", names().collect::<Vec<_>>().join(", "));
    Err(Failure::unknown("state", asked, names(), list))
}

/// The answer, its first line naming a built-in circuit.
fn reply(
    found: &Interpretation,
    kind: &str,
    aboard: Option<&Aboard>,
    loaded: Option<&Loaded>,
    assumed: Vec<Assumed>,
) -> Reply {
    let mut document = document(found, kind);
    if let Some(line) = loaded.and_then(|loaded| loaded.about.clone()) {
        let about = document.about_line().unwrap_or_default().to_owned();
        document.about(format!("{line}; {about}"));
    }
    let answer = Answer {
        command: "interpret",
        document,
        body: body(found, aboard),
        assumed,
        ..Answer::default()
    };
    answer.into()
}

/// Loaded volts of a battery mean nothing without the current of the load.
fn with_its_load(evidence: &Evidence) -> Result<(), Failure> {
    let unloaded = evidence.runs.iter().any(|run| {
        let volts = run.get(Measure::Volts).or(run.get(Measure::PostVolts));
        volts.is_some() && run.get(Measure::Amps).is_none()
    });
    if unloaded {
        return Err(refused(
            "volts of a battery under load need the load: add `--amps 20A`; volts at rest are `--battery-volts`",
        ));
    }
    Ok(())
}

fn text_of(path: &Path) -> Result<String, Failure> {
    std::fs::read_to_string(path).map_err(|reason| Failure::Unreadable {
        path: path.to_owned(),
        reason,
    })
}

/// A part of the file, in the air of the bench or of its place.
fn part_of(
    loaded: &Loaded,
    name: &str,
    options: &Options,
    in_place: bool,
) -> Result<Part, Failure> {
    let circuit = &loaded.circuit;
    let air = |id| {
        if in_place {
            circuit.ambient.at(circuit.part(id).place)
        } else {
            air(Some(circuit), options)
        }
    };
    let examined = |id| match &circuit.part(id).device {
        Device::Battery(_) => Ok(battery_part(&circuit.part(id).name)),
        Device::Pump(_) | Device::Relay(_) => {
            of_subject(Subject::of_part(circuit, id, air(id)).map_err(told)?)
        }
        _ => Err(refused("no readings of this kind are interpreted")),
    };
    let known = || circuit.part_ids().filter(|id| examined(*id).is_ok());
    let names: Vec<&str> = known().map(|id| circuit.part(id).name.as_str()).collect();
    let list = format!("this file has: {}", names.join(", "));
    match circuit.find(name) {
        Some(id) => examined(id).map_err(|_| {
            let kind = circuit.part(id).kind().word();
            refused(format!(
                "readings are interpreted for motor pumps, relays and batteries; `{name}` is a {kind}; {list}"
            ))
        }),
        None => Err(Failure::unknown("part", name, names, list)),
    }
}

fn of_subject(subject: Subject) -> Result<Part, Failure> {
    let usual = usual(&subject).map_err(told)?;
    let title = subject.in_words();
    let fuel = subject.pumps_fuel();
    let examined = match subject.kind {
        Kind::Motor(motor) => Examined::Pump(motor, fuel),
        Kind::Relay(relay) => Examined::Relay(Box::new(relay)),
        Kind::Pulse(_) => {
            return Err(refused(format!(
                "readings are interpreted for motor pumps, relays and batteries; {title} works by a pulsed coil: `ampkeel bench` says what it should show"
            )));
        }
        _ => {
            return Err(refused(format!(
                "readings are interpreted for motor pumps, relays and batteries; `ampkeel bench` says what {title} should show"
            )));
        }
    };
    Ok(Part {
        title,
        examined,
        usual,
        assumed: subject.assumed,
    })
}

fn battery_part(name: &str) -> Part {
    Part {
        title: name.to_owned(),
        examined: Examined::Battery,
        usual: Usual {
            fuse: Amps::new(15.0),
            lead_size: WireSize::Awg(14),
            meter: BenchMeter::Clamp,
            heavy: false,
        },
        assumed: Vec::new(),
    }
}

fn refused(why: impl Into<String>) -> Failure {
    Failure::Refused(why.into())
}

pub(super) fn told(why: impl std::fmt::Display) -> Failure {
    Failure::Refused(why.to_string())
}

fn body(found: &Interpretation, aboard: Option<&Aboard>) -> Object {
    Object::new()
        .text("part", &found.title)
        .text("rig", &found.rig)
        .text_or_null("state", aboard.map(|aboard| aboard.state.as_str()))
        .object_or_null("feed", aboard.and_then(feed))
        .text("statement", &found.statement)
        .objects("conditions", found.conditions.iter().map(verdict))
        .texts("twins", &found.twins)
        .objects("estimates", found.estimates.iter().map(estimate))
        .text_or_null("impossible", found.impossible.as_deref())
        .text_or_null("next_reading", found.next_reading.as_deref())
        .texts("notes", &found.notes)
        .count("seed", found.seed as usize)
        .count("specimens", SPECIMENS)
}

/// The feed of a part in the boat; none for its battery.
fn feed(aboard: &Aboard) -> Option<Object> {
    let fuse = aboard.fuse.as_ref().map(|(fuse, _)| fuse.name.as_str());
    let feed = aboard.feed.as_ref()?;
    let object = Object::new()
        .band("open_v", &feed.open)
        .band("resistance_ohm", &feed.ohm)
        .text("battery", &aboard.battery)
        .band("others_a", &aboard.others)
        .texts("relays", &aboard.relays)
        .text_or_null("fuse", fuse);
    Some(object)
}

fn verdict(verdict: &Verdict) -> Object {
    Object::new()
        .text("condition", verdict.condition)
        .number("probability", verdict.probability)
        .text("because", &verdict.because)
}

fn estimate(estimate: &Estimate) -> Object {
    Object::new()
        .text("quantity", &estimate.quantity)
        .number("value", estimate.value)
        .number("low", estimate.low)
        .number("high", estimate.high)
        .text("unit", estimate.unit)
}
