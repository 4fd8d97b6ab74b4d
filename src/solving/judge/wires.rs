//! Current, heat and least size of every wire.

use super::{Case, worst};
use crate::circuit::{Engine, Fuel, Wire};
use crate::findings::{Finding, code};
use crate::quantities::{Amps, Celsius, WireSize};
use crate::solving::report::Reported;
use crate::solving::solution::WireReading;
use crate::solving::thickness::{BUNDLE_FROM, excepted_from_least, least_above};
use crate::sources::{Source, Standing};
use crate::tables::OutOfTable;
use crate::tables::ampacity::bundle_factor;

pub(super) fn judge(case: &Case<'_>) -> Result<Vec<Finding>, OutOfTable> {
    let mut found = Vec::new();
    for reported in case.judged() {
        for reading in &reported.state.wires {
            found.extend(loading(case, reported, reading)?);
        }
    }
    let mut findings = worst(found);
    for (index, wire) in case.circuit.wires.iter().enumerate() {
        findings.extend(least_size(case, index, wire));
        if let Err(why) = &case.resolved.wires[index].allowed {
            let label = case.circuit.wire_label(wire);
            let statement = format!("`{label}`: {why}");
            findings.push(
                Finding::new(code("ampacity-unknown"), label, statement)
                    .with_label(wire.size.span, "no ampacity"),
            );
        }
    }
    Ok(findings)
}

fn loading(
    case: &Case<'_>,
    reported: &Reported,
    reading: &WireReading,
) -> Result<Vec<(f64, Finding)>, OutOfTable> {
    let wire = &case.circuit.wires[reading.wire];
    let Ok(allowed) = &case.resolved.wires[reading.wire].allowed else {
        return Ok(Vec::new());
    };
    let label = case.circuit.wire_label(wire);
    let current = Amps::new(reading.rms_a);
    let cranking = reading.cranking;
    let state = &reported.state.name;
    let mut found = Vec::new();
    if reading.rms_a > allowed.corrected.si() && !cranking {
        let statement = format!(
            "`{label}` carries {current}, and {} may carry {} there",
            wire.size.value, allowed.corrected
        );
        found.push(
            Finding::new(code("wire-above-ampacity"), &label, statement)
                .with_measure(reading.rms_a, Some(allowed.corrected.si()), "A")
                .with_hint("fit a thicker wire, or one with better insulation")
                .mendable(!wire.keep)
                .with_source(allowed.table.source.clone()),
        );
    } else if reading.temperature_degc > allowed.class.si() + 0.5 && !cranking {
        let statement = format!(
            "`{label}` settles at {} at {current}; its insulation is for {}",
            Celsius::new(reading.temperature_degc),
            allowed.class
        );
        found.push(
            Finding::new(code("wire-hot"), &label, statement)
                .with_measure(reading.temperature_degc, Some(allowed.class.si()), "degC")
                .with_hint("part the bundle, fit a thicker wire, or name its real insulation")
                .mendable(!wire.keep)
                .with_source(allowed.table.source.clone()),
        );
    }
    let crowded = wire.bundle.filter(|given| given.value >= BUNDLE_FROM);
    if let Some(count) = crowded
        && reading.rms_a > allowed.bundled.si()
        && reading.rms_a <= allowed.corrected.si()
        && !cranking
    {
        let statement = format!(
            "`{label}` carries {current} among {} wires; the bundle factor would leave it {}",
            count.value, allowed.bundled
        );
        found.push(
            Finding::new(code("bundle-crowded"), &label, statement)
                .with_measure(reading.rms_a, Some(allowed.bundled.si()), "A")
                .with_hint("part the bundle, or size for the bundled figure")
                .mendable(!wire.keep)
                .with_source(bundle_factor(count.value)?.source),
        );
    }
    let done = found.into_iter().map(|finding| {
        (
            reading.rms_a,
            finding
                .in_state(state)
                .with_label(wire.span, format!("carries {current}")),
        )
    });
    Ok(done.collect())
}

/// The smallest size the rules allow, for wires that carry power.
fn least_size(case: &Case<'_>, index: usize, wire: &Wire) -> Option<Finding> {
    let most_a = case
        .states
        .iter()
        .filter_map(|r| r.state.wires.iter().find(|w| w.wire == index))
        .map(|w| w.rms_a);
    if excepted_from_least(wire, most_a.fold(0.0, f64::max)) {
        return None;
    }
    let least = least_above(wire.size.value, wire.sheath)?;
    let label = case.circuit.wire_label(wire);
    let boat = &case.circuit.boat;
    let petrol = boat.fuel.is_none_or(|given| given.value == Fuel::Petrol);
    let law = matches!(boat.drive(), Some(Engine::Inboard | Engine::Sterndrive)) && petrol;
    let force = if law {
        "by law on this boat"
    } else {
        "as good practice"
    };
    let metric = matches!(wire.size.value, WireSize::Metric(_));
    let source = if metric {
        Source::new("ISO 10133:2012", "clause 7.7", Standing::Published)
    } else {
        Source::new("33 CFR 183.425", "(d), (e) and (g)", Standing::Published)
    };
    let statement = format!(
        "`{label}` is {}, and a single wire is at least {least} {force}",
        wire.size.value
    );
    Some(
        Finding::new(code("wire-below-minimum"), label, statement)
            .with_hint(format!(
                "write \"{}\" or thicker",
                least.trim_end_matches(" in a sheath")
            ))
            .with_label(wire.size.span, "thinner than the least size")
            .mendable(!wire.keep)
            .with_source(source),
    )
}
