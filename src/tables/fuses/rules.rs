//! Loading, ambient, breaking capacity, selectivity and wire rules.

use super::style::FuseStyle;
use crate::quantities::{Amps, Celsius, Fraction, Metres};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::{OutOfTable, figure, interpolation, need, row_named};

/// Steady current a fuse is loaded with at most, as a share of its rating.
///
/// # Errors
/// When the table cannot be read.
///
/// # Source
/// Inverse of the 125 % of NEC 210.20(A).
pub fn steady_loading() -> Result<Sourced<Fraction>, OutOfTable> {
    loading("inverse of 125 % for loads of three hours or more")
}

/// Share of the rating above which steady loading earns a caution.
///
/// # Errors
/// When the table cannot be read.
pub fn loading_caution() -> Result<Sourced<Fraction>, OutOfTable> {
    loading("offset between test fixture and real holders")
}

fn loading(basis: &str) -> Result<Sourced<Fraction>, OutOfTable> {
    let table = need("loading-rules")?;
    let row = row_named(table, "basis", basis, "rule")?;
    let source = Source {
        place: table.text(row, "where").unwrap_or_default().to_owned(),
        ..table.row_source(row)
    };
    Ok(Sourced::new(
        Fraction::new(figure(table, row, "share")?),
        source,
    ))
}

/// Factor on a fuse's rating at an ambient: sqrt((Tc - Ta)/(Tc - 25)).
///
/// Tc is 420 degrees C for zinc blades and strips, 280 for fast glass, 230 for
/// delayed glass.
///
/// # Errors
/// When the ambient is outside -40 to 150 degrees C.
pub fn ambient_factor(style: FuseStyle, ambient: Celsius) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("fuse-ambient")?;
    let kind = match style {
        FuseStyle::Blade
        | FuseStyle::MiniBlade
        | FuseStyle::HighCurrentBlade
        | FuseStyle::Strip => "blade, zinc",
        FuseStyle::Glass => "small air-gap fuse",
        FuseStyle::SlowGlass => "delayed, tin or solder alloy",
    };
    let row = row_named(table, "kind", kind, "kind of fuse")?;
    let critical_degc = figure(table, row, "critical_degc")?;
    let ambient_degc = ambient.si();
    if !(-40.0..=150.0).contains(&ambient_degc) {
        return Err(OutOfTable::new(
            format!("no fuse rating factor at {ambient}"),
            "the law is used from -40 to 150 degrees C",
            &table.id,
        ));
    }
    let factor = ((critical_degc - ambient_degc) / (critical_degc - 25.0)).sqrt();
    let place = format!("sqrt((Tc - Ta)/(Tc - 25)), Tc = {critical_degc} degrees C");
    Ok(Sourced::new(
        factor,
        Source::new(table.source.document.clone(), place, Standing::Derived),
    ))
}

/// Factor by which the needed current of a thermal breaker grows with ambient.
///
/// # Errors
/// When the ambient is outside -20 to 60 degrees C.
pub fn breaker_ambient_factor(ambient: Celsius) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("breaker-ambient")?;
    let points: Vec<(f64, f64)> = (0..table.rows.len())
        .filter_map(|row| {
            Some((
                table.number(row, "ambient_degc")?,
                table.number(row, "factor")?,
            ))
        })
        .collect();
    let factor = interpolation::between(&points, ambient.si()).ok_or_else(|| {
        OutOfTable::new(
            format!("no breaker factor at {ambient}"),
            "it is listed from -20 to 60 degrees C",
            &table.id,
        )
    })?;
    Ok(Sourced::new(factor, table.source.clone()))
}

/// Least interrupting capacity of a breaker by the battery's cranking amperes;
/// `main` is the first device from the battery.
///
/// # Errors
/// When the cranking current is negative.
///
/// # Source
/// ABYC E-11 table V-A.
pub fn breaker_capacity(cold_cranking: Amps, main: bool) -> Result<Sourced<Amps>, OutOfTable> {
    let table = need("breaking-capacity-breakers")?;
    let row = (0..table.rows.len()).find(|&row| {
        table
            .number(row, "cranking_to_a")
            .is_some_and(|to| cold_cranking.si() >= 0.0 && cold_cranking.si() <= to)
    });
    let row = row.ok_or_else(|| {
        OutOfTable::new(
            format!(
                "no capacity for a battery of {} A cranking",
                cold_cranking.si()
            ),
            "cranking currents are zero or more",
            &table.id,
        )
    })?;
    let column = if main { "main_a" } else { "branch_a" };
    Ok(Sourced::new(
        Amps::new(figure(table, row, column)?),
        table.row_source(row),
    ))
}

