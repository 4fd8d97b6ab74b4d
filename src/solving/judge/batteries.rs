//! Batteries that stand low while the engine should run.

use super::{Case, worst};
use crate::findings::{Finding, code};
use crate::quantities::Volts;
use crate::solving::rule;

/// Volts that a fuel pump needs for a fair test (references, pump figures).
const LOW_V: f64 = 11.5;

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for reported in case.judged() {
        // Cranking pulls every battery low; the starter's own rule speaks then.
        let cranking = case
            .circuit
            .part_ids()
            .filter(|id| rule::is_starter(case.circuit, *id))
            .any(|id| {
                let reading = reported.state.parts.get(&case.circuit.part(id).name);
                reading.and_then(|part| part.current_a).unwrap_or(0.0).abs() > 5.0
            });
        for (name, battery) in &reported.state.batteries {
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
