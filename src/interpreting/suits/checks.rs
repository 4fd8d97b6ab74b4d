//! What a replacement is held against, one by one.

use super::way::Way;
use super::{Held, verdict_of};
use crate::circuit::{Circuit, Device, PartId};
use crate::devices::Resolved;
use crate::findings::Finding;
use crate::protecting::{Check, Kind, Report, Verdict};
use crate::quantities::{Amps, Pascals, Volts, print};
use crate::solving::{Solution, WireReading, basis_source};
use crate::tables::OutOfTable;
use crate::tables::devices::{PumpClass, pump_class, pumps_fuel};

pub(super) fn of_kind<'a>(
    report: &'a Report,
    kind: Kind,
    name: &'a str,
) -> impl Iterator<Item = &'a Check> {
    let about = move |check: &&Check| check.kind == kind && check.about.as_deref() == Some(name);
    report.checks.iter().filter(about)
}

pub(super) fn held(check: &Check, word: &'static str) -> Held {
    let figure = |key: &str| {
        let found = check.figures.iter().find(|figure| figure.0 == key);
        found.and_then(|figure| figure.1)
    };
    let amps = |key: &str| figure(key).map(|amps| Amps::new(amps).to_string());
    let printed = match check.kind {
        Kind::Start => amps("peak_a"),
        Kind::Stall => amps("stall_cold_a"),
        Kind::Label => amps("label_a"),
        _ => amps("rating_a"),
    };
    Held {
        check: word,
        verdict: check.verdict,
        figure: printed.unwrap_or_default(),
        sentence: [std::slice::from_ref(&check.sentence), &check.more]
            .concat()
            .join(". "),
        figures: check.figures.clone(),
        sources: check.sources.clone(),
    }
}

/// The pressure that pumps of a class are made for; a pulsed lift pump's is that of a
/// turning one.
fn made_for(class: &str) -> Option<Pascals> {
    match pump_class(class).ok()?.value {
        PumpClass::Motor(pump) => Some(pump.dp_ref),
        PumpClass::Solenoid(_) => made_for("rotary lift pump"),
    }
}

/// How many times a fuel pump's pressure may be that of the one it replaces, either way,
/// before it is no replacement: types of one kind differ by less (judgement).
const OTHER_PRESSURE: f64 = 2.5;

/// A fuel pump made for far less or far more pressure than the old one.
fn of_other_pressure(old: &str, new: &str) -> Option<String> {
    let (had, has) = (made_for(old)?, made_for(new)?);
    let times = has.si() / had.si().max(1.0);
    let made = format!("a {new} is made for about {has}, the {old} it replaces for {had}");
    if times < 1.0 / OTHER_PRESSURE {
        Some(format!(
            "{made}: the engine gets too little fuel and runs lean or not at all"
        ))
    } else if times > OTHER_PRESSURE {
        Some(format!(
            "{made}: it presses a carburettor's needle off its seat, and petrol runs over"
        ))
    } else {
        None
    }
}

/// What a pump of the new class is made to pump, against the old one's. What a maker
/// made a pump for is common sense; pressures are those of the classes, and the engine's
/// manual's come first.
pub(super) fn duty(old: &str, new: &str) -> Held {
    let (verdict, sentence) = match (pumps_fuel(old), pumps_fuel(new)) {
        (true, false) => (
            Verdict::Violation,
            format!("a {new} is made for water: petrol takes its seals, and nothing of it is made to keep sparks from vapour. Take a fuel pump"),
        ),
        (false, true) => (
            Verdict::Violation,
            format!("a {new} is made for petrol and is no {old}: water ruins it, and its flow is far less"),
        ),
        (true, true) if old != new => match of_other_pressure(old, new) {
            Some(sentence) => (Verdict::Violation, sentence),
            None => (
                Verdict::Caution,
                format!("a {new} is another kind than the {old} it replaces: hold pressure and flow against the engine's manual"),
            ),
        },
        (true, true) => (
            Verdict::Note,
            "pressure, flow and hoses are the engine's manual's; that it is made for petrol stands on its label".to_owned(),
        ),
        (false, false) => (
            Verdict::Note,
            "flow and hose are yours to compare; in a petrol boat's bilge it must be marked as ignition protected".to_owned(),
        ),
    };
    Held {
        check: "duty",
        verdict,
        figure: String::new(),
        sentence,
        figures: Vec::new(),
        sources: Vec::new(),
    }
}

