//! Chargers as sources: what they push into a short of their own wires, and
//! what ends it.
//!
//! A battery's fuse ends the battery's share; a charger goes on giving what it
//! can, limited by itself, until a device in its own lead opens or the engine
//! stops. So every wire from it to the first device must carry its output for
//! good.
//!
//! # Source
//! 33 CFR 183.460(b) asks for a device of at most 120 % in the output of an
//! alternator that does not limit itself; ISO 13297 12.3 for one in each
//! charging source. A stator under a flywheel limits itself.

use super::case::Case;
use super::check::{Check, Kind, Verdict};
use crate::circuit::zones::passages;
use crate::circuit::{Device, TerminalId};
use crate::devices::Model;
use crate::findings::{Finding, code};
use crate::quantities::Amps;
use crate::sources::{Source, Standing};
use std::collections::BTreeSet;

/// Every charger by name, with what its own wires stand.
pub(super) fn chargers(case: &Case<'_>) -> Vec<(String, Check, Option<Finding>)> {
    let mut all = Vec::new();
    for id in case.circuit.part_ids() {
        let part = case.circuit.part(id);
        let (Device::Charger(_), Model::Charger(model)) = (&part.device, case.resolved.part(id))
        else {
            continue;
        };
        let output = model.output.typical;
        let (check, finding) = one(case, &part.name, part.terminals[0], output);
        let finding = finding.map(|finding| finding.with_label(part.span, "this charger"));
        all.push((part.name.clone(), check, finding));
    }
    all
}

fn one(case: &Case<'_>, name: &str, plus: TerminalId, output: Amps) -> (Check, Option<Finding>) {
    let wires = own_wires(case, plus);
    let carried = wires.iter().filter_map(|&wire| {
        let allowed = case.resolved.wires[wire].allowed.as_ref().ok()?;
        Some((wire, allowed.corrected))
    });
    let thinnest = carried.min_by(|a, b| a.1.si().total_cmp(&b.1.si()));
    let rule = Source::new(
        "33 CFR 183.460(b); ISO 13297 12.3",
        "placement-rules",
        Standing::Unverified,
    );
    let Some((wire, carries)) = thinnest else {
        let words =
            format!("into a short it gives {output} and goes on; a device stands right behind it");
        let check = Check::new(Kind::Charger, Verdict::Holds, words)
            .figure("output_a", output.si())
            .source(rule);
        return (check, None);
    };
    let label = case.circuit.wire_label(&case.circuit.wires[wire]);
    let stands = carries.si() >= output.si();
    let words = if stands {
        format!(
            "into a short of its own wires it gives {output} and goes on after every fuse has opened; the thinnest of them, `{label}`, carries {carries} for good"
        )
    } else {
        format!(
            "into a short of its own wires it gives {output} and goes on after every fuse has opened; `{label}` carries only {carries}"
        )
    };
    let verdict = if stands {
        Verdict::Holds
    } else {
        Verdict::Caution
    };
    let check = Check::new(Kind::Charger, verdict, words)
        .about(label.clone())
        .figure("output_a", output.si())
        .figure("wire_carries_a", carries.si())
        .source(rule.clone());
    let finding = (!stands).then(|| {
        let described = &case.circuit.wires[wire];
        let statement = format!(
            "`{name}` gives {output} into a short of `{label}`, which carries {carries}, and no fuse ends it"
        );
        Finding::new(code("charger-above-wire"), name, statement)
            .with_hint("a thicker wire from the charger, or a fuse at the charger's end of it")
            .with_measure(output.si(), Some(carries.si()), "A")
            .with_label(described.span, "this wire")
            .mendable(!described.keep)
            .with_source(rule)
    });
    (check, finding)
}

/// Wires that a charger's plus reaches before any device: up to studs and
/// posts where other feeds come in.
fn own_wires(case: &Case<'_>, plus: TerminalId) -> BTreeSet<usize> {
    let circuit = case.circuit;
    let mut wires = BTreeSet::new();
    let mut seen = BTreeSet::from([plus]);
    let mut open = vec![plus];
    while let Some(at) = open.pop() {
        let part = circuit.part(circuit.terminal(at).part);
        // Where feeds meet the battery's share is ended by the battery's fuse,
        // but the charger's goes on into whatever is shorted there: only its own
        // lead is looked at.
        let meets = at != plus
            && matches!(
                part.device,
                Device::Stud | Device::Battery(_) | Device::Fuse(_)
            );
        if meets {
            continue;
        }
        let mut reach = Vec::new();
        for (index, wire) in circuit.wires.iter().enumerate() {
            if wire.from == at || wire.to == at {
                wires.insert(index);
                reach.push(if wire.from == at { wire.to } else { wire.from });
            }
        }
        for bolted in &circuit.joins {
            if bolted.part == at {
                reach.push(bolted.to);
            } else if bolted.to == at {
                reach.push(bolted.part);
            }
        }
        for (a, b) in passages(&part.device, &part.terminals) {
            if a == at {
                reach.push(b);
            } else if b == at {
                reach.push(a);
            }
        }
        open.extend(reach.into_iter().filter(|to| seen.insert(*to)));
    }
    wires
}
