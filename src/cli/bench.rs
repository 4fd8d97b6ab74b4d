//! `bench`: what to do with a part on the bench, and what the meter should show.

use super::figures::{above_zero, band_above_zero, one, size};
use super::{Answer, CircuitArgs, Failure, Loaded, Reply};
use crate::bench::{
    Kind, Options, Procedure, Reading, Refused, Rig, SEED, Signature, Step, Subject, air, classes,
    document, harness, procedure, testable, usual,
};
use crate::circuit::BenchMeter;
use crate::present::json::Object;
use crate::quantities::{Amps, Band, Celsius, Metres, Ohms, Pascals, Volts, WireSize};
use crate::tables::devices::{ClassKind, class_names};
use crate::tables::fuses::{FuseStyle, standard_ratings};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  ampkeel bench boat.toml high-pressure
  ampkeel bench boat.toml pump-relay --battery-volts 12.5V --meter jack
  ampkeel bench --class \"high-pressure fuel pump\" --lead-length 6ft
  ampkeel bench --example lift-pump
  ampkeel bench boat.toml --harness --fuse main
  ampkeel bench --class \"starter 40 hp\" --lead-length 3m

The rig comes from the options, else from [bench] in the file, else from usual
figures that are listed as assumed.";

/// Bench-test a part: steps, where the meter goes, expected readings, cautions first
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Circuit file (`-` reads a pipe) and the part; the part alone with
    /// `--example` or `--typical`, nothing with `--class`
    #[arg(value_name = "FILE PART", num_args = 0..=2)]
    words: Vec<String>,
    /// The harness instead of a part: ohms to ground behind each fuse, volts
    /// lost under load
    #[arg(long, conflicts_with_all = ["class", "pressure", "inline_fuse"])]
    harness: bool,
    /// Only what lies behind this fuse, as `main` or `helm.pump`
    #[arg(long, value_name = "NAME", requires = "harness")]
    fuse: Option<String>,
    /// A class of part instead of a file: "high-pressure fuel pump", "plug-in" ...
    #[arg(long, value_name = "CLASS", conflicts_with_all = ["words", "example", "typical"])]
    class: Option<String>,
    /// Use the built-in example instead of a file
    #[arg(long, conflicts_with = "typical")]
    example: bool,
    /// Use the built-in circuit of a kind of boat
    #[arg(long, value_name = "BOAT", value_parser = super::input::kinds(), ignore_case = true)]
    typical: Option<String>,
    /// Volts of the bench battery at rest, as you read them
    #[arg(long, value_name = "VOLTS", value_parser = band_above_zero::<Volts>, allow_hyphen_values = true)]
    battery_volts: Option<Band<Volts>>,
    /// Length of each lead
    #[arg(long, value_name = "LENGTH", value_parser = band_above_zero::<Metres>, allow_hyphen_values = true)]
    lead_length: Option<Band<Metres>>,
    /// Size of the leads
    #[arg(long, value_name = "SIZE", value_parser = size)]
    lead_size: Option<WireSize>,
    /// Blade fuse in the lead
    #[arg(long, value_name = "AMPERES", value_parser = above_zero::<Amps>, allow_hyphen_values = true)]
    inline_fuse: Option<Amps>,
    /// How the current is read
    #[arg(long, value_name = "METER")]
    meter: Option<MeterWord>,
    /// Resistance of the meter in its ampere jack, leads included
    #[arg(long, value_name = "OHMS", value_parser = band_above_zero::<Ohms>, allow_hyphen_values = true)]
    meter_resistance: Option<Band<Ohms>>,
    /// Temperature of bench and part
    #[arg(long, value_name = "TEMPERATURE", value_parser = one::<Celsius>, allow_hyphen_values = true)]
    temperature: Option<Celsius>,
    /// Pressure a fuel pump works against; its outlet is open where none is given
    #[arg(long, value_name = "PRESSURE", value_parser = above_zero::<Pascals>, allow_hyphen_values = true)]
    pressure: Option<Pascals>,
    /// Seed of the draws
    #[arg(long, value_name = "NUMBER", default_value_t = SEED)]
    seed: u64,
}

