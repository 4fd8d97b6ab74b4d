//! Figures that somebody read, held against what each suspect shows.

use super::{Item, SLIP};
use crate::circuit::TerminalId;
use crate::circuit::zones::fuse_terminals;
use crate::quantities::print::significant;
use crate::tracing::evidence::{Complaint, Evidence, Figure, Quantity, Spot};
use crate::tracing::frame::{Extra, METER, absent, whole};
use crate::tracing::opening::normal;
use crate::tracing::scene::Scene;
use crate::tracing::simulate::{Changes, Rules, Shown};
use crate::tracing::weighing::notices::spot_name;

/// Volts a reading may be off by: meter, battery's charge, clamps.
const VOLTS: f64 = 0.15;
/// Share of the volts that lies between a battery at rest and one that is charged, as
/// a spread (judgement).
const CHARGED: f64 = 0.06;
/// Share of the lost volts by which degrees of a joint lie apart.
const APART: f64 = 0.3;
/// Width of a span, in scatters of a reading, up to which it is a point.
const NARROW: f64 = 0.2;
const ROOT_TWO_PI: f64 = 2.506_628_274_631_000_5;
/// Ohms of a voltmeter (common practice).
const VOLTMETER_OHM: f64 = 1e7;
/// Ohms from which a meter shows an open way.
const OPEN_OHM: f64 = 1e6;
/// Ohms that a hand meter no longer tells apart, with its leads.
const LEADS_OHM: f64 = 0.3;

/// What a suspect would show at a spot; nought where nothing feeds it.
fn predicted(scene: &Scene<'_>, figure: &Figure, shown: &Shown) -> f64 {
    let circuit = scene.frame.circuit;
    let volts = |end: TerminalId| {
        let volts = shown.volts[end.0];
        if volts.is_finite() { volts } else { 0.0 }
    };
    let link = |fuse: usize| scene.frame.links[fuse];
    match (figure.quantity, figure.at) {
        (Quantity::Volts, Spot::Terminal(end)) => volts(end) - figure.to.map_or(0.0, volts),
        (Quantity::Volts, Spot::Part(part)) => {
            let t = &circuit.part(part).terminals;
            match figure.to {
                Some(to) => volts(t[0]) - volts(to),
                None if t.len() == 1 => volts(t[0]),
                None => scene
                    .across(shown, part)
                    .max((volts(t[0]) - volts(t[t.len() - 1])).abs()),
            }
        }
        (Quantity::Volts, Spot::Fuse(fuse)) => {
            // Behind the fuse, where people probe.
            let (_, out) = fuse_terminals(circuit, scene.frame.fuses[fuse]);
            volts(out) - figure.to.map_or(0.0, volts)
        }
        (Quantity::Volts, Spot::Wire(wire)) => {
            let wire = &circuit.wires[wire];
            volts(wire.from) - volts(wire.to)
        }
        (Quantity::Millivolts, Spot::Fuse(fuse)) => {
            let branch = &scene.frame.branches[link(fuse)];
            (volts(TerminalId(branch.from)) - volts(TerminalId(branch.to))).abs()
        }
        (Quantity::Amps, Spot::Fuse(fuse)) => shown.amps[link(fuse)].abs(),
        (Quantity::Amps, Spot::Wire(wire)) => {
            scene.frame.halves(wire)[0].map_or(0.0, |branch| shown.amps[branch].abs())
        }
        (Quantity::Amps, Spot::Part(part)) => scene.part_a(shown, part),
        (Quantity::Amps, Spot::Terminal(end)) => scene.part_a(shown, circuit.terminal(end).part),
        _ => 0.0,
    }
}

/// The item of one reading; suspects that are out of it keep their odds.
pub(super) fn item(
    scene: &Scene<'_>,
    evidence: &Evidence,
    figure: &Figure,
    live: &[usize],
) -> Item {
    let label = format!(
        "{} {} at {}",
        significant(figure.value.typical, 3),
        figure.quantity.word(),
        spot_name(scene, figure.at)
    );
    let mut ln = vec![0.0; scene.suspects.len()];
    if figure.quantity == Quantity::Speed {
        return Item { label, ln };
    }
    let found = seen(scene, evidence, figure, live);
    let spans = spans(scene, live, &found);
    let charged = charged(scene, evidence, figure);
    for ((at, value), span) in live.iter().zip(found).zip(spans) {
        ln[*at] = likelihood(figure, value, span, charged).ln();
    }
    Item { label, ln }
}

