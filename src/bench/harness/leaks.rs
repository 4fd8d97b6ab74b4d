//! Ohms to ground behind each fuse, battery off.

use super::SPECIMENS;
use super::ohmmeter::{Standing, ground, ohms_between};
use crate::bench::chance;
use crate::bench::preparation::tagged;
use crate::bench::rig::{Rig, added_ohms, read_ohms};
use crate::bench::steps::{Jack, Reading, Step, Unit};
use crate::bench::{Draws, Refused};
use crate::circuit::zones::{FuseId, Zones, fuse_name};
use crate::circuit::{Circuit, PartId, State};
use crate::devices::{Model, Resolved};
use crate::quantities::Ohms;
use crate::quantities::print::nominal;
use crate::solving::StateSolution;
use crate::tables::OutOfTable;
use crate::tables::readings::leaks;
use std::collections::BTreeSet;

/// From here up a dry harness reads, ohms: `leak-readings`.
const HEALTHY_OHM: f64 = 1e6;

/// Ratio of the ends from which a range is told by its low end alone.
const TOO_WIDE: f64 = 10.0;

/// Battery off and safe.
pub(super) fn preparing() -> Result<Step, OutOfTable> {
    Ok(Step::new("Key off, chargers off, minus clamps off every battery and away from the posts. Leads of the meter pressed together: write down what it shows and take it off every reading of a few ohms.")
        .cautions(tagged(&["neg-first", "eyes", "short", "no-break", "amps-jack"])?)
        .meter(Jack::Ohms))
}

/// Every load unplugged: the wires alone.
pub(super) fn unplugged(circuit: &Circuit, meant: &[FuseId]) -> Result<Step, OutOfTable> {
    let mut step = Step::new("Unplug every load, the rectifier, and lift the loads' feeds that have no plug. One fuse out at a time, the others in: ohms from the load side of its holder to the minus clamp; wiggle the loom a hand at a time.")
        .cautions(tagged(&["relieve", "vapour", "trim-drop"])?)
        .meter(Jack::Ohms);
    for id in meant {
        let quantity = format!("behind `{}`, loads unplugged", fuse_name(circuit, *id));
        step = step.expect(Reading::at_least(&quantity, HEALTHY_OHM, Unit::Ohms));
    }
    for (from, to, meaning) in leaks()?.into_iter().skip(1) {
        step = step.outside(if from.si() > 0.0 {
            format!("{} to {}: {meaning}", nominal(from), nominal(to))
        } else {
            format!("under {}: {meaning}", nominal(to))
        });
    }
    Ok(step
        .outside("low with everything off: split it, pull the largest plug between and look on which side it stays low"))
}

/// Everything plugged in: what this circuit shows at rest, and switched on.
pub(super) fn plugged_in(
    circuit: &Circuit,
    resolved: &Resolved,
    solved: &[StateSolution],
    meant: &[FuseId],
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Vec<Step>, Refused> {
    let zones = Zones::of(circuit);
    let rest = circuit
        .states
        .iter()
        .find(|state| state.name == "off" || state.name == "rest");
    let mut at_rest = Step::new("Everything plugged in again, minus still off, every switch at rest, one fuse out at a time: ohms from the load side of its holder to the minus clamp. Now you read the loads, not a short.")
        .cautions(tagged(&["neg-first", "relieve"])?)
        .meter(Jack::Ohms);
    let (studs, tags): (&str, &[&str]) = if has_solenoid(resolved) {
        (
            ", a stud solenoid from large stud to large stud",
            &["no-bridge", "studs"],
        )
    } else {
        ("", &["no-bridge"])
    };
    let mut switched = Step::new(format!("Still minus off: the switches as each line's state has them, and the relays that state pulls in bridged 30 to 87 in their empty sockets{studs}; the same ohms. Take the lowest of ten tries while a motor's shaft is turned a little."))
        .cautions(tagged(tags)?)
        .meter(Jack::Ohms);
    for id in meant {
        let name = fuse_name(circuit, *id);
        let from = zones.load_side(circuit, *id);
        let mut of = |how: &str, standing: &Standing<'_>| -> Result<Reading, Refused> {
            let between = (from, ground(circuit));
            let found = ohms_between(circuit, resolved, standing, between, SPECIMENS, draws)?;
            Ok(reading(
                &format!("behind `{name}`, {how}"),
                &found,
                rig,
                draws,
            ))
        };
        let resting = Standing {
            state: rest,
            out: vec![*id],
            ..Standing::default()
        };
        let resting = of("plugged in", &resting)?;
        at_rest = at_rest.expect(resting).note(behind(circuit, &zones, *id));
        if let Some((state, pulled_in)) = busiest(circuit, solved, &name) {
            let busy = Standing {
                state: Some(state),
                pulled_in,
                out: vec![*id],
                ..Standing::default()
            };
            switched = switched.expect(of(&format!("as in `{}`", state.name), &busy)?);
        }
    }
    let steps = [at_rest, switched]
        .into_iter()
        .filter(|step| !step.expect.is_empty())
        .map(|step| {
            step.outside("lower: something behind it is shorted, or more hangs on it than the file knows; unplug one load after the other until it jumps up")
                .outside("higher, or open where a load should show: an open wire, plug or load; a motor's brushes and film alone can read five times its winding")
                .outside("electronics read anything above 100 ohm, by the meter's range and polarity")
        });
    Ok(steps.collect())
}