/// The words of `--meter`.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum MeterWord {
    /// A clamp around the lead
    Clamp,
    /// The meter's ampere jack, in the lead
    Jack,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        self.sensible()?;
        let options = self.options();
        if self.harness {
            return self.of_harness(&options);
        }
        let loaded = self.circuit()?;
        let subject = match &loaded {
            Some((loaded, part)) => of_part(loaded, part, &options)?,
            None => self.of_class(&options)?,
        };
        let subject = self.under_pressure(subject)?;
        self.no_thin_lead(&subject)?;
        let usual = usual(&subject).map_err(|why| unsolved(&why.into()))?;
        let circuit = loaded.as_ref().map(|(loaded, _)| &loaded.circuit);
        let rig = Rig::new(circuit, &options, usual).map_err(|why| unsolved(&why))?;
        let found = procedure(&subject, &rig, self.seed).map_err(|why| unsolved(&why))?;
        Ok(reply(found, loaded.as_ref().map(|(loaded, _)| loaded)))
    }

    /// The harness of a circuit, or what lies behind one fuse of it.
    fn of_harness(&self, options: &Options) -> Result<Reply, Failure> {
        let built_in = self.example || self.typical.is_some();
        let file = match (self.words.as_slice(), built_in) {
            ([], true) => None,
            ([file], false) => Some(PathBuf::from(file)),
            _ => {
                return Err(refused(
                    "give a file alone: `ampkeel bench boat.toml --harness`, or `ampkeel bench --example --harness`",
                ));
            }
        };
        let source = CircuitArgs {
            file,
            example: self.example,
            typical: self.typical.clone(),
        };
        let loaded = source.load()?;
        let found = harness(&loaded.circuit, self.fuse.as_deref(), options, self.seed)
            .map_err(|why| unsolved(&why))?;
        Ok(reply(found, Some(&loaded)))
    }

    /// Figures no bench has.
    fn sensible(&self) -> Result<(), Failure> {
        if let Some(volts) = self.battery_volts
            && !(6.0..=16.0).contains(&volts.typical.si())
        {
            return Err(refused(format!(
                "`--battery-volts {}` is no 12 V battery at rest: 6 to 16 V",
                volts.typical
            )));
        }
        if let Some(length) = self.lead_length
            && length.high.si() > 100.0
        {
            return Err(refused(format!(
                "`--lead-length {}` is longer than a bench lead: 100 m at most",
                length.high
            )));
        }
        if let Some(ohms) = self.meter_resistance
            && ohms.high.si() > 10.0
        {
            return Err(refused(format!(
                "`--meter-resistance {}` is no ampere jack: 10 ohm at most",
                ohms.high
            )));
        }
        if let Some(degc) = self.temperature
            && !(-40.0..=85.0).contains(&degc.si())
        {
            return Err(refused(format!(
                "`--temperature {degc}` is outside a workshop: -40 to 85 degC"
            )));
        }
        match self.inline_fuse {
            Some(rating) => stocked(rating),
            None => Ok(()),
        }
    }

    /// A starter hangs on jump cables: no fuse, and no ampere jack, in them.
    fn no_thin_lead(&self, subject: &Subject) -> Result<(), Failure> {
        let heavy = matches!(subject.kind, Kind::Starter(_));
        let jack = matches!(self.meter, Some(MeterWord::Jack));
        if heavy && (self.inline_fuse.is_some() || jack || self.meter_resistance.is_some()) {
            return Err(refused(format!(
                "{} is tested through jump cables with a large clamp: no `--inline-fuse`, no ampere jack in them",
                subject.in_words()
            )));
        }
        Ok(())
    }

    fn options(&self) -> Options {
        Options {
            battery_volts: self.battery_volts,
            lead_length: self.lead_length,
            lead_size: self.lead_size,
            inline_fuse: self.inline_fuse,
            meter: self.meter.map(|word| match word {
                MeterWord::Clamp => BenchMeter::Clamp,
                MeterWord::Jack => BenchMeter::Jack,
            }),
            meter_resistance: self.meter_resistance,
            temperature: self.temperature,
        }
    }

    /// The circuit and the part's name; none where a class was asked for.
    fn circuit(&self) -> Result<Option<(Loaded, String)>, Failure> {
        let built_in = self.example || self.typical.is_some();
        let (file, part) = match (self.words.as_slice(), built_in, &self.class) {
            ([], false, Some(_)) => return Ok(None),
            ([part], true, None) => (None, part),
            ([file, part], false, None) => (Some(PathBuf::from(file)), part),
            (_, true, _) => {
                return Err(refused(
                    "with `--example` or `--typical` give the part alone: `ampkeel bench --example high-pressure`",
                ));
            }
            _ => {
                return Err(refused(
                    "give a file and a part, as in `ampkeel bench boat.toml pump`, or a class, as in `ampkeel bench --class \"high-pressure fuel pump\"`",
                ));
            }
        };
        let source = CircuitArgs {
            file,
            example: self.example,
            typical: self.typical.clone(),
        };
        Ok(Some((source.load()?, part.clone())))
    }

    fn of_class(&self, options: &Options) -> Result<Subject, Failure> {
        let class = self.class.clone().unwrap_or_default();
        Subject::of_class(&class, air(None, options)).map_err(|_| {
            let names = [
                ClassKind::Pump,
                ClassKind::Motor,
                ClassKind::Relay,
                ClassKind::Solenoid,
                ClassKind::Load,
            ]
            .map(class_names)
            .concat();
            let list = format!("classes with bench steps: {}", classes().join(", "));
            Failure::unknown("class", &class, names, list)
        })
    }

    /// Fuel pumps run against the pressure asked for, else with an open outlet.
    fn under_pressure(&self, mut subject: Subject) -> Result<Subject, Failure> {
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
                **motor = motor.at_pressure(asked.unwrap_or(Pascals::new(0.0)));
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

fn of_part(loaded: &Loaded, name: &str, options: &Options) -> Result<Subject, Failure> {
    let circuit = &loaded.circuit;
    let air = air(Some(circuit), options);
    let has_steps = || {
        circuit.part_ids().filter_map(|id| {
            let part = circuit.part(id);
            testable(part).then_some(part.name.as_str())
        })
    };
    let list = || {
        format!(
            "this file has: {}",
            has_steps().collect::<Vec<_>>().join(", ")
        )
    };
    if let Some((block, slot)) = name.split_once('.')
        && let Some(id) = circuit.find(block)
        && let Ok(subject) = Subject::of_part(circuit, id, air)
        && let Some(one) = subject.slot(slot)
    {
        return Ok(one);
    }
    let Some(id) = circuit.find(name) else {
        let names: Vec<&str> = has_steps().collect();
        return Err(Failure::unknown("part", name, names, list()));
    };
    Subject::of_part(circuit, id, air).map_err(|why| match why {
        Refused::NoSteps { .. } => refused(format!("{why}; {}", list())),
        other => unsolved(&other),
    })
}

fn stocked(rating: Amps) -> Result<(), Failure> {
    let ratings = standard_ratings(FuseStyle::Blade)
        .map_err(|why| unsolved(&why.into()))?
        .value;
    if ratings.contains(&rating) {
        return Ok(());
    }
    let listed: Vec<String> = ratings.iter().map(|r| r.si().to_string()).collect();
    Err(refused(format!(
        "`--inline-fuse {rating}` is no blade fuse; they are made in {} A",
        listed.join(", ")
    )))
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
