//! The heavy rig: a starter on its battery through jump cables.
//!
//! No fuse is made for a cable that carries a starter; the contact of a
//! starter solenoid switches it, worked by a push button on a thin fused lead,
//! so that nobody sparks a clamp. The file's `[bench]` leads and fuse are thin
//! ones and do not enter; its battery does.

use super::Refused;
use super::rig::{Notes, Options, Rig, air, battery};
use super::steps::Jack;
use crate::circuit::Circuit;
use crate::devices::LinkModel;
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Metres, Ohms, WireSize};
use crate::tables::conductors::{area, resistance_20c, resistance_at};
use crate::tables::contacts::{ContactKind, contact};
use crate::tables::meters::MeterReading;

/// Length of a jump cable where none is given.
const CABLE_LENGTH: Metres = Metres::new(2.5);
/// Size of the jump cables where none is given.
const CABLE_SIZE: WireSize = WireSize::Awg(4);
/// The thinnest that is let carry a starter. Stalled at 350 A its 8.4 mm2 warm by some
/// 9 K a second, so a start of seconds is borne (judgement; copper 3.4 J/cm3 K).
const THINNEST: WireSize = WireSize::Awg(8);
/// Jaws of the two cables.
const JAWS: f64 = 4.0;

pub(super) fn rig(circuit: Option<&Circuit>, options: &Options) -> Result<Rig, Refused> {
    let air = air(circuit, options);
    let mut notes = Notes::default();
    let (open_volts, inside) = battery(circuit, options, air, &mut notes)?;
    let length = options.lead_length.unwrap_or_else(|| {
        notes.judged(
            "jump cables",
            format!("two of {}, the solenoid in plus", nominal(CABLE_LENGTH)),
        );
        Band::exactly(CABLE_LENGTH)
    });
    let size = options.lead_size.unwrap_or_else(|| {
        notes.judged("jump cables", format!("size {CABLE_SIZE}"));
        CABLE_SIZE
    });
    if area(size)?.value < area(THINNEST)?.value {
        return Err(Refused::ThinCables {
            given: size,
            least: THINNEST,
        });
    }
    let per_metre_ohm = resistance_at(resistance_20c(size, false)?.value, air)?;
    let jaw = notes.take("jump cables", "each jaw", contact(ContactKind::JumpClamp)?);
    let solenoid = notes.take(
        "jump cables",
        "the solenoid's contact",
        contact(ContactKind::StarterSolenoid)?,
    );
    let total =
        |length: Metres, jaw: Ohms| Ohms::new(2.0 * per_metre_ohm * length.si()) + jaw * JAWS;
    let leads = Band::new(
        total(length.low, jaw.low),
        total(length.typical, jaw.typical),
        total(length.high, jaw.high),
    );
    let words = format!(
        "battery of {} at rest, two {} jump cables of {size}, no fuse, a starter solenoid as the switch, large clamp, {air}",
        open_volts.typical,
        nominal(length.typical)
    );
    Ok(Rig {
        open_volts,
        battery: inside,
        leads,
        lead_size: size,
        fuse: switched_by(solenoid),
        fuse_is_usual: true,
        meter: Jack::LargeClamp,
        heavy: true,
        burden: Band::exactly(Ohms::new(0.0)),
        amps_error: notes.accuracy("amperes", MeterReading::LargeClampAmps)?,
        volts_error: notes.accuracy("volts", MeterReading::Volts)?,
        millivolts_error: notes.accuracy("millivolts", MeterReading::Millivolts)?,
        ohms_error: notes.accuracy("ohms", MeterReading::Ohms)?,
        air,
        words,
        assumed: notes.0,
        aboard: None,
        engine: circuit.and_then(|circuit| circuit.boat.drive()),
    })
}

/// The contact in the place of a fuse: it has no rating and does not heat.
pub(super) fn switched_by(contact: Band<Ohms>) -> LinkModel {
    LinkModel {
        style: None,
        rating: Amps::new(f64::INFINITY),
        cold: contact,
        clips: Band::exactly(Ohms::new(0.0)),
        rise_per_a2: 0.0,
        rise_cap: 0.0,
        ambient_factor: 1.0,
    }
}

/// The heavy rig beside a thin one: the same battery and meter, usual cables.
pub(super) fn beside(thin: &Rig) -> Result<Rig, Refused> {
    let cables = rig(
        None,
        &Options {
            battery_volts: Some(thin.open_volts),
            temperature: Some(thin.air),
            ..Options::default()
        },
    )?;
    Ok(Rig {
        battery: thin.battery,
        engine: thin.engine,
        ..cables
    })
}
