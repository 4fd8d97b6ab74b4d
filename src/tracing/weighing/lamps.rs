//! How bright a headlamp is in a fuse's holder, or on a load's plug.

use super::above;
use super::outcomes::{Outcomes, Trial, part_at};
use crate::circuit::PartId;
use crate::tracing::evidence::Spot;
use crate::tracing::frame::{Extra, LAMP, absent, ohms, whole};
use crate::tracing::scene::Scene;
use crate::tracing::simulate::{Changes, Rules};

/// Brightness of a lamp in a fuse's holder: bright, dim, off.
pub(super) fn lamp(scene: &Scene<'_>, trial: &Trial, more: &Changes, live: &[usize]) -> Outcomes {
    let words = vec!["bright", "dim", "off"];
    if let Some(shunt) = load_at(scene, trial.at) {
        return lamp_on_plug(scene, trial, shunt, live);
    }
    let Some((fuse, branch)) = holder(scene, trial.at) else {
        return Outcomes {
            words,
            odds: vec![vec![1.0 / 3.0; 3]; live.len()],
        };
    };
    let link = scene.frame.links[fuse];
    let mut changes = vec![
        (link, absent(scene.frame.branches[link].law)),
        (branch, whole(LAMP)),
    ];
    changes.extend(more.iter().copied());
    let shown = scene.again(trial.state, live, &changes, Rules::WITH_LAMP);
    let ends = &scene.frame.branches[branch];
    let odds = shown
        .iter()
        .map(|one| brightness(one.volts[ends.from] - one.volts[ends.to]))
        .collect();
    Outcomes { words, odds }
}

/// The load whose plug a lamp takes: its part and the branch across it.
fn load_at(scene: &Scene<'_>, spot: Spot) -> Option<(PartId, usize)> {
    let part = match spot {
        Spot::Part(_) | Spot::Terminal(_) => part_at(scene, spot)?,
        _ => return None,
    };
    let own = scene.draw_of(part)?;
    Some((part, scene.frame.extra(Extra::Shunt(own))?))
}

/// A headlamp on a load's plug in the load's place.
fn lamp_on_plug(
    scene: &Scene<'_>,
    trial: &Trial,
    (part, shunt): (PartId, usize),
    live: &[usize],
) -> Outcomes {
    let mut changes = scene.unplugging(part);
    changes.push((shunt, ohms(LAMP.v_nominal_v / LAMP.i_nominal_a)));
    let shown = scene.again(trial.state, live, &changes, Rules::IN_USE);
    let ends = &scene.frame.branches[shunt];
    let odds = shown
        .iter()
        .map(|one| brightness(one.volts[ends.from] - one.volts[ends.to]));
    Outcomes {
        words: vec!["bright", "dim", "off"],
        odds: odds.collect(),
    }
}

/// Odds of bright, dim and off at volts across a lamp.
fn brightness(volts: f64) -> Vec<f64> {
    let volts = if volts.is_finite() { volts.abs() } else { 0.0 };
    let bright = above(volts, 9.5, 0.5);
    let off = 1.0 - above(volts, 2.5, 0.4);
    vec![bright, (1.0 - bright - off).max(0.0), off]
}

fn holder(scene: &Scene<'_>, spot: Spot) -> Option<(usize, usize)> {
    let Spot::Fuse(fuse) = spot else { return None };
    Some((fuse, scene.frame.extra(Extra::Lamp(fuse))?))
}
