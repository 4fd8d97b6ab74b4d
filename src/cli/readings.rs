//! Readings on the command line: their order decides which run they belong to.

use super::figures::one;
use crate::interpreting::{Measure, Run, RunKind};
use crate::quantities::{
    Amps, CubicMetresPerSecond, Dimension, Ohms, Pascals, Quantity, RadiansPerSecond, Seconds,
    Volts,
};
use clap::builder::{PossibleValuesParser, ValueParser};
use clap::{Arg, ArgAction, ArgMatches, Command, FromArgMatches};
use std::fmt::Display;

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
        "Volts at the part's own terminals while it runs; across a fuse or switch from wire to wire",
    ),
    option(Measure::Amps, "AMPERES", "Current after the first second"),
    option(
        Measure::Speed,
        "SPEED",
        "Speed of pump or motor, from the ripple of the current; of the engine for a charger",
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
        "Ohms across the part, unplugged; between two leads of a stator; `open` where the meter shows none",
    ),
    option(
        Measure::PullOhms,
        "OHMS",
        "Ohms of a shift solenoid's pull winding, or `open`",
    ),
    option(
        Measure::Millivolts,
        "MILLIVOLTS",
        "Millivolts across a fuse's test points, a switch or a joint, under the current of `--amps`; across a relay's contacts, under a 55 W lamp or `--load-amps`",
    ),
    option(
        Measure::Flow,
        "FLOW",
        "Flow, or `stream` or `none`: only whether there is any counts",
    ),
    option(
        Measure::Peak,
        "AMPERES",
        "Largest current of the start, or of a pulsed pump's strokes",
    ),
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
    option(
        Measure::LoadAmps,
        "AMPERES",
        "Current through a relay's contacts while `--millivolts` were read",
    ),
    option(
        Measure::AcVolts,
        "VOLTS",
        "Ac volts across the battery's posts while the engine charges; not those between the stator's leads",
    ),
    option(
        Measure::ToGround,
        "OHMS",
        "Ohms from a stator lead to ground, unplugged, or `open`",
    ),
    option(
        Measure::PlusToGround,
        "OHMS",
        "Ohms from a rectifier's plus to its ground, unplugged, the higher way round, or `open`",
    ),
    option(
        Measure::Forward,
        "VOLTS",
        "Diode range, red lead on the anode: the diode unlike the others, or `open`",
    ),
    option(
        Measure::Backward,
        "VOLTS",
        "The same diode with the leads swapped, or `open`",
    ),
    option(
        Measure::Moves,
        "yes|no",
        "Whether relay, solenoid or pulsed pump clicks, moves or ticks",
    ),
];

/// Reads a figure of a measure, to its base unit.
pub(super) fn figure(measure: Measure, text: &str) -> Result<f64, String> {
    let word = text.trim().to_lowercase();
    if let Some(open) = measure.open()
        && matches!(word.as_str(), "open" | "ol" | "inf")
    {
        return Ok(open);
    }
    match measure {
        Measure::Volts | Measure::PostVolts | Measure::PullIn => {
            within::<Volts>(text, 40.0, "a 12 V system: 0 to 40 V")
        }
        Measure::Millivolts => within::<Volts>(text, 16.0, "a fuse or contact: 0 to 16 V"),
        Measure::AcVolts => within::<Volts>(text, 20.0, "ac on a battery: 0 to 20 V"),
        Measure::Forward | Measure::Backward => {
            within::<Volts>(text, 4.0, "a diode range: 0 to 4 V, or `open`")
        }
        Measure::Amps | Measure::Peak | Measure::LoadAmps => {
            within::<Amps>(text, 2000.0, "a bench: 0 to 2000 A")
        }
        Measure::Speed => within::<RadiansPerSecond>(text, 5300.0, "such motors: 0 to 50,000 rpm"),
        Measure::Pressure => within::<Pascals>(text, 1.5e6, "such pumps: 0 to 1500 kPa"),
        Measure::Ohms | Measure::PullOhms | Measure::ToGround | Measure::PlusToGround => {
            within::<Ohms>(text, 1e9, "a hand meter: 0 to 1000 Mohm, or `open`")
        }
        Measure::Flow if matches!(word.as_str(), "none" | "no") => Ok(0.0),
        // A stream of any size: one litre an hour stands for it.
        Measure::Flow if matches!(word.as_str(), "stream" | "yes") => Ok(1e-3 / 3600.0),
        Measure::Flow => within::<CubicMetresPerSecond>(text, 0.02, "such pumps: 0 to 72,000 L/h"),
        Measure::Settling => within::<Seconds>(text, 60.0, "the start of a motor: 0 to 60 s"),
        Measure::Moves => match word.as_str() {
            "yes" => Ok(1.0),
            "no" => Ok(0.0),
            _ => Err(format!("`{}` is neither yes nor no", text.trim())),
        },
    }
}

fn within<Q: Quantity + Display>(text: &str, most: f64, range: &str) -> Result<f64, String> {
    let value = one::<Q>(text)
        .map_err(|why| no_number(text).unwrap_or(why))?
        .si();
    if value < 0.0 {
        return Err(below_zero(Q::DIMENSION, text.trim()));
    }
    if value > most {
        // Milliunits written as units are the commonest way there.
        let milli = Q::new(1e-3 * value);
        let rather = if 1e-3 * value <= most {
            format!("; in thousandths it would be {milli}")
        } else {
            String::new()
        };
        return Err(format!("`{}` is outside {range}{rather}", text.trim()));
    }
    Ok(value)
}

/// What a figure below zero is most likely.
fn below_zero(dimension: Dimension, text: &str) -> String {
    let plain = text.trim_start_matches('-');
    match dimension {
        Dimension::Voltage | Dimension::Current => format!(
            "`{text}` is below zero: the leads or the clamp are the wrong way round; write {plain}"
        ),
        _ => format!("`{text}` is below zero, as no such reading is; write {plain}"),
    }
}

/// Words that some programs write for a figure that is none.
fn no_number(text: &str) -> Option<String> {
    let word = text.trim().to_lowercase();
    let word = word.trim_start_matches(['+', '-']);
    let is_none = ["nan", "inf"].iter().any(|none| word.starts_with(none));
    is_none.then(|| {
        format!(
            "`{}` is no reading; leave the option out where nothing was read",
            text.trim()
        )
    })
}

/// The word of a kind of run.
pub(super) const fn kind_word(kind: RunKind) -> &'static str {
    match kind {
        RunKind::Dry => "dry",
        RunKind::Wet => "wet",
        RunKind::AtPressure => "at-pressure",
        RunKind::On => "on",
        RunKind::Off => "off",
    }
}

/// The kind of run a word means.
pub(super) fn kind(word: &str) -> Option<RunKind> {
    match word {
        "dry" => Some(RunKind::Dry),
        "wet" => Some(RunKind::Wet),
        "at-pressure" => Some(RunKind::AtPressure),
        "on" => Some(RunKind::On),
        "off" => Some(RunKind::Off),
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
                .value_parser(PossibleValuesParser::new(["dry", "wet", "at-pressure", "on", "off"]))
                .help_heading(HEADING)
                .help("Opens a new run and says how it went: a pump dry, wet or at pressure (outlet open where none is given and no pressure was read), a relay or switch on or off (on where none is given)"),
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
        "`--{}` stands twice in one run; open another with `--run wet`, `--run at-pressure`, `--run on` or `--run off`\n",
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
