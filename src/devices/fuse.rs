//! Fuse and breaker in the steady state: a resistance that grows with heat.
//!
//! R = clips + `R_cold` (1 + 0.59 u), with u the heat of the element, 0 cold and
//! 1 melting; at a steady m times the rating u is 0.70 m^2 (nominal), so at
//! the rating a fuse has 1.4 times its cold resistance.
//!
//! # Limits
//! Above 1.2 times the rating the element would melt; its resistance is held
//! at the melting value and the loading is reported instead.

use super::shelf::{Shelf, in_words};
use crate::circuit::{Breaker, Fuse, FuseBlock};
use crate::quantities::{Amps, Band, Celsius, Ohms};
use crate::sources::Sourced;
use crate::tables::OutOfTable;
use crate::tables::contacts::{ContactKind, contact};
use crate::tables::fuses::{
    FuseStyle, ambient_factor, breaker_ambient_factor, breaker_resistance, cold_resistance,
    heat_state_at_rating, hot_rise,
};

/// Electrical figures of a fuse or breaker.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkModel {
    /// Family; none for a breaker.
    pub style: Option<FuseStyle>,
    /// Fitted rating.
    pub rating: Amps,
    /// Cold resistance of the element.
    pub cold: Band<Ohms>,
    /// Both clips of its holder.
    pub clips: Band<Ohms>,
    /// Relative rise of the element's resistance per ampere squared.
    pub rise_per_a2: f64,
    /// Largest relative rise: at melting.
    pub rise_cap: f64,
    /// Factor on the rating for the air around it.
    pub ambient_factor: f64,
}

pub(super) fn resolve(
    spec: &Fuse,
    subject: &str,
    ambient: Celsius,
    shelf: &mut Shelf,
) -> Result<LinkModel, OutOfTable> {
    let rating = spec.rating.value;
    let style = spec.style.value;
    // A rating its family is not made in is told by the reader; here it still
    // gets a resistance, from the drop any fuse has at its rating.
    let cold = cold_resistance(style, rating).or_else(|_| breaker_resistance(rating))?;
    let factor = ambient_factor(style, ambient)?.value;
    link(Some(style), rating, cold, factor, subject, shelf)
}

pub(super) fn resolve_block(
    block: &FuseBlock,
    subject: &str,
    ambient: Celsius,
    shelf: &mut Shelf,
) -> Result<Vec<LinkModel>, OutOfTable> {
    let one = |slot: &crate::circuit::Slot, shelf: &mut Shelf| {
        resolve(
            &slot.fuse,
            &format!("{subject}.{}", slot.name),
            ambient,
            shelf,
        )
    };
    block.slots.iter().map(|slot| one(slot, shelf)).collect()
}

pub(super) fn resolve_breaker(
    spec: &Breaker,
    subject: &str,
    ambient: Celsius,
    shelf: &mut Shelf,
) -> Result<LinkModel, OutOfTable> {
    let rating = spec.rating.value;
    let factor = breaker_rating_factor(ambient)?;
    let cold = breaker_resistance(rating)?;
    link(None, rating, cold, factor, subject, shelf)
}

/// Factor on the rating of a thermal breaker in air of a temperature, held to
/// what its table lists (-20 to 60 degC).
///
/// # Errors
/// When the table cannot be read.
pub fn breaker_rating_factor(air: Celsius) -> Result<f64, OutOfTable> {
    let listed = Celsius::new(air.si().clamp(LISTED_DEGC.0, LISTED_DEGC.1));
    // The table says by how much the needed rating grows.
    Ok(1.0 / breaker_ambient_factor(listed)?.value)
}

/// Air the table of breakers is for, degC.
const LISTED_DEGC: (f64, f64) = (-20.0, 60.0);

fn link(
    style: Option<FuseStyle>,
    rating: Amps,
    cold: Sourced<Band<Ohms>>,
    ambient_factor: f64,
    subject: &str,
    shelf: &mut Shelf,
) -> Result<LinkModel, OutOfTable> {
    shelf.note(
        subject,
        format!("cold resistance {}", in_words(&cold.value)),
        cold.source,
    );
    let (kind, ends) = match style {
        Some(FuseStyle::Strip) | None => (ContactKind::BoltedJoint, "bolted ends"),
        Some(_) => (ContactKind::FuseClips, "both clips"),
    };
    let clips = contact(kind)?;
    shelf.note(
        "fuse holders",
        format!("{ends} {}", in_words(&clips.value)),
        clips.source.clone(),
    );
    let melting = hot_rise()?.value;
    let rating_a = rating.si() * ambient_factor;
    Ok(LinkModel {
        style,
        rating,
        cold: cold.value,
        clips: clips.value,
        rise_per_a2: melting * heat_state_at_rating()?.value / (rating_a * rating_a),
        rise_cap: melting,
        ambient_factor,
    })
}