/// Share of a wire's current from which it is the part's own wire to judge.
const OWN_SHARE: f64 = 0.3;

/// Its running current against every fuse on its way.
pub(super) fn run(way: &Way, name: &str, before: &Solution, reports: &[&Report]) -> Held {
    let reading = &way.state.parts[name];
    let current = Amps::new(way.current_a);
    let volts = Volts::new(reading.voltage_v.unwrap_or(0.0).abs());
    let state = &way.state.name;
    let had = before.states.iter().find(|of| of.name == *state);
    let had = had
        .and_then(|of| of.parts.get(name)?.current_a)
        .map(f64::abs);
    let beside = had.map_or_else(String::new, |amps| {
        format!(" (the one in the file draws {} there)", Amps::new(amps))
    });
    let loads = reports.iter().filter_map(|report| {
        let load = report.checks.iter().find(|check| check.kind == Kind::Load);
        load.map(|check| (report.name.as_str(), check))
    });
    let loads: Vec<(&str, &Check)> = loads.collect();
    let worst = loads.iter().max_by_key(|(_, check)| check.verdict);
    let fuses: Vec<String> = loads
        .iter()
        .map(|(fuse, check)| format!("`{fuse}` {}", check.sentence))
        .collect();
    let fuses = if fuses.is_empty() {
        "no fuse stands on its way".to_owned()
    } else {
        fuses.join("; ")
    };
    Held {
        check: "run",
        verdict: worst.map_or(Verdict::Caution, |(_, check)| check.verdict),
        figure: current.to_string(),
        sentence: format!("it draws {current} at {volts} in `{state}`{beside}; {fuses}"),
        figures: vec![
            ("current_a", Some(current.si())),
            ("voltage_v", Some(volts.si())),
            ("old_current_a", had),
        ],
        sources: loads
            .into_iter()
            .flat_map(|(_, check)| check.sources.clone())
            .collect(),
    }
}

/// The rule's drop against its limit, over all states it runs in.
pub(super) fn drop(
    circuit: &Circuit,
    way: &Way,
    name: &str,
    after: &Solution,
) -> Result<Option<Held>, OutOfTable> {
    let readings = after
        .states
        .iter()
        .filter(|state| !state.what_if)
        .filter_map(|state| {
            let reading = state.parts.get(name)?;
            let meter_pct = 100.0 * reading.drop_v? / circuit.boat.nominal.si();
            Some((
                state.name.as_str(),
                reading.rule_drop_pct?,
                reading.limit_pct?,
                meter_pct,
            ))
        });
    let worst = readings.max_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2)));
    let Some((state, share, limit, meter_pct)) = worst else {
        return Ok(None);
    };
    let found = after
        .findings
        .iter()
        .filter(|finding| finding.subject == name && finding.code.name().starts_with("drop-"));
    let verdict = found.map(|finding| verdict_of(finding.severity())).max();
    let told = print::beside(share, limit);
    let judged = if share > limit { "above" } else { "within" };
    let volts = way.state.parts[name].voltage_v.unwrap_or(0.0).abs();
    Ok(Some(Held {
        check: "drop",
        verdict: verdict.unwrap_or(Verdict::Holds),
        figure: format!("{told} %"),
        sentence: format!(
            "its wires lose {told} % by the rule in `{state}`, {judged} the {limit:.0} % they may; with joints, fuse and contacts a meter would show {meter_pct:.1} %; it is left {} in `{}`",
            Volts::new(volts),
            way.state.name
        ),
        figures: vec![
            ("rule_drop_pct", Some(share)),
            ("limit_pct", Some(limit)),
            ("meter_drop_pct", Some(meter_pct)),
            ("voltage_v", Some(volts)),
        ],
        sources: vec![basis_source(circuit.limits.drop_basis)?],
    }))
}

