//! Loads that collapse, stall, run backwards, or never get anything.

use super::{Case, worst};
use crate::circuit::{Condition, PartId, PartKind};
use crate::devices::{LoadShape, Model};
use crate::findings::{Finding, code};
use crate::quantities::{Amps, Volts};
use crate::solving::report::OFF_A;
use crate::solving::rule;

/// Share of the volts a part is made for that is too much: an unregulated
/// charging system gives 16.5 V at full speed on 12 V (`charging-volts`), which
/// most parts live through (judgement).
const OVER_SHARE: f64 = 1.4;
/// Volts of the classes of part.
const CLASS_V: f64 = 12.0;
/// Volts the wrong way round that count as reversed.
const REVERSED_V: f64 = -0.5;

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut findings = Vec::new();
    for reported in case.states {
        let state = &reported.state;
        if state.what_if {
            let statement = format!("`{}` is a what-if state: shown, not judged", state.name);
            findings
                .push(Finding::new(code("state-not-judged"), "", statement).in_state(&state.name));
            continue;
        }
        for id in &reported.collapsed {
            let part = case.circuit.part(*id);
            let statement = format!("`{}` pulls its own feed down below its cut-off", part.name);
            let finding = Finding::new(code("supply-collapses"), &part.name, statement)
                .with_hint(
                    "thicken or shorten its feed and return, mend joints, or charge the battery",
                )
                .in_state(&state.name)
                .with_label(part.span, "this load")
                .mendable(true);
            found.push((0.0, finding));
        }
        for (name, reading) in &state.parts {
            let Some(id) = case.circuit.find(name) else {
                continue;
            };
            let part = case.circuit.part(id);
            let volts = reading.voltage_v.unwrap_or(0.0);
            if is_polarised(reading.kind, case.resolved.part(id)) && volts < REVERSED_V {
                let statement = format!("`{name}` gets {} the wrong way round", Volts::new(-volts));
                let finding = Finding::new(code("polarity-reversed"), name, statement)
                    .with_hint("check the battery's leads, then the plug of this part")
                    .in_state(&state.name)
                    .with_label(part.span, "plus and minus are swapped");
                found.push((-volts, finding));
            }
            if let Some(most_v) = most_volts(case, id).filter(|most| volts.abs() > *most) {
                let statement = format!(
                    "`{name}` gets {}, and {} is the most it may get",
                    Volts::new(volts.abs()),
                    Volts::new(most_v)
                );
                let finding = Finding::new(code("load-overvoltage"), name, statement)
                    .with_measure(volts.abs(), Some(most_v), "V")
                    .with_hint("check the system's volts and how the batteries are joined")
                    .in_state(&state.name)
                    .with_label(part.span, "this load");
                found.push((volts.abs(), finding));
            }
            let healthy = !case.circuit.states.iter().any(|s| {
                s.name == state.name
                    && s.conditions
                        .get(&id)
                        .is_some_and(|given| given.value != Condition::Healthy)
            });
            let current_a = reading.current_a.unwrap_or(0.0).abs();
            if healthy && reading.speed_rad_s == Some(0.0) && current_a > OFF_A {
                let statement = format!(
                    "`{name}` stands still at {} and draws {}",
                    Volts::new(volts.abs()),
                    Amps::new(current_a)
                );
                let finding = Finding::new(code("motor-stalled"), name, statement)
                    .with_hint("find what takes the volts before it is left switched on")
                    .in_state(&state.name)
                    .with_label(part.span, "this motor");
                found.push((current_a, finding));
            }
        }
    }
    findings.extend(worst(found));
    findings.extend(never_fed(case));
    findings
}

/// Volts above which a part is surely not made for its feed; a class of motor
/// says for which volts it is made, everything else goes by the system's.
fn most_volts(case: &Case<'_>, id: PartId) -> Option<f64> {
    match case.resolved.part(id) {
        Model::Motor(motor) => Some(OVER_SHARE * motor.parameters.v_ref.si().max(CLASS_V)),
        Model::PulsePump(_) => Some(OVER_SHARE * CLASS_V),
        Model::Load(_) | Model::Solenoid(_) => {
            Some(OVER_SHARE * case.circuit.boat.nominal.si().max(CLASS_V))
        }
        _ => None,
    }
}

/// Whether plus and minus matter to a part: not to filaments and resistances.
fn is_polarised(kind: PartKind, model: &Model) -> bool {
    match model {
        Model::Load(load) => matches!(load.shape, LoadShape::Power(_) | LoadShape::Current(_)),
        _ => kind == PartKind::Pump,
    }
}

fn never_fed(case: &Case<'_>) -> Vec<Finding> {
    let unfed = |name: &str| {
        let most = case
            .states
            .iter()
            .filter_map(|r| r.state.parts.get(name)?.current_a)
            .map(f64::abs);
        most.fold(0.0, f64::max) < OFF_A
    };
    case.circuit
        .parts
        .iter()
        .filter(|part| rule::is_load(part.kind()) && unfed(&part.name))
        .map(|part| {
            let statement = format!("`{}` gets no current in any state", part.name);
            Finding::new(code("load-never-fed"), &part.name, statement)
                .with_hint("add a state in which it should run, or follow its feed in the file")
                .with_label(part.span, "never fed")
        })
        .collect()
}
