//! Classes with a number in their name: bilge pumps by flow, starters by power.

use super::motors::{MotorParameters, class_row, parameters};
use crate::quantities::{Amps, Band, Ohms, Pascals, RadiansPerSecond, Volts};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::{OutOfTable, Table, figure, interpolation, need, row_named};

/// Flow of "bilge pump N gal/h" and "livewell pump N gal/h"; `None` when the
/// name is of another kind.
pub(super) fn gallons(name: &str) -> Option<Result<f64, OutOfTable>> {
    let rest = name
        .strip_prefix("bilge pump ")
        .or_else(|| name.strip_prefix("livewell pump "))?;
    Some(number(
        rest,
        &["gal/h", "gph"],
        "bilge pump 1100 gal/h",
        "bilge-classes",
    ))
}

/// Power of "starter N hp".
pub(super) fn horsepower(name: &str) -> Option<Result<f64, OutOfTable>> {
    let rest = name.strip_prefix("starter ")?;
    Some(number(rest, &["hp"], "starter 50 hp", "starter-cranking"))
}

fn number(text: &str, units: &[&str], example: &str, id: &str) -> Result<f64, OutOfTable> {
    units
        .iter()
        .find_map(|unit| text.trim().strip_suffix(unit))
        .and_then(|figure| figure.trim().parse::<f64>().ok())
        .filter(|value| value.is_finite() && *value > 0.0)
        .ok_or_else(|| {
            OutOfTable::new(
                format!("`{text}` is not a figure with its unit"),
                format!("write it like \"{example}\""),
                id,
            )
        })
}

/// Bilge or livewell pump by nominal flow.
///
/// Fitted sets at 500, 1100 and 2000 gal/h; other flows take current and locked
/// current by logarithms between those sets and the class rows at 360, 800, 1500
/// and 3700, so that a larger pump always draws more, and the set nearest in
/// flow is rescaled: `R = (V - Vb)/I_locked - leads`, k = (V - Vb - I (R + leads))/w
/// at the neighbour's speed, friction and drag in its proportion of k I.
pub(super) fn bilge(flow: f64) -> Result<Sourced<MotorParameters>, OutOfTable> {
    let exact = format!("bilge pump {flow} gal/h");
    if let Ok((table, row)) = class_row(&exact) {
        return Ok(Sourced::new(parameters(table, row)?, table.row_source(row)));
    }
    let classes = need("bilge-classes")?;
    let (current, locked) = (
        at_flow(classes, flow, "typical_a", "current_a")?,
        at_flow(classes, flow, "locked_a", "locked_a")?,
    );
    let fuse = at_flow(classes, flow, "maker_fuse_a", "maker_fuse_a")?;
    let nearest = if flow < (500.0 * 1100.0f64).sqrt() {
        "bilge pump 500 gal/h"
    } else if flow < (1100.0 * 2000.0f64).sqrt() {
        "bilge pump 1100 gal/h"
    } else {
        "bilge pump 2000 gal/h"
    };
    let (table, row) = class_row(nearest)?;
    let base = parameters(table, row)?;
    let value = rescaled(&base, current, locked, fuse);
    let place = format!("between classes by logarithms; set of {nearest} rescaled");
    Ok(Sourced::new(
        value,
        Source::new(classes.source.document.clone(), place, Standing::Derived),
    ))
}

/// A figure at a flow, by logarithms between rows; where a flow has a fitted
/// set, the set's own result stands for the class row.
fn at_flow(classes: &Table, flow: f64, row_of: &str, set_of: &str) -> Result<f64, OutOfTable> {
    let points: Vec<(f64, f64)> = (0..classes.rows.len())
        .filter(|&row| classes.text(row, "use") == Some("bilge"))
        .filter_map(|row| {
            let listed = classes.number(row, "flow_gal_per_h")?;
            let fitted = class_row(&format!("bilge pump {listed} gal/h"))
                .ok()
                .and_then(|(table, row)| table.number(row, set_of));
            let value = fitted.or_else(|| classes.number(row, row_of))?;
            Some((listed.ln(), value.ln()))
        })
        .collect();
    interpolation::between(&points, flow.ln())
        .map(f64::exp)
        .ok_or_else(|| {
            OutOfTable::new(
                format!("no pump class for {flow} gal/h"),
                "bilge and livewell pumps run from 360 to 3700 gal/h",
                &classes.id,
            )
        })
}

