//! Lead-acid batteries: volts at rest, resistance, acceptance, usual sizes.
//!
//! V = open volts - I r0 - I r1 (1 - exp(-t/20 s)). The cold factor is worked
//! out from the definition of the rating, so a battery gives back 7.2 V after
//! 30 s at its rated amperes at -18 degrees C.
//!
//! Used by the battery and charger devices and by the breaking-capacity check.

use super::{OutOfTable, Table, figure, interpolation, need, row_named};
use crate::quantities::{AmpHours, Amps, Band, Celsius, Fraction, Ohms, Seconds, Volts};
use crate::sources::{Source, Sourced, Standing};

/// Chemistry and build of a battery.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Chemistry {
    /// Liquid electrolyte.
    Flooded,
    /// Absorbed in glass mat.
    Agm,
    /// Gelled; taken as AGM, which is judgement.
    Gel,
}

impl Chemistry {
    /// Every chemistry with tables.
    pub const ALL: [Self; 3] = [Self::Flooded, Self::Agm, Self::Gel];

    /// The word in circuit files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Flooded => "flooded",
            Self::Agm => "agm",
            Self::Gel => "gel",
        }
    }

    /// Reads the word back.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|chemistry| chemistry.word() == word)
    }

    /// The chemistry whose rows it takes.
    const fn rows(self) -> &'static str {
        match self {
            Self::Flooded => "flooded",
            Self::Agm | Self::Gel => "agm",
        }
    }
}

/// Resistance of a healthy battery in its two parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatteryResistance {
    /// Felt at once.
    pub r0: Band<Ohms>,
    /// Built up over the time constant.
    pub r1: Band<Ohms>,
    /// Time constant of `r1`.
    pub tau: Seconds,
}

/// What is taken for a battery nothing is known of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DefaultBattery {
    /// Cold-cranking amperes.
    pub cold_cranking: Band<Amps>,
    /// Capacity.
    pub capacity: Band<AmpHours>,
}

fn within(what: &str, percent: f64, id: &str) -> Result<(), OutOfTable> {
    if (0.0..=100.0).contains(&percent) {
        return Ok(());
    }
    Err(OutOfTable::new(
        format!("no {what} at {percent} % of charge"),
        "charge runs from 0 to 100 %",
        id,
    ))
}

fn column_pairs(table: &Table, x: &str, y: &str, keep: impl Fn(usize) -> bool) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = (0..table.rows.len())
        .filter(|&row| keep(row))
        .filter_map(|row| Some((table.number(row, x)?, table.number(row, y)?)))
        .collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    points
}

/// Volts at rest, with the spread of the published tables.
///
/// Rows at 26.7 degrees C, 3 mV/K (1.5 either way) from there.
///
/// # Errors
/// When the charge is not within 0 to 1 or the temperature not within -30 to 60
/// degrees C.
pub fn open_volts(
    chemistry: Chemistry,
    charge: Fraction,
    temperature: Celsius,
) -> Result<Sourced<Band<Volts>>, OutOfTable> {
    let id = match chemistry {
        Chemistry::Flooded => "open-volts-flooded",
        Chemistry::Agm | Chemistry::Gel => "open-volts-agm-points",
    };
    let table = need(id)?;
    let percent = charge.si() * 100.0;
    within("volts at rest", percent, id)?;
    sound_temperature(temperature, id)?;
    let points = column_pairs(table, "charge_percent", "volts_v", |_| true);
    let at_rest = interpolation::between(&points, percent).unwrap_or(f64::NAN);
    let law = need("open-volts-temperature")?;
    let row = row_named(law, "origin", "in use, 1.5 either way", "coefficient")?;
    let per_kelvin = figure(law, row, "coefficient_mv_per_k")? / 1000.0;
    let kelvin = temperature.si() - 26.7;
    let typical = at_rest + per_kelvin * kelvin;
    // Flooded tables differ by 0.05 V, AGM ones by 0.15 V.
    let spread = match chemistry {
        Chemistry::Flooded => 0.05,
        Chemistry::Agm | Chemistry::Gel => 0.15,
    } + 0.0015 * kelvin.abs();
    let mut source = table.source.clone();
    if chemistry == Chemistry::Gel {
        source.standing = Standing::Judgement;
        source.place = format!("{}, taken for gel", source.place);
    }
    Ok(Sourced::new(
        Band::new(
            Volts::new(typical - spread),
            Volts::new(typical),
            Volts::new(typical + spread),
        ),
        source,
    ))
}