/// Share of its volts by which a reading may lie off because nobody knows whether the
/// engine charged as the state has it while the meter was held.
fn charged(scene: &Scene<'_>, evidence: &Evidence, figure: &Figure) -> f64 {
    let state = figure.state.or(evidence.states.first().copied());
    let charges = |state: usize| !scene.frame.circuit.states[state].charging.is_empty();
    if state.is_some_and(charges) {
        CHARGED
    } else {
        0.0
    }
}

/// What each suspect stands for: degrees of one fault are few, and each speaks
/// for the stretch half-way to the next. So of what one fault shows in all its
/// degrees, a suspect covers what lies nearest to its own. A welded contact is no
/// degree of a burnt one, nor is an open way one of a bad way: only finite ohms
/// have degrees.
fn spans(scene: &Scene<'_>, live: &[usize], found: &[f64]) -> Vec<(f64, f64)> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for at in 0..live.len() {
        let suspect = &scene.suspects[live[at]];
        if suspect.ohm.is_none_or(|ohm| ohm > OPEN_OHM / 2.0) {
            continue;
        }
        let is_like = |group: &&mut Vec<usize>| scene.suspects[live[group[0]]].is_like(suspect);
        match groups.iter_mut().find(is_like) {
            Some(group) => group.push(at),
            None => groups.push(vec![at]),
        }
    }
    let mut spans: Vec<(f64, f64)> = found.iter().map(|value| (*value, *value)).collect();
    for group in &mut groups {
        group.sort_by(|a, b| found[*a].total_cmp(&found[*b]));
        for pair in group.windows(2) {
            let middle = 0.5 * (found[pair[0]] + found[pair[1]]);
            spans[pair[0]].1 = middle;
            spans[pair[1]].0 = middle;
        }
    }
    spans
}

/// What each live suspect shows.
pub(in crate::tracing) fn seen(
    scene: &Scene<'_>,
    evidence: &Evidence,
    figure: &Figure,
    live: &[usize],
) -> Vec<f64> {
    let work = |new: &[usize]| worked_out(scene, evidence, figure, new);
    scene.memory.readings(figure, live, work)
}

fn worked_out(scene: &Scene<'_>, evidence: &Evidence, figure: &Figure, live: &[usize]) -> Vec<f64> {
    if figure.quantity == Quantity::Ohms {
        return ohms(scene, figure, live);
    }
    let state = figure
        .state
        .or(evidence.states.first().copied())
        .unwrap_or_else(|| scene.off());
    let mut changes: Changes = figure
        .unplugged
        .iter()
        .flat_map(|part| scene.unplugging(*part))
        .collect();
    // On an open plug the meter is the only load.
    let part = match figure.at {
        Spot::Terminal(end) => Some(scene.frame.circuit.terminal(end).part),
        Spot::Part(part) => Some(part),
        _ => None,
    };
    if let Some(part) = part.filter(|part| figure.unplugged.contains(part))
        && let Some(shunt) = scene
            .draw_of(part)
            .and_then(|own| scene.frame.extra(Extra::Shunt(own)))
    {
        changes.push((shunt, crate::tracing::frame::ohms(VOLTMETER_OHM)));
    }
    if changes.is_empty() {
        let before_it_opens = evidence.complaint == Complaint::FuseOpens;
        return live
            .iter()
            .map(|at| {
                let shown = &scene.shown[state][*at];
                match &shown.first {
                    // Whoever reads while the fuse goes reads before it opens.
                    Some(first) if before_it_opens => {
                        let at_first = Shown {
                            volts: first.0.clone(),
                            amps: first.1.clone(),
                            ..Shown::default()
                        };
                        predicted(scene, figure, &at_first)
                    }
                    _ => predicted(scene, figure, shown),
                }
            })
            .collect();
    }
    let shown = scene.again(state, live, &changes, Rules::IN_USE);
    shown
        .iter()
        .map(|one| predicted(scene, figure, one))
        .collect()
}

