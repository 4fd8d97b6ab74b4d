//! Fuse families by name, the ratings they are made in, and what they break.

use crate::quantities::{Amps, Volts};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::{OutOfTable, figure, need, row_named};
use std::fmt;

/// A family of fuses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FuseStyle {
    /// Standard blade, ISO 8820-3 type C.
    Blade,
    /// Miniature blade, ISO 8820-3 type F.
    MiniBlade,
    /// High-current blade, ISO 8820-3 type E.
    HighCurrentBlade,
    /// Bolt-in strip, ISO 8820-5.
    Strip,
    /// Fast glass tube, 6.3 x 32 mm.
    Glass,
    /// Time-delay glass tube, 6.3 x 32 mm.
    SlowGlass,
}

impl FuseStyle {
    /// Every family.
    pub const ALL: [Self; 6] = [
        Self::Blade,
        Self::MiniBlade,
        Self::HighCurrentBlade,
        Self::Strip,
        Self::Glass,
        Self::SlowGlass,
    ];

    /// The word in circuit files and tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Blade => "blade",
            Self::MiniBlade => "mini-blade",
            Self::HighCurrentBlade => "high-current-blade",
            Self::Strip => "strip",
            Self::Glass => "glass",
            Self::SlowGlass => "slow-glass",
        }
    }

    /// The name in full.
    pub const fn trade_name(self) -> &'static str {
        match self {
            Self::Blade => "standard blade fuse (ISO 8820-3 type C)",
            Self::MiniBlade => "miniature blade fuse (ISO 8820-3 type F)",
            Self::HighCurrentBlade => "high-current blade fuse (ISO 8820-3 type E)",
            Self::Strip => "bolt-in strip fuse (ISO 8820-5)",
            Self::Glass => "fast glass tube fuse (UL 248-14, 6.3 x 32 mm)",
            Self::SlowGlass => "time-delay glass tube fuse (UL 248-14, 6.3 x 32 mm)",
        }
    }

    /// Reads the word back.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|style| style.word() == word)
    }

    /// The family whose gates and networks it shares.
    pub(super) const fn gate_family(self) -> &'static str {
        match self {
            Self::Blade | Self::MiniBlade => "blade",
            other => other.word(),
        }
    }

    /// The family whose stocked ratings it shares.
    const fn stock_family(self) -> &'static str {
        match self {
            Self::SlowGlass => "glass",
            other => other.word(),
        }
    }
}

impl fmt::Display for FuseStyle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Ratings stocked in a family, rising.
///
/// # Errors
/// When the table cannot be read.
pub fn standard_ratings(style: FuseStyle) -> Result<Sourced<Vec<Amps>>, OutOfTable> {
    ratings_of(style.stock_family())
}

/// Ratings stocked in thermal breakers, rising.
///
/// # Errors
/// When the table cannot be read.
pub fn breaker_ratings() -> Result<Sourced<Vec<Amps>>, OutOfTable> {
    ratings_of("breaker")
}

fn ratings_of(family: &str) -> Result<Sourced<Vec<Amps>>, OutOfTable> {
    let table = need("standard-ratings")?;
    let ratings = (0..table.rows.len())
        .filter(|&row| table.text(row, "family") == Some(family))
        .filter_map(|row| table.number(row, "rating_a").map(Amps::new))
        .collect();
    Ok(Sourced::new(ratings, table.source.clone()))
}

/// Least and greatest rating the family is made in.
///
/// # Errors
/// When the table cannot be read.
pub fn rating_range(style: FuseStyle) -> Result<Sourced<(Amps, Amps)>, OutOfTable> {
    let id = match style {
        FuseStyle::Glass | FuseStyle::SlowGlass => {
            let most = if style == FuseStyle::Glass {
                35.0
            } else {
                30.0
            };
            let table = need("gates-glass")?;
            return Ok(Sourced::new(
                (Amps::new(0.05), Amps::new(most)),
                table.source.clone(),
            ));
        }
        _ => "blade-families",
    };
    let table = need(id)?;
    let row = row_named(table, "family", family_row(style), "family")?;
    Ok(Sourced::new(
        (
            Amps::new(figure(table, row, "rating_from_a")?),
            Amps::new(figure(table, row, "rating_to_a")?),
        ),
        table.row_source(row),
    ))
}

const fn family_row(style: FuseStyle) -> &'static str {
    match style {
        FuseStyle::Blade => "blade, type C",
        FuseStyle::MiniBlade => "mini-blade, type F",
        FuseStyle::HighCurrentBlade => "high-current-blade, type E",
        FuseStyle::Strip => "strip, 30 and 51 mm holes",
        FuseStyle::Glass | FuseStyle::SlowGlass => "glass, low-voltage use",
    }
}

/// Refuses a rating the family is not made in.
pub(super) fn within_range(style: FuseStyle, rating: Amps) -> Result<(), OutOfTable> {
    let (least, most) = rating_range(style)?.value;
    let made = rating.si() >= least.si() && rating.si() <= most.si();
    if made {
        return Ok(());
    }
    Err(OutOfTable::new(
        format!("there is no {} A {style} fuse", rating.si()),
        format!("the family runs from {} A to {} A", least.si(), most.si()),
        match style {
            FuseStyle::Glass | FuseStyle::SlowGlass => "gates-glass",
            _ => "blade-families",
        },
    ))
}

/// Largest current the family is made to break.
///
/// # Errors
/// Glass: no breaking capacity is published for it at these voltages.
///
/// # Source
/// Scopes of ISO 8820-3 and ISO 8820-5.
pub fn breaking_capacity(style: FuseStyle) -> Result<Sourced<Amps>, OutOfTable> {
    let glass = matches!(style, FuseStyle::Glass | FuseStyle::SlowGlass);
    if glass {
        return Err(OutOfTable::new(
            format!("no breaking capacity for a {style} fuse"),
            "none is published for glass at 32 V; blades break 1000 A, strips 2000 A",
            "high-current-fuses",
        ));
    }
    let table = need("blade-families")?;
    let row = row_named(table, "family", family_row(style), "family")?;
    // The breaking capacity itself was read, whatever the range's standing.
    let source = Source {
        standing: Standing::Published,
        ..table.row_source(row)
    };
    Ok(Sourced::new(
        Amps::new(figure(table, row, "breaking_a")?),
        source,
    ))
}

/// Greatest circuit voltage of the family.
///
/// # Errors
/// When the table cannot be read.
pub fn voltage_rating(style: FuseStyle) -> Result<Sourced<Volts>, OutOfTable> {
    let glass = matches!(style, FuseStyle::Glass | FuseStyle::SlowGlass);
    let table = need(if glass {
        "high-current-fuses"
    } else {
        "blade-families"
    })?;
    let row = row_named(table, "family", family_row(style), "family")?;
    let mut source = table.row_source(row);
    if !glass {
        source.standing = Standing::Published;
    }
    Ok(Sourced::new(
        Volts::new(figure(table, row, "voltage_v")?),
        source,
    ))
}
