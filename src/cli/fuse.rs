//! `fuse`: when one fuse opens, without a file.

use super::figures::{above_zero, one, size};
use super::wire::{PlaceWord, ceiling};
use super::{Answer, Failure, Reply};
use crate::fusing::{
    Drop, Fared, Guarded, HOLDS, Level, OPENS_FROM, Opening, Pulse, Request, Rule, Settled, Step,
    Study, carried, document, drop_document, level, steps, study,
};
use crate::heating::Run;
use crate::present::json::Object;
use crate::quantities::{Amps, Celsius, Metres, Ohms, Seconds, Volts, WireSize};
use crate::tables::OutOfTable;
use crate::tables::fuses::{Edge, FuseStyle, rating_range, standard_ratings};
use crate::wiring::{Basis, Ceiling, Lay, assumed_of, ceilings, in_place};

const EXAMPLES: &str = "\
Examples:
  ampkeel fuse --style blade --rating 20A
  ampkeel fuse --style blade --rating 20A --current 40A --ambient 50degC
  ampkeel fuse --style blade --rating 20A --pulse \"6x for 100ms falling to 0.6x\"
  ampkeel fuse --style blade --rating 20A --pulse \"2x for 1s\" --repeat 100 --every 10s
  ampkeel fuse --style blade --rating 10A --millivolts 38mV
  ampkeel fuse --style blade --rating 20A --wire \"14 AWG\" --insulation 105degC

Exit status: 0 no violation, 1 the fuse is above the 150 % of 33 CFR 183.455 for
the wire (below that a caution may still say it is too large), 2 could not run.";

/// Volts across a fuse from which it has surely opened.
const MOST_ACROSS_V: f64 = 0.5;
/// Conductor temperature above which no settled figure is given, degC.
const NO_WIRE_DEGC: f64 = 300.0;

/// Say when a fuse opens, what it shows and whether it suits a wire
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Family of the fuse
    #[arg(long, value_name = "STYLE")]
    style: StyleWord,
    /// Rating printed on it
    #[arg(long, value_name = "AMPERES", value_parser = above_zero::<Amps>, allow_hyphen_values = true)]
    rating: Amps,
    /// Current through it; without it a table of multiples is shown
    #[arg(long, value_name = "AMPERES", value_parser = above_zero::<Amps>, allow_hyphen_values = true)]
    current: Option<Amps>,
    /// Millivolts across it: says what it carries
    #[arg(long, value_name = "MILLIVOLTS", value_parser = above_zero::<Volts>, allow_hyphen_values = true, conflicts_with_all = ["current", "pulse", "wire"])]
    millivolts: Option<Volts>,
    /// Pulses in place of a constant current: steps apart by commas, each
    /// `CURRENT for TIME` or `CURRENT for TIME falling to CURRENT`, currents in
    /// amperes or as `2x` the rating; the last may go on for good
    #[arg(long, value_name = "STEPS", value_parser = pulse_steps, conflicts_with_all = ["current", "wire"])]
    pulse: Option<Steps>,
    /// How many rounds of the pulses
    #[arg(long, value_name = "NUMBER", requires = "pulse", conflicts_with = "current", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    repeat: u32,
    /// Time from the start of one round to that of the next
    #[arg(long, value_name = "TIME", requires = "pulse", conflicts_with = "current", value_parser = above_zero::<Seconds>, allow_hyphen_values = true)]
    every: Option<Seconds>,
    /// Current between the rounds; none flows without it
    #[arg(long, value_name = "CURRENT", requires = "every", conflicts_with = "current", value_parser = level, allow_hyphen_values = true)]
    between: Option<Level>,
    /// Steady current that has warmed the fuse before
    #[arg(long, value_name = "CURRENT", requires = "pulse", conflicts_with = "current", value_parser = level, allow_hyphen_values = true)]
    warm: Option<Level>,
    /// A new fuse, put into the holder that the current of `--warm` has warmed
    #[arg(long, requires = "warm", conflicts_with = "current")]
    replaced: bool,
    /// Contact resistance of a bad holder, beyond that of a sound one
    #[arg(long, value_name = "OHMS", requires = "pulse", conflicts_with = "current", value_parser = above_zero::<Ohms>, allow_hyphen_values = true)]
    holder: Option<Ohms>,
    /// Air around the fuse
    #[arg(long, value_name = "TEMPERATURE", value_parser = one::<Celsius>, allow_hyphen_values = true)]
    ambient: Option<Celsius>,
    /// Wire behind the fuse
    #[arg(long, value_name = "SIZE", value_parser = size)]
    wire: Option<WireSize>,
    /// Temperature class of the wire's insulation; 60 degC where none is given
    #[arg(long, value_name = "TEMPERATURE", value_parser = one::<Celsius>, requires = "wire", allow_hyphen_values = true)]
    insulation: Option<Celsius>,
    /// Where the wire lies
    #[arg(long, value_name = "PLACE", requires = "wire")]
    place: Option<PlaceWord>,
    /// Loaded conductors in the wire's bundle, with this one
    #[arg(long, value_name = "NUMBER", requires = "wire", value_parser = clap::value_parser!(u32).range(1..=1000))]
    bundle: Option<u32>,
}

