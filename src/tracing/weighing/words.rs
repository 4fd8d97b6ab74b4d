//! Tests in words a log and a person understand.

use super::notices::spot_name;
use super::outcomes::Trial;
use crate::circuit::Device;
use crate::tracing::evidence::{Spot, TestKind};
use crate::tracing::scene::Scene;

/// A trial in words a log and a person understand.
pub(in crate::tracing) fn in_words(scene: &Scene<'_>, trial: &Trial) -> String {
    let circuit = scene.frame.circuit;
    let state = &circuit.states[trial.state].name;
    let at = spot_name(scene, trial.at);
    match trial.test {
        TestKind::Lamp => {
            format!("a headlamp in the holder of {at} in place of the fuse, state `{state}`")
        }
        TestKind::Unplug => match trial.at {
            Spot::Part(part) if matches!(circuit.part(part).device, Device::Plug(_)) => {
                format!(
                    "pull the plug {at} and look at the lamp in the fuse holder, state `{state}`"
                )
            }
            _ => format!(
                "unplug {at}, the lamp in the fuse holder (for a drain the meter in the minus lead), and look whether it clears, state `{state}`"
            ),
        },
        TestKind::Swap => format!("swap {at} with a twin"),
        TestKind::Bridge => {
            format!("bridge 30 to 87 in the socket of {at} with a fused lead, state `{state}`")
        }
        TestKind::Bench => format!("test {at} on the bench (`ampkeel bench`)"),
        TestKind::Direct => {
            format!("put {at} straight on a battery with fused leads, away from fuel")
        }
        TestKind::Look => format!("look closely at {at}"),
        TestKind::Tug => format!("tug and twist every lug and joint at {at}"),
        TestKind::Wiggle => {
            format!("wiggle the loom at {at} a hand at a time with the lamp or beeper on")
        }
        TestKind::NewFuse => format!("one new fuse of the same rating in {at}"),
        TestKind::Clean => format!("clean and tighten {at}"),
        TestKind::Jumper => format!("a fused lead past the joint at {at}"),
        TestKind::Continuity => format!("beeper, {at} pulled: one lead on each of its blades"),
    }
}
