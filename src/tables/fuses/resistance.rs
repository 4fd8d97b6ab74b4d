//! Resistance of fuses, cold and hot, and the heat it takes to melt them.

use super::networks::{Edge, network};
use super::style::{FuseStyle, within_range};
use crate::quantities::{Amps, Band, Ohms};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::{OutOfTable, Table, figure, interpolation, need};

fn row_of_rating(table: &Table, rating: Amps) -> Option<usize> {
    (0..table.rows.len()).find(|&row| table.number(row, "rating_a") == Some(rating.si()))
}

fn blade_table(style: FuseStyle) -> &'static str {
    match style {
        FuseStyle::MiniBlade => "fuse-resistance-mini-blade",
        _ => "fuse-resistance-blade",
    }
}

/// Cold resistance of a fuse without its clips.
///
/// Blade and mini-blade: the row within 15 %, between rows the fit 123 x
/// rating^-1.2035 mohm within 20 %. High-current blade and strip: 0.8 x the
/// greatest drop / (1.4 x rating), within 30 %. Glass: 0.1 V at the rating, hot
/// 1.4 x cold, within 40 %: judgement, no table was found.
///
/// # Errors
/// When the family is not made in this rating.
pub fn cold_resistance(style: FuseStyle, rating: Amps) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    within_range(style, rating)?;
    match style {
        FuseStyle::Blade | FuseStyle::MiniBlade => blade(style, rating),
        FuseStyle::HighCurrentBlade => from_drop("E", rating),
        FuseStyle::Strip => from_drop("strip", rating),
        FuseStyle::Glass | FuseStyle::SlowGlass => Ok(Sourced::new(
            Band::within(Ohms::new(0.1 / (1.4 * rating.si())), 0.40),
            Source::new(
                "no table of glass fuse resistance was found",
                "0.1 V at the rating, hot 1.4 x cold",
                Standing::Judgement,
            ),
        )),
    }
}

fn blade(style: FuseStyle, rating: Amps) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    let table = need(blade_table(style))?;
    let tolerance = table.limit("resistance_tolerance").unwrap_or(0.15);
    if let Some(row) = row_of_rating(table, rating) {
        let ohms = Ohms::new(figure(table, row, "cold_mohm")? / 1000.0);
        return Ok(Sourced::new(
            Band::within(ohms, tolerance),
            table.row_source(row),
        ));
    }
    let ohms = Ohms::new(0.123 * rating.si().powf(-1.2035));
    Ok(Sourced::new(
        Band::within(ohms, 0.20),
        Source::new(
            table.source.document.clone(),
            "fit 123 x rating^-1.2035 mohm",
            Standing::Derived,
        ),
    ))
}

fn from_drop(family: &str, rating: Amps) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    let table = need("fuse-resistance-high-current")?;
    let tolerance = table.limit("resistance_tolerance").unwrap_or(0.30);
    let rows: Vec<usize> = (0..table.rows.len())
        .filter(|&row| table.text(row, "family") == Some(family))
        .collect();
    let distance = |row: usize| {
        table
            .number(row, "rating_a")
            .map_or(f64::INFINITY, |listed| (listed - rating.si()).abs())
    };
    let nearest = rows
        .into_iter()
        .min_by(|a, b| distance(*a).total_cmp(&distance(*b)))
        .ok_or_else(|| {
            OutOfTable::new(
                format!("no resistance for {family}"),
                "the table has type E and strip fuses",
                &table.id,
            )
        })?;
    let mohm = if distance(nearest) == 0.0 {
        figure(table, nearest, "cold_mohm")?
    } else {
        0.8 * figure(table, nearest, "greatest_drop_mv")? / (1.4 * rating.si())
    };
    Ok(Sourced::new(
        Band::within(Ohms::new(mohm / 1000.0), tolerance),
        table.row_source(nearest),
    ))
}

/// Resistance of a thermal breaker: 0.1 V at its rating, half either way.
///
/// # Errors
/// When the rating is not above zero.
pub fn breaker_resistance(rating: Amps) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    let made = rating.si().is_finite() && rating.si() > 0.0;
    if !made {
        return Err(OutOfTable::new(
            format!("there is no {} A breaker", rating.si()),
            "ratings are above zero",
            "standard-ratings",
        ));
    }
    Ok(Sourced::new(
        Band::within(Ohms::new(0.1 / rating.si()), 0.50),
        Source::new(
            "no table of breaker resistance was found",
            "0.1 V at the rating",
            Standing::Judgement,
        ),
    ))
}

