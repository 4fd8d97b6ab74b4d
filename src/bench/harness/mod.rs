//! Steps for the harness: ohms to ground behind each fuse, volts lost under load.
//!
//! First the battery off: from the load side of each fuse to ground with
//! everything unplugged, then with everything plugged in, where the circuit
//! itself says what should be read. Then the battery on: in each state, what
//! every load may lose on its feed and on its return.
//!
//! # Limits
//! An ohmmeter sends less than half a volt: diodes, drivers and brushes hardly
//! conduct, and electronics read anything above a hundred ohms.

mod drops;
mod leaks;
mod loads;
mod ohmmeter;

pub(super) use drops::Working;
pub use loads::FILM;
pub use ohmmeter::{Standing, ground, ohms_between};

use super::assembly::{Sheet, assembled, meter_notes, meter_words};
use super::engine_words::fitting;
use super::rig::{Options, Rig, Usual};
use super::steps::Procedure;
use super::{Draws, Refused};
use crate::circuit::zones::{FuseId, fuse_name, fuses};
use crate::circuit::{BenchMeter, Circuit};
use crate::devices::resolve;
use crate::quantities::{Amps, WireSize};
use crate::solving::states;

/// The harness of a circuit, or the part of it behind one fuse.
///
/// # Errors
/// A fuse the circuit does not have, a figure no table has, or wiring that
/// makes no network.
pub fn procedure(
    circuit: &Circuit,
    only: Option<&str>,
    options: &Options,
    seed: u64,
) -> Result<Procedure, Refused> {
    let mut draws = Draws::seeded(seed);
    let meant = chosen(circuit, only)?;
    // Only the meter of the rig enters; the rest is the boat.
    let rig = Rig::new(Some(circuit), options, METER)?;
    let resolved = resolve(circuit)?;
    let solved = states(circuit, &resolved)?;
    let mut steps = vec![leaks::preparing()?, leaks::unplugged(circuit, &meant)?];
    steps.extend(leaks::plugged_in(
        circuit, &resolved, &solved, &meant, &rig, &mut draws,
    )?);
    let zone = only.map(|_| meant.as_slice());
    let dropping = drops::steps(circuit, &resolved, &solved, zone, &rig, &mut draws)?;
    steps.extend(dropping);
    let sheet = Sheet {
        topics: &["tracing", "metering", "battery"],
        answer: "with every load unplugged, over 1 Mohm to ground behind each fuse; plugged in, the ohms below; under load no side of any load loses much more than its line says".to_owned(),
        steps,
        ..Sheet::default()
    };
    let found = Procedure {
        title: match only {
            Some(name) => format!("the harness of `{}` behind `{name}`", circuit.title),
            None => format!("the harness of `{}`", circuit.title),
        },
        rig: meter_words(&rig),
        assumed: resolved
            .assumed
            .iter()
            .cloned()
            .chain(meter_notes(&rig))
            .collect(),
        specimens: SPECIMENS,
        ..assembled(&draws, sheet)
    };
    Ok(fitting(found, circuit.boat.drive()))
}

/// Circuits drawn and solved for each reading.
const SPECIMENS: usize = 256;

/// What the rig takes where only its meter counts.
const METER: Usual = Usual {
    fuse: Amps::new(10.0),
    lead_size: WireSize::Awg(14),
    meter: BenchMeter::Clamp,
    heavy: false,
};

fn chosen(circuit: &Circuit, only: Option<&str>) -> Result<Vec<FuseId>, Refused> {
    let all = fuses(circuit);
    let Some(name) = only else {
        return Ok(all);
    };
    let found: Vec<FuseId> = all
        .iter()
        .copied()
        .filter(|id| fuse_name(circuit, *id) == name)
        .collect();
    if found.is_empty() {
        let known: Vec<String> = all.iter().map(|id| fuse_name(circuit, *id)).collect();
        return Err(Refused::NoFuse {
            name: name.to_owned(),
            known: known.join(", "),
        });
    }
    Ok(found)
}