/// Ratio of ratings from which the gates alone make two devices selective.
/// Families by word: `blade` also for mini-blade, `breaker` for thermal ones.
///
/// # Errors
/// When the pair is not worked out (glass is not).
pub fn selectivity_ratio(downstream: &str, upstream: &str) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("selectivity-gates")?;
    let fold = |word: &str| {
        if word == "mini-blade" {
            "blade".to_owned()
        } else {
            word.to_owned()
        }
    };
    let (down, up) = (fold(downstream), fold(upstream));
    let row = (0..table.rows.len()).find(|&row| {
        table.text(row, "downstream") == Some(down.as_str())
            && table.text(row, "upstream") == Some(up.as_str())
    });
    let row = row.ok_or_else(|| {
        OutOfTable::new(
            format!("no ratio for {downstream} under {upstream}"),
            "pairs of blade, high-current-blade, strip and breaker are worked out",
            &table.id,
        )
    })?;
    Ok(Sourced::new(
        figure(table, row, "ratio")?,
        table.row_source(row),
    ))
}

/// Share of melting I2t a pulse may have for so many pulses: 0.807 N^-0.113.
///
/// # Errors
/// Below 100 pulses, where the fit was not made.
pub fn pulse_share(pulses: f64) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("pulse-withstand")?;
    let fitted = pulses >= 100.0;
    if !fitted {
        return Err(OutOfTable::new(
            format!("no pulse share for {pulses} pulses"),
            "the chart runs from 100 to 100000 pulses",
            &table.id,
        ));
    }
    Ok(Sourced::new(
        0.807 * pulses.powf(-0.113),
        Source::new(
            table.source.document.clone(),
            "chart 2, fit 0.807 N^-0.113",
            Standing::Derived,
        ),
    ))
}

/// Largest fuse for a direct-current motor, percent of its full-load current.
///
/// # Errors
/// When the table cannot be read.
///
/// # Source
/// NEC 430.52, direct current.
pub fn motor_fuse_ceiling_percent() -> Result<Sourced<f64>, OutOfTable> {
    let table = need("motor-fuse-ceilings")?;
    let row = row_named(
        table,
        "rule",
        "direct-current motor, fuse without delay",
        "rule",
    )?;
    Ok(Sourced::new(
        figure(table, row, "percent")?,
        table.row_source(row),
    ))
}

/// How far a device may exceed the wire under a rule: the base percent, and the
/// percent up to which the next standard size is allowed.
///
/// # Errors
/// When there is no such rule; the refusal lists them.
pub fn wire_rule_percent(rule: &str) -> Result<Sourced<(f64, f64)>, OutOfTable> {
    let table = need("fuse-to-wire-rules")?;
    let row = row_named(table, "rule", rule, "rule")?;
    Ok(Sourced::new(
        (
            figure(table, row, "base_percent")?,
            figure(table, row, "next_size_percent")?,
        ),
        table.row_source(row),
    ))
}

/// Length of wire a rule of placement allows before its device, metres: "place-1"
/// (7 in), "place-2" (40 in, sheathed), "abyc-battery" (72 in, sheathed, straight
/// from the battery), "iso-dc-place" (200 mm).
///
/// # Errors
/// When there is no such rule; the refusal lists them.
pub fn placement_length(rule: &str) -> Result<Sourced<Metres>, OutOfTable> {
    let table = need("placement-rules")?;
    let row = row_named(table, "rule", rule, "rule")?;
    let length = if rule == "abyc-battery" {
        // Its row gives both figures; the sheathed one is that of 183.460.
        figure(table, row_named(table, "rule", "battery", "rule")?, "limit")?
    } else {
        figure(table, row, "limit")?
    };
    let metres = if table.text(row, "unit") == Some("mm") {
        length / 1000.0
    } else {
        length * 0.0254
    };
    let mut source = table.row_source(row);
    table
        .text(row, "cite")
        .unwrap_or_default()
        .clone_into(&mut source.document);
    table
        .text(row, "says")
        .unwrap_or_default()
        .clone_into(&mut source.place);
    Ok(Sourced::new(Metres::new(metres), source))
}
