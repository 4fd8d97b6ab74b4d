//! Traces in time, where they decide something: a start or a stall that its
//! fuse meets, and what cranking leaves for the rest of the boat.

use crate::circuit::Circuit;
use crate::protecting::{Check, Kind, Study, Verdict};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Seconds, Volts};
use crate::solving::{Solution, StateSolution};
use crate::transients::{Column, Openings, Ready, Scenario, Transient, What, study};

/// How long a start is followed, seconds.
const START_S: f64 = 3.0;
/// How long a stall is followed, seconds.
const STALL_S: f64 = 600.0;
/// First moment shown, seconds.
const FROM_S: f64 = 1e-4;
/// Points of a curve: more than the picture has dots to show.
const MOST: usize = 400;
/// Less does not run, amperes.
const RUNS_A: f64 = 0.01;

/// One curve of a trace.
#[derive(Debug, Clone, PartialEq)]
pub struct TraceCurve {
    /// What it shows.
    pub name: String,
    /// Seconds and the figure.
    pub points: Vec<(f64, f64)>,
}

/// A trace.
#[derive(Debug, Clone, PartialEq)]
pub struct TraceChart {
    /// What happens, in words.
    pub title: String,
    /// Unit of the upright axis: `A` or `V`.
    pub unit: &'static str,
    /// The curves.
    pub curves: Vec<TraceCurve>,
    /// Level lines with their names: a rating, a drop-out.
    pub levels: Vec<(String, f64)>,
    /// Moments with their names: a fuse opens, a shaft turns.
    pub moments: Vec<(String, f64)>,
    /// Seconds from and to.
    pub seconds: (f64, f64),
    /// What it decides.
    pub verdict: String,
}

/// All traces of a circuit. A run that finds no balance is left out: the study
/// that asks for it says so itself.
pub(super) fn traces(circuit: &Circuit, solution: &Solution, fuses: &Study) -> Vec<TraceChart> {
    let mut all = Vec::new();
    let Ok(ready) = Ready::new(circuit) else {
        return all;
    };
    for fuse in &fuses.fuses {
        for check in &fuse.checks {
            let Some(part) = &check.about else { continue };
            // The state of the verdict, so that picture and words are of one run.
            let judged_in = check.state.as_ref();
            let of_check =
                judged_in.and_then(|name| solution.states.iter().find(|s| s.name == *name));
            let Some(state) = of_check.or_else(|| solution.drawing_most(part, RUNS_A)) else {
                continue;
            };
            let asked = Asked {
                circuit,
                part,
                state,
                fuse: &fuse.name,
                rating: (fuse.rating, fuse.effective),
                settled_a: check.value("stall_cold_a"),
                verdict: format!("{}: {}", check.verdict.word(), check.sentence),
            };
            match check.kind {
                Kind::Start if decides(check) => all.extend(start(&ready, &asked)),
                Kind::Stall if check.verdict >= Verdict::Caution => all.extend(stall(&asked)),
                _ => {}
            }
        }
    }
    for state in solution.states.iter().filter(|state| !state.what_if) {
        if state.wires.iter().any(|wire| wire.cranking) {
            all.extend(crank(circuit, &ready, state));
        }
    }
    all
}

/// Whether a start is worth a picture: a motor's, or one its fuse may not stand.
fn decides(check: &Check) -> bool {
    check.value("runs_s").is_some() || check.verdict >= Verdict::Caution
}

/// What a trace is asked for.
struct Asked<'a> {
    circuit: &'a Circuit,
    part: &'a str,
    state: &'a StateSolution,
    fuse: &'a str,
    /// As printed on it, and in the air around it.
    rating: (Amps, Amps),
    /// What the verdict of a stall counts with, amperes.
    settled_a: Option<f64>,
    verdict: String,
}

/// The state the file puts before another.
fn before(circuit: &Circuit, state: &str) -> Option<String> {
    let state = circuit.states.iter().find(|one| one.name == state)?;
    state.after.map(|at| circuit.states[at].name.clone())
}

