//! A fuse against its load, its label, its place and what feeds it.

use super::case::{Case, Fitted};
use super::check::{Check, Kind, Verdict};
use super::ways::Through;
use crate::circuit::FuseBasis;
use crate::findings::{Finding, code};
use crate::heating::Family;
use crate::quantities::{Amps, Band, Fraction, Metres, WireSize};
use crate::sources::{Source, Standing};
use crate::tables::OutOfTable;
use crate::tables::fuses::{breaker_capacity, breaking_capacity, placement_length, steady_loading};
use std::collections::BTreeSet;

/// Continuous current against the rating at the place's temperature.
pub(super) fn load(case: &Case<'_>, fuse: &Fitted) -> Result<Check, OutOfTable> {
    let (most_a, state) = case.continuous(fuse);
    let share = steady_loading()?;
    let steady = fuse.device.effective * share.value.si();
    let air = case.circuit.ambient.at(fuse.place);
    let verdict = if case
        .found(&fuse.name, &["fuse-above-rating"])
        .next()
        .is_some()
    {
        Verdict::Violation
    } else if case
        .found(&fuse.name, &["fuse-loaded-high"])
        .next()
        .is_some()
        || most_a > steady.si() * (1.0 + 1e-9)
    {
        Verdict::Caution
    } else {
        Verdict::Holds
    };
    let sentence = match state {
        Some(state) if most_a > 1e-3 => format!(
            "carries up to {} (in `{state}`), {} of its {} in air of {air}; {} is the most for a steady load",
            Amps::new(most_a),
            Fraction::new(most_a / fuse.device.effective.si()),
            fuse.device.effective,
            steady
        ),
        _ => format!(
            "carries nothing in any state; {steady} is the most for a steady load in air of {air}"
        ),
    };
    Ok(Check::new(Kind::Load, verdict, sentence)
        .figure("current_a", most_a)
        .figure("effective_rating_a", fuse.device.effective.si())
        .figure("steady_limit_a", steady.si())
        .figure("air_degc", air.si())
        .source(share.source)
        .source(fuse.device.source.clone()))
}

/// The label against what is fitted, and what `solve` says to do about it.
pub(super) fn label(case: &Case<'_>, fuse: &Fitted) -> Option<Check> {
    let label = fuse.label?;
    let rating = fuse.device.rating;
    let verdict = if rating > label {
        Verdict::Violation
    } else if rating < label {
        Verdict::Note
    } else {
        Verdict::Holds
    };
    let told = case
        .found(&fuse.name, &["fuse-above-label", "fuse-below-label"])
        .find_map(|finding| finding.hint.as_deref());
    let sentence = match told {
        Some(hint) => format!("{rating} is fitted and the label says {label}: {hint}"),
        None => format!("{rating} is fitted, as the label says"),
    };
    Some(
        Check::new(Kind::Label, verdict, sentence)
            .figure("label_a", label.si())
            .figure("rating_a", rating.si()),
    )
}

/// Breaking capacity against the current a dead short right behind it draws.
pub(super) fn breaking(
    case: &Case<'_>,
    fuse: &Fitted,
) -> Result<Option<(Check, Option<Finding>)>, OutOfTable> {
    let Some(fault) = case.available(fuse) else {
        return Ok(None);
    };
    let current = Amps::new(fault.typical);
    let needed = match fuse.device.family {
        Family::Fuse(style) => breaking_capacity(style).ok(),
        Family::Breaker => {
            let check = breaker(case, fuse, current)?;
            return Ok(Some((check, None)));
        }
    };
    let Some(breaks) = needed else {
        let sentence = format!(
            "a dead short right behind it draws about {current}; no breaking capacity is published for a {} fuse",
            fuse.device.family.word()
        );
        let finding = unproven(fuse, format!("`{}`: {sentence}", fuse.name)).with_measure(
            fault.typical,
            None,
            "A",
        );
        let check = Check::new(Kind::Breaking, Verdict::Caution, sentence)
            .figure("fault_current_a", fault.typical)
            .figure("breaks_a", None);
        return Ok(Some((check, Some(finding))));
    };
    let most = Amps::new(fault.high);
    let (verdict, tail) = if current > breaks.value {
        (Verdict::Violation, ": it may burst or burn on")
    } else if most > breaks.value {
        (
            Verdict::Caution,
            ": not enough for the strongest battery of its kind",
        )
    } else {
        (Verdict::Holds, "")
    };
    let sentence = format!(
        "a dead short right behind it draws about {current} by the battery's fast resistance, {most} at most, and it breaks {}{tail}",
        breaks.value,
    );
    let check = Check::new(Kind::Breaking, verdict, sentence)
        .figure("fault_current_a", fault.typical)
        .figure("fault_most_a", fault.high)
        .figure("breaks_a", breaks.value.si())
        .source(breaks.source.clone());
    let finding = match verdict {
        Verdict::Violation => {
            let statement = format!(
                "a dead short right behind `{}` draws about {current}, and it breaks {}",
                fuse.name, breaks.value
            );
            Finding::new(code("breaking-capacity-low"), &fuse.name, statement)
                .with_hint("put a fuse of a family that breaks more before it, at the battery's post: `ampkeel tables high-current-fuses` lists what each family breaks")
                .with_measure(fault.typical, Some(breaks.value.si()), "A")
                .with_label(fuse.span, "this fuse")
        }
        Verdict::Caution => {
            let statement = format!(
                "a dead short right behind `{}` draws up to {most} from the strongest battery of its kind, and it breaks {}",
                fuse.name, breaks.value
            );
            unproven(fuse, statement).with_measure(fault.high, Some(breaks.value.si()), "A")
        }
        _ => return Ok(Some((check, None))),
    };
    Ok(Some((check, Some(finding.with_source(breaks.source)))))
}

