//! The one reading of a pump that says most, for other screens.

use super::rig::{Options, Rig};
use super::{Draws, Kind, Refused, SEED, SPECIMENS, Subject, pump, usual};
use crate::circuit::{Circuit, PartId, PartKind};
use crate::devices::MotorModel;
use crate::document::{Cell, Table};
use crate::quantities::print::alike;
use crate::quantities::{Amps, Band, Pascals, Volts};

/// What a sound pump should draw on the file's bench rig, outlet open.
#[derive(Debug, Clone, PartialEq)]
pub struct Expectation {
    /// The pump with its class.
    pub part: String,
    /// The rig in words.
    pub rig: String,
    /// Its current.
    pub current: Band<Amps>,
    /// Volts at the typical one.
    pub voltage: Volts,
    /// Its current if it does not turn.
    pub stalled: Band<Amps>,
}

/// The expectation of a pump; none for a part that has no turning armature.
///
/// # Errors
/// As [`super::procedure`].
pub fn expectation(circuit: &Circuit, id: PartId) -> Result<Option<Expectation>, Refused> {
    if circuit.part(id).kind() != PartKind::Pump {
        return Ok(None);
    }
    let options = Options::default();
    let air = super::air(Some(circuit), &options);
    let subject = Subject::of_part(circuit, id, air)?;
    let Kind::Motor(motor) = &subject.kind else {
        return Ok(None);
    };
    let rig = Rig::new(Some(circuit), &options, usual(&subject)?)?;
    let open = motor.at_pressure(Pascals::new(0.0));
    let found = pump::expected(&open, &rig, &mut Draws::seeded(SEED))?;
    let amps = |band: Band<f64>| {
        let [low, typical, high] = [band.low, band.typical, band.high].map(Amps::new);
        Band::new(low, typical, high)
    };
    Ok(Some(Expectation {
        part: subject.in_words(),
        rig: rig.words,
        current: amps(found.current),
        voltage: Volts::new(found.voltage.typical),
        stalled: amps(found.stalled),
    }))
}

/// What a sound motor of a plain class draws turning free on a rig, as its own steps
/// print it.
///
/// # Errors
/// A rig without an operating point.
pub fn free_current(motor: &MotorModel, rig: &Rig) -> Result<Band<Amps>, Refused> {
    let mut draws = Draws::seeded(SEED);
    let found = pump::expected_of(motor, rig, &mut draws, |motor| motor.unloaded())?;
    let Band { low, typical, high } = found.current;
    Ok(Band::new(
        Amps::new(low.max(0.0)),
        Amps::new(typical),
        Amps::new(high),
    ))
}

/// The expectations of every pump of a circuit; none where it has no such pump.
///
/// # Errors
/// As [`super::procedure`].
pub fn expectations(circuit: &Circuit) -> Result<Option<Table>, Refused> {
    let mut table = Table::new(format!(
        "pumps on the bench, outlet open, nine in ten sound ones ({SPECIMENS} draws, seed {SEED})"
    ))
    .words("pump")
    .figures("draws")
    .figures("typically")
    .figures("at")
    .figures("stalled");
    for id in circuit.part_ids() {
        let Some(found) = expectation(circuit, id)? else {
            continue;
        };
        table.row([
            Cell::plain(found.part),
            Cell::plain(ends(found.current)),
            Cell::plain(alike(found.current.typical, found.current.high)),
            Cell::plain(found.voltage.to_string()),
            Cell::plain(ends(found.stalled)),
        ]);
    }
    Ok((!table.rows.is_empty()).then_some(table))
}

fn ends(band: Band<Amps>) -> String {
    format!("{} to {}", alike(band.low, band.high), band.high)
}