fn start(ready: &Ready<'_>, asked: &Asked<'_>) -> Option<TraceChart> {
    // From rest, so that the shaft stands at first.
    let run = ready.run(&Scenario::new(&asked.state.name, START_S)).ok()?;
    let curve = curve(
        &run,
        asked.fuse,
        "current_a",
        format!("through {}", asked.fuse),
    )?;
    Some(TraceChart {
        title: format!(
            "`{}` starts in `{}`, everything cold before",
            asked.part, asked.state.name
        ),
        unit: "A",
        curves: vec![curve],
        levels: vec![rating(asked)],
        moments: moments(&run, &[asked.part, asked.fuse]),
        seconds: (FROM_S, run.reached_s),
        verdict: asked.verdict.clone(),
    })
}

fn stall(asked: &Asked<'_>) -> Option<TraceChart> {
    let scenario = Scenario {
        from: Some(asked.state.name.clone()),
        locked: vec![asked.part.into()],
        // No fuse opens in the run shown: its times stand as moments.
        fuses: None,
        ..Scenario::new(&asked.state.name, STALL_S)
    };
    let run = Ready::new(asked.circuit).ok()?.run(&scenario).ok()?;
    let with_fuses = Scenario {
        fuses: Some(crate::tables::fuses::Edge::Nominal),
        ..scenario
    };
    let openings = study(asked.circuit, &with_fuses).ok()?.openings;
    let opened = openings.get(asked.fuse).copied().unwrap_or_default();
    let through = format!("through {}, if no fuse opened", asked.fuse);
    let curve = curve(&run, asked.fuse, "current_a", through)?;
    Some(TraceChart {
        title: format!(
            "`{}` jams while it runs in `{}`: the current if no fuse opened, and when `{}` opens",
            asked.part, asked.state.name, asked.fuse
        ),
        unit: "A",
        levels: vec![rating(asked)],
        moments: [
            opening_moments(asked.fuse, opened),
            moments(&run, &[asked.part]),
        ]
        .concat(),
        seconds: (FROM_S, run.reached_s),
        verdict: format!(
            "{}. {}",
            asked.verdict.trim_end_matches('.'),
            falls(&curve, asked.settled_a, run.reached_s)
        ),
        curves: vec![curve],
    })
}

/// What the curve of a stall shows beside the verdict: its copper stays whole
/// throughout, while one of the verdict's two ends is a winding at its limit.
fn falls(curve: &TraceCurve, settled_a: Option<f64>, until_s: f64) -> String {
    let most = curve.points.iter().map(|point| point.1).fold(0.0, f64::max);
    let last = curve.points.last().map_or(most, |point| point.1);
    let [highest, settled] =
        [most, settled_a.unwrap_or(most)].map(|amps| Amps::new(amps).to_string());
    let first = if settled_a.is_some_and(|settled| most > settled) && highest != settled {
        format!(
            " Its highest amperes are those of the start, before battery, fuse and wires have settled; the {settled} of the verdict are the settled ones of a cold winding."
        )
    } else {
        String::new()
    };
    format!(
        "The curve is drawn as if no fuse opened and the copper stayed whole, heating on past its limit: {} at most, {} after {}.{first} Turns that short at the limit would draw more, so a current read there may lie above the curve; the moments are those of a typical winding, the verdict's of the one that chokes soonest.",
        Amps::new(most),
        Amps::new(last),
        Seconds::new(until_s)
    )
}

/// The level of a fuse's rating, which warm air lowers.
fn rating(asked: &Asked<'_>) -> (String, f64) {
    let (printed, there) = asked.rating;
    let name = format!("{}, {}", asked.fuse, nominal(printed));
    let name = if (there.si() - printed.si()).abs() < 0.005 * printed.si() {
        name
    } else {
        let air = if there < printed { "warm" } else { "cool" };
        format!("{name}; in its {air} air {there}")
    };
    (name, there.si())
}

fn opening_moments(fuse: &str, opened: Openings) -> Vec<(String, f64)> {
    let all = [
        ("earliest", opened.earliest_s),
        ("middle", opened.middle_s),
        ("latest", opened.latest_s),
    ];
    let found = all
        .into_iter()
        .filter_map(|(word, time_s)| Some((word, time_s?)));
    found
        .map(|(word, time_s)| (format!("{fuse} opens, {word}"), time_s))
        .collect()
}

