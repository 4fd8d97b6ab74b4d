//! A fuse against the wires behind it: overloads, steady heat, rules.

use super::case::{Case, Fitted, WireCase};
use super::check::{Check, Kind, Verdict};
use crate::circuit::FuseBasis;
use crate::findings::{Finding, code};
use crate::heating::{Family, OPENS_FROM};
use crate::quantities::{Amps, Seconds};
use crate::sources::{Source, Standing};
use crate::tables::OutOfTable;
use crate::tables::fuses::FuseStyle;
use crate::wiring::{Basis, InPlace, ceilings};

/// Currents looked at between two ends.
const GRID: u32 = 48;

/// Currents from one to another, evenly by logarithm, both ends included.
pub(super) fn between(low_a: f64, high_a: f64) -> impl Iterator<Item = f64> {
    let ratio = (high_a / low_a).max(1.0);
    (0..=GRID).map(move |step| low_a * ratio.powf(f64::from(step) / f64::from(GRID)))
}

/// Latest opening at a current, seconds; infinite where none is promised.
pub(super) fn latest_s(fuse: &Fitted, current_a: f64) -> f64 {
    let found = fuse.device.opening(Amps::new(current_a));
    found.latest.map_or(f64::INFINITY, Seconds::si)
}

/// Words for a time that may be never.
pub(super) fn time(seconds: f64) -> String {
    if seconds.is_finite() {
        Seconds::new(seconds).to_string()
    } else {
        "never".into()
    }
}

/// A time for JSON: none where it is never.
pub(super) fn finite(seconds: f64) -> Option<f64> {
    seconds.is_finite().then_some(seconds)
}

/// From the least opening current to the fault current.
pub(super) fn overload(case: &Case<'_>, fuse: &Fitted) -> Option<(Check, Option<Finding>)> {
    let behind = case.zones.wires.get(&fuse.id)?;
    let fault = case.available(fuse)?;
    let from_a = OPENS_FROM * fuse.device.effective.si();
    if fault.typical <= from_a {
        return None;
    }
    let mut worst: Option<(f64, usize, f64, f64, f64)> = None;
    for &wire in behind {
        let Ok(in_time) = case.wire(wire) else {
            continue;
        };
        for current_a in between(from_a * (1.0 + 1e-9), fault.typical) {
            let opens_s = latest_s(fuse, current_a);
            let stands_s = in_time.stands_s(current_a);
            let share = opens_s / stands_s;
            if worst.is_none_or(|w| share > w.0) {
                let degc = in_time.after(current_a, opens_s.min(1e6));
                worst = Some((share, wire, current_a, stands_s, degc));
            }
        }
    }
    let (share, wire, current_a, stands_s, degc) = worst?;
    let label = case.circuit.wire_label(&case.circuit.wires[wire]);
    let opens_s = latest_s(fuse, current_a);
    let verdict = if share > 1.0 {
        Verdict::Caution
    } else {
        Verdict::Holds
    };
    let range = format!("from {} to {}", Amps::new(from_a), Amps::new(fault.typical));
    let at = Amps::new(current_a);
    let sentence = if share > 1.0 {
        format!(
            "an overload can outlast a wire: at {at} it opens within {}, and `{label}` stands that for {}",
            time(opens_s),
            time(stands_s)
        )
    } else if share > 0.0 {
        format!(
            "it opens before any of its wires suffers {range}: closest is `{label}` at {at}, {} against {}",
            time(opens_s),
            time(stands_s)
        )
    } else {
        format!(
            "it opens before any of its wires suffers {range}; they carry the least of it for good"
        )
    };
    let check = Check::new(Kind::Overload, verdict, sentence)
        .about(label.clone())
        .figure("from_a", from_a)
        .figure("to_a", fault.typical)
        .figure("worst_a", current_a)
        .figure("opens_latest_s", finite(opens_s))
        .figure("wire_stands_s", finite(stands_s))
        .figure("wire_degc", degc)
        .source(limit_source())
        .source(fuse.device.source.clone());
    let finding = (share > 1.0).then(|| {
        let statement = format!(
            "at {at} `{}` may take {}, and `{label}` stands that for {}",
            fuse.name,
            time(opens_s),
            time(stands_s)
        );
        Finding::new(code("overload-outlasts-wire"), &fuse.name, statement)
            .with_hint("a thicker wire, or a smaller fuse that still carries the load")
            .with_measure(opens_s, finite(stands_s), "s")
            .with_label(case.circuit.wires[wire].span, "this wire")
            .with_label(fuse.span, "this fuse")
            .mendable(!case.circuit.wires[wire].keep)
    });
    Some((check, finding))
}

/// Where the limit of a wire by time comes from.
fn limit_source() -> Source {
    Source::new(
        "end temperature to 5 s, class from half an hour, by the logarithm of time between",
        "heat by the published ampacity and the short-time formula",
        Standing::Judgement,
    )
}