/// The words of `--style`.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum StyleWord {
    /// Standard blade
    Blade,
    /// Miniature blade
    MiniBlade,
    /// High-current blade
    HighCurrentBlade,
    /// Bolt-in strip
    Strip,
    /// Fast glass tube
    Glass,
    /// Time-delay glass tube
    SlowGlass,
}

/// The steps of `--pulse`, and as they were typed.
#[derive(Debug, Clone)]
struct Steps {
    words: String,
    steps: Vec<Step>,
}

fn pulse_steps(text: &str) -> Result<Steps, String> {
    Ok(Steps {
        words: text.trim().to_owned(),
        steps: steps(text)?,
    })
}

fn unsolved(missing: &OutOfTable) -> Failure {
    Failure::Refused(missing.to_string())
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let style = self.style();
        self.stocked(style)?;
        if let Some(across) = self.millivolts {
            return self.by_drop(style, across);
        }
        let wire = match self.wire {
            Some(size) => Some(self.guarded(size, style).map_err(|e| unsolved(&e))?),
            None => None,
        };
        let (guarded, rows) = wire.unzip();
        let request = Request {
            style,
            rating: self.rating,
            current: self.current,
            pulse: self.pulsed()?,
            ambient: self.ambient,
            wire: guarded,
        };
        let found = study(&request).map_err(|e| unsolved(&e))?;
        let answer = Answer {
            command: "fuse",
            document: document(&request, &found),
            body: body(&request, &found, rows.as_deref()),
            findings: found.findings,
            assumed: found.assumed,
            sources: found.sources,
            ..Answer::default()
        };
        Ok(answer.into())
    }

    /// What the fuse carries, by the millivolts across it.
    fn by_drop(&self, style: FuseStyle, across: Volts) -> Result<Reply, Failure> {
        if across.si() > MOST_ACROSS_V {
            return Err(Failure::Refused(format!(
                "`--millivolts {across}`: a whole fuse loses no more than half a volt; so much across it means that it has opened"
            )));
        }
        let drop = Drop {
            style,
            rating: self.rating,
            ambient: self.ambient,
            across,
        };
        let found = carried(&drop).map_err(|e| unsolved(&e))?;
        let body = Object::new()
            .text("style", style.word())
            .number("rating_a", self.rating.si())
            .number("effective_rating_a", found.effective.si())
            .number("across_v", across.si())
            .band("current_a", &found.current)
            .number(
                "load_pct",
                100.0 * found.current.typical.si() / found.effective.si(),
            )
            .band("cold_resistance_ohm", &found.cold);
        let answer = Answer {
            command: "fuse",
            document: drop_document(&drop, &found),
            body,
            findings: found.findings,
            assumed: found.assumed,
            sources: found.sources,
            ..Answer::default()
        };
        Ok(answer.into())
    }

    fn pulsed(&self) -> Result<Option<Pulse>, Failure> {
        let Some(steps) = &self.pulse else {
            return Ok(None);
        };
        let pulse = Pulse {
            words: self.in_words(steps),
            steps: steps.steps.clone(),
            rounds: self.repeat,
            every: self.every,
            between: self.between,
            warm: self.warm,
            replaced: self.replaced,
            holder: self.holder,
        };
        match pulse.trouble() {
            Some(why) => Err(Failure::Refused(why)),
            None => Ok(Some(pulse)),
        }
    }

    fn in_words(&self, steps: &Steps) -> String {
        let mut words = steps.words.clone();
        if let Some(every) = self.every {
            words = format!("{words}, {} times every {every}", self.repeat);
        }
        match (self.warm.is_some(), self.replaced) {
            (true, true) => format!("{words}, new in a warm holder"),
            (true, false) => format!("{words}, warm at the start"),
            (false, _) => words,
        }
    }

    fn style(&self) -> FuseStyle {
        match self.style {
            StyleWord::Blade => FuseStyle::Blade,
            StyleWord::MiniBlade => FuseStyle::MiniBlade,
            StyleWord::HighCurrentBlade => FuseStyle::HighCurrentBlade,
            StyleWord::Strip => FuseStyle::Strip,
            StyleWord::Glass => FuseStyle::Glass,
            StyleWord::SlowGlass => FuseStyle::SlowGlass,
        }
    }

    /// Refuses a rating that is not made; glass has too many to list, so its
    /// range decides. No nearest one is named: it could be a larger fuse.
    fn stocked(&self, style: FuseStyle) -> Result<(), Failure> {
        let rating_a = self.rating.si();
        let (least, most) = rating_range(style).map_err(|e| unsolved(&e))?.value;
        let in_range = least.si() <= rating_a && rating_a <= most.si();
        let ratings = standard_ratings(style).map_err(|e| unsolved(&e))?.value;
        let stocked = ratings.contains(&self.rating);
        let glass = matches!(style, FuseStyle::Glass | FuseStyle::SlowGlass);
        if in_range && (stocked || glass) {
            return Ok(());
        }
        let listed: Vec<String> = ratings
            .iter()
            .map(|rating| rating.si().to_string())
            .collect();
        Err(Failure::unknown(
            "rating",
            &self.rating.to_string(),
            [],
            format!(
                "{style} fuses are made in {} A; read the figure on the fuse again",
                listed.join(", ")
            ),
        ))
    }

    fn guarded(
        &self,
        size: WireSize,
        style: FuseStyle,
    ) -> Result<(Guarded, Vec<Ceiling>), OutOfTable> {
        let place = self.place.unwrap_or(PlaceWord::Boat).place();
        let lay = Lay {
            insulation: self.insulation,
            place,
            bundle: self.bundle.unwrap_or(1),
        };
        let wire = in_place(size, Metres::new(1.0), &lay)?;
        let rows = ceilings(&wire, style)?;
        let rules = rows.iter().map(|row| Rule {
            words: row.basis.words(),
            legal: row.basis == Basis::Cfr,
            limit: row.limit,
            source: row.source.clone(),
        });
        let settles = [HOLDS, OPENS_FROM].map(|multiple| {
            let current = self.rating * multiple;
            let temperature = wire.model.temperature(current.si());
            Settled {
                multiple,
                current,
                temperature: (temperature.si() <= NO_WIRE_DEGC).then_some(temperature),
            }
        });
        let guarded = Guarded {
            words: format!(
                "{size}, {} insulation, at the place `{}`",
                wire.class,
                place.word()
            ),
            size: size.to_string(),
            carries: wire.carries,
            class: wire.class,
            rules: rules.collect(),
            settles: settles.to_vec(),
            assumed: assumed_of(size.system(), &lay),
            source: wire.source,
        };
        Ok((guarded, rows))
    }
}

