//! Wires that no fuse guards, and fuses that a wire bridges.
//!
//! # Limits
//! Whether a battery lead is sheathed or enclosed is known only where the file
//! says `sheath`; the shorter distance holds for all others.

use super::Case;
use crate::circuit::Wire;
use crate::circuit::zones::fuse_name;
use crate::findings::{Finding, code};
use crate::quantities::{Metres, WireSize};
use crate::solving::rule;
use crate::sources::{Source, Standing};
use crate::tables::OutOfTable;
use crate::tables::fuses::placement_length;

pub(super) fn judge(case: &Case<'_>) -> Result<Vec<Finding>, OutOfTable> {
    let mut findings = bridged(case);
    let mut unguarded = Vec::new();
    for (&wire, &reach_m) in &case.zones.bare {
        let most_m = most_m(&case.circuit.wires[wire])?;
        if is_unguarded(case, wire, reach_m, most_m) {
            unguarded.push((wire, reach_m, most_m));
        }
    }
    findings.extend(
        unguarded
            .iter()
            .filter(|(wire, reach_m, _)| !leads_on(case, *wire, *reach_m, &unguarded))
            .map(|(wire, reach_m, most_m)| unprotected(case, *wire, *reach_m, *most_m)),
    );
    Ok(findings)
}

fn bridged(case: &Case<'_>) -> Vec<Finding> {
    let finding = |id| {
        let name = fuse_name(case.circuit, id);
        let span = case.circuit.part(id.part).span;
        let statement = format!("`{name}` is bridged: wires alone join its two sides");
        Finding::new(code("fuse-bridged"), &name, statement)
            .with_hint("take the bridging wire out of the file, or off the boat")
            .with_label(span, "this fuse guards nothing")
    };
    case.zones.bridged.iter().copied().map(finding).collect()
}

/// Whether a wire on the plus side is too long without a fuse, or feeds a load
/// without one. Cranking feeds are exempt.
fn is_unguarded(case: &Case<'_>, wire: usize, reach_m: f64, most_m: f64) -> bool {
    let described = &case.circuit.wires[wire];
    !case.cranking.contains(&wire) && (reach_m > most_m + 1e-9 || feeds(case, described).is_some())
}

/// Metres of wire allowed before the first fuse: 72 in within a sheath, 200 mm
/// for wire of metric sizes, else 7 in.
///
/// # Errors
/// When the table of places cannot be read.
pub fn most_m(wire: &Wire) -> Result<f64, OutOfTable> {
    let rule = match wire.size.value {
        _ if wire.sheath => "abyc-battery",
        WireSize::Metric(_) => "iso-dc-place",
        WireSize::Awg(_) | WireSize::Sae(_) => "place-1",
    };
    Ok(placement_length(rule)?.value.si())
}

/// The load that an end of a wire belongs to.
fn feeds<'a>(case: &'a Case<'_>, wire: &Wire) -> Option<&'a str> {
    let load = [wire.from, wire.to].map(|end| {
        let part = case.circuit.part(case.circuit.terminal(end).part);
        rule::is_load(part.kind()).then_some(part.name.as_str())
    });
    load.into_iter().flatten().next()
}

/// Whether the run goes on through another unguarded wire, further from the post.
fn leads_on(case: &Case<'_>, wire: usize, reach_m: f64, unguarded: &[(usize, f64, f64)]) -> bool {
    let parts = |wire: usize| {
        let wire = &case.circuit.wires[wire];
        [wire.from, wire.to].map(|end| case.circuit.terminal(end).part)
    };
    unguarded.iter().any(|(other, further_m, _)| {
        let shared = parts(*other).iter().any(|part| parts(wire).contains(part));
        *other != wire && shared && *further_m > reach_m
    })
}

fn unprotected(case: &Case<'_>, wire: usize, reach_m: f64, most_m: f64) -> Finding {
    let described = &case.circuit.wires[wire];
    let label = case.circuit.wire_label(described);
    let statement = match feeds(case, described) {
        Some(load) => format!("`{label}` feeds `{load}` without any fuse before it"),
        None => format!(
            "`{label}` ends {} of wire from the battery without a fuse before it",
            Metres::new(reach_m)
        ),
    };
    let hint = if described.sheath {
        "put a fuse within 72 in (1.83 m) of the post"
    } else {
        "put a fuse within 7 in (18 cm) of the post, or within 72 in (1.83 m) and write `sheath = true` where the wire is sheathed all the way"
    };
    Finding::new(code("wire-unprotected"), label, statement)
        .with_measure(reach_m, Some(most_m), "m")
        .with_hint(hint)
        .with_label(described.span, "no fuse before this")
        .with_source(Source::new(
            "33 CFR 183.455(b), 183.460(a); ABYC E-11; ISO 10133 clause 12.1",
            "placement-rules",
            Standing::Published,
        ))
}
