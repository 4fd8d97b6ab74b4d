//! Wires that several fuses feed at once: what they let through adds up.

use super::Case;
use crate::circuit::FuseBasis;
use crate::circuit::zones::{FuseId, fuse_name, written};
use crate::findings::{Finding, code};
use crate::quantities::Amps;
use crate::solving::judge::LEGAL_SHARE;
use crate::sources::{Source, Standing};

/// Of the wires that the same fuses feed together, the one that may carry least.
pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut worst: Vec<(&Vec<FuseId>, usize, f64)> = Vec::new();
    for (&wire, sets) in &case.zones.together {
        let Ok(allowed) = &case.resolved.wires[wire].allowed else {
            continue;
        };
        let limit_a = match case.circuit.limits.fuse_basis {
            FuseBasis::Iso100 => allowed.corrected.si(),
            _ => LEGAL_SHARE * allowed.table.value.si(),
        };
        for set in sets {
            match worst.iter_mut().find(|(known, ..)| *known == set) {
                Some(known) if known.2 <= limit_a => {}
                Some(known) => *known = (set, wire, limit_a),
                None => worst.push((set, wire, limit_a)),
            }
        }
    }
    let findings = worst.into_iter();
    findings
        .filter_map(|(set, wire, limit_a)| finding(case, set, wire, limit_a))
        .collect()
}

fn finding(case: &Case<'_>, set: &[FuseId], wire: usize, limit_a: f64) -> Option<Finding> {
    let fitted = set.iter().filter_map(|id| written(case.circuit, *id));
    let sum_a: f64 = fitted.map(|fuse| fuse.rating.value.si()).sum();
    if sum_a <= limit_a {
        return None;
    }
    let names: Vec<String> = set
        .iter()
        .map(|id| format!("`{}`", fuse_name(case.circuit, *id)))
        .collect();
    let described = &case.circuit.wires[wire];
    let label = case.circuit.wire_label(described);
    let statement = format!(
        "{} feed `{label}` at the same time: {} together, and {} stands behind {} at most",
        names.join(" and "),
        Amps::new(sum_a),
        described.size.value,
        Amps::new(limit_a)
    );
    let source = "the fuse rule of the chosen basis, for what several fuses let through together";
    Some(
        Finding::new(code("fuses-together-above-wire"), label, statement)
            .with_measure(sum_a, Some(limit_a), "A")
            .with_hint(
                "one fuse where the feeds have met, or smaller ones; a thicker wire does as well",
            )
            .with_label(described.span, "fed by all of them")
            .mendable(false)
            .with_source(Source::new(source, "", Standing::Judgement)),
    )
}
