//! `interpret`: what a set of readings says about a part.

use super::figures::above_zero;
use super::interpret_log::Of;
use super::ohms::OhmsArgs;
use super::readings::{Readings, kind_word};
use super::rig::RigArgs;
use super::suits::SuitsArgs;
use super::{Answer, Failure, Loaded, Reply, interpret_aboard, interpret_log, subject};
use crate::bench::{Aboard, Kind, Options, Rig, Subject, usual, usual_pressure};
use crate::circuit::{Circuit, Fuse, Given};
use crate::devices::{LinkModel, fuse_alone};
use crate::findings::Assumed;
use crate::interpreting::{
    Estimate, Evidence, Examined, HARNESS, Interpretation, Measure, Priors, Question, RunKind,
    SPECIMENS, Verdict, document, interpret,
};
use crate::present::json::Object;
use crate::quantities::Amps;
use crate::span::Span;
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
  ampkeel interpret --class charger --speed 3000rpm --running-battery-volts 12.6V \\
      --amps 4A --ac-volts 0.8V
  ampkeel interpret --class \"blade fuse 15 A\" --amps 8A --millivolts 300mV
  ampkeel interpret boat.toml pump --log readings.toml
  ampkeel interpret boat.toml pump --state running --volts 11.6V --amps 4.8A
  ampkeel interpret boat.toml pump --suits --class \"high-pressure fuel pump\" --locked 24A
  ampkeel interpret boat.toml --to-ground panel.pump --ohms 0.6ohm
  ampkeel interpret boat.toml pump --plugged-in --ohms 0.6ohm --leads 0.2ohm

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
    /// Own odds of the conditions: a TOML file with `[pump]`, `[relay]`, `[charger]` ...,
    /// as `ampkeel tables condition-priors` names them
    #[arg(long, value_name = "FILE")]
    priors: Option<PathBuf>,
}

fn style(word: &str) -> Result<FuseStyle, String> {
    let all = FuseStyle::ALL;
    let found = all.into_iter().find(|style| style.word() == word);
    found.ok_or_else(|| format!("fuse families: {}", all.map(FuseStyle::word).join(", ")))
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        self.rig.sensible()?;
        let mut options = self.rig.options();
        // Volts at rest are a reading here: they may be what is wrong.
        let rest = options.battery_volts.take();
        let rest_v = rest.map(|band| band.typical.si());
        if self.replacement.is_asked() {
            return self
                .replacement
                .run(&self.rig, self.read(rest_v, Of::TheOne)?.0);
        }
        self.ohms.sensible()?;
        if self.ohms.is_asked() {
            return self.of_harness(rest_v);
        }
        let loaded = self.rig.circuit("interpret")?;
        let place = match (&self.state, &loaded) {
            (Some(state), Some((loaded, name))) => Some(interpret_aboard::place(
                &loaded.circuit,
                name,
                state,
                &mut options,
            )?),
            _ => None,
        };
        let part = match &loaded {
            Some((loaded, name)) => subject::of_part(loaded, name, &options)?,
            None => subject::of_class(&self.rig, &options)?,
        };
        subject::no_thin_lead(&self.rig, &part)?;
        let examined = Examined::of(&part).map_err(told)?;
        let mut rig = match place {
            Some(place) => place.rig(&self.rig, &part, &examined, &options)?,
            None => rig_of(&part, loaded.as_ref().map(|(loaded, _)| loaded), &options)?,
        };
        let of = match &loaded {
            Some((loaded, name)) => Of::Part(&loaded.circuit, name),
            None => Of::TheOne,
        };
        let (read, left_out) = self.read(rest_v, of)?;
        let mut evidence = self.evidence(read, &examined, &part, &rig)?;
        for (measure, value) in evidence.runs.iter_mut().flat_map(|run| &mut run.readings) {
            if matches!(measure, Measure::Ohms | Measure::PullOhms) {
                *value = self.ohms.less_leads(*value, &mut rig)?;
            }
        }
        let question = Question {
            title: part.in_words(),
            priors: priors(self.priors.as_deref(), examined.part())?,
            examined,
            rig,
            evidence,
            seed: self.rig.seed,
        };
        let mut found = interpret(&question).map_err(told)?;
        found.notes.extend(
            left_out
                .iter()
                .map(|other| format!("The log's readings of `{other}` were left out.")),
        );
        let loaded = loaded.as_ref().map(|(loaded, _)| loaded);
        let assumed = [part.assumed, question.rig.assumed].concat();
        Ok(reply(&found, question.rig.aboard.as_ref(), loaded, assumed))
    }

    /// Ohms of a way of the harness.
    fn of_harness(&self, rest_v: Option<f64>) -> Result<Reply, Failure> {
        let (evidence, _) = self.read(rest_v, Of::TheOne)?;
        let own = priors(self.priors.as_deref(), HARNESS)?;
        let state = self.state.as_deref();
        let (loaded, found) = self.ohms.run(&self.rig, &evidence, state, own)?;
        Ok(reply(&found, None, Some(&loaded), Vec::new()))
    }

    /// What was read, by options and log.
    fn read(&self, rest_v: Option<f64>, of: Of<'_>) -> Result<(Evidence, Vec<String>), Failure> {
        let mut left_out = Vec::new();
        let mut evidence = Evidence {
            rest_v,
            fuse: None,
            runs: self.readings.runs.clone(),
        };
        if let Some(path) = &self.log {
            let log = interpret_log::read(&text_of(path)?, of)
                .map_err(|why| refused(format!("`{}`: {why}", path.display())))?;
            evidence.rest_v = evidence.rest_v.or(log.rest_v);
            evidence.runs.extend(log.readings.runs);
            left_out = log.left_out;
        }
        Ok((evidence, left_out))
    }

    /// What was read of this part.
    fn evidence(
        &self,
        read: Evidence,
        examined: &Examined,
        part: &Subject,
        rig: &Rig,
    ) -> Result<Evidence, Failure> {
        let evidence = Evidence {
            fuse: self.fuse(examined, rig)?,
            ..read
        };
        of_this_part(&evidence, examined, &part.in_words())?;
        if rig.aboard.is_some() {
            return interpret_aboard::evidence(evidence, examined);
        }
        let evidence = on_its_nozzle(evidence, part);
        match examined.lacks(&evidence) {
            Some(why) => Err(refused(why)),
            None => Ok(evidence),
        }
    }

    /// The fuse that millivolts were read across.
    fn fuse(&self, examined: &Examined, rig: &Rig) -> Result<Option<LinkModel>, Failure> {
        let aboard = rig.aboard.as_ref().and_then(|aboard| aboard.fuse.as_ref());
        let Some(rating) = self.fuse_rating else {
            return Ok(aboard.map(|_| rig.fuse.clone()));
        };
        let style = self.fuse_style.unwrap_or(FuseStyle::Blade);
        if !matches!(examined, Examined::Pump(..)) {
            return Err(refused(format!(
                "`--fuse-rating` names a fuse in a pump's lead; a fuse itself is `--class \"{style} fuse {} A\"`",
                rating.si()
            )));
        }
        if let Some((fuse, _)) = aboard {
            return Err(refused(format!(
                "in the boat `--millivolts` are those across `{}`, the {} fuse before the part: leave `--fuse-rating` out",
                fuse.name, fuse.device.rating
            )));
        }
        cold_resistance(style, rating).map_err(told)?;
        let (link, _) = fuse_alone(&Fuse::new(style, rating), "fuse", rig.air).map_err(told)?;
        Ok(Some(link))
    }
}

