//! What a wire is taken to be where nobody measured it.
//!
//! Ranges by this project's judgement; whoever measures narrows them.

use super::{OutOfTable, figure, need, row_named};
use crate::quantities::{Band, Metres, WireSize};
use crate::sources::Sourced;

/// Where an unmeasured wire lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lies {
    /// With an end on a battery's post.
    AtTheBattery,
    /// In the engine space.
    EngineSpace,
    /// Anywhere else on the boat.
    Boat,
    /// On the bench.
    Bench,
}

/// What an unread wire hangs on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HangsOn {
    /// A fuse of so many amperes, the smallest before it.
    Fuse(f64),
    /// A battery post, with no fuse between.
    Post,
    /// Nothing known: a return that several loads share.
    Unknown,
}

/// Sizes a wire may have: thinnest, most likely, thickest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// The thinnest.
    pub thinnest: WireSize,
    /// The most likely.
    pub typical: WireSize,
    /// The thickest.
    pub thickest: WireSize,
}

/// Length of a wire that was not measured, one way.
///
/// # Errors
/// When the table cannot be read.
pub fn length(lies: Lies) -> Result<Sourced<Band<Metres>>, OutOfTable> {
    let table = need("unwritten-lengths")?;
    let name = match lies {
        Lies::AtTheBattery => "at the battery",
        Lies::EngineSpace => "in the engine space",
        Lies::Boat => "on the boat",
        Lies::Bench => "on the bench",
    };
    let row = row_named(table, "lies", name, "place")?;
    let metres = |column: &str| figure(table, row, column).map(Metres::new);
    let band = Band::new(metres("low_m")?, metres("typical_m")?, metres("high_m")?);
    Ok(Sourced::new(band, table.row_source(row)))
}

/// Size of a wire that was not read.
///
/// # Errors
/// When the table cannot be read.
pub fn sizes(hangs_on: HangsOn) -> Result<Sourced<Sizes>, OutOfTable> {
    let table = need("unwritten-sizes")?;
    let row = match hangs_on {
        HangsOn::Post => row_named(table, "hangs_on", "a battery post", "row")?,
        HangsOn::Unknown => row_named(table, "hangs_on", "no fuse known", "row")?,
        HangsOn::Fuse(rating_a) => by_fuse(table, rating_a)?,
    };
    // AWG numbers are whole; 0 is 1/0.
    let size = |column: &str| figure(table, row, column).map(|n| WireSize::Awg(n as i32));
    let sizes = Sizes {
        thinnest: size("thinnest_awg")?,
        typical: size("typical_awg")?,
        thickest: size("thickest_awg")?,
    };
    Ok(Sourced::new(sizes, table.row_source(row)))
}

/// The thinnest wire found behind a fuse of any rating.
///
/// # Errors
/// When the table cannot be read.
pub fn thinnest_behind_a_fuse() -> Result<WireSize, OutOfTable> {
    let table = need("unwritten-sizes")?;
    let behind_a_fuse = |row: &usize| table.text(*row, "hangs_on") == Some("a fuse");
    let mut thinnest = f64::NEG_INFINITY;
    for row in (0..table.rows.len()).filter(behind_a_fuse) {
        thinnest = thinnest.max(figure(table, row, "thinnest_awg")?);
    }
    Ok(WireSize::Awg(thinnest as i32))
}

/// Inside resistance of a working battery of unknown age, over what it had new.
///
/// # Errors
/// When the table cannot be read.
pub fn ageing() -> Result<Sourced<Band<f64>>, OutOfTable> {
    let table = need("unwritten-ages")?;
    let row = row_named(table, "part", "battery, inside resistance over new", "part")?;
    let band = Band {
        low: figure(table, row, "low_times")?,
        typical: figure(table, row, "typical_times")?,
        high: figure(table, row, "high_times")?,
    };
    Ok(Sourced::new(band, table.row_source(row)))
}

/// The first row whose fuse is as large, else the last of them.
fn by_fuse(table: &super::Table, rating_a: f64) -> Result<usize, OutOfTable> {
    let mut last = row_named(table, "hangs_on", "a fuse", "row")?;
    for row in 0..table.rows.len() {
        if table.text(row, "hangs_on") != Some("a fuse") {
            continue;
        }
        last = row;
        if rating_a <= figure(table, row, "up_to_a")? {
            break;
        }
    }
    Ok(last)
}
