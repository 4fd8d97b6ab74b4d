//! `bench`: what to do with a part on the bench, and what the meter should show.

use super::figures::above_zero;
use super::rig::RigArgs;
use super::{Answer, Failure, Loaded, Reply, subject};
use crate::bench::{
    Kind, Options, Procedure, Reading, Refused, Rig, Signature, Step, Subject, document, harness,
    procedure, usual, usual_pressure,
};
use crate::present::json::Object;
use crate::quantities::Pascals;

const EXAMPLES: &str = "\
Examples:
  ampkeel bench boat.toml high-pressure
  ampkeel bench boat.toml pump-relay --battery-volts 12.5V --meter jack
  ampkeel bench --class \"high-pressure fuel pump\" --lead-length 6ft
  ampkeel bench --example lift-pump
  ampkeel bench boat.toml --harness --fuse main
  ampkeel bench --class \"starter 40 hp\" --lead-length 3m
  ampkeel bench --class \"blade fuse 15 A\"

The rig comes from the options, else from [bench] in the file, else from usual
figures that are listed as assumed.";

/// Bench-test a part: steps, where the meter goes, expected readings, cautions first
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    rig: RigArgs,
    /// The harness instead of a part: ohms to ground behind each fuse, volts
    /// lost under load
    #[arg(long, conflicts_with_all = ["class", "pressure", "inline_fuse"])]
    harness: bool,
    /// Only what lies behind this fuse, as `main` or `helm.pump`
    #[arg(long, value_name = "NAME", requires = "harness")]
    fuse: Option<String>,
    /// Pressure a fuel pump works against; its outlet is open where none is given
    #[arg(long, value_name = "PRESSURE", value_parser = above_zero::<Pascals>, allow_hyphen_values = true)]
    pressure: Option<Pascals>,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        self.rig.sensible()?;
        let options = self.rig.options();
        if self.harness {
            return self.of_harness(&options);
        }
        if let Some(loaded) = self.rig.file_alone()? {
            let list = subject::has_steps(&loaded).join(", ");
            return Err(refused(format!(
                "give a file and a part: `ampkeel bench FILE PART`; this file has: {list}"
            )));
        }
        let loaded = self.rig.circuit("bench")?;
        let subject = match &loaded {
            Some((loaded, part)) => subject::of_part(loaded, part, &options)?,
            None => subject::of_class(&self.rig, &options)?,
        };
        let subject = self.under_pressure(subject)?;
        subject::no_thin_lead(&self.rig, &subject)?;
        let usual = usual(&subject).map_err(|why| unsolved(&why.into()))?;
        let circuit = loaded.as_ref().map(|(loaded, _)| &loaded.circuit);
        let rig = Rig::new(circuit, &options, usual).map_err(|why| unsolved(&why))?;
        let found = procedure(&subject, &rig, self.rig.seed).map_err(|why| unsolved(&why))?;
        Ok(reply(found, loaded.as_ref().map(|(loaded, _)| loaded)))
    }

    /// The harness of a circuit, or what lies behind one fuse of it.
    fn of_harness(&self, options: &Options) -> Result<Reply, Failure> {
        let loaded = self.rig.circuit_alone("bench", "--harness")?;
        let found = harness(
            &loaded.circuit,
            self.fuse.as_deref(),
            options,
            self.rig.seed,
        )
        .map_err(|why| unsolved(&why))?;
        Ok(reply(found, Some(&loaded)))
    }

    /// Fuel pumps run against the pressure asked for, else with an open outlet.
    fn under_pressure(&self, mut subject: Subject) -> Result<Subject, Failure> {
        let class = subject.class.clone();
        match (&mut subject.kind, self.pressure) {
            (Kind::Motor(motor), asked) => {
                let works_against = motor.parameters.ap_per_pa.typical > 0.0;
                if asked.is_some() && !works_against {
                    return Err(refused(format!(
                        "`--pressure` is for pumps that build up pressure; {} is centrifugal",
                        subject.in_words()
                    )));
                }
                if let Some(pressure) = asked
                    && pressure.si() > 1.5e6
                {
                    return Err(refused(format!(
                        "`--pressure {pressure}` is beyond such pumps: 1500 kPa at most"
                    )));
                }
                **motor = motor.at_pressure(asked.unwrap_or_else(|| usual_pressure(&class, motor)));
                Ok(subject)
            }
            (_, None) => Ok(subject),
            (_, Some(_)) => Err(refused(format!(
                "`--pressure` is for motor pumps; {} has none",
                subject.in_words()
            ))),
        }
    }
}

/// The answer, its first line naming a built-in circuit.
fn reply(found: Procedure, loaded: Option<&Loaded>) -> Reply {
    let mut document = document(&found);
    if let Some(line) = loaded.and_then(|loaded| loaded.about.clone()) {
        let about = document.about_line().unwrap_or_default().to_owned();
        document.about(format!("{line}; {about}"));
    }
    let answer = Answer {
        command: "bench",
        document,
        body: body(&found),
        findings: found.findings,
        assumed: found.assumed,
        sources: found.sources,
        ..Answer::default()
    };
    answer.into()
}

fn refused(why: impl Into<String>) -> Failure {
    Failure::Refused(why.into())
}

fn unsolved(why: &Refused) -> Failure {
    Failure::Refused(why.to_string())
}

fn body(found: &Procedure) -> Object {
    Object::new()
        .text("part", &found.title)
        .text("rig", &found.rig)
        .text("statement", &found.answer)
        .count("seed", found.seed as usize)
        .count("specimens", found.specimens)
        .objects("steps", (1..).zip(&found.steps).map(|(at, s)| step(at, s)))
        .objects("conditions", found.signatures.iter().map(signature))
}

fn step(number: usize, step: &Step) -> Object {
    Object::new()
        .count("number", number)
        .texts(
            "cautions",
            step.cautions.iter().map(|caution| &caution.text),
        )
        .text("action", &step.action)
        .texts("meter", step.meter.iter().map(|jack| jack.word()))
        .objects("expect", step.expect.iter().map(reading))
        .texts("signs", &step.signs)
        .texts("notes", &step.notes)
        .texts("outside", &step.outside)
        .text_or_null("stop_if", step.stop_if.as_deref())
}

fn reading(reading: &Reading) -> Object {
    Object::new()
        .text("quantity", &reading.quantity)
        .number_or_null("low", reading.low)
        .number_or_null("typical", reading.typical)
        .number_or_null("high", reading.high)
        .text("unit", reading.unit.sign())
        .number_or_null("coverage", reading.coverage)
}

fn signature(row: &Signature) -> Object {
    Object::new()
        .text("condition", row.fault)
        .number("current_a", row.current_a)
        .number("voltage_v", row.voltage_v)
        .text("sign", row.sign)
}
