//! The answer in sentences: what is most likely, why, and what is out.

use super::evidence::{Complaint, Evidence, Figure};
use super::groups::Group;
use super::next::Ranked;
use super::refine::distance;
use super::scene::Scene;
use super::sites::part_to_change;
use super::suspect::Site;
use super::weighing::{Weighed, spot_name, states_in_words};
use crate::circuit::PartId;
use crate::circuit::zones::fuse_name;
use crate::quantities::print::{percent, significant};

/// Odds from which a cause is called found.
const FOUND: f64 = 0.9;

pub(super) fn distance_in_words(
    scene: &Scene<'_>,
    weighed: &Weighed,
    groups: &[Group],
) -> Option<String> {
    let first = groups.first()?;
    let band = distance(scene, &weighed.odds, first)?;
    let Site::Wire(wire) = first.site else {
        return None;
    };
    let circuit = scene.frame.circuit;
    let from = &circuit.terminal(circuit.wires[wire].from).label;
    let metres = |m: f64| significant(m, 2);
    Some(format!(
        "the short lies about {} m along the wire from `{from}`, nine in ten between {} m and {} m",
        metres(band.typical),
        metres(band.low),
        metres(band.high)
    ))
}

/// What the likeliest suspect of a group shows in the usual state.
pub(super) fn because(
    scene: &Scene<'_>,
    evidence: &Evidence,
    state: Option<usize>,
    at: usize,
) -> String {
    let Some(state) = state else {
        return String::new();
    };
    let circuit = scene.frame.circuit;
    let name = &circuit.states[state].name;
    let shown = &scene.shown[state][at];
    if evidence.complaint == Complaint::FuseOpens {
        let fuse = evidence
            .fuse
            .or_else(|| shown.opened.first().copied())
            .unwrap_or(0);
        let threats = scene.threats(state, at);
        if let Some(threat) = threats.get(fuse) {
            let amps = shown.first_a.get(fuse).copied().unwrap_or(0.0);
            let of = fuse_name(circuit, scene.frame.fuses[fuse]);
            let times = significant(threat.multiple, 2);
            return if threat.multiple > 1.3 {
                format!(
                    "in `{name}` {} A through `{of}`, {times} times its rating: it opens after about {}",
                    significant(amps, 3),
                    seconds(threat.middle_s)
                )
            } else {
                format!(
                    "in `{name}` {} A through `{of}`, {times} times its rating",
                    significant(amps, 3)
                )
            };
        }
    }
    if evidence.complaint == Complaint::Drain {
        let amps = scene.battery_a(&scene.shown[scene.off()][at]);
        let drawn = if amps.abs() < 1.0 {
            format!("{} mA", significant(amps * 1000.0, 2))
        } else {
            format!("{} A", significant(amps, 2))
        };
        return format!("{drawn} from the battery with everything off");
    }
    let Some(part) = evidence.loads.first().or(evidence.dead.first()) else {
        return String::new();
    };
    format!(
        "in `{name}` {} V and {} A at `{}`",
        legible(scene.across(shown, *part), 3),
        legible(scene.part_a(shown, *part), 2),
        circuit.part(*part).name
    )
}

/// A figure as a meter shows it: what is below its last digit is nought.
fn legible(value: f64, digits: i32) -> String {
    if value.abs() < 0.01 {
        "0".to_owned()
    } else {
        significant(value, digits)
    }
}

/// Seconds as people say them.
fn seconds(seconds: f64) -> String {
    if seconds < 0.1 {
        format!("{} ms", significant(seconds * 1000.0, 2))
    } else if seconds < 120.0 {
        format!("{} s", significant(seconds, 2))
    } else {
        format!("{} min", significant(seconds / 60.0, 2))
    }
}

