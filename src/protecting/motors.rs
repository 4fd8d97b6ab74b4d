//! Start and stall of the motors behind a fuse.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::inrush::{Feed, Start, start};
use crate::circuit::{Condition, PartId};
use crate::devices::{Model, MotorModel};
use crate::findings::{Finding, code};
use crate::heating::Family;
use crate::heating::{Course, Duty, Life, Protector, starts_before_fatigue};
use crate::quantities::{Amps, Celsius, Seconds, print};
use crate::solving::StateSolution;
use crate::tables::OutOfTable;
use crate::tables::constants::constant;
use crate::tables::devices::winding_heat;
use crate::tables::fuses::{Edge, standard_ratings, steady_loading};

/// A motor behind a fuse, in the state it draws most, running and locked.
pub(super) struct Driven<'a> {
    pub motor: &'a MotorModel,
    pub name: &'a str,
    pub state: &'a StateSolution,
    /// What the motor sees, settled.
    pub feed: Feed,
    /// Its current running, amperes.
    pub running_a: f64,
    /// Current of the fuse beside the motor's own, amperes.
    pub beside_a: f64,
    /// Current of the fuse and of the motor with it locked, as solved.
    pub locked_a: f64,
}

impl<'a> Driven<'a> {
    /// None where it never runs, or is no turning motor.
    pub(super) fn of(case: &'a Case<'_>, fuse: &Fitted, part: PartId) -> Option<Self> {
        let Model::Motor(motor) = case.resolved.part(part) else {
            return None;
        };
        let name = case.circuit.part(part).name.as_str();
        let state = case.running(part)?;
        let stalled = case.stalled(part, state)?;
        let reading = |state: &StateSolution| {
            let found = state.parts.get(name)?;
            Some((found.voltage_v?.abs(), found.current_a?.abs()))
        };
        let (running, locked) = (reading(state)?, reading(stalled)?);
        let through =
            |state: &StateSolution| state.fuses.get(&fuse.name).map(|f| f.current_a.abs());
        let more_a = locked.1 - running.1;
        let ohm = if more_a > 1e-6 {
            ((running.0 - locked.0) / more_a).max(1e-4)
        } else {
            1e-4
        };
        // Not all its current need come through this fuse, nor all of the fuse's
        // be its own.
        let beside_a = (through(state)? - running.1).max(0.0);
        Some(Self {
            motor,
            name,
            state,
            feed: Feed {
                volts: running.0 + ohm * running.1,
                ohm,
            },
            running_a: running.1,
            beside_a,
            locked_a: locked.1,
        })
    }

    /// The feed in the first moments: without the battery's slow resistance.
    fn fast_feed(&self, case: &Case<'_>) -> Feed {
        let slow = case
            .ways
            .iter()
            .filter_map(|ways| match case.resolved.part(ways.battery) {
                Model::Battery(battery) => Some(battery.slow.typical.si()),
                _ => None,
            })
            .fold(f64::INFINITY, f64::min);
        let less = if slow.is_finite() { slow } else { 0.0 };
        Feed {
            ohm: (self.feed.ohm - less).max(0.2 * self.feed.ohm),
            ..self.feed
        }
    }

    /// The motor's start from rest.
    fn start(&self, case: &Case<'_>) -> Start {
        let law = self.motor.law(Condition::Healthy);
        let p = &self.motor.parameters;
        start(&law, p.l.typical, p.j.typical, self.fast_feed(case))
    }
}

/// The start as a duty of a fuse that carries `beside_a` all the while.
fn duty(device: &Protector, start: &Start, beside_a: f64) -> Duty {
    let stretch =
        |(lasts_s, amps): &(f64, f64)| Course::constant(device.multiple(amps + beside_a), *lasts_s);
    Duty::once(start.stretches.iter().map(stretch).collect())
}

