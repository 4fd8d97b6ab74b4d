//! What the tables know: classes of parts and ratings of fuses.

use crate::circuit::PartKind;
use crate::quantities::{Amps, CubicMetresPerSecond, Dimension, Quantity, Watts, parse};
use crate::tables::fuses::FuseStyle;

/// A class as files name it: plain words, or words around a figure.
struct Class {
    /// Text before the figure, or the whole name.
    words: &'static str,
    /// What the figure measures, if there is one.
    figure: Option<Dimension>,
}

const fn plain(words: &'static str) -> Class {
    Class {
        words,
        figure: None,
    }
}

const fn sized(words: &'static str, figure: Dimension) -> Class {
    Class {
        words,
        figure: Some(figure),
    }
}

const PUMPS: &[Class] = &[
    plain("high-pressure fuel pump"),
    plain("rotary lift pump"),
    plain("solenoid lift pump"),
    plain("washdown pump"),
    sized("bilge pump", Dimension::Flow),
    sized("livewell pump", Dimension::Flow),
];
const MOTORS: &[Class] = &[
    sized("starter", Dimension::Power),
    plain("trim"),
    plain("blower"),
];
const RELAYS: &[Class] = &[
    plain("plug-in"),
    plain("micro plug-in"),
    plain("starter-solenoid"),
    plain("shift-solenoid"),
];
const SOLENOIDS: &[Class] = &[
    plain("injector"),
    plain("low-impedance injector"),
    plain("choke"),
    plain("primer"),
    plain("fuel valve"),
    plain("vapour valve"),
    plain("idle air valve"),
];
const LOADS: &[Class] = &[
    plain("engine control unit"),
    plain("ignition coil"),
    plain("gauge"),
    plain("warning horn"),
    plain("sensor heater"),
    plain("sensors"),
    plain("horn"),
    plain("warning lamp"),
    plain("navigation light"),
    plain("anchor light"),
    plain("cabin light"),
    plain("radio"),
    plain("chart plotter"),
    plain("fish finder"),
];

fn classes(kind: PartKind) -> &'static [Class] {
    match kind {
        PartKind::Pump => PUMPS,
        PartKind::Motor => MOTORS,
        PartKind::Relay => RELAYS,
        PartKind::Solenoid => SOLENOIDS,
        PartKind::Load => LOADS,
        _ => &[],
    }
}

/// The classes of a kind as people may write them, a figure as `N` with its unit.
pub(super) fn class_names(kind: PartKind) -> Vec<String> {
    classes(kind)
        .iter()
        .map(|class| match class.figure {
            Some(Dimension::Flow) => format!("{} N gal/h", class.words),
            Some(Dimension::Power) => format!("{} N hp", class.words),
            _ => class.words.to_owned(),
        })
        .collect()
}

/// The regular expression of a class in the schema.
pub(super) fn class_patterns(kind: PartKind) -> Vec<String> {
    class_names(kind)
        .iter()
        .map(|name| match name.split_once(" N ") {
            Some((words, unit)) => format!("^{words} [0-9]+(\\.[0-9]+)? {unit}$"),
            None => format!("^{name}$"),
        })
        .collect()
}

/// Whether a kind has a class of that name.
pub(super) fn is_class(kind: PartKind, name: &str) -> bool {
    classes(kind).iter().any(|class| match class.figure {
        None => class.words == name,
        Some(dimension) => name
            .strip_prefix(class.words)
            .and_then(|rest| rest.strip_prefix(' '))
            .is_some_and(|rest| is_positive(dimension, rest)),
    })
}

fn is_positive(dimension: Dimension, text: &str) -> bool {
    match dimension {
        Dimension::Flow => parse::<CubicMetresPerSecond>(text).is_ok_and(|flow| flow.si() > 0.0),
        Dimension::Power => parse::<Watts>(text).is_ok_and(|power| power.si() > 0.0),
        _ => false,
    }
}

/// Ratings a fuse family is made in, amperes, rising.
pub(super) fn ratings_a(style: FuseStyle) -> &'static [f64] {
    let _ = style;
    &[]
}

/// The made ratings next below and above, where this one is not made.
pub(super) fn not_made(style: FuseStyle, rating: Amps) -> Option<(Option<f64>, Option<f64>)> {
    let made = ratings_a(style);
    let near = |a: &f64| (a - rating.si()).abs() <= 1e-9 * rating.si();
    if made.is_empty() || made.iter().any(near) {
        return None;
    }
    let below = made
        .iter()
        .copied()
        .filter(|a| *a < rating.si())
        .next_back();
    let above = made.iter().copied().find(|a| *a > rating.si());
    Some((below, above))
}
