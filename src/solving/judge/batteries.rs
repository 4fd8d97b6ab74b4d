//! Batteries that stand low while the engine should run, or too high at all.

use super::{Case, worst};
use crate::findings::{Finding, code};
use crate::quantities::Volts;
use crate::solving::report::Reported;
use crate::solving::solution::BatteryReading;

/// Volts that a fuel pump needs for a fair test (references, pump figures).
const LOW_V: f64 = 11.5;

/// Posts above this share of the nominal volts boil the battery: 15 V of 12 V. A
/// regulator is replaced from 14.5 V on (`charging-volts`); the rest is leeway
/// (judgement).
const HIGH_SHARE: f64 = 1.25;
/// Above this share no unregulated stator explains it (16.5 V of 12 V).
const RUINOUS_SHARE: f64 = 1.4;

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for reported in case.judged() {
        // Cranking pulls every battery low; the starter's own rule speaks then.
        let cranking = case
            .circuit
            .part_ids()
            .filter(|id| case.circuit.is_starter(*id))
            .any(|id| {
                let reading = reported.state.parts.get(&case.circuit.part(id).name);
                reading.and_then(|part| part.current_a).unwrap_or(0.0).abs() > 5.0
            });
        for (name, battery) in &reported.state.batteries {
            if battery.voltage_v > HIGH_SHARE * case.circuit.boat.nominal.si() {
                found.push((battery.voltage_v, high(case, reported, name, battery)));
            }
            if cranking || battery.voltage_v >= LOW_V || battery.current_a <= 0.0 {
                continue;
            }
            let span = case
                .circuit
                .find(name)
                .map_or_else(Default::default, |id| case.circuit.part(id).span);
            let statement = format!(
                "`{name}` stands at {} in a running state",
                Volts::new(battery.voltage_v)
            );
            let finding = Finding::new(code("battery-voltage-low"), name, statement)
                .with_measure(battery.voltage_v, Some(LOW_V), "V")
                .with_hint("charge it and measure again at rest, or switch off loads")
                .in_state(&reported.state.name)
                .with_label(span, "this battery");
            found.push((-battery.voltage_v, finding));
        }
    }
    worst(found)
}

fn high(case: &Case<'_>, reported: &Reported, name: &str, battery: &BatteryReading) -> Finding {
    let nominal_v = case.circuit.boat.nominal.si();
    let volts = Volts::new(battery.voltage_v);
    let (code, share, says) = if battery.voltage_v > RUINOUS_SHARE * nominal_v {
        let says = "it boils, gives off hydrogen and can burst";
        (code("battery-overcharged"), RUINOUS_SHARE, says)
    } else {
        let says = "it loses water and gives off hydrogen";
        (code("battery-voltage-high"), HIGH_SHARE, says)
    };
    let span = case
        .circuit
        .find(name)
        .map_or_else(Default::default, |id| case.circuit.part(id).span);
    Finding::new(code, name, format!("`{name}` stands at {volts}: {says}"))
        .with_measure(battery.voltage_v, Some(share * nominal_v), "V")
        .with_hint(
            "check the charger's set-point and that no battery of other volts is joined to it",
        )
        .in_state(&reported.state.name)
        .with_label(span, "this battery")
}
