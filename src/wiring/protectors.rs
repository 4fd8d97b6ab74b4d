//! The largest standard fuse of a wire under each published rule.
//!
//! The rules disagree by a factor of three; all are shown side by side. Ours
//! is the strict one: no more than the wire may carry where it lies, no less
//! than the load over 0.8.

use super::InPlace;
use crate::quantities::{Amps, SizeSystem, WireSize};
use crate::sources::{Source, Standing};
use crate::tables::conductors::gauge_name;
use crate::tables::fuses::{FuseStyle, standard_ratings, steady_loading, wire_rule_percent};
use crate::tables::{OutOfTable, table};

const CHART: &str = "protectors-faa-11-3";

/// Whose rule a ceiling follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// 100 % of what the wire may carry in place, bundle counted.
    Ours,
    /// 33 CFR 183.455(c)(1): 150 % of the table value, under 50 V.
    Cfr,
    /// ISO 10133: 100 % of the corrected current.
    Iso,
    /// FAA AC 43.13-1B table 11-3, aircraft bundles.
    Faa,
}

impl Basis {
    /// The word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ours => "ours",
            Self::Cfr => "33-cfr-183.455",
            Self::Iso => "iso-10133",
            Self::Faa => "faa-ac-43.13-1b",
        }
    }

    /// The rule in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ours => "used here: 100 % of what it may carry there",
            Self::Cfr => "33 CFR 183.455(c)(1): 150 % of the table value",
            Self::Iso => "ISO 10133: 100 % of the corrected current",
            Self::Faa => "FAA AC 43.13-1B: aircraft chart",
        }
    }
}

/// The most a basis lets stand before a wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Ceiling {
    /// Whose rule.
    pub basis: Basis,
    /// The most it allows; none where it does not list the wire.
    pub limit: Option<Amps>,
    /// Largest standard rating at or below it.
    pub largest: Option<Amps>,
    /// Where the rule stands.
    pub source: Source,
}

/// Ceilings of a wire under every basis.
///
/// # Errors
/// When a table cannot be read.
pub fn ceilings(wire: &InPlace, family: FuseStyle) -> Result<Vec<Ceiling>, OutOfTable> {
    let cfr = wire_rule_percent("33 CFR 183.455(c)(1), under 50 V")?;
    let iso = wire_rule_percent("ISO 10133 and ISO 13297")?;
    let corrected_a = match &wire.model.allowed {
        Ok(allowed) => allowed.corrected.si(),
        Err(_) => wire.carries.si(),
    };
    let judged = Source::new(
        "fuse at or below what the wire may carry in place",
        "",
        Standing::Judgement,
    );
    let (faa_a, faa) = chart(wire.size);
    let rows = [
        (Basis::Ours, Some(wire.carries.si()), judged),
        (
            Basis::Cfr,
            // Its table lists no metric sizes.
            (wire.size.system() != SizeSystem::Metric)
                .then(|| wire.table.si() * cfr.value.0 / 100.0),
            Source::new("33 CFR 183.455", "(c)(1), under 50 V", cfr.source.standing),
        ),
        (
            Basis::Iso,
            Some(corrected_a * iso.value.0 / 100.0),
            Source::new(
                "ISO 10133 and ISO 13297",
                "device at or below the wire",
                iso.source.standing,
            ),
        ),
        (Basis::Faa, faa_a, faa),
    ];
    rows.into_iter()
        .map(|(basis, limit_a, source)| {
            let largest = match limit_a {
                Some(limit_a) => largest_at_most(family, limit_a)?,
                None => None,
            };
            Ok(Ceiling {
                basis,
                limit: limit_a.map(Amps::new),
                largest,
                source,
            })
        })
        .collect()
}

/// The fuse the aircraft chart puts before a gauge; it lists AWG only.
fn chart(size: WireSize) -> (Option<f64>, Source) {
    let missing = Source::new("FAA AC 43.13-1B", "table 11-3", Standing::Published);
    let WireSize::Awg(number) = size else {
        return (None, missing);
    };
    let found = table(CHART).and_then(|chart| {
        let row = chart.find("size", &gauge_name(number))?;
        Some((chart.number(row, "fuse_a"), chart.row_source(row)))
    });
    found.unwrap_or((None, missing))
}

/// Largest standard rating at or below a current.
///
/// # Errors
/// When the table cannot be read.
pub fn largest_at_most(family: FuseStyle, limit_a: f64) -> Result<Option<Amps>, OutOfTable> {
    let ratings = standard_ratings(family)?.value;
    let fits = |rating: &Amps| rating.si() <= limit_a * (1.0 + 1e-9);
    Ok(ratings.into_iter().rfind(fits))
}

/// Least standard rating that carries a load at 80 %.
///
/// # Errors
/// When the table cannot be read.
pub fn least_for(family: FuseStyle, load: Amps) -> Result<Option<Amps>, OutOfTable> {
    let needed_a = load.si() / steady_loading()?.value.si();
    let ratings = standard_ratings(family)?.value;
    let carries = |rating: &Amps| rating.si() >= needed_a * (1.0 - 1e-9);
    Ok(ratings.into_iter().find(carries))
}

/// The family that has a rating for a load: standard blade, then high-current
/// blade, then strip; and that least rating, if any has one.
///
/// # Errors
/// When the table cannot be read.
pub fn family_for(load: Amps) -> Result<(FuseStyle, Option<Amps>), OutOfTable> {
    for family in [FuseStyle::Blade, FuseStyle::HighCurrentBlade] {
        if let Some(least) = least_for(family, load)? {
            return Ok((family, Some(least)));
        }
    }
    Ok((FuseStyle::Strip, least_for(FuseStyle::Strip, load)?))
}