/// The wire on its way that is loaded nearest to what it may carry.
pub(super) fn wires(resolved: &Resolved, way: &Way, after: &Solution) -> Option<Held> {
    let judged = after.states.iter().filter(|state| !state.what_if);
    let loaded = judged.flat_map(|state| {
        let on_way = state
            .wires
            .iter()
            .filter(|w| way.wires.contains_key(&w.wire));
        on_way.map(move |wire| (state.name.as_str(), wire))
    });
    let share = |wire: &WireReading| wire.rms_a / wire.ampacity_a.unwrap_or(f64::INFINITY);
    let is_its_own = |wire: &WireReading| {
        let own_a = way.wires.get(&wire.wire).copied().unwrap_or(0.0);
        own_a > OWN_SHARE * wire.current_a.abs()
    };
    let (state, wire) = loaded
        .filter(|(_, wire)| !wire.cranking && wire.ampacity_a.is_some() && is_its_own(wire))
        .max_by(|a, b| share(a.1).total_cmp(&share(b.1)))?;
    let label = format!("{} to {}", wire.from, wire.to);
    let limit = Amps::new(wire.ampacity_a?);
    let current = Amps::new(wire.rms_a);
    let over = after.findings.iter().filter(|finding| {
        way.labels.contains(&finding.subject)
            && ["wire-above-ampacity", "wire-hot"].contains(&finding.code.name())
    });
    let verdict = over.map(|finding| verdict_of(finding.severity())).max();
    let allowed = resolved.wires[wire.wire].allowed.as_ref();
    let source = allowed.ok().map(|allowed| allowed.table.source.clone());
    Some(Held {
        check: "wire",
        verdict: verdict.unwrap_or(Verdict::Holds),
        figure: current.to_string(),
        sentence: format!(
            "of the wires on its way `{label}`, {}, is loaded most: {current} in `{state}`, and it may carry {limit} there",
            wire.size
        ),
        figures: vec![
            ("wire_a", Some(wire.rms_a)),
            ("ampacity_a", wire.ampacity_a),
        ],
        sources: source.into_iter().collect(),
    })
}

/// The fuse before it against the largest its maker allows.
pub(super) fn maker(
    circuit: &Circuit,
    part: PartId,
    nearest: &Report,
    findings: &[Finding],
) -> Held {
    let of_file = match &circuit.part(part).device {
        Device::Pump(spec) | Device::Motor(spec) => spec.max_fuse.map(|given| given.value),
        _ => None,
    };
    let above = findings.iter().find(|finding| {
        finding.subject == nearest.name && finding.code.name().starts_with("fuse-above-maker")
    });
    let (verdict, sentence) = match (of_file, above) {
        (Some(most), Some(_)) => (
            Verdict::Violation,
            format!(
                "`{}` is {}, and its maker allows {most} at most: give it a fuse of {most} of its own",
                nearest.name, nearest.rating
            ),
        ),
        (Some(most), None) => (
            Verdict::Holds,
            format!(
                "`{}` is {}, and its maker allows {most}",
                nearest.name, nearest.rating
            ),
        ),
        (None, _) => (
            Verdict::Note,
            format!(
                "what its maker allows was not said: read it on the new one and give `--max-fuse`; `{}` is {}",
                nearest.name, nearest.rating
            ),
        ),
    };
    Held {
        check: "maker",
        verdict,
        figure: of_file.map_or_else(|| "-".to_owned(), |most| most.to_string()),
        sentence,
        figures: vec![
            ("max_fuse_a", of_file.map(Amps::si)),
            ("rating_a", Some(nearest.rating.si())),
        ],
        sources: Vec::new(),
    }
}
