//! Wire as metal: area, resistance, stocked sizes, insulation wall.
//!
//! AWG areas come from the gauge formula, SAE areas from the chart of least
//! areas, metric areas are nominal. The resistance of AWG and SAE wire is
//! 17.241/A x lay x tin ohm per kilometre at 20 degrees C; metric wire takes
//! the limits of IEC 60228 class 5, or of ISO 6722 for sizes only that has.
//! A resistance by the metre is a bare figure in ohm per metre.
//!
//! Used by the wire device, sizing and the drop checks.

use super::{OutOfTable, Table, constants, figure, need, row_named};
use crate::quantities::{Celsius, Metres, SizeSystem, SquareMillimetres, WireSize};
use crate::sources::{Source, Sourced, Standing};

/// Square millimetres in a circular mil, exactly: pi/4 x (0.0254 mm)^2.
pub const MM2_PER_CMIL: f64 = std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254;
const FEET_PER_METRE: f64 = 1.0 / 0.3048;

/// Make of a conductor in NEC chapter 9 table 8.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NecMake {
    /// One bare wire.
    SolidPlain,
    /// One tinned wire.
    SolidCoated,
    /// Bare strands.
    StrandedPlain,
    /// Tinned strands.
    StrandedCoated,
}

/// Conductor class of IEC 60228.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IecClass {
    /// Stranded.
    Two,
    /// Flexible.
    Five,
}

/// Writes a gauge number as the tables do: 0 is `1/0`, -3 is `4/0`.
pub fn gauge_name(number: i32) -> String {
    if number > 0 {
        number.to_string()
    } else {
        format!("{}/0", 1 - number)
    }
}

/// Reads a gauge number as the tables write it.
pub fn gauge_number(name: &str) -> Option<i32> {
    match name.strip_suffix("/0") {
        Some(zeros) => zeros.parse::<i32>().ok().map(|zeros| 1 - zeros),
        None => name.parse().ok(),
    }
}

/// Copper area of a wire.
///
/// AWG by d = 0.005 in x 92^((36 - n)/39), 4/0 to 22; SAE by its chart of
/// least areas; metric as named.
///
/// # Errors
/// When the gauge is outside the formula's range or the chart.
///
/// # Source
/// ASTM B258; ABYC E-11 chart.
pub fn area(size: WireSize) -> Result<Sourced<SquareMillimetres>, OutOfTable> {
    area_cmil(size).map(|area| area.map(|cmil| SquareMillimetres::new(cmil * MM2_PER_CMIL)))
}

/// Copper area in circular mils, as the American rules count it.
///
/// # Errors
/// As [`area`].
pub fn area_cmil(size: WireSize) -> Result<Sourced<f64>, OutOfTable> {
    match size {
        WireSize::Awg(number) => awg_cmil(number),
        WireSize::Sae(number) => sae_cmil(number),
        WireSize::Metric(mm2) if mm2.is_finite() && mm2 > 0.0 => Ok(Sourced::new(
            mm2 / MM2_PER_CMIL,
            Source::new("nominal area of metric wire", "", Standing::Derived),
        )),
        WireSize::Metric(mm2) => Err(OutOfTable::new(
            format!("no wire has {mm2} mm2"),
            "areas are above zero",
            "resistance-iec-60228",
        )),
    }
}

fn awg_cmil(number: i32) -> Result<Sourced<f64>, OutOfTable> {
    if !(-3..=22).contains(&number) {
        return Err(OutOfTable::new(
            format!("no area for {}", WireSize::Awg(number)),
            "the gauge formula is used from 4/0 AWG to 22 AWG",
            "awg-geometry",
        ));
    }
    let diameter_mil = 5.0 * 92f64.powf(f64::from(36 - number) / 39.0);
    let source = need("awg-geometry")?.source.clone();
    Ok(Sourced::new(diameter_mil * diameter_mil, source))
}

fn sae_cmil(number: i32) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("sae-areas")?;
    let row = gauge_row(table, "size", number).ok_or_else(|| {
        OutOfTable::new(
            format!("no area for {}", WireSize::Sae(number)),
            format!("the chart has {} SAE", gauges_of(table)),
            &table.id,
        )
    })?;
    Ok(Sourced::new(
        figure(table, row, "sae_least_cmil")?,
        table.row_source(row),
    ))
}

pub(super) fn gauge_row(table: &Table, column: &str, number: i32) -> Option<usize> {
    table.find(column, &gauge_name(number))
}

/// The gauges a table lists, thin to thick: "18, 16, ... 4/0".
pub(super) fn gauges_of(table: &Table) -> String {
    let names: Vec<&str> = (0..table.rows.len())
        .filter_map(|row| table.text(row, "size"))
        .collect();
    names.join(", ")
}