/// Odds density of what was read where a suspect shows a value, somewhere in its
/// span, with a floor for slips.
fn likelihood(figure: &Figure, value: f64, span: (f64, f64), charged: f64) -> f64 {
    let read = figure.value;
    let half = (read.high - read.low).abs() / 2.0;
    // The mean over the span, by the scale on which readings scatter evenly.
    let spread = |of: &dyn Fn(f64) -> f64, sd: f64| {
        let z = |value: f64| (of(read.typical) - of(value)) / sd;
        let (from, to) = (z(span.1), z(span.0));
        if (to - from).is_finite() && to - from > NARROW {
            ROOT_TWO_PI * (normal(to) - normal(from)) / ((to - from) * sd)
        } else {
            (-0.5 * z(value).powi(2)).exp() / sd
        }
    };
    let (density, flat) = match figure.quantity {
        Quantity::Volts => {
            let lost = (12.6 - value.abs()).clamp(0.0, 12.6).min(value.abs());
            let sd = VOLTS.hypot(APART * lost).hypot(half);
            let sd = sd.hypot(charged * value);
            (spread(&|v| v, sd), 1.0 / 13.0)
        }
        Quantity::Amps => {
            let sd = (0.15 + 0.12 * value.abs()).hypot(half);
            (spread(&|a| a, sd), 1.0 / 40.0)
        }
        Quantity::Millivolts => (spread(&|v| (v.abs() + 2e-4).ln(), 0.4), 0.2),
        Quantity::Ohms => {
            let of = |ohm: f64| (ohm.min(OPEN_OHM) + LEADS_OHM).ln();
            (spread(&of, 0.6), 0.07)
        }
        Quantity::Speed => (1.0, 1.0),
    };
    // One reading in fifty is taken at the wrong place.
    SLIP * flat + (1.0 - SLIP) * density * 0.4
}

/// Ohms to ground where the meter is put, or else behind the fuse before it;
/// that fuse pulled, battery off.
fn ohms(scene: &Scene<'_>, figure: &Figure, live: &[usize]) -> Vec<f64> {
    let frame = &scene.frame;
    let circuit = frame.circuit;
    let end = match figure.at {
        Spot::Fuse(_) => None,
        Spot::Terminal(end) => Some(end),
        Spot::Part(part) => circuit.part(part).terminals.first().copied(),
        Spot::Wire(wire) => Some(circuit.wires[wire].to),
    };
    let fuse = match figure.at {
        Spot::Fuse(fuse) => Some(fuse),
        _ => end.and_then(|end| behind(scene, end)),
    };
    let load_side = fuse.map(|fuse| fuse_terminals(circuit, frame.fuses[fuse]).1);
    let meter_at = |at: Option<TerminalId>| frame.extra(Extra::Meter(at?));
    let Some(meter) = meter_at(end).or_else(|| meter_at(load_side)) else {
        return vec![OPEN_OHM; live.len()];
    };
    let mut changes = scene.resting_loads();
    for part in &figure.unplugged {
        changes.extend(scene.unplugging(*part));
    }
    if let Some(fuse) = fuse {
        let branch = frame.links[fuse];
        changes.push((branch, absent(frame.branches[branch].law)));
    }
    changes.push((meter, whole(METER)));
    let shown = scene.again(
        figure.state.unwrap_or_else(|| scene.off()),
        live,
        &changes,
        Rules::BATTERY_OFF,
    );
    shown
        .iter()
        .map(|one| {
            let amps = one.amps[meter].abs();
            let volts = one.volts[frame.branches[meter].from];
            if amps > 1e-9 && volts.is_finite() {
                (volts.abs() / amps).min(OPEN_OHM)
            } else {
                OPEN_OHM
            }
        })
        .collect()
}

/// The fuse in front of a terminal.
fn behind(scene: &Scene<'_>, end: TerminalId) -> Option<usize> {
    let zones = crate::circuit::zones::Zones::of(scene.frame.circuit);
    let id = zones.before_terminal(end).next()?;
    scene.frame.fuses.iter().position(|fuse| *fuse == id)
}
