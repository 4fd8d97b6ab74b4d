//! Readings of the file as the study sees them: a state, a probe, an error.

use super::batch::{Batch, branch_of};
use super::questions::Probe;
use crate::circuit::{Carrier, Reading, Taken};
use crate::solving::{Role, SolveError};
use crate::tables::meters::{MeterReading, accuracy};

/// A reading as the study sees it.
pub(super) struct Taker {
    /// Its number among the readings of the file.
    pub reading: usize,
    pub setup: usize,
    pub probe: Probe,
    pub value: f64,
    pub sd: f64,
}

/// Readings of a circuit, as many as its states can show.
pub(super) fn takers(batch: &Batch<'_>) -> Result<Vec<Taker>, SolveError> {
    let mut all = Vec::new();
    for (number, reading) in batch.circuit.readings.iter().enumerate() {
        all.extend(taker(batch, number, reading)?);
    }
    Ok(all)
}

fn taker(batch: &Batch<'_>, number: usize, reading: &Reading) -> Result<Option<Taker>, SolveError> {
    let setup = batch
        .setups
        .iter()
        .position(|setup| setup.closing.is_empty() && setup.state == reading.state);
    let Some(setup) = setup else {
        return Ok(None);
    };
    let net = &batch.workings.net;
    let amps = |branch: usize| batch.setups[setup].at.point.currents_a[branch].abs();
    let probe = match reading.taken {
        Taken::Volts(a, b) | Taken::Millivolts(a, b) => Some(Probe::Volts(a.0, b.0)),
        Taken::Amps(Carrier::Wire(wire)) => branch_of(net, Role::Wire(wire)).map(Probe::Amps),
        Taken::Amps(Carrier::Fuse(fuse)) => branch_of(net, Role::Link(fuse)).map(Probe::Amps),
        Taken::Amps(Carrier::Part(part)) => {
            let of = net.roles.iter().enumerate().filter(|(_, role)| match role {
                Role::Load { part: other, .. }
                | Role::Coil(other)
                | Role::Supply(other)
                | Role::Charger(other)
                | Role::Switch(other, ..)
                | Role::Diode(other) => *other == part,
                _ => false,
            });
            let most = of
                .map(|(at, _)| at)
                .max_by(|a, b| amps(*a).total_cmp(&amps(*b)));
            most.map(Probe::Amps)
        }
    };
    let meter = match reading.taken {
        Taken::Volts(..) => MeterReading::Volts,
        Taken::Millivolts(..) => MeterReading::Millivolts,
        Taken::Amps(_) if reading.value > 60.0 => MeterReading::LargeClampAmps,
        Taken::Amps(_) => MeterReading::ClampAmps,
    };
    let usual = accuracy(meter)?.value;
    let limit = reading
        .within
        .unwrap_or(usual.share.si() * reading.value + usual.plus);
    Ok(probe.map(|probe| Taker {
        reading: number,
        setup,
        probe,
        value: reading.value,
        sd: (limit / 3.0_f64.sqrt()).max(1e-6),
    }))
}