pub(super) fn statement(
    scene: &Scene<'_>,
    evidence: &Evidence,
    weighed: &Weighed,
    groups: &[Group],
) -> String {
    let Some(first) = groups.first() else {
        return "nothing in this circuit can do that".to_owned();
    };
    let what = first.in_words(scene, &weighed.odds);
    let odds = percent(first.odds);
    let also = groups.get(1).map_or_else(String::new, |second| {
        format!(
            ", then {} ({})",
            second.in_words(scene, &weighed.odds),
            percent(second.odds)
        )
    });
    let complaint = complaint_in_words(scene, evidence);
    let odd = unexplained(weighed, first.leader(&weighed.odds));
    let odd = if odd.is_empty() {
        String::new()
    } else {
        let labels = odd.iter().take(ODD).copied().collect::<Vec<_>>();
        format!(
            "; it does not explain {}: check that first",
            labels.join(", nor ")
        )
    };
    let is_odd = !odd.is_empty();
    let odd = format!("{odd}{}", contrary(scene, evidence));
    if first.odds >= FOUND && !is_odd {
        return format!("{complaint}: almost surely {what} ({odds}){odd}");
    }
    let of_part = found_in(scene, groups).filter(|_| first.odds < FOUND);
    if let Some((part, whole)) = of_part {
        let name = &scene.frame.circuit.part(part).name;
        let whole = percent(whole);
        let how = if is_odd {
            "most likely"
        } else {
            "almost surely"
        };
        return format!("{complaint}: {how} `{name}` itself ({whole}): {what} ({odds}){also}{odd}");
    }
    let how = if is_odd && first.odds < SURER {
        "nothing in this drawing explains all that was told; nearest comes"
    } else {
        "most likely"
    };
    format!("{complaint}: {how} {what} ({odds}){also}{odd}; the next test tells more")
}

/// Odds under which a cause that does not fit all that was told is called the nearest
/// alone.
const SURER: f64 = 0.5;

/// The part that the fault sits in, where its faults together are as good as found, with
/// their odds: whichever it is, the part is changed.
fn found_in(scene: &Scene<'_>, groups: &[Group]) -> Option<(PartId, f64)> {
    let part_of = |group: &Group| part_to_change(&scene.suspects[*group.members.first()?]);
    let part = part_of(groups.first()?)?;
    let own = groups.iter().filter(|group| part_of(group) == Some(part));
    let whole: f64 = own.map(|group| group.odds).sum();
    (whole >= FOUND).then_some((part, whole))
}

/// Pieces of evidence told that do not fit.
const ODD: usize = 2;
/// Logarithm of odds below which a piece is a slip under a suspect.
const SLIPS: f64 = -3.5;

/// What was seen and is a slip if this suspect is the fault, though another
/// fault would show it.
fn unexplained(weighed: &Weighed, suspect: usize) -> Vec<&str> {
    let most = |ln: &[f64]| ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let items = weighed.items.iter();
    let odd = items.filter(|item| {
        let own = item.ln[suspect];
        own < SLIPS && own < most(&item.ln) + SLIPS
    });
    odd.map(|item| item.label.as_str()).collect()
}

/// Two readings of the same thing in the same state that no meter makes of it.
fn contrary(scene: &Scene<'_>, evidence: &Evidence) -> String {
    let same = |a: &Figure, b: &Figure| a.to == b.to && a.is_like(b);
    let apart = |a: &Figure, b: &Figure| {
        let gap = (a.value.low - b.value.high).max(b.value.low - a.value.high);
        gap > APART * a.value.high.abs().max(b.value.high.abs())
    };
    let figures = &evidence.figures;
    let found = (0..figures.len()).find(|at| {
        let (one, mut later) = (&figures[*at], figures[at + 1..].iter());
        later.any(|other| same(one, other) && apart(one, other))
    });
    found.map_or_else(String::new, |at| {
        format!(
            "; two readings at {} contradict each other: take them again",
            spot_name(scene, figures[at].at)
        )
    })
}

/// Share of the larger of two readings by which they are no longer one (judgement).
const APART: f64 = 0.15;

fn complaint_in_words(scene: &Scene<'_>, evidence: &Evidence) -> String {
    let circuit = scene.frame.circuit;
    let loads: Vec<String> = evidence
        .loads
        .iter()
        .map(|part| format!("`{}`", circuit.part(*part).name))
        .collect();
    let loads = if loads.is_empty() {
        "a load".to_owned()
    } else {
        loads.join(", ")
    };
    let states = if evidence.states.is_empty() {
        String::new()
    } else {
        let on = |part: &PartId| evidence.states.iter().any(|at| scene.is_on(*at, *part));
        let rests = if evidence.loads.iter().any(on) || evidence.loads.is_empty() {
            ""
        } else {
            " (where the file has it off: states in which it is on are taken)"
        };
        format!(" in {}{rests}", states_in_words(scene, &evidence.states))
    };
    match evidence.complaint {
        Complaint::FuseOpens => {
            let fuse = evidence.fuse.map_or_else(
                || "a fuse".to_owned(),
                |fuse| format!("`{}`", fuse_name(circuit, scene.frame.fuses[fuse])),
            );
            format!("{fuse} opens{states}")
        }
        Complaint::LoadDead => format!("{loads} dead{states}"),
        Complaint::LoadWeak => format!("{loads} weak{states}"),
        Complaint::Drain => "the battery drains".to_owned(),
        Complaint::DiedTogether => format!("{loads} died together{states}"),
        Complaint::Reversed => "the battery was connected backwards".to_owned(),
    }
}

