//! Every fuse against its load, its label, its wires and the parts behind it.

use super::{Case, worst};
use crate::circuit::zones::{FuseId, fuse_name, written};
use crate::circuit::{Device, FuseBasis, Given, PartId};
use crate::devices::{LinkModel, Model};
use crate::findings::{Finding, code};
use crate::quantities::Amps;
use crate::solving::unread::{is_guessed, least_for};
use crate::sources::{Source, Sourced, Standing};
use crate::span::Span;
use crate::tables::OutOfTable;
use crate::tables::ampacity::ampacity_at_most;
use crate::tables::fuses::steady_loading;

/// Outer legal limit of a fuse before a wire below 50 V, over the wire's figure in
/// its table: 33 CFR 183.455(c)(1).
pub const LEGAL_SHARE: f64 = 1.5;

pub(super) fn judge(case: &Case<'_>) -> Result<Vec<Finding>, OutOfTable> {
    let mut findings = worst(loading(case)?);
    for id in crate::circuit::zones::fuses(case.circuit) {
        let Some(fuse) = Fitted::of(case, id) else {
            continue;
        };
        findings.extend(label(case, &fuse, id));
        findings.extend(wires(case, &fuse, id).or_else(|| unread(case, &fuse, id)));
        findings.extend(makers(case, &fuse, id));
    }
    Ok(findings)
}

/// A fuse as fitted, with where its figures are written.
struct Fitted<'a> {
    name: String,
    span: Span,
    rating: Amps,
    label: Option<Given<Amps>>,
    keep: bool,
    link: &'a LinkModel,
}

impl<'a> Fitted<'a> {
    fn of(case: &Case<'a>, id: FuseId) -> Option<Self> {
        let name = fuse_name(case.circuit, id);
        let Model::Links(links) = case.resolved.part(id.part) else {
            return None;
        };
        let link = &links[id.slot.unwrap_or(0)];
        let fuse = written(case.circuit, id)?;
        Some(Self {
            name,
            span: fuse.rating.span,
            rating: fuse.rating.value,
            label: fuse.label,
            keep: fuse.keep,
            link,
        })
    }
}

fn loading(case: &Case<'_>) -> Result<Vec<(f64, Finding)>, OutOfTable> {
    let steady = steady_loading()?;
    let mut found = Vec::new();
    for reported in case.judged() {
        for id in crate::circuit::zones::fuses(case.circuit) {
            let Some(fuse) = Fitted::of(case, id) else {
                continue;
            };
            let Some(reading) = reported.state.fuses.get(&fuse.name) else {
                continue;
            };
            let share = steady.value.si() * fuse.link.ambient_factor;
            let current = Amps::new(reading.current_a);
            let finding = if reading.load_pct > 100.0 {
                Finding::new(
                    code("fuse-above-rating"),
                    &fuse.name,
                    format!("`{}` carries {current} on a rating of {}", fuse.name, fuse.rating),
                )
                .with_hint("find the load that draws too much; never fit a larger fuse to stop one opening")
                .with_measure(reading.load_pct, Some(100.0), "%")
            } else if reading.load_pct > 100.0 * share {
                Finding::new(
                    code("fuse-loaded-high"),
                    &fuse.name,
                    format!(
                        "`{}` carries {current}, {:.0} % of its {}; steady load should stay below {:.0} % there",
                        fuse.name,
                        reading.load_pct,
                        fuse.rating,
                        100.0 * share
                    ),
                )
                .with_hint("move a load to another circuit, or choose wire and fuse together for the real load")
                .with_measure(reading.load_pct, Some(100.0 * share), "%")
            } else {
                continue;
            };
            let finding = finding
                .in_state(&reported.state.name)
                .with_label(fuse.span, format!("carries {current}"))
                .mendable(!fuse.keep)
                .with_source(steady.source.clone());
            found.push((reading.load_pct, finding));
        }
    }
    Ok(found)
}

