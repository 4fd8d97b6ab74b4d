//! Contacts: switches, driver channels, diodes, pins, bolted joints.

use super::battery::judged;
use super::shelf::Shelf;
use crate::circuit::{Circuit, Diode, Driver, Part, Plug, Switch, SwitchKind, Wire};
use crate::quantities::{Band, Ohms, Volts};
use crate::sources::Sourced;
use crate::tables::OutOfTable;
use crate::tables::contacts::{ContactKind, contact};

/// A module's outputs.
#[derive(Debug, Clone, PartialEq)]
pub struct DriverModel {
    /// Volts lost in a conducting channel.
    pub drop: Band<Volts>,
}

/// A diode.
#[derive(Debug, Clone, PartialEq)]
pub struct DiodeModel {
    /// Forward drop.
    pub drop: Band<Volts>,
}

/// Resistance of a bolted joint.
pub(super) fn bolted() -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    contact(ContactKind::BoltedJoint)
}

/// Contact of a switch: a battery master switch where heavy cables end on it.
pub(super) fn switch(
    spec: &Switch,
    circuit: &Circuit,
    part: &Part,
    shelf: &mut Shelf,
) -> Result<Band<Ohms>, OutOfTable> {
    let on_it =
        |wire: &&Wire| part.terminals.contains(&wire.from) || part.terminals.contains(&wire.to);
    let heavy = circuit
        .wires
        .iter()
        .filter(on_it)
        .any(super::wire::is_heavy);
    let kind = match spec.kind {
        _ if heavy => ContactKind::MasterSwitch,
        SwitchKind::Simple { .. } => ContactKind::RockerSwitch,
        SwitchKind::Selector { .. } => ContactKind::IgnitionSwitch,
    };
    Ok(shelf.take(
        spec.contact.as_ref(),
        &part.name,
        kind.name(),
        contact(kind)?,
    ))
}

pub(super) fn plug(
    spec: &Plug,
    subject: &str,
    shelf: &mut Shelf,
) -> Result<Band<Ohms>, OutOfTable> {
    let kind = ContactKind::SealedPin;
    Ok(shelf.take(spec.contact.as_ref(), subject, kind.name(), contact(kind)?))
}

pub(super) fn driver(spec: &Driver, subject: &str, shelf: &mut Shelf) -> DriverModel {
    let usual = Band::new(Volts::new(0.1), Volts::new(0.3), Volts::new(0.8));
    DriverModel {
        drop: shelf.take(
            spec.drop.as_ref(),
            subject,
            "channel drop",
            judged(usual, "driver channel"),
        ),
    }
}

pub(super) fn diode(spec: &Diode, subject: &str, shelf: &mut Shelf) -> DiodeModel {
    let usual = Band::new(Volts::new(0.6), Volts::new(0.8), Volts::new(1.0));
    DiodeModel {
        drop: shelf.take(
            spec.drop.as_ref(),
            subject,
            "forward drop",
            judged(usual, "silicon diode"),
        ),
    }
}