/// That a fuse may not break a dead short.
fn unproven(fuse: &Fitted, statement: String) -> Finding {
    Finding::new(code("breaking-capacity-unproven"), &fuse.name, statement)
        .with_hint("look up what this fuse and this battery are made for, or put a fuse of a family that breaks more before it, at the battery's post: `ampkeel tables high-current-fuses` lists what each family breaks")
        .with_label(fuse.span, "this fuse")
}

/// A breaker's own capacity is not written in a file: what it must have.
fn breaker(case: &Case<'_>, fuse: &Fitted, current: Amps) -> Result<Check, OutOfTable> {
    let main = case.upstream(fuse).is_none();
    let cranking = case
        .ways
        .iter()
        .filter_map(|ways| match case.resolved.part(ways.battery) {
            crate::devices::Model::Battery(battery) => battery.cold_cranking,
            _ => None,
        })
        .max_by(|a, b| a.si().total_cmp(&b.si()));
    let Some(cranking) = cranking else {
        return Ok(Check::new(
            Kind::Breaking,
            Verdict::Note,
            format!(
                "a dead short right behind it draws about {current}; read its capacity on its side"
            ),
        )
        .figure("fault_current_a", current.si()));
    };
    let needed = breaker_capacity(cranking, main)?;
    let sentence = format!(
        "a dead short right behind it draws about {current}; a breaker there must break {} or more: read it on its side",
        needed.value
    );
    Ok(Check::new(Kind::Breaking, Verdict::Note, sentence)
        .figure("fault_current_a", current.si())
        .figure("needed_a", needed.value.si())
        .source(needed.source))
}

/// Wire between the battery and a fuse that nothing protects.
pub(super) fn place(case: &Case<'_>, fuse: &Fitted) -> Result<Check, OutOfTable> {
    if let Some(upstream) = case.upstream(fuse) {
        let sentence = format!("the wire before it stands behind `{}`", upstream.name);
        return Ok(Check::new(Kind::Place, Verdict::Holds, sentence).figure("unprotected_m", 0.0));
    }
    let at = case.supply_side(fuse);
    let way = case.ways.iter().find_map(|ways| ways.to(at));
    let Some(way) = way else {
        return Ok(Check::new(
            Kind::Place,
            Verdict::Note,
            "no battery feeds it",
        ));
    };
    let exempt = &case.cranking;
    let bare: Vec<usize> = way
        .steps
        .iter()
        .take_while(|step| !matches!(step, Through::Link(_)))
        .filter_map(|step| match step {
            Through::Wire(wire) if !exempt.contains(wire) => Some(*wire),
            _ => None,
        })
        .collect();
    length(case, &bare, "before it")
}