/// Odds beforehand: the built-in ones, changed by a file.
fn priors(own: Option<&Path>, part: &'static str) -> Result<Priors, Failure> {
    let own = match own {
        Some(path) => interpret_log::odds(&text_of(path)?, part)
            .map_err(|why| refused(format!("`{}`: {why}", path.display())))?,
        None => Vec::new(),
    };
    // One by one first, so that every mistake is told at once.
    let wrong = own
        .iter()
        .filter_map(|one| Priors::of_part(part, std::slice::from_ref(one)).err());
    let wrong: Vec<String> = wrong.map(|why| why.to_string()).collect();
    if !wrong.is_empty() {
        return Err(refused(wrong.join("\n")));
    }
    Priors::of_part(part, &own).map_err(told)
}

/// The answer, its first line naming a built-in circuit.
fn reply(
    found: &Interpretation,
    aboard: Option<&Aboard>,
    loaded: Option<&Loaded>,
    assumed: Vec<Assumed>,
) -> Reply {
    let mut document = document(found);
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

/// Readings and runs that say something about this part.
fn of_this_part(evidence: &Evidence, examined: &Examined, title: &str) -> Result<(), Failure> {
    let can = examined.measures();
    if let Some((_, measure, _)) = evidence.readings().find(|(_, of, _)| !can.contains(of)) {
        let list: Vec<String> = can.iter().map(|of| format!("--{}", of.option())).collect();
        return Err(refused(format!(
            "`--{}` says nothing about {title}; it takes {}",
            measure.option(),
            list.join(", ")
        )));
    }
    let kinds = examined.kinds();
    let mut said = evidence.runs.iter().filter_map(|run| run.kind);
    if let Some(other) = said.find(|kind| !kinds.contains(kind)) {
        let known: Vec<&str> = kinds.iter().map(|kind| kind_word(*kind)).collect();
        let takes = if known.is_empty() {
            "it takes none".to_owned()
        } else {
            format!("it takes {}", known.join(", "))
        };
        return Err(refused(format!(
            "`--run {}` says nothing about {title}; {takes}",
            kind_word(other)
        )));
    }
    Ok(())
}

/// The rig of a part; a battery of a file is its own.
fn rig_of(part: &Subject, loaded: Option<&Loaded>, options: &Options) -> Result<Rig, Failure> {
    let usual = usual(part).map_err(told)?;
    let own: Option<Circuit> = match (&part.kind, loaded) {
        (Kind::Battery(_), Some(loaded)) => loaded.circuit.find(&part.name).map(|id| {
            let mut circuit = loaded.circuit.clone();
            circuit.bench.battery = Some(Given::new(id, Span::default()));
            circuit
        }),
        _ => None,
    };
    let circuit = own.as_ref().or(loaded.map(|loaded| &loaded.circuit));
    Rig::new(circuit, options, usual).map_err(told)
}

fn text_of(path: &Path) -> Result<String, Failure> {
    std::fs::read_to_string(path).map_err(|reason| Failure::Unreadable {
        path: path.to_owned(),
        reason,
    })
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
        .object_or_null("feed", aboard.and_then(interpret_aboard::feed))
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

/// A washdown pump works against its nozzle on the bench too, unless it was said
/// otherwise.
fn on_its_nozzle(mut evidence: Evidence, part: &Subject) -> Evidence {
    if let Kind::Motor(motor) = &part.kind
        && usual_pressure(&part.class, motor).si() > 0.0
    {
        for run in &mut evidence.runs {
            run.kind.get_or_insert(RunKind::AtPressure);
        }
    }
    evidence
}