/// Coldest and hottest battery that the tables know.
pub const TEMPERATURES: (Celsius, Celsius) = (Celsius::new(-30.0), Celsius::new(60.0));

fn sound_temperature(temperature: Celsius, id: &str) -> Result<(), OutOfTable> {
    if temperature >= TEMPERATURES.0 && temperature <= TEMPERATURES.1 {
        return Ok(());
    }
    Err(OutOfTable::new(
        format!("no battery figures at {temperature}"),
        "they run from -30 to 60 degrees C",
        id,
    ))
}

/// One multiplier of resistance as low, typical, high.
type Factor = (f64, f64, f64);

fn factor(kind: &str, chemistry: &str, at: f64) -> Result<Factor, OutOfTable> {
    let table = need("battery-factors")?;
    let keep = |row: usize| {
        table.text(row, "kind") == Some(kind)
            && table.text(row, "chemistry").unwrap_or_default() == chemistry
    };
    let value = |column: &str| {
        let points = column_pairs(table, "at", column, keep);
        let held = match (points.first(), points.last()) {
            (Some(_), Some((last, _))) if at > *last => *last,
            _ => at,
        };
        let below = points.first().is_some_and(|(first, _)| held < *first);
        if below && points.len() > 1 {
            // Colder than -18: the slope of the coldest pair goes on.
            let ((x0, y0), (x1, y1)) = (points[0], points[1]);
            return Ok(y0 + (y1 - y0) * (held - x0) / (x1 - x0));
        }
        interpolation::between(&points, held).ok_or_else(|| {
            OutOfTable::new(
                format!("no resistance factor of {kind} at {at}"),
                "the table lists temperature and charge",
                &table.id,
            )
        })
    };
    Ok((value("low")?, value("typical")?, value("high")?))
}

fn single_factor(kind: &str) -> Result<Factor, OutOfTable> {
    let table = need("battery-factors")?;
    let row = row_named(table, "kind", kind, "factor")?;
    Ok((
        figure(table, row, "low")?,
        figure(table, row, "typical")?,
        figure(table, row, "high")?,
    ))
}

/// Resistance of a healthy battery of a cold-cranking rating.
///
/// r0 = 2.2/CCA and r1 = 1.0/CCA at 25 degrees C and full, times the factors of
/// temperature, charge and chemistry. For breaking capacity `r0` alone counts.
///
/// # Limits
/// Above 40 degrees C the 40 degree factor is held; below -18 its slope goes
/// on to -30.
///
/// # Errors
/// When the rating is not above zero, or charge or temperature is outside.
pub fn resistance(
    cold_cranking: Amps,
    chemistry: Chemistry,
    charge: Fraction,
    temperature: Celsius,
) -> Result<Sourced<BatteryResistance>, OutOfTable> {
    let table = need("battery-resistance")?;
    let cranks = cold_cranking.si().is_finite() && cold_cranking.si() > 0.0;
    if !cranks {
        return Err(OutOfTable::new(
            format!(
                "no resistance for a battery of {} A cranking",
                cold_cranking.si()
            ),
            "the rating is above zero",
            &table.id,
        ));
    }
    let percent = charge.si() * 100.0;
    within("battery resistance", percent, &table.id)?;
    sound_temperature(temperature, &table.id)?;
    let heat = factor("temperature", chemistry.rows(), temperature.si())?;
    let full = factor("charge", "", percent)?;
    // The spread between builds is already in the typical value's range.
    let build = match chemistry {
        Chemistry::Flooded => 1.0,
        Chemistry::Agm | Chemistry::Gel => single_factor("agm against flooded")?.1,
    };
    let part = |name: &str| -> Result<Band<Ohms>, OutOfTable> {
        let row = row_named(table, "quantity", name, "quantity")?;
        let ohms = |column: &str, share: f64| {
            figure(table, row, column)
                .map(|volts| Ohms::new(volts / cold_cranking.si() * build * share))
        };
        Ok(Band::new(
            ohms("low", heat.0 * full.0)?,
            ohms("typical", heat.1 * full.1)?,
            ohms("high", heat.2 * full.2)?,
        ))
    };
    let tau_row = row_named(table, "quantity", "time constant of r1", "quantity")?;
    let value = BatteryResistance {
        r0: part("r0 times CCA, 25 degC")?,
        r1: part("r1 times CCA, 25 degC")?,
        tau: Seconds::new(figure(table, tau_row, "typical")?),
    };
    let mut source = table.source.clone();
    if chemistry == Chemistry::Gel {
        source.standing = Standing::Judgement;
    }
    Ok(Sourced::new(value, source))
}

