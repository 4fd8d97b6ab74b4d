//! The current a fuse carries, by the millivolts across it.
//!
//! I with V = R I (1 + rise): the element's own heat is counted, its cold
//! resistance spread as its table says, the meter's error added.
//!
//! # Limits
//! A genuine fuse, steady current, probes on the element's own test points: the
//! clips of the holder lose as much again.

use crate::circuit::Fuse;
use crate::devices::{LinkModel, fuse_alone};
use crate::document::Document;
use crate::findings::Assumed;
use crate::quantities::print::{nominal, percent};
use crate::quantities::{Amps, Band, Celsius, Ohms, Volts};
use crate::sources::Source;
use crate::tables::OutOfTable;
use crate::tables::fuses::{FuseStyle, cold_resistance};
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
    Ok(Carried {
        current: Band::new(
            Amps::new(band.low),
            Amps::new(band.typical),
            Amps::new(band.high),
        ),
        cold: fuse.cold,
        effective: drop.rating * fuse.ambient_factor,
        assumed: vec![assumed],
        sources: vec![cold.source],
    })
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
    document.paragraph(format!(
        "Cold its element has {} ({} to {}); its own heat is counted. Probe the two test points on the fuse itself: the clips of its holder lose about as much again, and more than that from post to post is a bad holder.",
        found.cold.typical, found.cold.low, found.cold.high
    ));
    document
}