fn label(case: &Case<'_>, fuse: &Fitted<'_>, id: FuseId) -> Option<Finding> {
    let label = fuse.label?;
    let guarded = thinnest(case, id).filter(|thinnest| label.value > thinnest.corrected);
    let finding = if fuse.rating.si() > label.value.si() {
        Finding::new(
            code("fuse-above-label"),
            &fuse.name,
            format!(
                "`{}` is {}, and its label says {}",
                fuse.name, fuse.rating, label.value
            ),
        )
        .with_hint(format!(
            "fit {}, and find out why a larger one was put in",
            label.value
        ))
        .mendable(!fuse.keep)
    } else if fuse.rating.si() < label.value.si() {
        Finding::new(
            code("fuse-below-label"),
            &fuse.name,
            format!(
                "`{}` is {}, and its label says {}",
                fuse.name, fuse.rating, label.value
            ),
        )
        .with_hint(match guarded {
            Some(thinnest) => format!(
                "leave it: the label's {} is more than the {} a wire behind it may carry",
                label.value, thinnest.corrected
            ),
            None => format!(
                "once the load behind it is cleared, {} may be fitted, since the label says so",
                label.value
            ),
        })
    } else {
        return None;
    };
    let finding = finding.with_measure(fuse.rating.si(), Some(label.value.si()), "A");
    Some(
        finding
            .with_label(fuse.span, "fitted")
            .with_label(label.span, "printed on the cover"),
    )
}

/// A wire behind a fuse with what it may carry.
struct Thinnest {
    wire: usize,
    table: Sourced<Amps>,
    corrected: Amps,
}

/// The wire behind a fuse that may carry least. One that no table lists may
/// carry no more than the next thicker size that one does.
fn thinnest(case: &Case<'_>, id: FuseId) -> Option<Thinnest> {
    let of = |&wire: &usize| {
        let (table, corrected) = if let Ok(allowed) = &case.resolved.wires[wire].allowed {
            (allowed.table.clone(), allowed.corrected)
        } else {
            let described = &case.circuit.wires[wire];
            let insulation = described.insulation.map(|given| given.value);
            let found = ampacity_at_most(described.size.value, insulation).ok()?;
            let most = found.value.current;
            (found.map(|value| value.current), most)
        };
        Some(Thinnest {
            wire,
            table,
            corrected,
        })
    };
    let behind = case.zones.wires.get(&id)?;
    behind.iter().filter_map(of).min_by(|a, b| {
        let by_current = a.corrected.si().total_cmp(&b.corrected.si());
        by_current.then(a.wire.cmp(&b.wire))
    })
}

/// The thinnest wire behind a fuse, under the chosen basis.
fn wires(case: &Case<'_>, fuse: &Fitted<'_>, id: FuseId) -> Option<Finding> {
    let Thinnest {
        wire,
        table,
        corrected,
    } = thinnest(case, id)?;
    let basis = case.circuit.limits.fuse_basis;
    let legal = table.value.si() * LEGAL_SHARE;
    let whole = corrected.si();
    let rating = fuse.rating.si();
    let (code, limit, source) = match basis {
        FuseBasis::Iso100 if rating > whole => (
            code("fuse-above-wire"),
            whole,
            Source::new("ISO 10133:2012", "clause 12.1", Standing::Unverified),
        ),
        _ if rating > legal => (
            code("fuse-above-wire"),
            legal,
            Source::new("33 CFR 183.455", "(c)(1)", Standing::Published),
        ),
        FuseBasis::LoadAnd100 if rating > whole => {
            let practice = "fuse at or below the corrected ampacity";
            (
                code("fuse-above-wire-practice"),
                whole,
                Source::new(practice, "", Standing::Judgement),
            )
        }
        _ => return None,
    };
    let wire_label = case.circuit.wire_label(&case.circuit.wires[wire]);
    let size = case.circuit.wires[wire].size.value;
    let reason = if limit > whole {
        format!("150 % of the table is {}", Amps::new(legal))
    } else {
        format!("it may carry {} there", Amps::new(whole))
    };
    let statement = format!(
        "`{}` is {}, and behind it `{wire_label}` is {size}: {reason}",
        fuse.name, fuse.rating
    );
    Some(
        Finding::new(code, &fuse.name, statement)
            .with_measure(rating, Some(limit), "A")
            .with_hint("fit a fuse that this wire can stand if it still carries the load, or a thicker wire")
            .with_label(fuse.span, "this fuse")
            .with_label(case.circuit.wires[wire].span, "the thinnest wire behind it")
            .mendable(!(fuse.keep && case.circuit.wires[wire].keep))
            .with_source(table.source)
            .with_source(source),
    )
}