/// Factor on the resistance of an aged but usable battery, and of a badly
/// sulphated one: low, typical, high of each.
///
/// # Errors
/// When the table cannot be read.
pub fn condition_factor(sulphated: bool) -> Result<Sourced<Band<f64>>, OutOfTable> {
    let kind = if sulphated {
        "badly sulphated"
    } else {
        "age, still usable"
    };
    let (low, typical, high) = single_factor(kind)?;
    let table = need("battery-factors")?;
    Ok(Sourced::new(
        Band { low, typical, high },
        table.source.clone(),
    ))
}

/// Current a battery accepts at 14.4 V.
///
/// # Errors
/// When the charge is not within 0 to 1.
pub fn charge_acceptance(
    capacity: AmpHours,
    charge: Fraction,
) -> Result<Sourced<Band<Amps>>, OutOfTable> {
    let table = need("charge-acceptance")?;
    let percent = charge.si() * 100.0;
    within("charge acceptance", percent, &table.id)?;
    let amps = |column: &str| {
        let points = column_pairs(table, "charge_percent", column, |_| true);
        let share = interpolation::between(&points, percent).unwrap_or(f64::NAN);
        Amps::new(share * capacity.si())
    };
    Ok(Sourced::new(
        Band::new(amps("low"), amps("typical"), amps("high")),
        table.source.clone(),
    ))
}

/// Cold-cranking amperes engine manuals ask for by power.
///
/// # Errors
/// When no manual of that power was read (9.9 to 30, 40 to 140, 150 hp were).
pub fn minimum_cold_cranking(engine_hp: f64) -> Result<Sourced<Amps>, OutOfTable> {
    let table = need("battery-minimum")?;
    let row = (0..table.rows.len()).find(|&row| {
        let from = table.number(row, "power_from_hp");
        let to = table.number(row, "power_to_hp");
        from.is_some_and(|from| from <= engine_hp) && to.is_some_and(|to| engine_hp <= to)
    });
    let row = row.ok_or_else(|| {
        OutOfTable::new(
            format!("no battery size for {engine_hp} hp"),
            "it lists 9.9 to 30 hp, 40 to 140 hp and 150 hp",
            &table.id,
        )
    })?;
    Ok(Sourced::new(
        Amps::new(figure(table, row, "cranking_a")?),
        table.row_source(row),
    ))
}

/// What is taken for a starter battery nothing is known of: 350 A of cranking
/// (240 to 490 are asked for) and 50 Ah.
///
/// # Errors
/// When the table cannot be read.
pub fn default_battery() -> Result<Sourced<DefaultBattery>, OutOfTable> {
    let table = need("battery-minimum")?;
    let of = |engine: &str, column: &str| {
        let row = row_named(table, "engine", engine, "engine")?;
        figure(table, row, column)
    };
    let small = "four-stroke watercraft";
    let value = DefaultBattery {
        cold_cranking: Band::new(
            Amps::new(of(small, "cranking_a")?),
            Amps::new(of("9.9 to 30 hp outboard", "cranking_a")?),
            Amps::new(of("150 hp injected outboard", "cranking_a")?),
        ),
        capacity: Band::new(
            AmpHours::new(of(small, "capacity_ah")?),
            AmpHours::new(of("40 to 140 hp outboard", "capacity_ah")?),
            AmpHours::new(85.0),
        ),
    };
    Ok(Sourced::new(
        value,
        Source::new(
            table.source.document.clone(),
            "smallest, usual and largest asked for; 85 Ah as the upper end is judgement",
            Standing::Derived,
        ),
    ))
}

/// Capacity of a starter battery of a cranking rating: 7.2 A of cranking to the
/// ampere-hour (12.6 for a small one, 5 for a dual-purpose one).
///
/// # Errors
/// When the rating is not above zero.
pub fn default_capacity(cold_cranking: Amps) -> Result<Sourced<Band<AmpHours>>, OutOfTable> {
    let cranks = cold_cranking.si().is_finite() && cold_cranking.si() > 0.0;
    if !cranks {
        return Err(OutOfTable::new(
            format!(
                "no capacity for a battery of {} A cranking",
                cold_cranking.si()
            ),
            "the rating is above zero",
            "battery-minimum",
        ));
    }
    let of = |per_ah: f64| AmpHours::new(cold_cranking.si() / per_ah);
    Ok(Sourced::new(
        Band::new(of(12.6), of(7.2), of(5.0)),
        Source::new(
            need("battery-minimum")?.source.document.clone(),
            "360 A at 50 Ah and 240 A at 19 Ah",
            Standing::Judgement,
        ),
    ))
}