/// Resistance by the metre at 20 degrees C, ohm per metre.
///
/// AWG and SAE: resistivity / area x lay x tin, lay 1.02; tin 1.06 for 16 and
/// thinner, 1.04 for 14 to 1/0, 1.03 above. Metric: the class 5 limit.
///
/// # Limits
/// The metric figures are limits; bought cable measures 1 to 6 % less.
///
/// # Errors
/// When the size is in no table.
///
/// # Source
/// Derived from IACS copper and the NEC columns; IEC 60228; ISO 6722-1.
pub fn resistance_20c(size: WireSize, tinned: bool) -> Result<Sourced<f64>, OutOfTable> {
    match size {
        WireSize::Awg(number) | WireSize::Sae(number) => gauge_resistance(size, number, tinned),
        WireSize::Metric(mm2) => metric_resistance(mm2, tinned),
    }
}

fn gauge_resistance(size: WireSize, number: i32, tinned: bool) -> Result<Sourced<f64>, OutOfTable> {
    let area_mm2 = area(size)?.value.si();
    let resistivity = constants::constant("resistivity at 20 degC, IACS annealed")?.value;
    let lay = constants::constant("lay factor, concentric strands")?.value;
    let tin = if tinned { tin_factor(number)? } else { 1.0 };
    let document = match size {
        WireSize::Sae(_) => "IACS copper over the chart area of SAE wire",
        _ => "IACS copper over the AWG area",
    };
    let place = if tinned {
        "lay 1.02, tin by NEC chapter 9 table 8"
    } else {
        "lay 1.02"
    };
    Ok(Sourced::new(
        resistivity / area_mm2 * lay * tin,
        Source::new(document, place, Standing::Derived),
    ))
}

fn tin_factor(number: i32) -> Result<f64, OutOfTable> {
    let name = match number {
        16.. => "tin factor, 18 AWG and thinner",
        0..=15 => "tin factor, 14 to 10 AWG",
        _ => "tin factor, thicker than 1/0 AWG",
    };
    constants::constant(name).map(|factor| factor.value)
}

fn metric_resistance(mm2: f64, tinned: bool) -> Result<Sourced<f64>, OutOfTable> {
    if let Ok(limit) = iec60228(mm2, IecClass::Five, tinned) {
        return Ok(limit);
    }
    let table = need("resistance-iso-6722")?;
    let row = area_row(table, mm2).ok_or_else(|| {
        OutOfTable::new(
            format!("no resistance for {mm2} mm2"),
            "IEC 60228 lists 0.5 to 120 mm2, ISO 6722 also 0.35, 1.25, 2, 3, 5, 8, 12, 20, 30, 40 and 60 mm2",
            &table.id,
        )
    })?;
    let plain = figure(table, row, "resistance_ohm_per_km")? / 1000.0;
    let source = table.row_source(row);
    if !tinned {
        return Ok(Sourced::new(plain, source));
    }
    // The largest ratio of the tinned to the plain class 5 limit.
    let tin = 1.03;
    let place = format!("{}; x 1.03 for tin, as class 5 of IEC 60228", source.place);
    Ok(Sourced::new(
        plain * tin,
        Source::new(source.document, place, Standing::Derived),
    ))
}

fn area_row(table: &Table, mm2: f64) -> Option<usize> {
    (0..table.rows.len()).find(|&row| {
        table
            .number(row, "area_mm2")
            .is_some_and(|area| (area - mm2).abs() < 1e-6)
    })
}

/// Resistance of copper at a temperature: r20 x (1 + 0.00393 (T - 20)).
///
/// # Errors
/// When the constants cannot be read.
pub fn resistance_at(r20: f64, temperature: Celsius) -> Result<f64, OutOfTable> {
    let alpha = constants::constant("temperature coefficient at 20 degC")?.value;
    Ok(r20 * (1.0 + alpha * (temperature.si() - 20.0)))
}

/// Sizes to choose from, thin to thick: those with an ampacity.
///
/// # Errors
/// When the tables cannot be read.
pub fn standard_sizes(system: SizeSystem) -> Result<Vec<WireSize>, OutOfTable> {
    let (id, column) = match system {
        SizeSystem::Awg => ("ampacity-cfr", "size"),
        SizeSystem::Sae => ("sae-areas", "size"),
        SizeSystem::Metric => ("ampacity-iso-10133", "area_mm2"),
    };
    let table = need(id)?;
    Ok((0..table.rows.len())
        .filter_map(|row| match system {
            SizeSystem::Metric => table.number(row, column).map(WireSize::Metric),
            SizeSystem::Awg => gauge_number(table.text(row, column)?).map(WireSize::Awg),
            SizeSystem::Sae => gauge_number(table.text(row, column)?).map(WireSize::Sae),
        })
        .collect())
}

/// Resistance by the metre at 75 degrees C as the NEC prints it, ohm per metre.
///
/// # Errors
/// When the gauge or the make is not printed.
///
/// # Source
/// NFPA 70, chapter 9, table 8.
pub fn nec_resistance_75c(awg: i32, make: NecMake) -> Result<Sourced<f64>, OutOfTable> {
    let column = match make {
        NecMake::SolidPlain => "solid_plain_ohm_per_kft",
        NecMake::SolidCoated => "solid_coated_ohm_per_kft",
        NecMake::StrandedPlain => "stranded_plain_ohm_per_kft",
        NecMake::StrandedCoated => "stranded_coated_ohm_per_kft",
    };
    by_gauge("resistance-nec", awg, column).map(|r| r.map(|kft| kft / 1000.0 * FEET_PER_METRE))
}

