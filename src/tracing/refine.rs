//! Finer degrees of the likeliest suspects, once figures were read.
//!
//! A bad joint is first tried with a handful of ohms, a short at three places
//! of its wire. A reading asks for the ohms or the place that show it.

use super::candidates::{joint_at, short_at};
use super::cause::Cause;
use super::groups::Group;
use super::scene::Scene;
use super::suspect::{Site, Suspect};
use crate::quantities::Band;

/// Groups that are refined.
const GROUPS: usize = 4;
/// Odds below which a group is not worth it.
const WORTH: f64 = 0.03;
/// Places along a wire.
const PLACES: usize = 12;
/// Ohms of a short at each of the places, and of one whose place hardly matters.
const SHORTS: [f64; 4] = [0.005, 0.03, 0.1, 0.3];
const RESISTIVE: [f64; 6] = [0.4, 0.6, 0.9, 1.3, 1.9, 2.8];
/// Ohms of a joint: from and to, and how many between.
const JOINTS: (f64, f64, usize) = (0.01, 1e6, 25);

/// Finer suspects of the likeliest groups; the coarse ones share their weight.
pub(super) fn finer(scene: &mut Scene<'_>, groups: &[Group]) -> Vec<Suspect> {
    let mut all = Vec::new();
    let worth: Vec<&Group> = groups
        .iter()
        .take(GROUPS)
        .filter(|group| group.odds > WORTH)
        .collect();
    for group in worth {
        let Site::Wire(wire) = group.site else {
            continue;
        };
        let is_refined = group.members.iter().any(|at| scene.suspects[*at].refined);
        if is_refined {
            continue;
        }
        let more = match group.cause {
            Cause::ShortToGround => shorts(scene, wire),
            Cause::HighResistanceJoint | Cause::BadGround | Cause::SneakPath => {
                joints(scene, wire, group.cause)
            }
            _ => continue,
        };
        share(scene, group, more, &mut all);
    }
    all
}

/// Half the group's weight goes to the finer ones.
fn share(scene: &mut Scene<'_>, group: &Group, more: Vec<Suspect>, all: &mut Vec<Suspect>) {
    let mut total = 0.0;
    for at in &group.members {
        scene.suspects[*at].weight /= 2.0;
        total += scene.suspects[*at].weight;
    }
    let each = total / more.len().max(1) as f64;
    all.extend(more.into_iter().map(|mut suspect| {
        suspect.weight = each;
        suspect.refined = true;
        suspect
    }));
}

fn shorts(scene: &Scene<'_>, wire: usize) -> Vec<Suspect> {
    let mut all = Vec::new();
    for place in 0..PLACES {
        let along = (place as f64 + 0.5) / PLACES as f64;
        for ohm in SHORTS {
            all.push(short_at(&scene.frame, wire, along, ohm));
        }
    }
    for ohm in RESISTIVE {
        all.push(short_at(&scene.frame, wire, 0.5, ohm));
    }
    all
}

fn joints(scene: &Scene<'_>, wire: usize, cause: Cause) -> Vec<Suspect> {
    let (low, high, count) = JOINTS;
    let mut all = Vec::new();
    for step in 0..count {
        let share = step as f64 / (count - 1) as f64;
        let ohm = low * (high / low).powf(share);
        for end in [0, 1] {
            all.push(joint_at(&scene.frame, wire, end, ohm, cause));
        }
    }
    all
}

/// How far along its wire a short lies, metres from the wire's first end: nine
/// in ten within the range. None where the readings say nothing of it.
pub(super) fn distance(scene: &Scene<'_>, odds: &[f64], group: &Group) -> Option<Band<f64>> {
    let Site::Wire(wire) = group.site else {
        return None;
    };
    if group.cause != Cause::ShortToGround {
        return None;
    }
    let length_m = scene.frame.circuit.wires[wire].length.value.typical.si();
    let mut places: Vec<(f64, f64)> = group
        .members
        .iter()
        .filter(|at| scene.suspects[**at].refined)
        .filter_map(|at| Some((scene.suspects[*at].along?, odds[*at])))
        .collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = places.iter().map(|(_, odds)| odds).sum();
    if total <= 0.0 {
        return None;
    }
    let at = |share: f64| {
        let mut sum = 0.0;
        for (along, odds) in &places {
            sum += odds;
            if sum >= share * total {
                return along * length_m;
            }
        }
        length_m
    };
    let band = Band {
        low: at(0.05),
        typical: at(0.5),
        high: at(0.95),
    };
    // A range over nearly the whole wire is no news.
    (band.high - band.low < NEWS * length_m).then_some(band)
}

/// Share of the wire below which a range is worth telling.
const NEWS: f64 = 0.7;
