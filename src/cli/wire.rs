//! `wire`: the gauge of one circuit, without a file.

use super::figures::{above_zero, one};
use super::{Answer, Failure, Reply};
use crate::circuit::Place;
use crate::present::json::Object;
use crate::quantities::{Amps, Celsius, Fraction, Metres, Quantity, SizeSystem, Volts, parse};
use crate::tables::drops::DropBasis;
use crate::wiring::{Candidate, Ceiling, Limit, Request, Study, document, study};

const EXAMPLES: &str = "\
Examples:
  ampkeel wire --current 6A --length 14ft
  ampkeel wire --current 6A --length 14ft --start 25A --insulation 105degC --place engine-space
  ampkeel wire --current 10A --length 3.2m --sizes metric --basis iso --limit 10%

The length is one way; the return is taken as long.
Exit status: 0 a size was found, 1 no size meets everything, 2 could not run.";

/// Find the gauge for one circuit: every size with its drop and ampacity
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Steady current of the load
    #[arg(long, value_name = "AMPERES", value_parser = above_zero::<Amps>, allow_hyphen_values = true)]
    current: Amps,
    /// Length of the run, one way; the return is as long
    #[arg(long, value_name = "LENGTH", value_parser = above_zero::<Metres>, allow_hyphen_values = true)]
    length: Metres,
    /// Largest drop, a share of the system voltage or volts
    #[arg(long, value_name = "LIMIT", default_value = "3%", value_parser = limit, allow_hyphen_values = true)]
    limit: Limit,
    /// Nominal voltage of the system
    #[arg(long, value_name = "VOLTS", default_value = "12V", value_parser = supply, allow_hyphen_values = true)]
    supply: Volts,
    /// Temperature class of the insulation; 60 degC is taken where none is given
    #[arg(long, value_name = "TEMPERATURE", value_parser = one::<Celsius>, allow_hyphen_values = true)]
    insulation: Option<Celsius>,
    /// Where the wire lies
    #[arg(long, value_name = "PLACE", default_value = "boat")]
    place: PlaceWord,
    /// Loaded conductors in the bundle, with this one
    #[arg(long, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000))]
    bundle: u32,
    /// Sizes to choose from
    #[arg(long, value_name = "SYSTEM", default_value = "awg")]
    sizes: SizesWord,
    /// Current while the load starts
    #[arg(long, value_name = "AMPERES", value_parser = above_zero::<Amps>, allow_hyphen_values = true)]
    start: Option<Amps>,
    /// Whose constant the drop is counted with
    #[arg(long, value_name = "BASIS", default_value = "abyc")]
    basis: BasisWord,
}

/// The words of `--place`.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub(super) enum PlaceWord {
    /// Anywhere outside the engine space
    Boat,
    /// Under the cowl or in the engine box
    EngineSpace,
    /// On the bench
    Bench,
}

impl PlaceWord {
    /// The place meant.
    pub(super) const fn place(self) -> Place {
        match self {
            Self::Boat => Place::Boat,
            Self::EngineSpace => Place::EngineSpace,
            Self::Bench => Place::Bench,
        }
    }
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum SizesWord {
    /// American wire gauge, boat cable
    Awg,
    /// SAE primary wire
    Sae,
    /// Square millimetres
    Metric,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum BasisWord {
    /// ABYC E-11, K = 10.75
    Abyc,
    /// ISO 10133, 0.0164 ohm mm2 per metre
    Iso,
}

fn supply(text: &str) -> Result<Volts, String> {
    let volts: Volts = above_zero(text)?;
    if volts.si() < 50.0 {
        return Ok(volts);
    }
    Err(format!(
        "`{}` is outside this tool: it reckons for systems under 50 V, like \"12 V\"",
        text.trim()
    ))
}

/// `3%` or `0.5V`.
fn limit(text: &str) -> Result<Limit, String> {
    if let Ok(volts) = parse::<Volts>(text) {
        return positive(volts, text).map(Limit::Volts);
    }
    let share: Fraction = parse(text).map_err(|error| {
        format!(
            "{}; write a percentage like \"3 %\" or volts like \"0.5 V\"",
            error.message
        )
    })?;
    let share = positive(share, text)?;
    if share.si() >= 1.0 {
        return Err(format!(
            "`{}` would lose everything; usual limits are 3 % and 10 %",
            text.trim()
        ));
    }
    Ok(Limit::Share(share))
}

fn positive<Q: Quantity>(value: Q, text: &str) -> Result<Q, String> {
    if value.si() > 0.0 {
        return Ok(value);
    }
    Err(format!("`{}` is not above zero", text.trim()))
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        if let Some(start) = self.start.filter(|start| *start < self.current) {
            return Err(Failure::Refused(format!(
                "`--start {start}` is below the steady current of {}; a load starts with more than it runs on",
                self.current
            )));
        }
        let request = self.request();
        let found = study(&request).map_err(|missing| Failure::Refused(missing.to_string()))?;
        let answer = Answer {
            command: "wire",
            document: document(&request, &found),
            body: body(&request, &found),
            findings: found.findings,
            assumed: found.assumed,
            sources: found.sources,
            ..Answer::default()
        };
        Ok(answer.into())
    }

    fn request(&self) -> Request {
        Request {
            current: self.current,
            length: self.length,
            limit: self.limit,
            supply: self.supply,
            insulation: self.insulation,
            place: self.place.place(),
            bundle: self.bundle,
            sizes: match self.sizes {
                SizesWord::Awg => SizeSystem::Awg,
                SizesWord::Sae => SizeSystem::Sae,
                SizesWord::Metric => SizeSystem::Metric,
            },
            basis: match self.basis {
                BasisWord::Abyc => DropBasis::Abyc,
                BasisWord::Iso => DropBasis::Iso,
            },
            start: self.start,
        }
    }
}

fn body(request: &Request, study: &Study) -> Object {
    let choice = study.chosen().map(|chosen| chosen.size.to_string());
    Object::new()
        .text_or_null("choice", choice.as_deref())
        .text("binding", study.binding.word())
        .number("limit_v", request.limit_v())
        .objects("candidates", study.candidates.iter().map(candidate))
        .text("fuse_style", study.family.word())
        .number_or_null("fuse_least_a", study.least_fuse.map(Amps::si))
        .objects("fuses", study.ceilings.iter().map(ceiling))
}

fn candidate(candidate: &Candidate) -> Object {
    let against = candidate.against.iter().map(|check| check.word());
    let object = Object::new()
        .text("size", &candidate.size.to_string())
        .number("rule_drop_v", candidate.rule_drop_v)
        .number("rule_drop_pct", candidate.rule_drop_pct)
        .number_or_null("drop_v", candidate.drop_v)
        .number("ampacity_a", candidate.lies.carries.si())
        .flag("ok", candidate.ok())
        .texts("fails", against)
        .number_or_null(
            "temperature_degc",
            candidate.drop_v.map(|_| candidate.temperature.si()),
        );
    match candidate.start_drop_v {
        Some(volts) => object.number("start_drop_v", volts),
        None => object,
    }
}

/// A ceiling as JSON; `fuse` prints the same.
pub(super) fn ceiling(ceiling: &Ceiling) -> Object {
    Object::new()
        .text("basis", ceiling.basis.word())
        .number_or_null("limit_a", ceiling.limit.map(Amps::si))
        .number_or_null("largest_a", ceiling.largest.map(Amps::si))
}