/// Between holding and opening nothing is promised: what the wires settle at.
pub(super) fn hold(case: &Case<'_>, fuse: &Fitted) -> Option<Check> {
    let behind = case.zones.wires.get(&fuse.id)?;
    let top_a = OPENS_FROM * fuse.device.effective.si();
    let hottest = behind.iter().filter_map(|&wire| {
        let model = &case.resolved.wires[wire];
        let class = model.allowed.as_ref().ok()?.class;
        Some((wire, model.temperature(top_a), class))
    });
    let (wire, degc, class) =
        hottest.max_by(|a, b| (a.1.si() - a.2.si()).total_cmp(&(b.1.si() - b.2.si())))?;
    let label = case.circuit.wire_label(&case.circuit.wires[wire]);
    let least = Amps::new(fuse.device.holds_to() * fuse.device.effective.si());
    let settled = if degc.si() > 400.0 {
        "would burn".to_owned()
    } else if degc.si() > class.si() {
        format!("would settle at {degc}, above its {class}")
    } else {
        format!("settles at {degc}, within its {class}")
    };
    let sentence = format!(
        "from {least} to {} no opening is promised: at the upper end `{label}` {settled}",
        Amps::new(top_a)
    );
    Some(
        Check::new(Kind::Hold, Verdict::Note, sentence)
            .about(label)
            .figure("from_a", least.si())
            .figure("to_a", top_a)
            .figure("wire_degc", (degc.si() < 1e4).then_some(degc.si()))
            .figure("class_degc", class.si())
            .source(fuse.device.source.clone()),
    )
}

/// The fuse against its thinnest wire under each published basis.
pub(super) fn rules(case: &Case<'_>, fuse: &Fitted) -> Result<Option<Check>, OutOfTable> {
    let Some(behind) = case.zones.wires.get(&fuse.id) else {
        return Ok(None);
    };
    let carried = behind.iter().filter_map(|&wire| {
        let allowed = case.resolved.wires[wire].allowed.as_ref().ok()?;
        Some((wire, allowed))
    });
    let thinnest = carried.min_by(|a, b| a.1.corrected.si().total_cmp(&b.1.corrected.si()));
    let Some((wire, allowed)) = thinnest else {
        return Ok(None);
    };
    let in_place = InPlace {
        size: case.circuit.wires[wire].size.value,
        model: case.resolved.wires[wire].clone(),
        table: allowed.table.value,
        carries: allowed.bundled,
        class: allowed.class,
        source: allowed.table.source.clone(),
    };
    let style = match fuse.device.family {
        Family::Fuse(style) => style,
        Family::Breaker => FuseStyle::Blade,
    };
    let rows = ceilings(&in_place, style)?;
    let chosen = match case.circuit.limits.fuse_basis {
        FuseBasis::LoadAnd100 => Basis::Ours,
        FuseBasis::Cfr150 => Basis::Cfr,
        FuseBasis::Iso100 => Basis::Iso,
    };
    let verdict = if case
        .found(&fuse.name, &["fuse-above-wire"])
        .next()
        .is_some()
    {
        Verdict::Violation
    } else if case
        .found(
            &fuse.name,
            &["fuse-above-wire-practice", "wire-size-unread"],
        )
        .next()
        .is_some()
    {
        Verdict::Caution
    } else {
        Verdict::Holds
    };
    let label = case.circuit.wire_label(&case.circuit.wires[wire]);
    let allows = |row: &crate::wiring::Ceiling| {
        row.limit
            .map_or_else(|| "not listed".to_owned(), |limit| limit.to_string())
    };
    let each: Vec<String> = rows
        .iter()
        .map(|row| format!("{} {}", short_words(row.basis), allows(row)))
        .collect();
    let unread = case.found(&fuse.name, &["wire-size-unread"]).next();
    let unread = unread.map_or_else(String::new, |finding| {
        format!(
            "{}; every check here takes the likely size, so read the wire first: ",
            finding.statement
        )
    });
    let sentence = format!(
        "{unread}its thinnest wire `{label}` is {}; the most that may stand before it: {}; chosen here: {}",
        in_place.size,
        each.join(", "),
        short_words(chosen)
    );
    let mut check = Check::new(Kind::Wire, verdict, sentence)
        .about(label)
        .figure("rating_a", fuse.device.rating.si())
        .source(in_place.source.clone());
    for row in rows {
        check
            .rules
            .push((row.basis.word().to_owned(), row.limit.map(Amps::si)));
        check = check.source(row.source);
    }
    Ok(Some(check))
}

const fn short_words(basis: Basis) -> &'static str {
    match basis {
        Basis::Ours => "what it may carry there",
        Basis::Cfr => "33 CFR 183.455 (150 % of the table)",
        Basis::Iso => "ISO 10133 (100 %)",
        Basis::Faa => "FAA AC 43.13-1B (aircraft)",
    }
}

/// A wire's curve for the chart: how long it stands each current.
pub(super) fn thinnest(case: &Case<'_>, fuse: &Fitted) -> Option<(String, WireCase)> {
    let behind = case.zones.wires.get(&fuse.id)?;
    let carried = behind.iter().filter_map(|&wire| {
        let allowed = case.resolved.wires[wire].allowed.as_ref().ok()?;
        Some((wire, allowed.corrected.si()))
    });
    let (wire, _) = carried.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let label = case.circuit.wire_label(&case.circuit.wires[wire]);
    Some((label, case.wire(wire).ok()?))
}
