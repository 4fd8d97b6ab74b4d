//! The current a fuse carries, by the millivolts across it.
//!
//! I with V = R I (1 + rise): the element's own heat is counted, its cold
//! resistance spread as its table says, the meter's error added.
//!
//! # Limits
//! A genuine fuse, steady current, probes on the element's own test points: the
//! clips of the holder lose as much again.

use super::{Opening, opening};
use crate::circuit::Fuse;
use crate::devices::{LinkModel, fuse_alone};
use crate::document::Document;
use crate::findings::{Assumed, Finding, code};
use crate::quantities::print::{nominal, percent};
use crate::quantities::{Amps, Band, Celsius, Fraction, Ohms, Volts};
use crate::sources::Source;
use crate::tables::OutOfTable;
use crate::tables::fuses::{FuseStyle, cold_resistance, gates, steady_loading};
use crate::tables::meters::{Accuracy, MeterReading, accuracy};

/// A fuse with the volts read across it.
#[derive(Debug, Clone, PartialEq)]
pub struct Drop {
    /// Family of the fuse.
    pub style: FuseStyle,
    /// Rating printed on it.
    pub rating: Amps,
    /// Air around it; 23 degrees C where none is given.
    pub ambient: Option<Celsius>,
    /// Volts across it.
    pub across: Volts,
}

/// What it carries.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// Its current.
    pub current: Band<Amps>,
    /// Cold resistance of its element.
    pub cold: Band<Ohms>,
    /// Rating in the air around it.
    pub effective: Amps,
    /// When it opens at its current: earliest at the most, latest at the least.
    pub opens: (Opening, Opening),
    /// A current above its rating, or near it.
    pub findings: Vec<Finding>,
    /// What was assumed of the meter.
    pub assumed: Vec<Assumed>,
    /// Citations.
    pub sources: Vec<Source>,
}

/// Air a fuse is rated in.
const RATED_IN: Celsius = Celsius::new(23.0);

/// Current of a fuse within its spread of resistance, read with a meter's error.
pub(crate) fn current_by_drop(fuse: &LinkModel, across_v: f64, reach_v: f64) -> Band<f64> {
    let at = |cold: Ohms, volts: f64| fuse.current_a(cold.si(), volts.max(0.0));
    Band {
        low: at(fuse.cold.high, across_v - reach_v),
        typical: at(fuse.cold.typical, across_v),
        high: at(fuse.cold.low, across_v + reach_v),
    }
}

/// Works the current out.
///
/// # Errors
/// When the family is not made in this rating or the air is out of range.
pub fn carried(drop: &Drop) -> Result<Carried, OutOfTable> {
    let cold = cold_resistance(drop.style, drop.rating)?;
    let air = drop.ambient.unwrap_or(RATED_IN);
    let (fuse, _) = fuse_alone(&Fuse::new(drop.style, drop.rating), "fuse", air)?;
    let meter = accuracy(MeterReading::Millivolts)?;
    let Accuracy { share, plus } = meter.value;
    let across_v = drop.across.si();
    let band = current_by_drop(&fuse, across_v, share.si() * across_v + plus);
    let assumed = Assumed {
        subject: "meter".to_owned(),
        what: format!(
            "millivolts within {share} and {}",
            nominal(Volts::new(plus))
        ),
        source: meter.source,
    };
    let current = Band::new(
        Amps::new(band.low),
        Amps::new(band.typical),
        Amps::new(band.high),
    );
    let effective = drop.rating * fuse.ambient_factor;
    let gates = gates(drop.style, drop.rating)?;
    let at = |amps: Amps| opening(&gates.value, amps.si() / effective.si(), amps);
    let steady = steady_loading()?.value;
    Ok(Carried {
        current,
        cold: fuse.cold,
        effective,
        opens: (at(current.high), at(current.low)),
        findings: finding(drop, &current, effective, steady)
            .into_iter()
            .collect(),
        assumed: vec![assumed],
        sources: vec![cold.source],
    })
}

/// A current that is above the rating however the drop is read, or that loads the
/// fuse high.
fn finding(
    drop: &Drop,
    current: &Band<Amps>,
    effective: Amps,
    steady: Fraction,
) -> Option<Finding> {
    let subject = format!("{} {}", drop.rating, drop.style);
    let Band { low, typical, .. } = *current;
    let share = Fraction::new(typical.si() / effective.si());
    let found = if low > effective {
        Finding::new(
            code("fuse-above-rating"),
            &subject,
            format!("it carries {typical}, {low} at least, with a rating of {effective}"),
        )
        .with_hint("find the load that draws too much, or the short behind it, before it is switched on again; never fit a larger fuse")
    } else if typical.si() > effective.si() * steady.si() {
        Finding::new(
            code("fuse-loaded-high"),
            &subject,
            format!("{typical} is {share} of its rating in this air; {steady} is the most for a steady load"),
        )
        .with_hint("compare the load's current with what it should draw; never fit a larger fuse")
    } else {
        return None;
    };
    Some(found.with_measure(typical.si(), Some(effective.si()), "A"))
}

/// When it opens, where it carries more than it holds.
fn opens(found: &Carried) -> Option<String> {
    let (most, least) = &found.opens;
    let when = match (most.earliest, least.latest) {
        (None, _) => return None,
        (Some(earliest), Some(latest)) => format!("it opens between {earliest} and {latest}"),
        (Some(earliest), None) => format!("it may open after {earliest}, or carry this for good"),
    };
    Some(format!(
        "At that current {when}, from cold and by the gates of a genuine fuse. Switch off and find the load or the short that draws it."
    ))
}

/// Writes the answer.
pub fn drop_document(drop: &Drop, found: &Carried) -> Document {
    let Band { low, typical, high } = found.current;
    let mut document = Document::new();
    document.caution("Never fit a larger fuse to stop one from opening, and never bridge one: the wire becomes the fuse. Probe with the meter on volts: in its ampere jack it is a dead short.");
    document.answer(format!(
        "{} across {} {}: it carries {typical} ({low} to {high}), {} of its {}",
        drop.across,
        drop.rating,
        drop.style,
        percent(typical.si() / found.effective.si()),
        found.effective
    ));
    if let Some(when) = opens(found) {
        document.paragraph(when);
    }
    document.paragraph(format!(
        "Cold its element has {} ({} to {}); its own heat is counted. Probe the two test points on the fuse itself: the clips of its holder lose about as much again, and more than that from post to post is a bad holder.",
        found.cold.typical, found.cold.low, found.cold.high
    ));
    document
}
