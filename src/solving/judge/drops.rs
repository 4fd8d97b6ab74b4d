//! The drop of every load against its limit, by the rule and by the meter.

use super::{Case, worst};
use crate::circuit::PartId;
use crate::findings::{Finding, code};
use crate::quantities::{Amps, Volts, print};
use crate::solving::report::{OFF_A, Reported};
use crate::solving::rule;
use crate::solving::solution::PartReading;
use crate::tables::OutOfTable;

pub(super) fn judge(case: &Case<'_>) -> Result<Vec<Finding>, OutOfTable> {
    let source = rule::basis_source(case.circuit.limits.drop_basis)?;
    let mut found = Vec::new();
    for reported in case.judged() {
        for id in case.circuit.part_ids() {
            let name = &case.circuit.part(id).name;
            let Some(part) = reported.state.parts.get(name) else {
                continue;
            };
            if let Some((key, finding)) = one(case, reported, id, part) {
                found.push((key, finding.with_source(source.clone())));
            }
        }
    }
    Ok(worst(found))
}

fn one(
    case: &Case<'_>,
    reported: &Reported,
    id: PartId,
    part: &PartReading,
) -> Option<(f64, Finding)> {
    let limit = part.limit_pct?;
    let rule_pct = part.rule_drop_pct?;
    let meter_v = part.drop_v?;
    if part.current_a?.abs() < OFF_A {
        return None;
    }
    let nominal = case.circuit.boat.nominal.si();
    let meter_pct = 100.0 * meter_v / nominal;
    let name = &case.circuit.part(id).name;
    let span = case.circuit.part(id).span;
    let figures = format!(
        "{} % of {} by the rule, {} % by the meter, limit {}",
        print::beside(rule_pct, limit),
        Volts::new(nominal),
        print::beside(meter_pct, limit),
        print::percent(limit / 100.0)
    );
    let finding = if rule_pct > limit {
        Finding::new(
            code("drop-above-limit"),
            name,
            format!("`{name}` loses too many volts on the way: {figures}"),
        )
        .with_hint(largest_rung(reported, name))
        .mendable(may_be_resized(case, reported, name))
    } else if meter_pct > limit {
        Finding::new(
            code("drop-verdicts-differ"),
            name,
            format!(
                "`{name}` passes by the rule, but a meter would show more than the limit: {figures}"
            ),
        )
        .with_hint(largest_rung(reported, name))
    } else {
        return None;
    };
    Some((
        rule_pct.max(meter_pct),
        finding
            .in_state(&reported.state.name)
            .with_measure(rule_pct, Some(limit), "%")
            .with_label(span, figures),
    ))
}

/// Names the step of the ladder that costs most.
fn largest_rung(reported: &Reported, name: &str) -> String {
    let Some(ladder) = reported.state.ladders.get(name) else {
        return "thicken or shorten the feed".to_owned();
    };
    let most = ladder
        .feed
        .iter()
        .chain(&ladder.back)
        .max_by(|a, b| a.drop_v.total_cmp(&b.drop_v));
    most.map_or_else(String::new, |rung| {
        format!(
            "the largest step is {}: {} at {}",
            rung.what,
            Volts::new(rung.drop_v),
            Amps::new(rung.current_a)
        )
    })
}

/// Whether any wire on the way is free to be changed.
fn may_be_resized(case: &Case<'_>, reported: &Reported, name: &str) -> bool {
    let Some(ladder) = reported.state.ladders.get(name) else {
        return true;
    };
    let on_way = |wire: &&crate::circuit::Wire| {
        let label = case.circuit.wire_label(wire);
        ladder
            .feed
            .iter()
            .chain(&ladder.back)
            .any(|rung| rung.what.starts_with(&label))
    };
    case.circuit
        .wires
        .iter()
        .filter(on_way)
        .any(|wire| !wire.keep)
}