/// Verdict on a length of wire that nothing protects.
fn length(case: &Case<'_>, wires: &[usize], where_: &str) -> Result<Check, OutOfTable> {
    let lengths = || {
        wires
            .iter()
            .map(|wire| case.circuit.wires[*wire].length.value)
    };
    let sum = |end: fn(Band<Metres>) -> Metres| lengths().map(|length| end(length).si()).sum();
    let metres: f64 = sum(|length| length.typical);
    let (least_m, most_m): (f64, f64) = (sum(|length| length.low), sum(|length| length.high));
    let sheathed = !wires.is_empty() && wires.iter().all(|wire| case.circuit.wires[*wire].sheath);
    // Metric boats follow the rule in millimetres.
    let metric = case.circuit.limits.fuse_basis == FuseBasis::Iso100
        || wires
            .iter()
            .any(|wire| matches!(case.circuit.wires[*wire].size.value, WireSize::Metric(_)));
    let (near, near_words) = if metric {
        (placement_length("iso-dc-place")?, "200 mm")
    } else {
        (placement_length("place-1")?, "7 in")
    };
    let enclosed = placement_length("place-2")?;
    let battery = placement_length("abyc-battery")?;
    let is_within = |metres: f64, limit: Metres| metres <= limit.si() * (1.0 + 1e-6);
    let within = |limit: Metres| is_within(metres, limit);
    // Which rule a length comes under: in a sheath the short one asks nothing.
    let rule = |metres: f64| {
        let is_near = sheathed || is_within(metres, near.value);
        (is_near, is_within(metres, battery.value))
    };
    let long = Metres::new(metres);
    let (verdict, words) = if rule(least_m) != rule(most_m) {
        let (least, most) = (Metres::new(least_m), Metres::new(most_m));
        (
            Verdict::Caution,
            format!(
                "{least} to {most} of wire {where_} has no protection: whether that is within {near_words}, or within 72 in of sheathed wire, cannot be told until it is measured"
            ),
        )
    } else if wires.is_empty() {
        (
            Verdict::Holds,
            "it sits at the battery, or on the cranking cable, with no wire between".to_owned(),
        )
    } else if within(near.value) {
        (
            Verdict::Holds,
            format!("{long} of wire {where_} has no protection, within {near_words}"),
        )
    } else if sheathed && within(enclosed.value) {
        (
            Verdict::Holds,
            format!("{long} of sheathed wire {where_} has no protection, within 40 in"),
        )
    } else if sheathed && within(battery.value) {
        (
            Verdict::Holds,
            format!(
                "{long} of sheathed wire from the battery {where_} has no protection, within 72 in"
            ),
        )
    } else if within(battery.value) {
        (
            Verdict::Caution,
            format!(
                "{long} of wire {where_} has no protection: more than {near_words}; 40 in, and 72 in from the battery, ask for a sheath, of which the file says nothing"
            ),
        )
    } else {
        (
            Verdict::Violation,
            format!(
                "{long} of wire {where_} has no protection: more than the 72 in any rule allows"
            ),
        )
    };
    Ok(Check::new(Kind::Place, verdict, words)
        .figure("unprotected_m", metres)
        .source(near.source)
        .source(enclosed.source)
        .source(battery.source))
}

/// The finding of a wire that nothing protects, by its check.
pub(super) fn unprotected(subject: &str, check: &Check) -> Option<Finding> {
    if check.verdict < Verdict::Caution {
        return None;
    }
    let code = if check.verdict == Verdict::Violation {
        code("wire-unprotected-far")
    } else {
        code("wire-unprotected")
    };
    let metres = check
        .figures
        .iter()
        .find(|figure| figure.0 == "unprotected_m");
    let limit_m = if check.verdict == Verdict::Violation {
        72.0
    } else {
        7.0
    } * 0.0254;
    let mut finding = Finding::new(code, subject, check.sentence.clone())
        .with_hint("move the device to the battery, or write `sheath = true` if the wire has one")
        .with_measure(metres.and_then(|f| f.1).unwrap_or(0.0), Some(limit_m), "m");
    for source in &check.sources {
        finding = finding.with_source(source.clone());
    }
    Some(finding)
}

/// Wires that live on a battery and lead to no device at all.
pub(super) fn bare(case: &Case<'_>) -> Result<Vec<(String, Check)>, OutOfTable> {
    let exempt = &case.cranking;
    let mut guarded: BTreeSet<usize> = BTreeSet::new();
    for fuse in case
        .fuses
        .iter()
        .filter(|fuse| case.upstream(fuse).is_none())
    {
        let at = case.supply_side(fuse);
        guarded.extend(
            case.ways
                .iter()
                .filter_map(|ways| ways.to(at))
                .flat_map(super::ways::Way::wires),
        );
    }
    let mut found = Vec::new();
    for &wire in case.zones.bare.keys() {
        let runs = case.solution.states.iter().any(|state| {
            let carries = |reading: &crate::solving::WireReading| {
                reading.wire == wire && reading.current_a.abs() > 1e-3
            };
            state.wires.iter().any(carries)
        });
        if exempt.contains(&wire) || guarded.contains(&wire) || !runs {
            continue;
        }
        let label = case.circuit.wire_label(&case.circuit.wires[wire]);
        let check = length(case, &[wire], "on the battery")?;
        if check.verdict >= Verdict::Caution {
            found.push((label, check));
        }
    }
    Ok(found)
}

/// Where the figures of a battery in a dead short come from.
pub(super) fn fast_source() -> Source {
    Source::new(
        "available current",
        "open volts over the battery's fast resistance, the way's wires and the fuse",
        Standing::Derived,
    )
}
