//! Cranking: volts at the starter and in each section of its circuit.

use super::{Case, worst};
use crate::findings::{Finding, code};
use crate::quantities::Volts;
use crate::tables::OutOfTable;
use crate::tables::drops::service_limit;

pub(super) fn judge(case: &Case<'_>) -> Result<Vec<Finding>, OutOfTable> {
    let least = service_limit("at the starter, cranking, the same manual")?;
    let section = service_limit("each section of the starter circuit, cranking")?;
    let mut found = Vec::new();
    for reported in case.judged() {
        for id in case
            .circuit
            .part_ids()
            .filter(|id| case.circuit.is_starter(*id))
        {
            let part = case.circuit.part(id);
            let Some(reading) = reported.state.parts.get(&part.name) else {
                continue;
            };
            let Some(volts) = reading
                .voltage_v
                .filter(|_| reading.current_a.unwrap_or(0.0).abs() > 5.0)
            else {
                continue;
            };
            if volts.abs() < least.value {
                let statement = format!(
                    "`{}` gets {} while cranking; service manuals ask for {} or more",
                    part.name,
                    Volts::new(volts),
                    Volts::new(least.value)
                );
                let finding = Finding::new(code("starter-volts-low"), &part.name, statement)
                    .with_measure(volts, Some(least.value), "V")
                    .with_hint("measure the battery's posts while cranking first, then each cable")
                    .in_state(&reported.state.name)
                    .with_label(part.span, "this starter")
                    .mendable(true)
                    .with_source(least.source.clone());
                found.push((-volts, finding));
            }
            let Some(ladder) = reported.state.ladders.get(&part.name) else {
                continue;
            };
            for rung in ladder
                .feed
                .iter()
                .chain(&ladder.back)
                .filter(|rung| rung.drop_v > section.value)
            {
                let statement = format!(
                    "while cranking, {} loses {}; each section is allowed {}",
                    rung.what,
                    Volts::new(rung.drop_v),
                    Volts::new(section.value)
                );
                let finding = Finding::new(code("cable-drop-high"), &part.name, statement)
                    .with_measure(rung.drop_v, Some(section.value), "V")
                    .with_hint("clean and tighten its ends, then fit a thicker cable if it stays")
                    .in_state(&reported.state.name)
                    .with_label(part.span, "this starter")
                    .mendable(true)
                    .with_source(section.source.clone());
                found.push((rung.drop_v, finding));
            }
        }
    }
    Ok(worst(found))
}