/// Odds beforehand from which it is worth saying that something is out.
const WORTH: f64 = 0.015;
/// What is left of them when it is out.
const OUT: f64 = 0.1;
/// Lines of what is excluded.
const EXCLUDED: usize = 6;

pub(super) fn excluded(
    scene: &Scene<'_>,
    weighed: &Weighed,
    groups: &[Group],
) -> Vec<(String, String)> {
    let prior = |group: &Group| -> f64 {
        let members = group.members.iter();
        members.map(|at| scene.suspects[*at].weight).sum()
    };
    let mut out: Vec<(f64, String, String)> = Vec::new();
    for group in groups {
        let before = prior(group);
        if before < WORTH || group.odds > OUT * before {
            continue;
        }
        let leader = group.leader(&weighed.odds);
        let against = weighed
            .items
            .iter()
            .min_by(|a, b| a.ln[leader].total_cmp(&b.ln[leader]));
        if let Some(against) = against {
            out.push((
                before,
                group.in_words(scene, &weighed.odds),
                against.label.clone(),
            ));
        }
    }
    out.sort_by(|a, b| b.0.total_cmp(&a.0));
    out.truncate(EXCLUDED);
    out.into_iter().map(|(_, what, why)| (what, why)).collect()
}

/// Why this fuse opens in the usual state, and not another that carries the same current.
pub(super) fn why_this_fuse(
    scene: &Scene<'_>,
    evidence: &Evidence,
    state: Option<usize>,
    weighed: &Weighed,
    groups: &[Group],
) -> Option<String> {
    let fuse = evidence.fuse?;
    if evidence.complaint != Complaint::FuseOpens {
        return None;
    }
    let state = state?;
    let leader = groups.first()?.leader(&weighed.odds);
    let shown = &scene.shown[state][leader];
    let threats = scene.threats(state, leader);
    let own = threats.get(fuse)?;
    let name = |at: usize| fuse_name(scene.frame.circuit, scene.frame.fuses[at]);
    let other = (0..threats.len())
        .filter(|at| *at != fuse && shown.first_a.get(*at).copied().unwrap_or(0.0) > 0.5)
        .max_by(|a, b| threats[*a].multiple.total_cmp(&threats[*b].multiple));
    let current = |at: usize| significant(shown.first_a.get(at).copied().unwrap_or(0.0), 3);
    Some(match other {
        Some(at) if threats[at].multiple > 1.1 => format!(
            "`{}` carries {} A, {} times its rating, and opens after about {}; `{}` carries {} A, {} times its rating, and opens after about {}: which is first {}",
            name(fuse),
            current(fuse),
            significant(own.multiple, 2),
            seconds(own.middle_s),
            name(at),
            current(at),
            significant(threats[at].multiple, 2),
            seconds(threats[at].middle_s),
            if crate::tracing::opening::Threat::opens_first(&threats, fuse) > 0.8 {
                "is plain"
            } else {
                "is open: their bands overlap"
            }
        ),
        Some(at) => format!(
            "`{}` carries {} A, {} times its rating; of the other fuses `{}` comes next with {} A, {} times its rating, and holds: the fault lies between them",
            name(fuse),
            current(fuse),
            significant(own.multiple, 2),
            name(at),
            current(at),
            significant(threats[at].multiple, 2)
        ),
        None => format!(
            "only `{}` carries the current of that fault: {} A, {} times its rating",
            name(fuse),
            current(fuse),
            significant(own.multiple, 2)
        ),
    })
}

pub(super) fn stop(scene: &Scene<'_>, groups: &[Group], tests: &[Ranked]) -> String {
    let first = groups.first().map_or(0.0, |group| group.odds);
    if first >= FOUND || found_in(scene, groups).is_some() {
        "Stop here: mend it, fit the fuse the label asks for, run every load in turn and clamp the feed: the sum of the loads must come out.".to_owned()
    } else if tests.is_empty() {
        "No test here tells more: measure wire lengths and loads, so that the drawing is sharper, or call a licensed electrician.".to_owned()
    } else {
        "Stop when one cause has nine in ten, when a wire is hot, or when two fuses are gone: a lamp costs nothing.".to_owned()
    }
}