/// Rise of fuse resistance from cold (heat state 0) to melting (1): R = cold x
/// (1 + rise x u).
///
/// # Errors
/// When the table cannot be read.
pub fn hot_rise() -> Result<Sourced<f64>, OutOfTable> {
    let table = need("fuse-hot-resistance")?;
    let rise = table.limit("rise").ok_or_else(|| {
        OutOfTable::new("the rise is missing", "its table has the rows", &table.id)
    })?;
    Ok(Sourced::new(rise, table.source.clone()))
}

/// Heat state of a nominal blade fuse settled at its rated current.
///
/// # Errors
/// When the table cannot be read.
pub fn heat_state_at_rating() -> Result<Sourced<f64>, OutOfTable> {
    let table = need("fuse-hot-resistance")?;
    let row = (0..table.rows.len()).find(|&row| table.number(row, "multiple") == Some(1.0));
    let row = row.ok_or_else(|| {
        OutOfTable::new("no row at the rating", "its table has others", &table.id)
    })?;
    Ok(Sourced::new(
        figure(table, row, "heat_state")?,
        table.row_source(row),
    ))
}

/// Melting I2t, A2s: low, typical, high.
///
/// Blade and mini-blade: the row within 40 %, between rows by logarithms.
/// High-current blade: 3 to 6 x rating squared, recalled. Strip and glass: from
/// the thermal networks, early to late.
///
/// # Errors
/// When the family is not made in this rating.
pub fn i2t(style: FuseStyle, rating: Amps) -> Result<Sourced<Band<f64>>, OutOfTable> {
    within_range(style, rating)?;
    let square = rating.si() * rating.si();
    match style {
        FuseStyle::Blade | FuseStyle::MiniBlade => blade_i2t(style, rating),
        FuseStyle::HighCurrentBlade => Ok(Sourced::new(
            Band {
                low: 3.0 * square,
                typical: 4.5 * square,
                high: 6.0 * square,
            },
            Source::new(
                need("fuse-resistance-high-current")?
                    .source
                    .document
                    .clone(),
                "3 to 6 x rating squared",
                Standing::Unverified,
            ),
        )),
        FuseStyle::Strip | FuseStyle::Glass | FuseStyle::SlowGlass => {
            let of = |edge| -> Result<Sourced<f64>, OutOfTable> {
                Ok(network(style, rating, edge)?.map(|states| {
                    let rate: f64 = states.iter().map(|s| s.a / s.tau.si()).sum();
                    square / rate
                }))
            };
            let early = of(Edge::Early)?;
            Ok(Sourced::new(
                Band {
                    low: early.value,
                    typical: of(Edge::Nominal)?.value,
                    high: of(Edge::Late)?.value,
                },
                early.source,
            ))
        }
    }
}

fn blade_i2t(style: FuseStyle, rating: Amps) -> Result<Sourced<Band<f64>>, OutOfTable> {
    let table = need(blade_table(style))?;
    let points: Vec<(f64, f64)> = (0..table.rows.len())
        .filter_map(|row| {
            Some((
                table.number(row, "rating_a")?.ln(),
                table.number(row, "i2t_a2s")?.ln(),
            ))
        })
        .collect();
    let typical = interpolation::between(&points, rating.si().ln())
        .ok_or_else(|| {
            OutOfTable::new(
                format!("no I2t for a {} A {style} fuse", rating.si()),
                "it is listed by the stocked ratings",
                &table.id,
            )
        })?
        .exp();
    let tolerance = table.limit("i2t_tolerance").unwrap_or(0.40);
    let mut source = table.source.clone();
    if row_of_rating(table, rating).is_none() {
        source.standing = Standing::Derived;
    }
    Ok(Sourced::new(
        Band {
            low: typical * (1.0 - tolerance),
            typical,
            high: typical * (1.0 + tolerance),
        },
        source,
    ))
}

/// Current by the millivolt across a cold fuse, A/mV, from its cold resistance.
///
/// # Limits
/// Within 15 % for blades up to half the rating; a loaded element is hotter.
///
/// # Errors
/// As [`cold_resistance`].
pub fn amps_per_millivolt(style: FuseStyle, rating: Amps) -> Result<Sourced<f64>, OutOfTable> {
    cold_resistance(style, rating).map(|r| r.map(|band| 0.001 / band.typical.si()))
}