fn rescaled(base: &MotorParameters, current_a: f64, locked_a: f64, fuse_a: f64) -> MotorParameters {
    let leads = base.leads_ref.si();
    let volts = base.v_ref.si() - base.v_brush.si();
    let r = volts / locked_a - leads;
    let speed = base.speed_ref.map_or(0.0, RadiansPerSecond::si);
    let k = (volts - current_a * (r + leads)) / speed;
    let torque = k * current_a / (base.k.typical * base.current_ref.si());
    let scaled = |band: Band<f64>, factor: f64| Band {
        low: band.low * factor,
        typical: band.typical * factor,
        high: band.high * factor,
    };
    MotorParameters {
        r: base.r.scaled(r / base.r.typical.si()),
        k: scaled(base.k, k / base.k.typical),
        tc: scaled(base.tc, torque),
        c2: scaled(base.c2, torque),
        j: scaled(base.j, torque),
        l: scaled(base.l, r / base.r.typical.si()),
        current_ref: Amps::new(current_a),
        locked_ref: Amps::new(locked_a),
        maker_fuse: Some(Amps::new(fuse_a)),
        ..base.clone()
    }
}

/// Commutator bars of a small starter (judgement).
const STARTER_BARS: u32 = 25;

/// Starter by engine power, 2 to 150 hp.
///
/// Cranking current by class of power, between classes by the logarithm of
/// power. Stalled resistance 5.77 mohm x 120 A / I with the brushes in it;
/// no-load current 30 A x I / 130 A at 10500 rpm gives k and friction; the rest
/// of k I is the cranking torque. Twenty-five commutator bars are judgement.
pub(super) fn starter(power: f64) -> Result<Sourced<MotorParameters>, OutOfTable> {
    let current = cranking_current(power)?;
    let table = need("starter-model")?;
    let of = |name: &str| -> Result<f64, OutOfTable> {
        let row = row_named(table, "quantity", name, "quantity")?;
        figure(table, row, "value")
    };
    let stalled = of("stalled resistance, brushes included, of a 120 A starter")?;
    let stalled_at = of("current to which it belongs")?;
    let resistance = |amps: f64| Ohms::new(stalled * stalled_at / amps);
    let r = Band::new(
        resistance(current.high),
        resistance(current.typical),
        resistance(current.low),
    );
    let share = current.typical / 130.0;
    let idle = of("no-load current of a 130 A starter")? * share;
    let idle_speed = of("no-load speed")? * std::f64::consts::TAU / 60.0;
    let k =
        (of("volts at no load, 12.04 V behind 25.2 mohm")? - idle * r.typical.si()) / idle_speed;
    let volts = of("working volts at the starter")?;
    let speed = (volts - current.typical * r.typical.si()) / k;
    let spread = |typical: f64, part: f64| Band {
        low: typical * (1.0 - part),
        typical,
        high: typical * (1.0 + part),
    };
    let value = MotorParameters {
        v_ref: Volts::new(volts),
        r,
        v_brush: Volts::new(0.0),
        k: spread(k, 0.15),
        tc: spread(k * idle, 0.4),
        c2: spread(0.0, 0.0),
        ap_per_pa: spread(0.0, 0.0),
        load_torque: Band {
            low: (k * (current.low - idle)).max(0.0),
            typical: k * (current.typical - idle),
            high: k * (current.high - idle),
        },
        j: spread(of("rotor inertia")? * share, 0.5),
        l: spread(of("inductance")? / share, 0.5),
        bars: Some(STARTER_BARS),
        dp_ref: Pascals::new(0.0),
        current_ref: Amps::new(current.typical),
        speed_ref: Some(RadiansPerSecond::new(speed)),
        locked_ref: Amps::new(volts / r.typical.si()),
        leads_ref: Ohms::new(0.0),
        maker_fuse: None,
    };
    Ok(Sourced::new(value, table.source.clone()))
}

fn cranking_current(power: f64) -> Result<Band<f64>, OutOfTable> {
    let table = need("starter-cranking")?;
    let at = |column: &str| {
        interpolation::between(&power_points(table, column), power.ln()).ok_or_else(|| {
            OutOfTable::new(
                format!("no starter class for {power} hp"),
                "starters run from 2 to 150 hp",
                &table.id,
            )
        })
    };
    Ok(Band {
        low: at("low_a")?,
        typical: at("typical_a")?,
        high: at("high_a")?,
    })
}

/// Both ends of each power class, so that a class is flat.
fn power_points(table: &Table, column: &str) -> Vec<(f64, f64)> {
    (0..table.rows.len())
        .filter_map(|row| {
            let value = table.number(row, column)?;
            let from = table.number(row, "power_from_hp")?;
            let to = table.number(row, "power_to_hp")?;
            Some([(from.ln(), value), (to.ln(), value)])
        })
        .flatten()
        .collect()
}
