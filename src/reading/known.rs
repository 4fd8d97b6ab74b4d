//! What the tables know: classes of parts and ratings of fuses.

use super::nearest::did_you_mean;
use crate::circuit::PartKind;
use crate::quantities::Amps;
use crate::tables::OutOfTable;
use crate::tables::devices::{
    ClassKind, class_names, class_patterns, load_class, motor_class, pump_class, relay_class,
    solenoid_class,
};
use crate::tables::fuses::{FuseStyle, rating_range, standard_ratings};

/// Kinds of part that have classes.
const fn class_kind(kind: PartKind) -> Option<ClassKind> {
    match kind {
        PartKind::Pump => Some(ClassKind::Pump),
        PartKind::Motor => Some(ClassKind::Motor),
        PartKind::Relay => Some(ClassKind::Relay),
        PartKind::Solenoid => Some(ClassKind::Solenoid),
        PartKind::Load => Some(ClassKind::Load),
        _ => None,
    }
}

/// Names of a kind's classes, a figure written as `N` with its unit.
pub(super) fn patterns(kind: PartKind) -> &'static [&'static str] {
    class_kind(kind).map_or(&[], class_patterns)
}

/// What to say where a kind has no class of that name; `None` where it has.
pub(super) fn class_hint(kind: PartKind, name: &str) -> Option<String> {
    let refused: OutOfTable = match kind {
        PartKind::Pump => pump_class(name).err(),
        PartKind::Motor => motor_class(name).err(),
        PartKind::Relay => relay_class(name).err(),
        PartKind::Solenoid => solenoid_class(name).err(),
        PartKind::Load => load_class(name).err(),
        _ => None,
    }?;
    let has_figure = name.bytes().any(|b| b.is_ascii_digit());
    let by_figure = patterns(kind)
        .iter()
        .filter_map(|pattern| pattern.split_once(" N "));
    for (words, unit) in by_figure {
        if has_figure && name.starts_with(words) && name.ends_with(unit) {
            return Some(refused.has);
        }
    }
    let mut known: Vec<&str> = patterns(kind).to_vec();
    if has_figure && let Some(kind) = class_kind(kind) {
        known = class_names(kind);
    }
    Some(did_you_mean(name, &known, "classes"))
}

/// The made ratings next below and above, where this one is not made.
pub(super) fn not_made(style: FuseStyle, rating: Amps) -> Option<(Option<Amps>, Option<Amps>)> {
    let made = standard_ratings(style).ok()?.value;
    let near = |a: &Amps| (a.si() - rating.si()).abs() <= 1e-9 * rating.si();
    if made.is_empty() || made.iter().any(near) {
        return None;
    }
    // Small glass fuses are made in more ratings than are stocked.
    let smallest = rating_range(style).ok()?.value.0;
    if rating >= smallest
        && made
            .first()
            .is_some_and(|first| rating < *first && smallest < *first)
    {
        return None;
    }
    let below = made.iter().copied().rfind(|a| *a < rating);
    let above = made.iter().copied().find(|a| *a > rating);
    Some((below, above))
}