/// Resistance by the metre at 20 degrees C of class B and C strands, ohm per
/// metre.
///
/// # Errors
/// When the gauge is not listed (22 to 8 AWG are).
pub fn ul1581(awg: i32, coated: bool) -> Result<Sourced<f64>, OutOfTable> {
    let column = if coated {
        "stranded_coated_ohm_per_km"
    } else {
        "stranded_plain_ohm_per_km"
    };
    by_gauge("resistance-ul-1581", awg, column).map(|r| r.map(|km| km / 1000.0))
}

fn by_gauge(id: &str, awg: i32, column: &str) -> Result<Sourced<f64>, OutOfTable> {
    let table = need(id)?;
    let row = gauge_row(table, "size", awg).ok_or_else(|| {
        OutOfTable::new(
            format!("no resistance for {}", WireSize::Awg(awg)),
            format!("it lists {} AWG", gauges_of(table)),
            id,
        )
    })?;
    Ok(Sourced::new(
        figure(table, row, column)?,
        table.row_source(row),
    ))
}

/// Largest permitted resistance at 20 degrees C, ohm per metre.
///
/// # Errors
/// When the area is not a row (0.5 to 120 mm2).
///
/// # Source
/// IEC 60228, tables 2 and 3.
pub fn iec60228(mm2: f64, class: IecClass, tinned: bool) -> Result<Sourced<f64>, OutOfTable> {
    let table = need("resistance-iec-60228")?;
    let column = match (class, tinned) {
        (IecClass::Two, false) => "class2_plain_ohm_per_km",
        (IecClass::Two, true) => "class2_tinned_ohm_per_km",
        (IecClass::Five, false) => "class5_plain_ohm_per_km",
        (IecClass::Five, true) => "class5_tinned_ohm_per_km",
    };
    let row = area_row(table, mm2).ok_or_else(|| {
        OutOfTable::new(
            format!("no limit for {mm2} mm2"),
            "it lists 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95 and 120 mm2",
            &table.id,
        )
    })?;
    Ok(Sourced::new(
        figure(table, row, column)? / 1000.0,
        table.row_source(row),
    ))
}

/// Diameter over the strands, 1.155 x that of solid metal of the same area.
///
/// # Errors
/// As [`area`].
///
/// # Source
/// Derived: the packing of bunched strands; within 1 % of the UL 1426 column.
pub fn strand_diameter(size: WireSize) -> Result<Sourced<Metres>, OutOfTable> {
    let area_mm2 = area(size)?.value.si();
    let solid_mm = (area_mm2 / std::f64::consts::FRAC_PI_4).sqrt();
    Ok(Sourced::new(
        Metres::new(1.155 * solid_mm / 1000.0),
        Source::new(
            "packing of bunched strands",
            "1.155 x solid",
            Standing::Derived,
        ),
    ))
}

/// Insulation wall: general-wall SAE wire, boat cable for AWG, and for metric
/// or thicker SAE wire the boat cable next in area.
///
/// # Errors
/// As [`area`].
///
/// # Source
/// SAE J1128 and UL 1426, both recalled.
pub fn insulation_wall(size: WireSize) -> Result<Sourced<Metres>, OutOfTable> {
    if let WireSize::Sae(number) = size {
        let table = need("insulation-walls-sae")?;
        if let Some(row) = gauge_row(table, "size", number) {
            let wall_in = figure(table, row, "general_wall_in")?;
            return Ok(Sourced::new(
                Metres::new(wall_in * 0.0254),
                table.row_source(row),
            ));
        }
    }
    let cmil = area_cmil(size)?.value;
    let table = need("insulation-walls-boat-cable")?;
    // Rows run thin to thick; the wall steps up at 8, 6 and 1 AWG.
    let mut row = 0;
    for at in 0..table.rows.len() {
        let gauge = table.text(at, "size").and_then(gauge_number);
        if let Some(gauge) = gauge
            && awg_cmil(gauge)?.value <= cmil * 1.001
        {
            row = at;
        }
    }
    let source = table.row_source(row);
    let standing = match size {
        WireSize::Awg(_) => source.standing,
        _ => Standing::Derived,
    };
    Ok(Sourced::new(
        Metres::new(figure(table, row, "wall_in")? * 0.0254),
        Source { standing, ..source },
    ))
}

/// Highest temperature of a wire type's insulation ("GXL", "BC-5W2").
///
/// # Errors
/// When the type is not listed.
pub fn insulation_of(type_name: &str) -> Result<Sourced<Celsius>, OutOfTable> {
    let table = need("insulation-types")?;
    let wanted = type_name.to_uppercase();
    let row = row_named(table, "type", &wanted, "wire type")?;
    Ok(Sourced::new(
        Celsius::new(figure(table, row, "highest_degc")?),
        table.row_source(row),
    ))
}
