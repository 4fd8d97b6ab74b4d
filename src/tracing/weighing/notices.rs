//! What people notice: when it happens, what went before, how things look.
//!
//! All odds here are judgement, set after repair threads.

use super::complaint::states_of;
use super::{Item, item};
use crate::circuit::PartId;
use crate::devices::Model;
use crate::tracing::cause::Cause as C;
use crate::tracing::evidence::{Before, Complaint, Element, Evidence, SignKind, Spot, When};
use crate::tracing::scene::Scene;
use crate::tracing::sites::sits_at;
use crate::tracing::warnings::engine_runs;

/// How often the place last worked on is the place of the fault, and how often
/// a fault sits there by chance.
const WORKED_ON: (f64, f64) = (0.6, 0.1);
/// Watts a metre of wire that a hand feels at once (judgement).
const FELT_W: f64 = 10.0;
/// How often a sign sits at the fault, and elsewhere.
const AT_THE_FAULT: (f64, f64) = (0.7, 0.06);

pub(super) fn items(scene: &Scene<'_>, evidence: &Evidence) -> Vec<Item> {
    let all = || 0..scene.suspects.len();
    let mut items = Vec::new();
    for token in &evidence.when {
        if let Some(odds) = of_when(*token) {
            items.push(item(
                format!("it goes with `{}`", token.word()),
                all().map(|at| odds(scene.suspects[at].cause)),
            ));
        }
    }
    for before in &evidence.after {
        items.push(item(
            format!("it came after {}", before.word()),
            all().map(|at| of_before(*before, scene.suspects[at].cause)),
        ));
    }
    if is_unspoken(evidence) {
        let odds = |at: usize| match scene.suspects[at].cause {
            C::ReversedPolarity => UNSPOKEN,
            _ => 1.0,
        };
        let label = "nobody spoke of a battery being connected".to_owned();
        items.push(item(label, all().map(odds)));
    }
    if engine_ran(scene, evidence) {
        let odds = |at: usize| {
            let suspect = &scene.suspects[at];
            let still = suspect.cause == C::ReversedPolarity && suspect.worn_out.is_none();
            if still { 0.0 } else { 1.0 }
        };
        let label = "the engine ran before it showed".to_owned();
        items.push(item(label, all().map(odds)));
    }
    if let (Some(element), Some(fuse)) = (evidence.element, evidence.fuse) {
        items.push(item(
            format!("the element shows `{}`", element.word()),
            all().map(|at| of_element(scene, evidence, fuse, element, at)),
        ));
    }
    if !evidence.altered.is_empty() {
        let touched = |at: usize| {
            let suspect = &scene.suspects[at];
            let there = evidence.altered.iter();
            let there = there.map(|spot| sits_at(&scene.frame, suspect, *spot));
            if there.into_iter().any(|yes| yes) {
                WORKED_ON.0
            } else {
                WORKED_ON.1
            }
        };
        items.push(item(
            "what was last worked on".to_owned(),
            all().map(touched),
        ));
    }
    for (spot, sign) in &evidence.signs {
        items.push(item(
            format!("`{}` at {}", sign.word(), spot_name(scene, *spot)),
            all().map(|at| of_sign(scene, evidence, *spot, *sign, at)),
        ));
    }
    items
}

/// Whether a battery that was just connected would have been told, and was not.
fn is_unspoken(evidence: &Evidence) -> bool {
    let speaks = |before: &Before| matches!(before, Before::Reversal | Before::Work);
    evidence.complaint != Complaint::Reversed
        && !evidence.after.iter().any(speaks)
        && !evidence.when.contains(&When::BatteryConnected)
}

/// Whether the trouble shows with the engine turning alone: it does not run, nor start
/// forwards, on a battery that stands backwards.
fn engine_ran(scene: &Scene<'_>, evidence: &Evidence) -> bool {
    let mut states = evidence.states.iter();
    !evidence.states.is_empty() && states.all(|state| engine_runs(scene, *state))
}

/// How often somebody who connected a battery backwards does not think of it (judgement).
const UNSPOKEN: f64 = 0.3;

/// A spot as its owner calls it.
pub(in crate::tracing) fn spot_name(scene: &Scene<'_>, spot: Spot) -> String {
    let circuit = scene.frame.circuit;
    match spot {
        Spot::Terminal(end) => format!("`{}`", circuit.terminal(end).label),
        Spot::Part(part) => format!("`{}`", circuit.part(part).name),
        Spot::Fuse(fuse) => format!(
            "`{}`",
            crate::circuit::zones::fuse_name(circuit, scene.frame.fuses[fuse])
        ),
        Spot::Wire(wire) => format!("the wire `{}`", circuit.wire_label(&circuit.wires[wire])),
    }
}

