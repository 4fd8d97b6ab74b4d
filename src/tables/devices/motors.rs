//! Motor parameters of pumps, trim, blower and starters.

use super::numbered;
use crate::quantities::{Amps, Band, Fraction, Ohms, Pascals, RadiansPerSecond, Volts};
use crate::sources::Sourced;
use crate::tables::{OutOfTable, Table, figure, need, row_named};

/// Parameters of a permanent-magnet motor with its load, at 20 degrees C:
/// V = R i + L di/dt + Vb + k w, k i = J dw/dt + Tc + c2 w^2 + ap dp + load.
#[derive(Debug, Clone, PartialEq)]
pub struct MotorParameters {
    /// Voltage the figures belong to.
    pub v_ref: Volts,
    /// Winding, without the brushes.
    pub r: Band<Ohms>,
    /// Drop of both brushes.
    pub v_brush: Volts,
    /// Torque constant, V s/rad and N m/A.
    pub k: Band<f64>,
    /// Friction torque, N m.
    pub tc: Band<f64>,
    /// Drag, N m s2.
    pub c2: Band<f64>,
    /// Torque by pressure, N m/Pa.
    pub ap_per_pa: Band<f64>,
    /// Torque of a load that does not depend on speed or pressure, N m: lifting
    /// for trim, cranking for a starter.
    pub load_torque: Band<f64>,
    /// Moment of inertia, kg m2.
    pub j: Band<f64>,
    /// Inductance, H.
    pub l: Band<f64>,
    /// Commutator bars, where known.
    pub bars: Option<u32>,
    /// Pressure rise the figures belong to.
    pub dp_ref: Pascals,
    /// Current at `v_ref` and `dp_ref`.
    pub current_ref: Amps,
    /// Speed there, where known.
    pub speed_ref: Option<RadiansPerSecond>,
    /// Locked current at `v_ref`.
    pub locked_ref: Amps,
    /// Resistance of the leads the three reference figures include.
    pub leads_ref: Ohms,
    /// Fuse the maker would ask for, where the class has a usual one.
    pub maker_fuse: Option<Amps>,
}

/// A lift pump worked by a coil that switches itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolenoidPump {
    /// Coil.
    pub coil: Band<Ohms>,
    /// Mean current at 12 V, open outlet.
    pub mean: Band<Amps>,
    /// Peak of each stroke.
    pub peak: Band<Amps>,
    /// Share of the time the coil is on: mean over peak.
    pub duty: Band<Fraction>,
    /// Strokes a second.
    pub strokes_per_s: Band<f64>,
}

/// A pump by its class.
#[derive(Debug, Clone, PartialEq)]
pub enum PumpClass {
    /// Driven by a motor.
    Motor(MotorParameters),
    /// Worked by a coil.
    Solenoid(SolenoidPump),
}

fn spread(typical: f64, share: f64) -> Band<f64> {
    Band {
        low: typical * (1.0 - share),
        typical,
        high: typical * (1.0 + share),
    }
}

/// Reads one row of a table with the columns of `pump-defaults`.
pub(super) fn parameters(table: &Table, row: usize) -> Result<MotorParameters, OutOfTable> {
    let of = |column: &str| figure(table, row, column);
    let friction = table.limit("friction_tolerance").unwrap_or(0.4);
    let inertia = table.limit("inertia_tolerance").unwrap_or(0.5);
    let inductance = table.limit("inductance_tolerance").unwrap_or(0.5);
    let rpm = std::f64::consts::TAU / 60.0;
    Ok(MotorParameters {
        v_ref: Volts::new(of("reference_v")?),
        r: Band::new(
            Ohms::new(of("r_low_ohm")?),
            Ohms::new(of("r_ohm")?),
            Ohms::new(of("r_high_ohm")?),
        ),
        v_brush: Volts::new(of("brush_v")?),
        k: Band {
            low: of("k_low")?,
            typical: of("k")?,
            high: of("k_high")?,
        },
        tc: spread(of("friction_nm")?, friction),
        c2: spread(of("drag_nms2")?, friction),
        ap_per_pa: spread(of("torque_nm_per_kpa")? / 1000.0, friction),
        load_torque: spread(of("load_nm")?, friction),
        j: spread(of("inertia_kgm2")?, inertia),
        l: spread(of("inductance_h")?, inductance),
        bars: Some(of("bars")? as u32),
        dp_ref: Pascals::new(of("reference_kpa")? * 1000.0),
        current_ref: Amps::new(of("current_a")?),
        speed_ref: table
            .number(row, "speed_rpm")
            .map(|speed| RadiansPerSecond::new(speed * rpm)),
        locked_ref: Amps::new(of("locked_a")?),
        leads_ref: Ohms::new(of("leads_ohm")?),
        maker_fuse: table.number(row, "maker_fuse_a").map(Amps::new),
    })
}

pub(super) fn class_row(name: &str) -> Result<(&'static Table, usize), OutOfTable> {
    let fitted = need("pump-defaults")?;
    if let Some(row) = fitted.find("class", name) {
        return Ok((fitted, row));
    }
    let judged = need("motor-defaults")?;
    row_named(judged, "class", name, "motor class").map(|row| (judged, row))
}

fn named(name: &str) -> Result<Sourced<MotorParameters>, OutOfTable> {
    let (table, row) = class_row(name)?;
    Ok(Sourced::new(parameters(table, row)?, table.row_source(row)))
}

