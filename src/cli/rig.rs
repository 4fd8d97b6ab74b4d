//! The part on the bench and the rig around it: arguments of `bench` and `interpret`.

use super::figures::{above_zero, band_above_zero, one, size};
use super::{CircuitArgs, Failure, Loaded};
use crate::bench::{Options, SEED};
use crate::circuit::BenchMeter;
use crate::quantities::{Amps, Band, Celsius, Metres, Ohms, Volts, WireSize};
use crate::tables::fuses::{FuseStyle, standard_ratings};
use std::path::PathBuf;

/// Which part, and on which rig.
#[derive(Debug, clap::Args)]
pub(super) struct RigArgs {
    /// Circuit file (`-` reads a pipe) and the part; the part alone with
    /// `--example` or `--typical`, nothing with `--class`
    #[arg(value_name = "FILE PART", num_args = 0..=2)]
    words: Vec<String>,
    /// A class of part instead of a file: "high-pressure fuel pump", "plug-in" ...
    #[arg(long, value_name = "CLASS")]
    pub(super) class: Option<String>,
    /// Use the built-in example instead of a file
    #[arg(long, conflicts_with = "typical")]
    example: bool,
    /// Use a typical boat of a kind instead of a file
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
    /// Seed of the draws
    #[arg(long, value_name = "NUMBER", default_value_t = SEED)]
    pub(super) seed: u64,
}

/// The words of `--meter`.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum MeterWord {
    /// A clamp around the lead
    Clamp,
    /// The meter's ampere jack, in the lead
    Jack,
}

impl RigArgs {
    /// Figures no bench has.
    pub(super) fn sensible(&self) -> Result<(), Failure> {
        if let Some(volts) = self.battery_volts
            && !(6.0..=16.0).contains(&volts.typical.si())
        {
            let below = if volts.typical.si() < 6.0 {
                "; one that reads less is empty to the last or has a dead cell: charge it apart, watched, and read it again after hours, or replace it"
            } else {
                ""
            };
            return Err(refused(format!(
                "`--battery-volts {}` is no 12 V battery at rest: 6 to 16 V{below}",
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

    pub(super) fn options(&self) -> Options {
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

    /// The circuit of a file that was given without a part.
    pub(super) fn file_alone(&self) -> Result<Option<Loaded>, Failure> {
        let ([file], false, None, None) = (
            self.words.as_slice(),
            self.example,
            &self.typical,
            &self.class,
        ) else {
            return Ok(None);
        };
        self.source(Some(file)).load().map(Some)
    }

    /// Where the circuit comes from.
    fn source(&self, file: Option<&String>) -> CircuitArgs {
        CircuitArgs {
            file: file.map(PathBuf::from),
            example: self.example,
            typical: self.typical.clone(),
        }
    }

    /// The circuit alone, for an option that asks for no part.
    pub(super) fn circuit_alone(&self, command: &str, option: &str) -> Result<Loaded, Failure> {
        let built_in = self.example || self.typical.is_some();
        let file = match (self.words.as_slice(), built_in) {
            ([], true) => None,
            ([file], false) => Some(file),
            _ => {
                return Err(refused(format!(
                    "give a file alone: `ampkeel {command} boat.toml {option}`, or `ampkeel {command} --example {option}`"
                )));
            }
        };
        self.source(file).load()
    }

    /// An option that only a bench has, where one is given.
    pub(super) fn of_bench_alone(&self) -> Option<&'static str> {
        let given = [
            (self.lead_length.is_some(), "--lead-length"),
            (self.lead_size.is_some(), "--lead-size"),
            (self.inline_fuse.is_some(), "--inline-fuse"),
            (self.temperature.is_some(), "--temperature"),
        ];
        given
            .into_iter()
            .find_map(|(is_given, name)| is_given.then_some(name))
    }

    /// Whether an option belongs to a thin fused lead alone.
    pub(super) fn asks_for_thin_lead(&self) -> bool {
        let jack = matches!(self.meter, Some(MeterWord::Jack));
        jack || self.inline_fuse.is_some() || self.meter_resistance.is_some()
    }

    /// The circuit and the part's name; none where a class was asked for.
    pub(super) fn circuit(&self, command: &str) -> Result<Option<(Loaded, String)>, Failure> {
        let built_in = self.example || self.typical.is_some();
        match (self.words.is_empty() && !built_in, &self.class) {
            (true, Some(_)) => Ok(None),
            (false, Some(class)) => Err(refused(format!(
                "`--class \"{class}\"` stands for a part without a file: give the class or the part, not both"
            ))),
            (_, None) => self.part_of_file(command).map(Some),
        }
    }

    /// The circuit and the part's name, whatever class stands beside them.
    pub(super) fn part_of_file(&self, command: &str) -> Result<(Loaded, String), Failure> {
        let built_in = self.example || self.typical.is_some();
        let (file, part) = match (self.words.as_slice(), built_in) {
            ([part], true) => (None, part),
            ([file, part], false) => (Some(file), part),
            (_, true) => {
                return Err(refused(format!(
                    "with `--example` or `--typical` give the part alone: `ampkeel {command} --example high-pressure`"
                )));
            }
            _ => {
                return Err(refused(format!(
                    "give a file and a part, as in `ampkeel {command} boat.toml pump`, or a class, as in `ampkeel {command} --class \"high-pressure fuel pump\"`"
                )));
            }
        };
        Ok((self.source(file).load()?, part.clone()))
    }
}

fn stocked(rating: Amps) -> Result<(), Failure> {
    let ratings = standard_ratings(FuseStyle::Blade)
        .map_err(|why| refused(why.to_string()))?
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
