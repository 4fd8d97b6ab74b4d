//! The words of a procedure by what drives the boat: an inboard has a seacock
//! and an exhaust where an outboard has muffs and a tell-tale.

use super::steps::Procedure;
use crate::circuit::Engine;
use crate::tables::cautions::in_inboard_words;

/// Where a charging engine runs, in an outboard's words.
pub(super) const ON_MUFFS: &str = "On muffs idle only; the other speeds in a test tank or under way, a second person at the helm.";
/// The same of an inboard.
const AT_MOORING: &str = "At the mooring idle only, in neutral; the other speeds under way, a second person at the helm.";

/// The procedure in the words of an engine's kind; nothing said, an outboard's.
pub(super) fn fitting(mut found: Procedure, engine: Option<Engine>) -> Procedure {
    if engine != Some(Engine::Inboard) {
        return found;
    }
    found.cautions.iter_mut().for_each(in_inboard_words);
    for step in &mut found.steps {
        step.cautions.iter_mut().for_each(in_inboard_words);
        step.action = step.action.replace(ON_MUFFS, AT_MOORING);
    }
    found
}