/// Whether a stud solenoid is among its parts.
fn has_solenoid(resolved: &Resolved) -> bool {
    let is = |model: &Model| matches!(model, Model::Relay(relay) if relay.is_solenoid());
    resolved.parts.iter().any(is)
}

/// The loads and coils behind a fuse, in words.
fn behind(circuit: &Circuit, zones: &Zones, id: FuseId) -> String {
    let zone = zones.terminals.get(&id);
    let inside = |part: &&crate::circuit::Part| {
        part.kind().is_consumer_or_charger()
            && zone.is_some_and(|zone| part.terminals.iter().any(|t| zone.contains(t)))
    };
    let names: Vec<&str> = circuit
        .parts
        .iter()
        .filter(inside)
        .map(|part| part.name.as_str())
        .collect();
    let name = fuse_name(circuit, id);
    if names.is_empty() {
        format!("behind `{name}` lie wires alone")
    } else {
        format!("behind `{name}` lie {}", names.join(", "))
    }
}

/// The state in which a fuse carries most, with the relays pulled in there.
fn busiest<'a>(
    circuit: &'a Circuit,
    solved: &[StateSolution],
    fuse: &str,
) -> Option<(&'a State, BTreeSet<PartId>)> {
    let carries = |state: &&StateSolution| {
        state
            .fuses
            .get(fuse)
            .map_or(0.0, |reading| reading.current_a)
    };
    let state = solved
        .iter()
        .filter(|state| !state.what_if && carries(state) > 0.01)
        .max_by(|a, b| carries(a).total_cmp(&carries(b)))?;
    let pulled_in = state
        .relays
        .iter()
        .filter(|(_, relay)| relay.pulled_in == Some(true))
        .filter_map(|(name, _)| circuit.find(name))
        .collect();
    let written = circuit.states.iter().find(|one| one.name == state.name)?;
    Some((written, pulled_in))
}

/// A reading of sampled ohms; what is over a megohm, or open, is only that.
fn reading(quantity: &str, found: &[Option<f64>], rig: &Rig, draws: &mut Draws) -> Reading {
    let typical = found.first().copied().flatten();
    let Some(typical) = typical.filter(|ohms| *ohms < HEALTHY_OHM) else {
        return Reading::at_least(quantity, least_of(found), Unit::Ohms);
    };
    let error = &rig.ohms_error;
    let sample = found
        .iter()
        .map(|ohms| read_ohms(draws, error, ohms.unwrap_or(HEALTHY_OHM)))
        .collect();
    let band = chance::range(sample, typical + added_ohms(error));
    if band.high > TOO_WIDE * band.low {
        // Electronics: a range this wide says no more than its low end.
        return Reading::at_least(quantity, least_of(found), Unit::Ohms);
    }
    Reading::computed(quantity, band, Unit::Ohms)
}

/// The least a mostly open way shows: a megohm, or what its specimens go down to.
fn least_of(found: &[Option<f64>]) -> f64 {
    let lowest = found.iter().flatten().copied().fold(HEALTHY_OHM, f64::min);
    Ohms::new(lowest).si()
}
