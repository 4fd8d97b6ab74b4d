//! What the rating of a fuse says: the elements of its neighbours, and that it carries
//! more than its own, whatever its contacts show.

use super::contact::{ContactPart, Sort};
use super::evidence::Run;
use super::family::Weighed;
use super::{Measure, estimates};
use crate::bench::{Refused, fuse_opens};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Ohms};
use crate::tables::OutOfTable;
use crate::tables::fuses::{cold_resistance, standard_ratings};

/// The current it carries where that is above a fuse's rating, by a clamp or by
/// the drop of a sound one, and how far that is known.
pub(super) fn carried(part: &ContactPart, weighed: &Weighed<'_>) -> Option<Band<f64>> {
    let read = |run: &Run| run.get(Measure::Amps);
    let by_clamp = weighed.bench.evidence.runs.iter().find_map(read);
    let current_a = match by_clamp {
        Some(amps) => weighed.bench.kernel.around(Measure::Amps, amps),
        None if part.is_fuse() && weighed.likeliest() == Some("healthy") => {
            estimates::by_millivolts(weighed, &part.link)?
        }
        None => return None,
    };
    let is_over = has_rating(part) && current_a.typical > part.link.rating.si();
    is_over.then_some(current_a)
}

/// Whether it was made for a current that is known: a joint's is that of its loom.
fn has_rating(part: &ContactPart) -> bool {
    !matches!(part.sort, Sort::Joint)
}

/// What one that carries more than its rating comes to.
pub(super) fn note(part: &ContactPart, weighed: &Weighed<'_>) -> Result<Option<String>, Refused> {
    let Some(current_a) = carried(part, weighed) else {
        return Ok(None);
    };
    let rating = part.link.rating;
    let (when, never) = match part.sort {
        Sort::Fuse(style) => (
            fuse_opens(style, rating, weighed.bench.rig.air, current_a)?,
            "Never a larger fuse.",
        ),
        Sort::Breaker => (
            format!(
                "over its {}: a sound breaker opens at that, sooner or later by its curve, and one that holds for long has failed",
                nominal(rating)
            ),
            "Never a larger breaker.",
        ),
        Sort::Switch | Sort::Joint => (
            format!(
                "more than the {} such a switch is taken to be made for; its own body may say another figure",
                nominal(rating)
            ),
            "No larger switch cures a short.",
        ),
    };
    Ok(Some(format!(
        "It carries {}, {when}. Whatever its own contacts show, the load takes too much or there is a short behind it: find that. {never}",
        Amps::new(current_a.typical),
    )))
}

/// Cold elements of the two ratings either side.
pub(super) fn others(part: &ContactPart) -> Result<Vec<Band<Ohms>>, OutOfTable> {
    let Sort::Fuse(style) = part.sort else {
        return Ok(Vec::new());
    };
    let ratings: Vec<Amps> = standard_ratings(style)?.value;
    let own = part.link.rating;
    let below = ratings.iter().rev().filter(|rating| **rating < own).take(2);
    let above = ratings.iter().filter(|rating| **rating > own).take(2);
    below
        .chain(above)
        .map(|rating| Ok(cold_resistance(style, *rating)?.value))
        .collect()
}