/// A pump by its class name: "high-pressure fuel pump", "rotary lift pump",
/// "solenoid lift pump", "bilge pump N gal/h", "livewell pump N gal/h",
/// "washdown pump".
///
/// # Errors
/// When the name is no pump class, or N is outside 360 to 3700.
pub fn pump_class(name: &str) -> Result<Sourced<PumpClass>, OutOfTable> {
    let name = name.trim();
    if let Some(flow) = numbered::gallons(name) {
        return numbered::bilge(flow?).map(|found| found.map(PumpClass::Motor));
    }
    match name {
        "solenoid lift pump" => solenoid_pump().map(|found| found.map(PumpClass::Solenoid)),
        "high-pressure fuel pump" | "rotary lift pump" | "washdown pump" => {
            named(name).map(|found| found.map(PumpClass::Motor))
        }
        _ => Err(OutOfTable::new(
            format!("no pump class is called `{name}`"),
            format!(
                "known: {}",
                super::class_patterns(super::ClassKind::Pump).join(", ")
            ),
            "pump-defaults",
        )),
    }
}

fn solenoid_pump() -> Result<Sourced<SolenoidPump>, OutOfTable> {
    let table = need("solenoid-lift-pump")?;
    let band = |name: &str| -> Result<Band<f64>, OutOfTable> {
        let row = row_named(table, "quantity", name, "quantity")?;
        Ok(Band {
            low: figure(table, row, "low")?,
            typical: figure(table, row, "typical")?,
            high: figure(table, row, "high")?,
        })
    };
    let amps = |b: &Band<f64>| Band::new(Amps::new(b.low), Amps::new(b.typical), Amps::new(b.high));
    let (coil, mean, peak) = (band("coil")?, band("mean current")?, band("peak current")?);
    let share = |low: f64, high: f64| Fraction::new((low / high).min(1.0));
    Ok(Sourced::new(
        SolenoidPump {
            coil: Band::new(
                Ohms::new(coil.low),
                Ohms::new(coil.typical),
                Ohms::new(coil.high),
            ),
            mean: amps(&mean),
            peak: amps(&peak),
            duty: Band::new(
                share(mean.low, peak.low),
                share(mean.typical, peak.typical),
                share(mean.high, peak.high),
            ),
            strokes_per_s: band("strokes")?,
        },
        table.source.clone(),
    ))
}

/// A motor by its class name: "starter N hp", "trim", "blower".
///
/// # Errors
/// When the name is no motor class, or N is outside 2 to 150.
pub fn motor_class(name: &str) -> Result<Sourced<MotorParameters>, OutOfTable> {
    let name = name.trim();
    if let Some(power) = numbered::horsepower(name) {
        return numbered::starter(power?);
    }
    match name {
        "trim" | "blower" => named(name),
        _ => Err(OutOfTable::new(
            format!("no motor class is called `{name}`"),
            format!(
                "known: {}",
                super::class_patterns(super::ClassKind::Motor).join(", ")
            ),
            "pump-defaults",
        )),
    }
}

/// Current of a fuel pump class in a condition, 12 V at the pump: "healthy",
/// "open outlet, wet", "dead-head", "dry", "dragging", "locked", "inrush"; for
/// solenoid pumps "healthy", "dead-head", "pulse peak", "stuck on".
///
/// # Errors
/// When the class has no such row.
pub fn pump_range(class: &str, condition: &str) -> Result<Sourced<Band<Amps>>, OutOfTable> {
    let table = need("pump-ranges")?;
    let row = (0..table.rows.len()).find(|&row| {
        table.text(row, "class") == Some(class) && table.text(row, "condition") == Some(condition)
    });
    let row = row.ok_or_else(|| {
        OutOfTable::new(
            format!("no current range for a `{class}` that is {condition}"),
            "it lists the high-pressure, rotary lift and solenoid lift pumps",
            &table.id,
        )
    })?;
    let amps = |column: &str| figure(table, row, column).map(Amps::new);
    Ok(Sourced::new(
        Band::new(amps("low_a")?, amps("typical_a")?, amps("high_a")?),
        table.row_source(row),
    ))
}

/// Change of a ferrite motor's torque constant by the kelvin.
///
/// # Errors
/// When the table cannot be read.
pub fn flux_coefficient() -> Result<Sourced<f64>, OutOfTable> {
    let table = need("motor-temperature")?;
    let row = row_named(table, "quantity", "hard ferrite", "magnet")?;
    Ok(Sourced::new(
        figure(table, row, "coefficient_per_k")?,
        table.row_source(row),
    ))
}

/// Drop of both brushes; `in_fuel` for fuel pumps.
///
/// # Errors
/// When the table cannot be read.
pub fn brush_drop(in_fuel: bool) -> Result<Sourced<Band<Volts>>, OutOfTable> {
    let table = need("brush-drop")?;
    let name = if in_fuel {
        "carbon in fuel, fuel pumps"
    } else {
        "metal-graphite, 12 V motors above 5 A"
    };
    let row = row_named(table, "brush", name, "brush")?;
    let volts = |column: &str| figure(table, row, column).map(Volts::new);
    Ok(Sourced::new(
        Band::new(volts("low_v")?, volts("typical_v")?, volts("high_v")?),
        table.row_source(row),
    ))
}
