//! Readings on the command line: their order decides which run they belong to.

use super::figures::one;
use crate::interpreting::{Measure, OPEN_OHM, Run, RunKind};
use crate::quantities::{
    Amps, CubicMetresPerSecond, Ohms, Pascals, Quantity, RadiansPerSecond, Seconds, Volts,
};
use clap::builder::{PossibleValuesParser, ValueParser};
use clap::{Arg, ArgAction, ArgMatches, Command, FromArgMatches};

/// The readings of all runs.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Readings {
    pub runs: Vec<Run>,
}

const HEADING: &str = "Readings";
const RUN: &str = "run";

/// A measure with the most a bench can show and the help for it.
struct Offered {
    measure: Measure,
    value_name: &'static str,
    help: &'static str,
}

const fn option(measure: Measure, value_name: &'static str, help: &'static str) -> Offered {
    Offered {
        measure,
        value_name,
        help,
    }
}

const OPTIONS: [Offered; Measure::COUNT] = [
    option(
        Measure::Volts,
        "VOLTS",
        "Volts at the part's own terminals while it runs",
    ),
    option(Measure::Amps, "AMPERES", "Current after the first second"),
    option(
        Measure::Speed,
        "SPEED",
        "Speed, from the ripple of the current",
    ),
    option(Measure::Pressure, "PRESSURE", "Pressure at the outlet"),
    option(
        Measure::PostVolts,
        "VOLTS",
        "Volts at the battery's posts while the part runs",
    ),
    option(
        Measure::Ohms,
        "OHMS",
        "Ohms across the part, unplugged; `open` where the meter shows none",
    ),
    option(
        Measure::Millivolts,
        "MILLIVOLTS",
        "Millivolts across a fuse in the lead, or across a relay's contacts under a 55 W lamp",
    ),
    option(Measure::Flow, "FLOW", "Flow; only stream or none counts"),
    option(Measure::Peak, "AMPERES", "Largest current of the start"),
    option(
        Measure::Settling,
        "TIME",
        "Time until the current is within a tenth of its final value",
    ),
    option(
        Measure::PullIn,
        "VOLTS",
        "Volts at which a relay just closes",
    ),
];

/// Reads a figure of a measure, to its base unit.
pub(super) fn figure(measure: Measure, text: &str) -> Result<f64, String> {
    let is_open = matches!(text.trim().to_lowercase().as_str(), "open" | "ol" | "inf");
    if measure == Measure::Ohms && is_open {
        return Ok(OPEN_OHM);
    }
    match measure {
        Measure::Volts | Measure::PostVolts | Measure::PullIn => {
            within::<Volts>(text, 40.0, "a 12 V system: 0 to 40 V")
        }
        Measure::Millivolts => within::<Volts>(text, 16.0, "a fuse or contact: 0 to 16 V"),
        Measure::Amps | Measure::Peak => within::<Amps>(text, 2000.0, "a bench: 0 to 2000 A"),
        Measure::Speed => within::<RadiansPerSecond>(text, 5300.0, "such motors: 0 to 50,000 rpm"),
        Measure::Pressure => within::<Pascals>(text, 1.5e6, "such pumps: 0 to 1500 kPa"),
        Measure::Ohms => within::<Ohms>(text, 1e9, "a hand meter: 0 to 1000 Mohm, or `open`"),
        Measure::Flow => within::<CubicMetresPerSecond>(text, 0.02, "such pumps: 0 to 72,000 L/h"),
        Measure::Settling => within::<Seconds>(text, 60.0, "the start of a motor: 0 to 60 s"),
    }
}

fn within<Q: Quantity>(text: &str, most: f64, range: &str) -> Result<f64, String> {
    let value = one::<Q>(text)?.si();
    if value < 0.0 {
        let plain = text.trim().trim_start_matches('-');
        return Err(format!(
            "`{}` is below zero: the leads or the clamp are the wrong way round; write {plain}",
            text.trim()
        ));
    }
    if value > most {
        return Err(format!("`{}` is outside {range}", text.trim()));
    }
    Ok(value)
}

/// The kind of run a word means.
pub(super) fn kind(word: &str) -> Option<RunKind> {
    match word {
        "dry" => Some(RunKind::Dry),
        "wet" => Some(RunKind::Wet),
        "at-pressure" => Some(RunKind::AtPressure),
        _ => None,
    }
}

fn parser(measure: Measure) -> ValueParser {
    ValueParser::new(move |text: &str| figure(measure, text))
}

impl clap::Args for Readings {
    fn augment_args(command: Command) -> Command {
        let command = command.arg(
            Arg::new(RUN)
                .long(RUN)
                .value_name("RUN")
                .action(ArgAction::Append)
                .value_parser(PossibleValuesParser::new(["dry", "wet", "at-pressure"]))
                .help_heading(HEADING)
                .help("Opens a new run and says how it went; outlet open where none is given and no pressure was read"),
        );
        OPTIONS.iter().fold(command, |command, of| {
            command.arg(
                Arg::new(of.measure.option())
                    .long(of.measure.option())
                    .value_name(of.value_name)
                    .action(ArgAction::Append)
                    .allow_hyphen_values(true)
                    .value_parser(parser(of.measure))
                    .help_heading(HEADING)
                    .help(of.help),
            )
        })
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

/// What stands at a place of the command line.
enum Said {
    Opens(RunKind),
    Reads(Measure, f64),
}

impl FromArgMatches for Readings {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let mut said: Vec<(usize, Said)> = Vec::new();
        if let (Some(words), Some(places)) =
            (matches.get_many::<String>(RUN), matches.indices_of(RUN))
        {
            let opened = places.zip(words);
            said.extend(opened.filter_map(|(at, word)| Some((at, Said::Opens(kind(word)?)))));
        }
        for of in &OPTIONS {
            let name = of.measure.option();
            if let (Some(values), Some(places)) =
                (matches.get_many::<f64>(name), matches.indices_of(name))
            {
                said.extend(
                    places
                        .zip(values)
                        .map(|(at, v)| (at, Said::Reads(of.measure, *v))),
                );
            }
        }
        said.sort_by_key(|(at, _)| *at);
        let mut readings = Self::default();
        for (_, said) in said {
            match said {
                Said::Opens(kind) => readings.open(Some(kind)),
                Said::Reads(measure, value) => readings.read(measure, value).map_err(twice)?,
            }
        }
        Ok(readings)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

fn twice(measure: Measure) -> clap::Error {
    let words = format!(
        "`--{}` stands twice in one run; open another with `--run dry`, `--run wet` or `--run at-pressure`\n",
        measure.option()
    );
    clap::Error::raw(clap::error::ErrorKind::ArgumentConflict, words)
}

impl Readings {
    /// Opens a run.
    pub(super) fn open(&mut self, kind: Option<RunKind>) {
        self.runs.push(Run {
            kind,
            readings: Vec::new(),
        });
    }

    /// Adds a reading to the last run; the measure where it was read already.
    pub(super) fn read(&mut self, measure: Measure, value: f64) -> Result<(), Measure> {
        if self.runs.is_empty() {
            self.open(None);
        }
        let Some(run) = self.runs.last_mut() else {
            return Ok(());
        };
        if run.get(measure).is_some() {
            return Err(measure);
        }
        run.readings.push((measure, value));
        Ok(())
    }
}