/// Cranking: volts at the battery, and at the coil that is worst off.
fn crank(circuit: &Circuit, ready: &Ready<'_>, state: &StateSolution) -> Option<TraceChart> {
    let scenario = Scenario {
        from: before(circuit, &state.name),
        ..Scenario::new(&state.name, START_S)
    };
    let run = ready.run(&scenario).ok()?;
    let most = |(_, reading): &(&String, &crate::solving::BatteryReading)| reading.current_a;
    let (battery, _) = state
        .batteries
        .iter()
        .max_by(|a, b| most(a).total_cmp(&most(b)))?;
    let posts = curve(
        &run,
        battery,
        "voltage_v",
        format!("at the posts of {battery}"),
    )?;
    let mut curves = vec![posts];
    let mut levels = Vec::new();
    let mut verdict = format!(
        "the posts of `{battery}` fall to {}",
        Volts::new(least(&curves[0]))
    );
    if let Some((relay, reading)) = weakest(&run, state) {
        curves.extend(curve(
            &run,
            relay,
            "coil_v",
            format!("at the coil of {relay}"),
        ));
        levels.push((format!("{relay} lets go"), reading.drop_out_v));
        let lowest = curves.last().map_or(0.0, least);
        verdict = format!(
            "{verdict}; the coil of `{relay}`, the worst off of those pulled in, has {} at least and lets go at {}",
            Volts::new(lowest),
            Volts::new(reading.drop_out_v)
        );
    }
    Some(TraceChart {
        title: format!("cranking in `{}`", state.name),
        unit: "V",
        curves,
        levels,
        moments: moments(&run, &[]),
        seconds: (FROM_S, run.reached_s),
        verdict,
    })
}

fn least(curve: &TraceCurve) -> f64 {
    curve
        .points
        .iter()
        .map(|point| point.1)
        .fold(f64::INFINITY, f64::min)
}

/// Of the relays that are in at the start and should stay, the one whose coil
/// comes nearest to letting go.
fn weakest<'a>(
    run: &Transient,
    state: &'a StateSolution,
) -> Option<(&'a str, &'a crate::solving::RelayReading)> {
    let margin = |name: &str, drop_out_v: f64| {
        let column = run.column(name, "coil_v")?;
        let lowest = column
            .values
            .iter()
            .map(|v| v.abs())
            .fold(f64::INFINITY, f64::min);
        (column.values.first()?.abs() > drop_out_v).then_some(lowest - drop_out_v)
    };
    state
        .relays
        .iter()
        .filter(|(_, reading)| reading.pulled_in != Some(false))
        .filter_map(|(name, reading)| Some((margin(name, reading.drop_out_v)?, name, reading)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name, reading)| (name.as_str(), reading))
}

fn curve(run: &Transient, subject: &str, quantity: &str, name: String) -> Option<TraceCurve> {
    let column: &Column = run.column(subject, quantity)?;
    let all: Vec<(f64, f64)> = run
        .times_s
        .iter()
        .zip(&column.values)
        .map(|(time_s, value)| (time_s.max(FROM_S), value.abs()))
        .collect();
    Some(TraceCurve {
        name,
        points: thinned(&all),
    })
}

/// Few enough points, with every turn of the curve kept: of each group the
/// lowest and the highest.
fn thinned(all: &[(f64, f64)]) -> Vec<(f64, f64)> {
    if all.len() <= MOST {
        return all.to_vec();
    }
    let mut kept = Vec::new();
    for group in all.chunks(all.len().div_ceil(MOST / 2)) {
        let by_value = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
        let ends = [group.iter().min_by(by_value), group.iter().max_by(by_value)];
        let mut ends: Vec<(f64, f64)> = ends.into_iter().flatten().copied().collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        ends.dedup();
        kept.extend(ends);
    }
    kept
}

/// What happens to the parts named, or to all where none is.
fn moments(run: &Transient, subjects: &[&str]) -> Vec<(String, f64)> {
    let told = run.events.iter().filter(|event| {
        let wanted = subjects.is_empty() || subjects.contains(&event.subject.as_str());
        wanted && event.time_s > 0.0 && event.what != What::Switched
    });
    told.map(|event| {
        (
            format!("{} {}", event.subject, event.what.word().replace('-', " ")),
            event.time_s,
        )
    })
    .take(6)
    .collect()
}
