//! Charging systems of small engines.

use crate::quantities::{Amps, Band, Ohms, RadiansPerSecond, Volts};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::{OutOfTable, figure, interpolation, need, row_named};

/// What is taken for a charger nothing is known of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChargerDefaults {
    /// Voltage a regulator holds.
    pub set_point: Band<Volts>,
    /// Voltage above which a regulator is bad.
    pub regulator_limit: Volts,
    /// Voltage of an unregulated system at full speed, battery charged.
    pub unregulated: Volts,
    /// Resistance of the charging coil.
    pub winding: Band<Ohms>,
    /// Most an engine's alternator gives.
    pub output: Band<Amps>,
}

/// Defaults of a charger: set point 14.1 to 14.6 V, coil 0.1 to 1.0 ohm, output
/// from 6.5 to 25 A.
///
/// # Errors
/// When the tables cannot be read.
pub fn charger_defaults() -> Result<Sourced<ChargerDefaults>, OutOfTable> {
    let volts = need("charging-volts")?;
    let of = |item: &str, column: &str| {
        let row = row_named(volts, "item", item, "item")?;
        figure(volts, row, column)
    };
    let regulated = "regulated output, watercraft";
    let coil = need("charging-ohms")?;
    let usual = row_named(coil, "system", "9, 14 and 16 A", "system")?;
    let small = row_named(coil, "system", "4 to 6 hp, 6 to 7 A", "system")?;
    let low = figure(coil, usual, "low_ohm")?;
    let high = figure(coil, small, "high_ohm")?;
    let value = ChargerDefaults {
        // "At least 14.1 with a charged battery" is the low end.
        set_point: Band::new(
            Volts::new(14.1),
            Volts::new(14.4),
            Volts::new(of(regulated, "high_v")?),
        ),
        regulator_limit: Volts::new(of(
            "replace the regulator above, 9 to 18 A outboards",
            "high_v",
        )?),
        unregulated: Volts::new(of("unregulated, full speed, charged battery", "low_v")?),
        winding: Band::new(Ohms::new(low), Ohms::new(0.3), Ohms::new(high)),
        output: Band::new(Amps::new(6.5), Amps::new(16.0), Amps::new(25.0)),
    };
    Ok(Sourced::new(
        value,
        Source::new(
            volts.source.document.clone(),
            "ends published, middles chosen",
            Standing::Derived,
        ),
    ))
}

/// A system's row, its rating, and its output by engine speed in rpm.
type Curve = (usize, f64, Vec<(f64, f64)>);

/// Output of the system nearest in rating at an engine speed, in proportion to
/// the rating; idle is taken as 700 rpm.
///
/// # Errors
/// When the speed is outside what that system's manual gives.
pub fn charging_output(rating: Amps, speed: RadiansPerSecond) -> Result<Sourced<Amps>, OutOfTable> {
    let table = need("charging-outputs")?;
    let rpm = speed.si() * 60.0 / std::f64::consts::TAU;
    // Back from rad/s, 700 rpm must not fall below the row of 700 rpm.
    let rpm = (rpm * 1e6).round() / 1e6;
    let columns = [
        (700.0, "idle_a"),
        (1000.0, "at_1000_rpm_a"),
        (2000.0, "at_2000_rpm_a"),
        (3000.0, "at_3000_rpm_a"),
        (5000.0, "at_5000_rpm_a"),
    ];
    // Systems published at one speed only say nothing of others.
    let curves: Vec<Curve> = (0..table.rows.len())
        .filter_map(|row| {
            let own = table.number(row, "rating_a")?;
            let points: Vec<(f64, f64)> = columns
                .iter()
                .filter_map(|(rpm, column)| Some((*rpm, table.number(row, column)?)))
                .collect();
            (points.len() > 1).then_some((row, own, points))
        })
        .collect();
    let nearest = curves.iter().min_by(|a, b| {
        (a.1 - rating.si())
            .abs()
            .total_cmp(&(b.1 - rating.si()).abs())
    });
    let found = nearest.and_then(|(row, own, points)| {
        let last = points.last()?;
        // A regulated stator gives no less above its last published speed.
        let amps = interpolation::between(points, rpm.min(last.0))?;
        Some((*row, amps * rating.si() / own))
    });
    match found {
        Some((row, amps)) => Ok(Sourced::new(
            Amps::new(amps),
            Source {
                standing: Standing::Derived,
                ..table.row_source(row)
            },
        )),
        None => Err(OutOfTable::new(
            format!(
                "no charging output for a {} A system at {rpm:.0} rpm",
                rating.si()
            ),
            "outputs are listed from idle or 1000 rpm up",
            &table.id,
        )),
    }
}
