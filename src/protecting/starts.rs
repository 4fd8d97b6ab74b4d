//! What starts behind a fuse, and what it costs the fuse.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::switching::{Start, Switched};
use crate::circuit::{Device, PartId};
use crate::devices::{Model, PulsePump};
use crate::findings::{Finding, code};
use crate::heating::{HOLDS, Life, Outcome, starts_before_fatigue};
use crate::quantities::{Amps, Seconds, print};
use crate::tables::OutOfTable;
use crate::tables::fuses::Edge;

/// Something that starts in a state.
struct Starting<'a> {
    /// A motor, or loads that take more at first.
    names: Vec<String>,
    is_motor: bool,
    switched: &'a Switched,
    start: Start,
    outcome: Outcome,
}

/// The start of every motor behind a fuse, and the first moments of its other
/// loads, each in the state that heats the fuse most; a load that is off in the
/// hardest of them is told in the hardest of its own.
pub(super) fn starts(
    case: &Case<'_>,
    fuse: &Fitted,
) -> Result<Vec<(Check, Option<Finding>)>, OutOfTable> {
    let mut all = Vec::new();
    let mut unknown = Vec::new();
    let mut pulsed = Vec::new();
    for part in case.motors(fuse) {
        let name = &case.circuit.part(part).name;
        if let Model::PulsePump(pump) = case.resolved.part(part) {
            pulsed.extend(in_pulses(case, fuse, part, pump));
            continue;
        }
        let starting = hardest(case, fuse, |switched| {
            switched.starts(name).then(|| vec![name.clone()])
        });
        match (starting, case.running(part)) {
            (Some(one), _) => all.push(Starting {
                is_motor: true,
                ..one
            }),
            (None, Some(state)) => unknown.push((not_followed(name, &state.name), None)),
            (None, None) => {}
        }
    }
    let mut untold = loads(case, fuse);
    while let Some(found) = hardest(case, fuse, |switched| inrushing(case, switched, &untold)) {
        let name = |load: &PartId| &case.circuit.part(*load).name;
        // What stands behind a fuse of its own is told there.
        untold.retain(|load| !found.names.contains(name(load)) && is_last(case, fuse, *load));
        all.push(found);
    }
    let judged = all.iter().map(|one| judged(case, fuse, one));
    let others = pulsed.into_iter().chain(unknown);
    judged.chain(others.map(Ok)).collect()
}

/// Whether no other fuse stands between a fuse and a load behind it.
fn is_last(case: &Case<'_>, fuse: &Fitted, load: PartId) -> bool {
    let own_side = case.zones.load_side(case.circuit, fuse.id);
    let reaches_own = |other| {
        let reached = case.zones.terminals.get(&other);
        reached.is_some_and(|reached| reached.contains(&own_side))
    };
    let plus = case.circuit.part(load).terminals.first();
    plus.is_some_and(|plus| {
        let mut others = case.zones.before_terminal(*plus);
        others.all(|other| other == fuse.id || reaches_own(other))
    })
}

/// Loads that a state switches on and that take more at first; none where none does.
fn inrushing(case: &Case<'_>, switched: &Switched, loads: &[PartId]) -> Option<Vec<String>> {
    let takes_more = |load: &&PartId| {
        let name = &case.circuit.part(**load).name;
        let before_a = case.part_current(switched.from.as_deref(), name);
        switched.inrush(name, before_a).is_some()
    };
    let names = loads.iter().filter(takes_more);
    let names: Vec<String> = names
        .map(|load| case.circuit.part(*load).name.clone())
        .collect();
    (!names.is_empty()).then_some(names)
}

/// A pulsed pump: its coil's own resistance is the most it can draw, at first
/// as later; what it draws in the mean is judged with the load.
fn in_pulses(
    case: &Case<'_>,
    fuse: &Fitted,
    part: PartId,
    pump: &PulsePump,
) -> Option<(Check, Option<Finding>)> {
    let state = case.running(part)?;
    let name = &case.circuit.part(part).name;
    let volts = state.parts.get(name)?.voltage_v?;
    let peak_a = volts.abs() / pump.coil_warm.low.si();
    let words = format!(
        "`{name}` works in pulses in `{}`, each of at most {} by its coil; there is no run-up",
        state.name,
        Amps::new(peak_a)
    );
    let holds = fuse.device.multiple(peak_a) <= HOLDS;
    let verdict = if holds { Verdict::Holds } else { Verdict::Note };
    let check = Check::new(Kind::Start, verdict, words)
        .about(name)
        .figure("peak_a", peak_a);
    Some((check, None))
}

/// A motor that runs, but whose start was not seen.
fn not_followed(name: &str, state: &str) -> Check {
    let words = format!(
        "`{name}` runs in `{state}`, but could not be followed from rest; `transient --state {state}` says why"
    );
    Check::new(Kind::Start, Verdict::Note, words).about(name)
}