fn of_when(token: When) -> Option<fn(C) -> f64> {
    Some(match token {
        When::Moving => |cause| match cause {
            C::ShortToGround | C::StopLine => 0.5,
            C::FuseHolder | C::OpenWire | C::HighResistanceJoint | C::BadGround => 0.4,
            C::SneakPath | C::SwitchFault => 0.25,
            _ => 0.05,
        },
        When::Wet => |cause| match cause {
            C::Water => 0.8,
            C::ShortToGround | C::BadGround | C::HighResistanceJoint | C::FuseHolder => 0.2,
            C::SwitchFault | C::ShortInLoad => 0.15,
            _ => 0.05,
        },
        When::Hot => |cause| match cause {
            C::FuseHolder | C::OverloadAdded => 0.4,
            C::DraggingMotor | C::ShortInLoad | C::Module => 0.3,
            C::HighResistanceJoint | C::RelayContactsBurnt | C::RectifierShort => 0.2,
            _ => 0.08,
        },
        When::Random => |cause| match cause {
            C::ShortToGround | C::FuseHolder | C::HighResistanceJoint | C::BadGround => 0.4,
            C::OpenWire | C::SwitchFault | C::RelayContactsBurnt | C::RelayStuck => 0.3,
            C::Water | C::TiredFuse => 0.25,
            _ => 0.08,
        },
        When::HighSpeed => |cause| match cause {
            C::RectifierShort => 0.35,
            C::ShortToGround | C::DraggingMotor | C::OverloadAdded | C::FuseHolder => 0.2,
            _ => 0.1,
        },
        When::BatteryConnected => |cause| match cause {
            C::ReversedPolarity | C::RectifierShort | C::DiodeShort => 0.6,
            C::ShortToGround => 0.4,
            _ => 0.15,
        },
        When::EngineStopped => |cause| match cause {
            C::StopLine => 0.8,
            _ => 0.06,
        },
        When::KeyReleased => |cause| match cause {
            C::RectifierShort | C::RelayStuck | C::SwitchFault => 0.3,
            _ => 0.15,
        },
        // These say in which states; the states themselves weigh.
        When::KeyOn | When::Start | When::Running | When::ControlUsed => return None,
    })
}

fn of_before(before: Before, cause: C) -> f64 {
    match before {
        Before::Storage => match cause {
            C::Water | C::LockedMotor | C::BatteryWeak => 0.5,
            C::HighResistanceJoint | C::BadGround | C::DraggingMotor | C::FuseHolder => 0.4,
            C::OpenWire | C::SwitchFault | C::RelayStuck | C::RelayContactsBurnt => 0.3,
            _ => 0.15,
        },
        Before::Work => match cause {
            C::ShortToGround | C::ReversedPolarity | C::OverloadAdded | C::WrongFuse => 0.45,
            C::OpenWire | C::StopLine | C::BadGround | C::HighResistanceJoint => 0.3,
            C::DiodeShort | C::SneakPath => 0.2,
            _ => 0.1,
        },
        Before::Reversal => match cause {
            C::ReversedPolarity => 0.9,
            C::RectifierShort | C::DiodeShort | C::Module => 0.5,
            C::TiredFuse => 0.2,
            _ => 0.03,
        },
    }
}

fn of_element(
    scene: &Scene<'_>,
    evidence: &Evidence,
    fuse: usize,
    element: Element,
    at: usize,
) -> f64 {
    let cause = scene.suspects[at].cause;
    let states: Vec<usize> = if evidence.states.is_empty() {
        (0..scene.healthy.len()).collect()
    } else {
        evidence.states.clone()
    };
    let multiple = states
        .iter()
        .filter_map(|state| scene.threats(*state, at).get(fuse).map(|t| t.multiple))
        .fold(0.0, f64::max);
    // Rows by current over the rating: up to 1.3, to 3, to 6, above.
    let row = match multiple {
        m if m < 1.3 => 0,
        m if m < 3.0 => 1,
        m if m < 6.0 => 2,
        _ => 3,
    };
    match element {
        Element::CleanGap => [0.3, 0.65, 0.45, 0.08][row],
        Element::Thinned | Element::Softened => [0.3, 0.5, 0.3, 0.08][row],
        Element::Soot => [0.03, 0.1, 0.4, 0.8][row],
        Element::Vanished => [0.02, 0.03, 0.15, 0.6][row],
        Element::Cracked => match cause {
            C::TiredFuse => 0.7,
            _ => 0.05,
        },
        Element::MeltedBody => match cause {
            C::FuseHolder | C::Water => 0.7,
            C::OverloadAdded => 0.15,
            _ => 0.05,
        },
        Element::Whole => match cause {
            C::FuseHolder | C::TiredFuse | C::Water => 0.5,
            _ => 0.15,
        },
    }
}