/// Start of one motor through its fuse.
pub(super) fn starts(
    case: &Case<'_>,
    fuse: &Fitted,
    driven: &Driven<'_>,
) -> Result<(Check, Option<Finding>), OutOfTable> {
    let found = driven.start(case);
    let duty_here = duty(&fuse.device, &found, driven.beside_a);
    let beside = fuse.device.multiple(driven.beside_a);
    let outcome = fuse
        .device
        .run(&duty_here, |element| element.settled(beside));
    let cold = fuse.device.element(Edge::Nominal);
    let alone = cold.run(cold.cold(), &duty(&fuse.device, &found, 0.0));
    let life = starts_before_fatigue(alone.peak)?;
    let peak = Amps::new(found.peak_a + driven.beside_a);
    let takes = match found.runs_s {
        Some(seconds) => format!("runs after {}", Seconds::new(seconds)),
        None => "does not come up to speed".into(),
    };
    let head = format!(
        "`{}` starts with {peak} through it and {takes}",
        driven.name
    );
    let (verdict, tail) = match (outcome.early.opens, outcome.late.opens) {
        (None, _) => (
            Verdict::Holds,
            format!(
                "even the earliest fuse reaches only {} of its melting heat",
                print::percent(outcome.early.peak)
            ),
        ),
        (Some(_), None) => (
            Verdict::Caution,
            "some fuses may open on it; find out whether the motor is stiff before anything else"
                .into(),
        ),
        (Some(_), Some(_)) => (
            Verdict::Caution,
            "it opens on every start; this fuse does not suit this motor".into(),
        ),
    };
    let worn = match life.value {
        _ if outcome.early.opens.is_some() => String::new(),
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
    let check = Check::new(Kind::Start, verdict, format!("{head}; {tail}{worn}"))
        .about(driven.name)
        .figure("peak_a", peak.si())
        .figure("peak_s", found.peak_s)
        .figure("runs_s", found.runs_s)
        .figure("heat_earliest", outcome.early.peak)
        .figure("heat_middle", outcome.middle.peak)
        .figure("opens_earliest_s", outcome.early.opens.map(|at| at.0))
        .figure("opens_latest_s", outcome.late.opens.map(|at| at.0))
        .figure("starts_before_fatigue", starts)
        .source(driven.motor.source.clone())
        .source(life.source)
        .source(fuse.device.network_source.clone());
    let finding = outcome.early.opens.map(|_| {
        Finding::new(
            code("fuse-opens-at-start"),
            &fuse.name,
            format!("`{}` may open each time `{}` starts, with {peak} through it", fuse.name, driven.name),
        )
        .with_hint("measure the motor's start current first: a stiff motor or low volts draws it out; never fit a larger fuse to stop one from opening")
        .with_measure(peak.si(), None, "A")
        .with_label(fuse.span, "this fuse")
    });
    Ok((check, finding))
}

/// A stall, worked out.
struct Stall {
    /// Fuse current with a cold and with a ruined winding.
    cold_a: f64,
    hot_a: f64,
    earliest_s: Option<f64>,
    latest_s: Option<f64>,
    /// Time until the winding's insulation fails, soonest, typical, latest.
    fails_s: [f64; 3],
}

/// Temperature steps from start to limit.
const WARMING_STEPS: u32 = 60;
/// Specific heat of copper near 100 degC.
const COPPER_HEAT: &str = "specific heat at 100 degC";

/// A stalled motor on a fuse: current falls as its winding heats without loss.
fn stall(device: &Protector, driven: &Driven<'_>, beside_a: f64) -> Result<Stall, OutOfTable> {
    let heat = winding_heat()?.value;
    let p = &driven.motor.parameters;
    let rated_w = p.v_ref.si() * p.current_ref.si();
    let j_per_k = heat.copper_kg_per_w * rated_w * constant(COPPER_HEAT)?.value;
    let start_degc = driven.motor.winding.si();
    let limit_degc = heat.limit.si().max(start_degc);
    let law = driven.motor.law(Condition::Locked);
    let at = |degc: f64| {
        let r_ohm = law.r_ohm * (234.5 + degc) / (234.5 + start_degc);
        let amps = (driven.feed.volts - law.v_brush_v).max(0.0) / (driven.feed.ohm + r_ohm);
        (amps, amps * amps * r_ohm)
    };
    let step_k = (limit_degc - start_degc) / f64::from(WARMING_STEPS);
    let warming = (0..WARMING_STEPS).map(|step| {
        let (amps, watts) = at(start_degc + (f64::from(step) + 0.5) * step_k);
        (amps, j_per_k * step_k / watts.max(1e-9))
    });
    let warming: Vec<(f64, f64)> = warming.collect();
    let fails_s: f64 = warming.iter().map(|(_, seconds)| seconds).sum();
    let (cold_a, hot_a) = (at(start_degc).0 + beside_a, at(limit_degc).0 + beside_a);
    // The latest fuse meets the winding that heats, and so chokes, soonest; what
    // it does once it has failed nobody knows, so the hot current goes on.
    let falling = warming.iter().map(|(amps, seconds)| {
        Course::constant(device.multiple(amps + beside_a), seconds / heat.spread)
    });
    let goes_on = Course::constant(device.multiple(hot_a), f64::INFINITY);
    let duty = Duty::once(falling.chain([goes_on]).collect());
    let warm = device.multiple(driven.running_a + beside_a);
    let late = device.element(Edge::Late);
    let latest_s = late.run(late.cold(), &duty).opens.map(|at| at.0);
    let early = device.element(Edge::Early);
    let steady = Duty::once(vec![Course::constant(
        device.multiple(cold_a),
        f64::INFINITY,
    )]);
    let earliest_s = early.run(early.settled(warm), &steady).opens.map(|at| at.0);
    Ok(Stall {
        cold_a,
        hot_a,
        earliest_s,
        latest_s,
        fails_s: [fails_s / heat.spread, fails_s, fails_s * heat.spread],
    })
}

/// A locked motor behind its fuse.
pub(super) fn stalls(
    case: &Case<'_>,
    fuse: &Fitted,
    driven: &Driven<'_>,
) -> Result<(Check, Option<Finding>), OutOfTable> {
    let found = stall(&fuse.device, driven, driven.beside_a)?;
    let limit = winding_heat()?;
    let cold = Amps::new(found.cold_a);
    let multiple = print::significant(fuse.device.multiple(found.cold_a), 2);
    let [soon_s, typical_s, _] = found.fails_s;
    let wire = hottest_wire(case, fuse, found.cold_a);
    let head = format!(
        "with `{}` stalled it carries {cold}, {multiple} times its {} there",
        driven.name, fuse.device.effective
    );
    let winding = format!(
        "the winding passes {} after about {}",
        limit.value.limit,
        Seconds::new(typical_s)
    );
    let seconds = |s: Option<f64>| Seconds::new(s.unwrap_or(0.0));
    let (verdict, tail) = match (found.earliest_s, found.latest_s) {
        (_, Some(latest_s)) if latest_s <= soon_s => (
            Verdict::Holds,
            format!(
                "it opens between {} and {}, before the winding passes {}",
                seconds(found.earliest_s),
                Seconds::new(latest_s),
                limit.value.limit
            ),
        ),
        (_, Some(latest_s)) => (
            Verdict::Caution,
            format!(
                "it opens between {} and {}, but {winding}: the wire is saved, the pump may not be",
                seconds(found.earliest_s),
                Seconds::new(latest_s)
            ),
        ),
        (Some(earliest_s), None) => (
            Verdict::Caution,
            format!(
                "it may open after {} or later, or never: {winding} and then draws {}, at which no opening is promised",
                Seconds::new(earliest_s),
                Amps::new(found.hot_a)
            ),
        ),
        (None, None) => (
            Verdict::Caution,
            format!("this fuse will not open on it: {winding}"),
        ),
    };
    let what_would = if found.latest_s.is_some_and(|latest_s| latest_s <= soon_s) {
        String::new()
    } else {
        format!("; {}", what_would(case, fuse, driven, soon_s)?)
    };
    let mut check = Check::new(Kind::Stall, verdict, format!("{head}; {tail}{what_would}"))
        .about(driven.name)
        .figure("stall_cold_a", found.cold_a)
        .figure("stall_hot_a", found.hot_a)
        .figure("stall_solved_a", driven.locked_a + driven.beside_a)
        .figure("opens_earliest_s", found.earliest_s)
        .figure("opens_latest_s", found.latest_s)
        .figure("winding_fails_soonest_s", soon_s)
        .figure("winding_fails_s", typical_s)
        .figure("winding_fails_latest_s", found.fails_s[2])
        .source(driven.motor.source.clone())
        .source(limit.source)
        .source(fuse.device.source.clone());
    if let Some((name, degc, class)) = wire {
        check = check.figure("wire_settles_degc", degc.si());
        let judged = if degc <= class { "within" } else { "above" };
        check.sentence = format!(
            "{}; of its wires `{name}` would settle hottest, at {degc}, {judged} its {class}",
            check.sentence
        );
    }
    let finding = found.latest_s.is_none().then(|| {
        Finding::new(
            code("stall-not-cleared"),
            &fuse.name,
            format!(
                "`{}` need not open when `{}` is stalled and draws {cold}",
                fuse.name, driven.name
            ),
        )
        .in_state(&driven.state.name)
        .with_hint("free the motor before running it, watch its current when it starts, or fit a motor with a thermal cut-out; never a larger fuse")
        .with_measure(found.cold_a, Some(fuse.device.effective.si()), "A")
        .with_label(fuse.span, "this fuse")
    });
    Ok((check, finding))
}

/// The wire behind a fuse that settles hottest at a current.
fn hottest_wire(
    case: &Case<'_>,
    fuse: &Fitted,
    current_a: f64,
) -> Option<(String, Celsius, Celsius)> {
    let behind = case.zones.wires.get(&fuse.id)?;
    behind
        .iter()
        .filter_map(|&wire| {
            let model = &case.resolved.wires[wire];
            let class = model.allowed.as_ref().ok()?.class;
            let label = case.circuit.wire_label(&case.circuit.wires[wire]);
            Some((label, model.temperature(current_a), class))
        })
        .max_by(|a, b| (a.1.si() - a.2.si()).total_cmp(&(b.1.si() - b.2.si())))
}

/// What would end the stall: never a larger fuse.
fn what_would(
    case: &Case<'_>,
    fuse: &Fitted,
    driven: &Driven<'_>,
    soon_s: f64,
) -> Result<String, OutOfTable> {
    let watch = "a motor with a thermal cut-out would end it, and so does whoever watches the current when it starts and switches off";
    let Family::Fuse(style) = fuse.device.family else {
        return Ok(watch.into());
    };
    let needed_a = case.continuous(fuse).0 / steady_loading()?.value.si();
    let start = driven.start(case);
    for rating in standard_ratings(style)?.value {
        if rating >= fuse.device.rating {
            break;
        }
        let closer = Protector::new(
            fuse.device.family,
            rating,
            Some(case.circuit.ambient.at(fuse.place)),
        )?;
        if closer.effective.si() < needed_a {
            continue;
        }
        let duty = duty(&closer, &start, driven.beside_a);
        let beside = closer.multiple(driven.beside_a);
        let survives = closer
            .run(&duty, |element| element.settled(beside))
            .early
            .opens
            .is_none();
        let ends = stall(&closer, driven, driven.beside_a)?.latest_s;
        if let (true, Some(latest_s)) = (survives, ends) {
            let when = if latest_s <= soon_s {
                "in time for the winding"
            } else {
                "if not in time for the winding"
            };
            return Ok(format!(
                "{rating} still carries its load and its start and opens on the stall within {}, {when}; {watch}",
                Seconds::new(latest_s)
            ));
        }
    }
    Ok(format!(
        "no smaller rating both carries its load and opens on the stall; {watch}"
    ))
}