fn body(request: &Request, study: &Study, rows: Option<&[Ceiling]>) -> Object {
    let object = Object::new()
        .text("style", request.style.word())
        .number("rating_a", request.rating.si())
        .number("effective_rating_a", study.effective.si())
        .number("ambient_factor", study.ambient_factor)
        .number("steady_limit_a", study.steady.si());
    let object = match (&study.fared, study.asked(request)) {
        (Some(fared), _) => pulsed(object, fared),
        (_, Some(asked)) => times(object, asked),
        (_, None) => object.objects(
            "openings",
            study
                .openings
                .iter()
                .map(|opening| times(Object::new(), opening)),
        ),
    };
    let object = object
        .text_or_null("colour", study.colour)
        .band("cold_resistance_ohm", &study.cold)
        .number_or_null("breaking_capacity_a", study.breaks.map(Amps::si))
        .number("voltage_rating_v", study.voltage.si());
    let object = match &study.across {
        Some(across) => object.band("across_v", across),
        None => object,
    };
    match (&request.wire, rows) {
        (Some(wire), Some(rows)) => object.object("wire", guarded(wire, rows)),
        _ => object,
    }
}

fn pulsed(object: Object, fared: &Fared) -> Object {
    let run = |run: &Run| {
        Object::new()
            .number_or_null("opens_s", run.opens.map(|at| at.0))
            .number_or_null("round", run.opens.map(|at| f64::from(at.1)))
            .number("heat_share", run.peak)
    };
    let at = |edge| fared.opens(edge).map(Seconds::si);
    object
        .text("verdict", fared.fate.word())
        .number_or_null("rounds_before_fatigue", fared.wears_out_after())
        .number_or_null("opens_earliest_s", at(Edge::Early))
        .number_or_null("opens_middle_s", at(Edge::Nominal))
        .number_or_null("opens_latest_s", at(Edge::Late))
        .objects(
            "instances",
            fared.instances.iter().map(|instance| {
                Object::new()
                    .text("edge", instance.edge.word())
                    .object("matched", run(&instance.matched))
                    .object("passive", run(&instance.passive))
            }),
        )
}

fn times(object: Object, opening: &Opening) -> Object {
    object
        .number("current_a", opening.current.si())
        .number("multiple", opening.multiple)
        .number_or_null("opens_earliest_s", opening.earliest.map(Seconds::si))
        .number_or_null("opens_middle_s", opening.middle.map(Seconds::si))
        .number_or_null("opens_latest_s", opening.latest.map(Seconds::si))
}

fn guarded(wire: &Guarded, rows: &[Ceiling]) -> Object {
    Object::new()
        .text("size", &wire.size)
        .number("ampacity_a", wire.carries.si())
        .number("insulation_degc", wire.class.si())
        .objects("fuses", rows.iter().map(ceiling))
        .objects(
            "settles",
            wire.settles.iter().map(|row| {
                Object::new()
                    .number("multiple", row.multiple)
                    .number("current_a", row.current.si())
                    .number_or_null("temperature_degc", row.temperature.map(Celsius::si))
            }),
        )
}
