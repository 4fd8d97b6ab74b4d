//! One fuse without a circuit: when it opens, what it shows, what it guards.
//!
//! [`study`] reads the opening times of a family's gates at a current, or at
//! a row of multiples, with the fuse's colour, resistance and breaking
//! capacity, and holds it against a wire behind it.
//!
//! Pulses, stalls, repeated starts and warm starts go through the thermal
//! networks of `heating`.
//!
//! # Limits
//! The gates hold for genuine fuses; those of the small blades are recalled.

mod pulse;
mod pulse_screen;
mod pulse_words;
mod screen;

pub use crate::heating::{HOLDS, OPENS_FROM, Opening, Zone, opening};
pub use pulse::{Fared, Fate, Instance, Level, Pulse, Step};
pub use pulse_words::{level, steps};
pub use screen::document;

use crate::findings::{Assumed, Finding, code};
use crate::quantities::{Amps, Band, Celsius, Fraction, Ohms, Volts};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::OutOfTable;
use crate::tables::fuses::{
    FuseStyle, ambient_factor, breaking_capacity, cold_resistance, colour, gates,
    heat_state_at_rating, hot_rise, ratings_of_colour, steady_loading, voltage_rating,
};

/// Multiples of the table shown where no current is asked for.
pub const MULTIPLES: [f64; 10] = [0.8, 1.0, 1.1, 1.2, 1.35, 1.6, 2.0, 3.5, 6.0, 10.0];

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Family of the fuse.
    pub style: FuseStyle,
    /// Rating printed on it.
    pub rating: Amps,
    /// Current through it; a table of multiples where there is none.
    pub current: Option<Amps>,
    /// Pulses it is put through in place of a constant current.
    pub pulse: Option<Pulse>,
    /// Air around it; 23 to 25 degrees C where none is given.
    pub ambient: Option<Celsius>,
    /// The wire behind it.
    pub wire: Option<Guarded>,
}

/// The wire behind a fuse, as the caller looked it up.
#[derive(Debug, Clone, PartialEq)]
pub struct Guarded {
    /// Its size and how it lies, in words: `14 AWG, 60 degC, in the boat`.
    pub words: String,
    /// Its size alone.
    pub size: String,
    /// What it may carry where it lies.
    pub carries: Amps,
    /// Class of its insulation.
    pub class: Celsius,
    /// The most each rule lets stand before it.
    pub rules: Vec<Rule>,
    /// What it settles at, at multiples of the fuse's rating.
    pub settles: Vec<Settled>,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
    /// Where its table figure comes from.
    pub source: Source,
}

/// A rule on the fuse before a wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// In words.
    pub words: &'static str,
    /// Whether it is the outer limit of the law.
    pub legal: bool,
    /// The most it allows; none where it does not list the wire.
    pub limit: Option<Amps>,
    /// Where it stands.
    pub source: Source,
}

/// A wire's temperature at a steady overload.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settled {
    /// Multiple of the fuse's rating.
    pub multiple: f64,
    /// The current.
    pub current: Amps,
    /// Where the conductor settles; none where it does not settle at all.
    pub temperature: Option<Celsius>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// Factor on the rating for the air around it.
    pub ambient_factor: f64,
    /// Rating in that air.
    pub effective: Amps,
    /// Steady current it is loaded with at most.
    pub steady: Amps,
    /// The opening at the current asked for, or at each multiple.
    pub openings: Vec<Opening>,
    /// What becomes of it under the pulses asked for.
    pub fared: Option<Fared>,
    /// How far the weakest gate is known.
    pub standing: Standing,
    /// Body colour, where the family has one.
    pub colour: Option<&'static str>,
    /// Other fuses of that colour: family and ratings.
    pub same_colour: Vec<(FuseStyle, Amps)>,
    /// Cold resistance without clips.
    pub cold: Band<Ohms>,
    /// Volts across the fuse at the current: settled up to 1.1 times the
    /// rating, above it at the first instant.
    pub across: Option<Band<Volts>>,
    /// Largest current it breaks; none where none is published.
    pub breaks: Option<Amps>,
    /// Greatest voltage of its circuit.
    pub voltage: Volts,
    /// What was found.
    pub findings: Vec<Finding>,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
    /// Citations.
    pub sources: Vec<Source>,
}

impl Study {
    /// The opening at the current asked for.
    pub fn asked(&self, request: &Request) -> Option<&Opening> {
        request.current.and_then(|_| self.openings.first())
    }
}

/// Answers for one fuse.
///
/// # Errors
/// When the family is not made in this rating or the air is out of range.
pub fn study(request: &Request) -> Result<Study, OutOfTable> {
    let (style, rating) = (request.style, request.rating);
    let gates = gates(style, rating)?;
    let cold = cold_resistance(style, rating)?;
    let mut sources = vec![gates.source.clone(), cold.source.clone()];
    let factor = match request.ambient {
        Some(ambient) => taken(ambient_factor(style, ambient)?, &mut sources),
        None => 1.0,
    };
    let effective = rating * factor;
    let share = taken(steady_loading()?, &mut sources);
    let at = |multiple: f64, current| opening(&gates.value, multiple, current);
    let openings = match request.current {
        Some(current) => vec![at(current.si() / effective.si(), current)],
        None => MULTIPLES
            .into_iter()
            .map(|multiple| at(multiple, effective * multiple))
            .collect(),
    };
    let across = request
        .current
        .map(|current| across(current, effective, &cold.value))
        .transpose()?;
    let body = colour(style, rating)
        .ok()
        .map(|found| taken(found, &mut sources));
    let breaks = breaking_capacity(style)
        .ok()
        .map(|found| taken(found, &mut sources));
    let fared = match &request.pulse {
        Some(pulse) => Some(pulse::fare(request, pulse)?),
        None => None,
    };
    sources.extend(fared.as_ref().map(|fared| fared.source.clone()));
    sources.extend(fared.as_ref().map(|fared| fared.life.source.clone()));
    let mut study = Study {
        ambient_factor: factor,
        effective,
        steady: effective * share.si(),
        openings,
        fared,
        standing: gates.source.standing,
        colour: body,
        same_colour: same_colour(request, body),
        cold: cold.value,
        across,
        breaks,
        voltage: taken(voltage_rating(style)?, &mut sources),
        findings: Vec::new(),
        assumed: assumed(request),
        sources,
    };
    if let Some(wire) = &request.wire {
        study.assumed.extend(wire.assumed.iter().cloned());
        study.sources.push(wire.source.clone());
        let rules = wire.rules.iter().map(|rule| rule.source.clone());
        study.sources.extend(rules);
    }
    study.findings = findings(request, &study, share);
    Ok(study)
}

