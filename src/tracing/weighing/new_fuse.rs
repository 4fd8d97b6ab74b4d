//! One new fuse: what it would do under each suspect.

use super::complaint::opens;
use super::outcomes::{Outcomes, Trial};
use crate::tracing::cause::Cause as C;
use crate::tracing::evidence::{Complaint, Evidence, Spot};
use crate::tracing::scene::Scene;
use crate::tracing::sites::sits_at;

/// One new fuse: it cures, it opens too, or nothing changes. Where a fuse that
/// opens is complained of, not to open is to hold.
pub(super) fn new_fuse(
    scene: &Scene<'_>,
    evidence: &Evidence,
    trial: &Trial,
    live: &[usize],
) -> Outcomes {
    let fuse = match trial.at {
        Spot::Fuse(fuse) => Some(fuse),
        _ => evidence.fuse,
    };
    let renewed = |at: usize| {
        let suspect = &scene.suspects[at];
        suspect.worn_out == fuse && fuse.is_some()
            || (matches!(suspect.cause, C::TiredFuse | C::WrongFuse)
                && fuse.is_some_and(|fuse| sits_at(&scene.frame, suspect, Spot::Fuse(fuse))))
    };
    let (words, odds): (&[&'static str], Vec<Vec<f64>>) =
        if evidence.complaint == Complaint::FuseOpens {
            let odds = |at: &usize| {
                let opens = opens(scene, fuse, trial.state, *at);
                let holds = if renewed(*at) { 0.95 } else { 1.0 - opens };
                let holds = holds.clamp(0.02, 0.98);
                vec![holds, 1.0 - holds]
            };
            (&["holds", "opens"], live.iter().map(odds).collect())
        } else {
            let odds = |at: &usize| {
                let opens = opens(scene, fuse, trial.state, *at).clamp(0.02, 0.95);
                let cured = (1.0 - opens) * if renewed(*at) { 0.95 } else { 0.04 };
                vec![cured, opens, 1.0 - opens - cured]
            };
            (&["cured", "opens", "same"], live.iter().map(odds).collect())
        };
    Outcomes {
        words: words.to_vec(),
        odds,
    }
}
