//! Battery: open-circuit volts behind a resistance.
//!
//! V = E - I (R0 + R1), with R1 the part that builds up over some twenty
//! seconds; a steady state uses both. While it is charged, current enters
//! against a much larger resistance, so that a full battery takes little at
//! the regulator's set-point.
//!
//! # Limits
//! One resistance either way, no memory of what went before: right after a
//! charge the real battery stands some tenths of a volt higher.

use super::shelf::{Shelf, in_words};
use crate::circuit::Battery;
use crate::quantities::{AmpHours, Amps, Band, Celsius, Fraction, Ohms, Volts};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::OutOfTable;
use crate::tables::batteries::{self, Chemistry};

/// Electrical figures of a battery.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryModel {
    /// Volts at rest.
    pub open_volts: Band<Volts>,
    /// Resistance at once.
    pub fast: Band<Ohms>,
    /// What is added after twenty seconds and more.
    pub slow: Band<Ohms>,
    /// Resistance against charging current.
    pub charging: Band<Ohms>,
    /// Cold-cranking amperes, where its class or the file says.
    pub cold_cranking: Option<Amps>,
}

impl BatteryModel {
    /// Resistance of a steady state.
    pub fn settled(&self) -> Ohms {
        self.fast.typical + self.slow.typical
    }

    /// Current into a dead short at its posts, by the fast resistance alone:
    /// the unsafe side for breaking capacity.
    pub fn short_circuit(&self) -> Amps {
        self.open_volts.typical / self.fast.typical
    }
}

/// Volts at which charge acceptance is tabulated.
const ACCEPTANCE_V: f64 = 14.4;

pub(super) fn resolve(
    spec: &Battery,
    subject: &str,
    ambient: Celsius,
    shelf: &mut Shelf,
) -> Result<BatteryModel, OutOfTable> {
    let temperature = match spec.temperature {
        Some(given) => given.value.typical,
        None => within_table(ambient, subject, shelf),
    };
    let full = judged(
        Band::exactly(Fraction::new(1.0)),
        "a battery that was charged",
    );
    let charge = shelf
        .take(spec.charge.as_ref(), subject, "charge", full)
        .typical;
    let chemistry = spec
        .chemistry
        .map_or(Chemistry::Flooded, |given| given.value);
    let usual = batteries::default_battery()?;
    if spec.chemistry.is_none() && spec.open_volts.is_none() {
        shelf.note(subject, "flooded lead-acid", usual.source.clone());
    }
    let open_volts = match spec.open_volts {
        Some(given) => given.value,
        None => batteries::open_volts(chemistry, charge, temperature)?.value,
    };
    let cranking = usual.map(|battery| battery.cold_cranking);
    let (ohms, cold_cranking) = if let Some(measured) = spec.resistance {
        ((measured.value, Band::exactly(Ohms::new(0.0))), None)
    } else {
        let cca = shelf
            .take(
                spec.cold_cranking.as_ref(),
                subject,
                "cold-cranking",
                cranking.clone(),
            )
            .typical;
        let found = batteries::resistance(cca, chemistry, charge, temperature)?;
        let what = format!(
            "inside resistance {}, and {} more after 20 s",
            in_words(&found.value.r0),
            in_words(&found.value.r1)
        );
        shelf.note(subject, what, found.source);
        ((found.value.r0, found.value.r1), Some(cca))
    };
    let by_size = batteries::default_capacity(cold_cranking.unwrap_or(cranking.value.typical))?;
    let capacity = shelf
        .take(spec.capacity.as_ref(), subject, "capacity", by_size)
        .typical;
    let charging = charging(open_volts, capacity, charge)?;
    Ok(BatteryModel {
        open_volts,
        fast: ohms.0,
        slow: ohms.1,
        charging,
        cold_cranking,
    })
}

/// The air a battery stands in, held to what its tables know.
fn within_table(air: Celsius, subject: &str, shelf: &mut Shelf) -> Celsius {
    let (coldest, hottest) = batteries::TEMPERATURES;
    let held = if air < coldest {
        coldest
    } else if air > hottest {
        hottest
    } else {
        return air;
    };
    let what = format!("taken at {held}, the last its tables know, in air of {air}");
    shelf.note(subject, what, judged((), "battery tables end there").source);
    held
}

/// Resistance against charging, from the current accepted at 14.4 V.
fn charging(
    open_volts: Band<Volts>,
    capacity: AmpHours,
    charge: Fraction,
) -> Result<Band<Ohms>, OutOfTable> {
    let accepted = batteries::charge_acceptance(capacity, charge)?.value;
    let over_v = (ACCEPTANCE_V - open_volts.typical.si()).max(0.1);
    let at = |current: Amps| Ohms::new(over_v / current.si().max(1e-3));
    Ok(Band::new(
        at(accepted.high),
        at(accepted.typical),
        at(accepted.low),
    ))
}

/// Marks a figure as this project's judgement, for defaults without a table.
pub(super) fn judged<T>(value: T, what: &str) -> Sourced<T> {
    Sourced::new(value, Source::new(what, "", Standing::Judgement))
}
