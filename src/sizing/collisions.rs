//! Rules that no choice of sizes and ratings meets together.

use super::against::Against;
use super::binding::amps;
use super::fuses::FuseCase;
use super::guard::{Guard, Outlasts, Thin};
use super::needs::{Row, RowKind};
use super::plan::Task;
use super::rounds::Settled;
use crate::circuit::PartId;
use crate::findings::{Finding, code};
use crate::quantities::{Amps, Volts, print};
use std::collections::{BTreeMap, BTreeSet};

/// One finding for every load, wire and fuse whose rules collide.
pub(super) fn found(task: &Task<'_>, settled: &Settled) -> Vec<Finding> {
    let mut findings = drops(task, settled);
    findings.extend(
        settled
            .plan
            .stuck
            .iter()
            .filter_map(|(wire, against)| wire_finding(task, *wire, against)),
    );
    let fuses = task.fuses.iter().zip(&settled.plan.targets);
    findings.extend(
        fuses
            .filter(|(_, target)| target.collides)
            .map(|(case, _)| fuse_finding(task, settled, case)),
    );
    findings
}

/// Of each load its worst state.
fn drops(task: &Task<'_>, settled: &Settled) -> Vec<Finding> {
    let mut worst: BTreeMap<PartId, (f64, &Row)> = BTreeMap::new();
    for (at, least_v) in &settled.plan.hopeless {
        let row = &settled.needs.rows[*at];
        if row.kind != RowKind::Drop {
            continue;
        }
        let entry = worst.entry(row.part).or_insert((*least_v, row));
        if *least_v > entry.0 {
            *entry = (*least_v, row);
        }
    }
    let all = worst.values();
    all.map(|(least_v, row)| drop_finding(task, *least_v, row))
        .collect()
}

fn drop_finding(task: &Task<'_>, least_v: f64, row: &Row) -> Finding {
    let circuit = task.circuit;
    let nominal_v = circuit.boat.nominal.si();
    let part = circuit.part(row.part);
    let statement = format!(
        "no choice of sizes keeps `{}` within {} in `{}`: the thickest leave {} ({}); its drop limit collides with {}",
        part.name,
        print::percent(row.limit_v / nominal_v),
        row.state,
        print::percent(least_v / nominal_v),
        Volts::new(least_v),
        holders(task, row)
    );
    Finding::new(code("rules-collide"), &part.name, statement)
        .in_state(&row.state)
        .with_measure(
            100.0 * least_v / nominal_v,
            Some(100.0 * row.limit_v / nominal_v),
            "%",
        )
        .with_label(part.span, "this load")
        .with_hint("free a wire that is kept, shorten the way, give it a feed of its own, or widen the stock")
}

/// What keeps the wires on a way from getting thicker.
fn holders(task: &Task<'_>, row: &Row) -> String {
    let mut kept: Vec<String> = Vec::new();
    for (wire, _) in &row.amps {
        if task.choices[*wire].fixed {
            let label = task.circuit.wire_label(&task.circuit.wires[*wire]);
            kept.push(format!("`keep` on `{label}`"));
        }
    }
    if task.stock.sizes.is_some() {
        kept.push("the stock of wire".into());
    }
    if kept.is_empty() {
        kept.push("the thickest size listed".into());
    }
    kept.join(" and ")
}