fn of_sign(scene: &Scene<'_>, evidence: &Evidence, spot: Spot, sign: SignKind, at: usize) -> f64 {
    let suspect = &scene.suspects[at];
    let there = sits_at(&scene.frame, suspect, spot);
    let plain = if there {
        AT_THE_FAULT.0
    } else {
        AT_THE_FAULT.1
    };
    let part = match spot {
        Spot::Part(part) => Some(part),
        Spot::Terminal(end) => Some(scene.frame.circuit.terminal(end).part),
        _ => None,
    };
    match sign {
        SignKind::Hot | SignKind::Smoke | SignKind::Melted => {
            plain.max(0.6 * warmth(scene, evidence, spot, at))
        }
        SignKind::Clicks => part.map_or(plain, |part| clicks(scene, evidence, part, at)),
        SignKind::Silent => part.map_or(plain, |part| works_less(scene, evidence, part, at, 0.25)),
        SignKind::Slow => part.map_or(plain, |part| works_less(scene, evidence, part, at, 0.8)),
        SignKind::Glows => part.map_or(plain, |part| glows(scene, part, at)),
        SignKind::Flickers => match suspect.cause {
            C::HighResistanceJoint | C::BadGround | C::FuseHolder | C::SwitchFault => 0.5,
            C::OpenWire | C::RelayContactsBurnt | C::ShortToGround | C::Water => 0.3,
            _ => 0.06,
        },
        SignKind::Corroded | SignKind::Wet => match suspect.cause {
            C::Water
            | C::HighResistanceJoint
            | C::BadGround
            | C::FuseHolder
            | C::SwitchFault
            | C::OpenWire
            | C::RelayContactsBurnt => plain,
            _ => 0.08,
        },
        SignKind::Loose | SignKind::Chafed | SignKind::Pinched => plain,
    }
}

/// How far a spot is beyond what its wire stands: 1 well beyond.
fn warmth(scene: &Scene<'_>, evidence: &Evidence, spot: Spot, at: usize) -> f64 {
    let Spot::Wire(wire) = spot else {
        return 0.0;
    };
    let Some(branch) = scene.frame.halves(wire)[0] else {
        return 0.0;
    };
    let states: Vec<usize> = if evidence.states.is_empty() {
        (0..scene.healthy.len()).collect()
    } else {
        evidence.states.clone()
    };
    let model = &scene.frame.resolved.wires[wire];
    let watts = |amps: f64| amps * amps * model.per_metre_ohm.value;
    let hottest = states
        .iter()
        .map(|state| {
            let shown = &scene.shown[*state][at];
            let amps = shown.first.as_ref().map_or(&shown.amps, |first| &first.1);
            // Watts a metre beyond what is usual there.
            watts(amps[branch]) - 2.0 * watts(scene.healthy[*state].amps[branch])
        })
        .fold(0.0, f64::max);
    (hottest / FELT_W).min(1.0)
}

fn clicks(scene: &Scene<'_>, evidence: &Evidence, part: PartId, at: usize) -> f64 {
    if !matches!(scene.frame.resolved.part(part), Model::Relay(_)) {
        return 0.5;
    }
    let states = states_of(scene, evidence, part);
    let pulled = states
        .iter()
        .any(|state| scene.shown[*state][at].pulled_in.contains(&part));
    let coil_open = scene.suspects[at].cause == C::RelayStuck;
    if pulled && !coil_open { 0.9 } else { 0.06 }
}

fn works_less(scene: &Scene<'_>, evidence: &Evidence, part: PartId, at: usize, than: f64) -> f64 {
    let states = states_of(scene, evidence, part);
    let less = states
        .iter()
        .any(|state| scene.work(*state, at, part) < than);
    if less { 0.8 } else { 0.08 }
}

/// A lamp that shines where it should be dark, or a part fed the wrong way.
fn glows(scene: &Scene<'_>, part: PartId, at: usize) -> f64 {
    let odd = (0..scene.healthy.len()).any(|state| {
        let healthy = scene.across(&scene.healthy[state], part);
        let now = scene.across(&scene.shown[state][at], part);
        (healthy < 1.0 && now > 2.0) || (healthy > 6.0 && now < 0.8 * healthy && now > 2.0)
    });
    if odd { 0.8 } else { 0.04 }
}
