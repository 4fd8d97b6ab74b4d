//! Charger: a current source that stops at its set-point.
//!
//! A permanent-magnet stator gives nearly the same current at any voltage; the
//! regulator tapers it off within a few tenths of a volt of its set-point. An
//! unregulated one goes on to what a fully charged battery was seen at.

use super::battery::judged;
use super::shelf::Shelf;
use crate::circuit::Charger;
use crate::quantities::{Amps, Band, Ohms, Volts};
use crate::tables::OutOfTable;
use crate::tables::devices::charger_defaults;

/// Electrical figures of a charger.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargerModel {
    /// The most it gives at full speed.
    pub output: Band<Amps>,
    /// Volts at which it gives nothing more.
    pub set_point: Band<Volts>,
    /// Slope of the taper below the set-point.
    pub droop: Ohms,
}

/// Taper of the regulator: 16 A fall off within about a third of a volt.
const DROOP_OHM: f64 = 0.02;

pub(super) fn resolve(
    spec: &Charger,
    subject: &str,
    shelf: &mut Shelf,
) -> Result<ChargerModel, OutOfTable> {
    let usual = charger_defaults()?;
    let output = shelf.take(
        spec.output.as_ref(),
        subject,
        "output",
        usual.clone().map(|c| c.output),
    );
    let regulated = spec.regulated.is_none_or(|given| given.value);
    let set_point = if regulated {
        usual.clone().map(|c| c.set_point)
    } else {
        usual.clone().map(|c| Band::exactly(c.unregulated))
    };
    let set_point = shelf.take(spec.set_point.as_ref(), subject, "set-point", set_point);
    let droop = judged(Ohms::new(DROOP_OHM), "regulator taper");
    shelf.note(subject, format!("taper {}", droop.value), droop.source);
    Ok(ChargerModel {
        output,
        set_point,
        droop: droop.value,
    })
}