/// Wires behind a fuse that nobody read, where what they may be does not bear it.
fn unread(case: &Case<'_>, fuse: &Fitted<'_>, id: FuseId) -> Option<Finding> {
    let rating = fuse.rating.si();
    let behind = case.zones.wires.get(&id)?.iter().copied();
    let guessed: Vec<usize> = behind
        .filter(|wire| is_guessed(case.circuit, *wire, rating))
        .collect();
    let first = *guessed.first()?;
    let label = case.circuit.wire_label(&case.circuit.wires[first]);
    let others = match guessed.len() - 1 {
        0 => String::new(),
        1 => " and 1 other".to_owned(),
        count => format!(" and {count} others"),
    };
    let asks = least_for(case.circuit, first, rating).map_or_else(
        || "no size in the table bears it".to_owned(),
        |least| format!("it asks for {least} or thicker"),
    );
    let statement = format!(
        "whether `{}`, {}, suits `{label}`{others} cannot be told: nobody read the size, and the fuse before a wire says nothing of it; {asks}",
        fuse.name, fuse.rating
    );
    let table = case.resolved.wires[first].allowed.as_ref().ok();
    let finding = Finding::new(code("wire-size-unread"), &fuse.name, statement)
        .with_hint("read the size printed on the wire, or count and measure its strands, and write `size`; until then treat the fuse as too large")
        .with_label(fuse.span, "this fuse")
        .with_label(case.circuit.wires[first].span, "size not written");
    Some(match table {
        Some(allowed) => finding.with_source(allowed.table.source.clone()),
        None => finding,
    })
}

/// Parts whose maker names a largest fuse.
fn makers(case: &Case<'_>, fuse: &Fitted<'_>, id: FuseId) -> Vec<Finding> {
    let Some(reached) = case.zones.terminals.get(&id) else {
        return Vec::new();
    };
    let behind = |part: &PartId| {
        case.circuit
            .part(*part)
            .terminals
            .first()
            .is_some_and(|t| reached.contains(t))
    };
    case.circuit
        .part_ids()
        .filter(behind)
        .filter_map(|part| {
            let name = &case.circuit.part(part).name;
            let most = match &case.circuit.part(part).device {
                Device::Pump(spec) | Device::Motor(spec) => spec.max_fuse,
                Device::Load(load) => load.max_fuse,
                _ => None,
            };
            let Some(most) = most else {
                return of_class(case, fuse, part);
            };
            if fuse.rating.si() <= most.value.si() {
                return None;
            }
            let statement = format!(
                "`{}` is {}, and the maker of `{name}` allows {}",
                fuse.name, fuse.rating, most.value
            );
            Some(
                Finding::new(code("fuse-above-maker"), &fuse.name, statement)
                    .with_measure(fuse.rating.si(), Some(most.value.si()), "A")
                    .with_hint(format!("give `{name}` a fuse of {} of its own", most.value))
                    .with_label(fuse.span, "this fuse")
                    .with_label(most.span, "the maker's largest")
                    .mendable(!fuse.keep),
            )
        })
        .collect()
}

/// The largest fuse that makers of a pump's class usually allow.
fn of_class(case: &Case<'_>, fuse: &Fitted<'_>, part: PartId) -> Option<Finding> {
    let Model::Motor(motor) = case.resolved.part(part) else {
        return None;
    };
    let most = motor.parameters.maker_fuse?;
    // Figures between two rows are interpolated: a hair above is not above.
    if fuse.rating.si() <= 1.01 * most.si() {
        return None;
    }
    let part = case.circuit.part(part);
    let statement = format!(
        "`{}` is {}; makers of pumps like `{}` usually allow {most} at most",
        fuse.name, fuse.rating, part.name
    );
    Some(
        Finding::new(code("fuse-above-class"), &fuse.name, statement)
            .with_measure(fuse.rating.si(), Some(most.si()), "A")
            .with_hint("look its maker's figure up and write it as `max-fuse`; a jammed pump behind a large fuse cooks")
            .with_label(fuse.span, "this fuse")
            .with_label(part.span, "this pump")
            .mendable(!fuse.keep)
            .with_source(motor.source.clone()),
    )
}