fn taken<T>(found: Sourced<T>, sources: &mut Vec<Source>) -> T {
    sources.push(found.source);
    found.value
}

/// Volts across the fuse: hot where it holds, cold where it is opening.
fn across(current: Amps, effective: Amps, cold: &Band<Ohms>) -> Result<Band<Volts>, OutOfTable> {
    let multiple = current.si() / effective.si();
    let heat = if multiple <= HOLDS {
        heat_state_at_rating()?.value * multiple * multiple
    } else {
        0.0
    };
    let hot = 1.0 + hot_rise()?.value * heat;
    let volts = |ohms: Ohms| Volts::new(ohms.si() * hot * current.si());
    Ok(Band::new(
        volts(cold.low),
        volts(cold.typical),
        volts(cold.high),
    ))
}

fn same_colour(request: &Request, colour: Option<&str>) -> Vec<(FuseStyle, Amps)> {
    let mut found = colour.map_or_else(Vec::new, ratings_of_colour);
    found.retain(|(style, rating)| (*style, *rating) != (request.style, request.rating));
    found
}

fn assumed(request: &Request) -> Vec<Assumed> {
    let mut assumed = Vec::new();
    if request.ambient.is_none() {
        assumed.push(Assumed {
            subject: "fuse".into(),
            what: "air of 23 \u{b0}C, as its gates are tested; `--ambient 50degC` re-rates it"
                .into(),
            source: Source::new("test condition of the gates", "", Standing::Published),
        });
    }
    if request
        .pulse
        .as_ref()
        .is_some_and(|pulse| pulse.holder.is_some())
    {
        assumed.push(Assumed {
            subject: "holder".into(),
            what:
                "20 to 40 K/W between its contacts and the element, which melts 400 K above the air"
                    .into(),
            source: Source::new("heat of a bad holder", "", Standing::Judgement),
        });
    }
    assumed
}

fn findings(request: &Request, study: &Study, share: Fraction) -> Vec<Finding> {
    let subject = format!("{} {}", request.rating, request.style);
    let mut found = Vec::new();
    if let Some(opening) = study.asked(request) {
        let current_a = opening.current.si();
        if opening.zone == Zone::NothingPromised {
            found.push(
                Finding::new(
                    code("opening-not-promised"),
                    &subject,
                    format!(
                        "at {} it may open or may carry on for good; no standard promises either between {} and {}",
                        opening.current,
                        study.effective * HOLDS,
                        study.effective * OPENS_FROM
                    ),
                )
                .with_hint("find out why the load draws above the rating, and clear that")
                .with_measure(current_a, Some(study.effective.si()), "A"),
            );
        } else if opening.zone == Zone::Holds && current_a > study.steady.si() * (1.0 + 1e-9) {
            found.push(
                Finding::new(
                    code("fuse-loaded-high"),
                    &subject,
                    format!(
                        "{} is {} of its rating in this air; {share} is the most for a steady load",
                        opening.current,
                        Fraction::new(opening.multiple)
                    ),
                )
                .with_hint("compare the load's current with what it should draw; move a load to another circuit if both are right")
                .with_measure(current_a, Some(study.steady.si()), "A"),
            );
        }
    }
    if let Some(wire) = &request.wire {
        found.extend(against_wire(request, &subject, wire));
    }
    found
}

/// A violation above the outer limit of the law, a caution above what the
/// wire may carry.
fn against_wire(request: &Request, subject: &str, wire: &Guarded) -> Option<Finding> {
    let rating_a = request.rating.si();
    let above = |limit: Amps| rating_a > limit.si() * (1.0 + 1e-9);
    let legal = wire.rules.iter().find(|rule| rule.legal);
    let broken = legal.and_then(|rule| Some((rule, rule.limit.filter(|limit| above(*limit))?)));
    let (name, limit, because) = match broken {
        Some((rule, limit)) => ("fuse-above-wire", limit, rule.words.to_owned()),
        None if above(wire.carries) => (
            "fuse-above-wire-practice",
            wire.carries,
            "what the wire may carry there".to_owned(),
        ),
        None => return None,
    };
    let statement = format!(
        "{subject} stands before {}, which allows {limit} ({because})",
        wire.size
    );
    let mut finding = Finding::new(code(name), subject, statement)
        .with_hint("fit a fuse this wire can stand if it still carries the load, or a thicker wire")
        .with_measure(rating_a, Some(limit.si()), "A")
        .mendable(true)
        .with_source(wire.source.clone());
    if let Some((rule, _)) = broken {
        finding = finding.with_source(rule.source.clone());
    }
    Some(finding)
}