/// The start as the fuse sees it that heats its earliest instance most.
fn hardest<'a>(
    case: &'a Case<'_>,
    fuse: &Fitted,
    names: impl Fn(&Switched) -> Option<Vec<String>>,
) -> Option<Starting<'a>> {
    let starting = case.switched.iter().filter_map(|switched| {
        let names = names(switched)?;
        let before_a = case.fuse_current(switched.from.as_deref(), &fuse.name);
        let start = switched.start(&fuse.name, before_a)?;
        let warm = fuse.device.multiple(before_a);
        let outcome = fuse
            .device
            .run(&start.duty(&fuse.device), |element| element.settled(warm));
        Some(Starting {
            names,
            is_motor: false,
            switched,
            start,
            outcome,
        })
    });
    starting.max_by(|a, b| {
        let key = |one: &Starting<'_>| (one.outcome.early.peak, one.start.peak_a);
        key(a)
            .0
            .total_cmp(&key(b).0)
            .then(key(a).1.total_cmp(&key(b).1))
    })
}

/// Start of a motor, by its name, as a fuse sees it; none where it never starts.
pub(super) fn start_of(case: &Case<'_>, fuse: &Fitted, motor: &str) -> Option<Start> {
    let found = hardest(case, fuse, |switched| {
        switched.starts(motor).then(|| vec![motor.to_owned()])
    });
    found.map(|starting| starting.start)
}

/// Lamps, heaters and electronics right behind a fuse.
fn loads(case: &Case<'_>, fuse: &Fitted) -> Vec<PartId> {
    let Some(reached) = case.zones.terminals.get(&fuse.id) else {
        return Vec::new();
    };
    let behind = |part: &PartId| {
        let part = case.circuit.part(*part);
        matches!(part.device, Device::Load(_))
            && part
                .terminals
                .first()
                .is_some_and(|plus| reached.contains(plus))
    };
    case.circuit.part_ids().filter(behind).collect()
}

fn judged(
    case: &Case<'_>,
    fuse: &Fitted,
    one: &Starting<'_>,
) -> Result<(Check, Option<Finding>), OutOfTable> {
    let cold = fuse.device.element(Edge::Nominal);
    let alone = cold.run(cold.cold(), &one.start.duty(&fuse.device));
    let life = starts_before_fatigue(alone.peak)?;
    let peak = Amps::new(one.start.peak_a);
    let names: Vec<String> = one.names.iter().map(|name| format!("`{name}`")).collect();
    let who = names.join(", ");
    let state = &one.switched.state;
    let runs_s = one
        .is_motor
        .then(|| one.switched.runs_s(&one.names[0]))
        .flatten();
    let head = match (one.is_motor, runs_s) {
        (true, Some(seconds)) => format!(
            "{who} starts in `{state}` with {peak} through it and runs after {}",
            Seconds::new(seconds)
        ),
        (true, None) => format!("{who} starts in `{state}` with {peak} through it"),
        (false, _) => format!(
            "switching to `{state}` puts {peak} through it at first ({who}), settled after {}",
            Seconds::new(one.start.settled_s)
        ),
    };
    let (early, late) = (one.outcome.early, one.outcome.late);
    let (verdict, tail) = match (early.opens, late.opens) {
        (None, _) => (
            Verdict::Holds,
            format!(
                "even the earliest fuse reaches only {} of its melting heat",
                print::percent(early.peak)
            ),
        ),
        (Some(_), None) => (
            Verdict::Caution,
            "some fuses may open on it; find out whether a motor is stiff or a joint bad before anything else".into(),
        ),
        (Some(_), Some(_)) => (
            Verdict::Caution,
            "it opens every time; this fuse does not suit what is behind it".into(),
        ),
    };
    let worn = match life.value {
        _ if early.opens.is_some() => String::new(),
        Life::Long => String::new(),
        Life::Starts(count) => format!(
            "; some {} starts wear it out (chart of wire-element fuses)",
            print::significant(count, 1)
        ),
        Life::Short => "; fewer than 100 starts wear it out (chart of wire-element fuses)".into(),
    };
    let starts = match life.value {
        Life::Starts(count) => Some(count),
        Life::Short | Life::Long => None,
    };
    let mut check = Check::new(Kind::Start, verdict, format!("{head}; {tail}{worn}"))
        .about(one.names.join(", "))
        .in_state(state)
        .figure("peak_a", one.start.peak_a)
        .figure("peak_s", one.start.peak_s)
        .figure("settled_s", one.start.settled_s)
        .figure("runs_s", runs_s)
        .figure("heat_earliest", early.peak)
        .figure("heat_middle", one.outcome.middle.peak)
        .figure("heat_from_cold", alone.peak)
        .figure("opens_earliest_s", early.opens.map(|at| at.0))
        .figure("opens_latest_s", late.opens.map(|at| at.0))
        .figure("starts_before_fatigue", starts)
        .source(life.source)
        .source(fuse.device.network_source.clone());
    for name in &one.names {
        let part = case.circuit.find(name).map(|id| case.resolved.part(id));
        if let Some(Model::Motor(motor)) = part {
            check = check.source(motor.source.clone());
        }
    }
    let finding = early.opens.map(|_| {
        Finding::new(
            code("fuse-opens-at-start"),
            &fuse.name,
            format!("`{}` may open each time {who} starts, with {peak} through it", fuse.name),
        )
        .in_state(state)
        .with_hint("measure the start current first: a stiff motor or low volts draws it out; never fit a larger fuse to stop one from opening")
        .with_measure(peak.si(), None, "A")
        .with_label(fuse.span, "this fuse")
    });
    Ok((check, finding))
}