fn wire_finding(task: &Task<'_>, wire: usize, against: &Against) -> Option<Finding> {
    let given = &task.circuit.wires[wire];
    let label = task.circuit.wire_label(given);
    let holder = if given.keep {
        "`keep`"
    } else if task.stock.sizes.is_some() {
        "the stock of wire"
    } else {
        "the thickest size listed"
    };
    let statement = match against {
        Against::Ampacity {
            current_a,
            carries_a,
        } => format!(
            "`{label}` has to carry {}, and {holder} leaves it a size for {}: its ampacity collides with {holder}",
            Amps::new(*current_a),
            Amps::new(*carries_a)
        ),
        Against::Minimum { least } => {
            format!(
                "`{label}` would have to be {least} at least: the least size collides with {holder}"
            )
        }
        Against::Section { drop_v } => format!(
            "`{label}` loses {} while cranking: the limit of a section collides with {holder}",
            Volts::new(*drop_v)
        ),
        Against::Unguarded | Against::Unused | Against::Thinner => format!(
            "`{label}` may not become thinner than it is, and {holder} has nothing as thick"
        ),
        // The fuse's own finding says it.
        Against::Fuse { .. } | Against::Return { .. } | Against::Outlasts(_) => return None,
    };
    // What is kept is judged by the solve; of itself it is no violation.
    let harmless = given.keep && !matches!(against, Against::Ampacity { .. });
    (!harmless).then(|| {
        Finding::new(code("rules-collide"), label, statement)
            .with_label(given.size.span, "this wire")
            .with_hint("free it, widen the stock, or split the load")
    })
}

/// One finding for every fuse behind which a short is not ended in time though
/// a wire or a rating could be changed if more were at hand.
pub(super) fn shorts(task: &Task<'_>, settled: &Settled, guard: &Guard) -> Vec<Finding> {
    let mut seen = BTreeSet::new();
    let left = guard
        .thin
        .iter()
        .filter(|thin| thin.outlasts == Outlasts::Short);
    left.filter(|thin| seen.insert(thin.fuse))
        .map(|thin| short_finding(task, settled, thin))
        .collect()
}

fn short_finding(task: &Task<'_>, settled: &Settled, thin: &Thin) -> Finding {
    let case = &task.fuses[thin.fuse];
    let given = &task.circuit.wires[thin.wire];
    let label = task.circuit.wire_label(given);
    let holder = if task.stock.sizes.is_some() {
        "the stock of wire"
    } else {
        "the thickest size listed"
    };
    let statement = format!(
        "no size of `{label}` and no rating of `{}` that carries {} end a short at its far end in time: that collides with {holder}",
        case.name,
        Amps::new(case.needed_a(&settled.needs))
    );
    Finding::new(code("rules-collide"), &case.name, statement)
        .with_label(given.size.span, "this wire")
        .with_hint("shorten the way, feed it from a fuse of its own, or widen the stock")
}

fn fuse_finding(task: &Task<'_>, settled: &Settled, case: &FuseCase) -> Finding {
    let circuit = task.circuit;
    let ceiling_a = case.ceiling_a(circuit, task.choices);
    let needed_a = case.needed_a(&settled.needs);
    let name = &case.name;
    let mut holders = Vec::new();
    if case.keep {
        holders.push(format!("`keep` at {}", amps(case.was_a)));
    }
    if let Some(label_a) = case.label_a.filter(|label_a| *label_a < needed_a) {
        holders.push(format!("its label, {}", amps(label_a)));
    }
    if let Some((most_a, part)) = case.maker.filter(|(most_a, _)| *most_a < needed_a) {
        let maker = &circuit.part(part).name;
        holders.push(format!(
            "the maker of `{maker}`, who allows {}",
            amps(most_a)
        ));
    }
    if ceiling_a < needed_a.max(if case.keep { case.was_a } else { 0.0 }) {
        holders.push(format!(
            "a wire behind it that stands {} at most",
            Amps::new(ceiling_a)
        ));
    }
    if holders.is_empty() {
        holders.push("the ratings there are".into());
    }
    let statement = format!(
        "no rating suits `{name}`: its load asks for {} or more, which collides with {}",
        Amps::new(needed_a),
        holders.join(" and ")
    );
    Finding::new(code("rules-collide"), name, statement)
        .with_measure(needed_a, None, "A")
        .with_label(circuit.part(case.id.part).span, "this fuse")
        .with_hint("split the load over two circuits or find why it draws so much; never fit a larger fuse to stop one opening")
}
