//! `interpret --state`: readings taken in the boat.

use super::Failure;
use super::interpret::told;
use super::rig::RigArgs;
use crate::bench::{Aboard, Draws, Options, Rig, Subject, usual};
use crate::circuit::zones::{fuse_name, fuses};
use crate::circuit::{Circuit, PartId};
use crate::interpreting::{Evidence, Examined, Measure, RunKind};
use crate::present::json::Object;

/// A part's place in its boat.
pub(super) struct Place<'a> {
    circuit: &'a Circuit,
    part: PartId,
    state: usize,
}

/// Finds the place of a part in a state; its air becomes that of the options.
pub(super) fn place<'a>(
    circuit: &'a Circuit,
    name: &str,
    state: &str,
    options: &mut Options,
) -> Result<Place<'a>, Failure> {
    let state = state_at(circuit, state)?;
    let all = fuses(circuit);
    if all.iter().any(|fuse| fuse_name(circuit, *fuse) == name) {
        return Err(refused(format!(
            "`--state` is for what a circuit feeds steadily: pumps, motors, solenoids, relay coils, loads, and batteries; leave it out for the fuse `{name}`"
        )));
    }
    let part = circuit
        .find(name)
        .ok_or_else(|| unknown_part(circuit, name))?;
    if options.temperature.is_none() {
        options.temperature = Some(circuit.ambient.at(circuit.part(part).place));
    }
    Ok(Place {
        circuit,
        part,
        state,
    })
}

impl Place<'_> {
    /// The boat in place of the bench.
    pub(super) fn rig(
        &self,
        args: &RigArgs,
        part: &Subject,
        examined: &Examined,
        options: &Options,
    ) -> Result<Rig, Failure> {
        if !examined.is_read_aboard() {
            return Err(refused(format!(
                "`--state` is for what a circuit feeds steadily: pumps, motors, solenoids, relay coils, loads, and batteries; leave it out for {}",
                part.in_words()
            )));
        }
        if let Some(option) = args.of_bench_alone() {
            return Err(refused(format!(
                "`{option}` belongs to the bench; with `--state` the boat's own wires and fuses feed the part"
            )));
        }
        let mut draws = Draws::seeded(args.seed);
        let usual = usual(part).map_err(told)?;
        let (circuit, state) = (self.circuit, self.state);
        let rig =
            Rig::aboard(circuit, self.part, state, options, usual, &mut draws).map_err(told)?;
        let charged = |aboard: &Aboard| aboard.others.typical.si() < 0.0;
        if *examined == Examined::Battery && rig.aboard.as_ref().is_some_and(charged) {
            return Err(refused(format!(
                "in `{}` the battery is being charged: its volts are then the regulator's; read it in a state that loads it",
                circuit.states[state].name
            )));
        }
        Ok(rig)
    }
}

/// The readings of a part in its boat.
pub(super) fn evidence(mut evidence: Evidence, examined: &Examined) -> Result<Evidence, Failure> {
    if examined.measures().contains(&Measure::Pressure) {
        // In its place a pump works against what it feeds.
        for run in &mut evidence.runs {
            run.kind.get_or_insert(RunKind::AtPressure);
        }
    }
    // Its own state loads a battery.
    match examined.lacks(&evidence) {
        Some(why) if *examined != Examined::Battery => Err(refused(why)),
        _ => Ok(evidence),
    }
}

/// A part the file does not have.
pub(super) fn unknown_part(circuit: &Circuit, name: &str) -> Failure {
    let names = || circuit.parts.iter().map(|part| part.name.as_str());
    let list = format!("this file has: {}", names().collect::<Vec<_>>().join(", "));
    Failure::unknown("part", name, names(), list)
}

/// The index of a state by its name.
pub(super) fn state_at(circuit: &Circuit, asked: &str) -> Result<usize, Failure> {
    let names = || circuit.states.iter().map(|state| state.name.as_str());
    if let Some(at) = names().position(|name| name == asked) {
        return Ok(at);
    }
    let list = format!("this file has: {}", names().collect::<Vec<_>>().join(", "));
    Err(Failure::unknown("state", asked, names(), list))
}

/// The feed of a part in the boat; none for its battery.
pub(super) fn feed(aboard: &Aboard) -> Option<Object> {
    let fuse = aboard.fuse.as_ref().map(|(fuse, _)| fuse.name.as_str());
    let feed = aboard.feed.as_ref()?;
    let object = Object::new()
        .band("open_v", &feed.open)
        .band("resistance_ohm", &feed.ohm)
        .text("battery", &aboard.battery)
        .band("others_a", &aboard.others)
        .texts("relays", &aboard.relays)
        .text_or_null("fuse", fuse);
    Some(object)
}

fn refused(why: impl Into<String>) -> Failure {
    Failure::Refused(why.into())
}
