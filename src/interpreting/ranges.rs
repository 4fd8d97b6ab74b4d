//! What a condition shows of each reading, and whether the reading lies within.
//!
//! The sentence and its reasons go by the same ranges: a reading fits where nine in
//! ten specimens lie, is seldom where only the others do, and is excluded beyond
//! them all.

use super::Measure;
use super::estimates::middle_of;
use super::family::{Bench, Family};
use super::kernel::{Kernel, scaled};
use super::specimen::{Brings, Group};
use super::words::figure;

/// Share of specimens within the printed ends, and within those beyond which a
/// reading is excluded.
const USUAL: f64 = 0.9;
pub(super) const NEARLY_ALL: f64 = 0.998;
/// Standard deviations of the meter allowed beyond the one and the other.
const USUAL_SDS: f64 = 2.0;
const ALL_SDS: f64 = 3.0;

/// How a reading lies in the range of a condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Fits,
    Seldom,
    Excluded,
}

/// The range of one reading.
#[derive(Debug, Clone)]
pub(super) struct Range {
    what: &'static str,
    measure: Measure,
    low: f64,
    high: f64,
    read: f64,
    place: Place,
}

impl Range {
    /// Whether the condition never shows the reading.
    pub(super) fn excludes(&self) -> bool {
        self.place == Place::Excluded && !self.measure.is_yes_or_no()
    }

    /// Whether its reading is one of some measures.
    pub(super) fn is_of(&self, measures: &[Measure]) -> bool {
        measures.contains(&self.measure)
    }

    /// The range beside the reading.
    pub(super) fn sentence(&self) -> String {
        if self.measure.is_yes_or_no() {
            return format!("{} is usual", figure(self.measure, self.high));
        }
        let of = |value| self.measure.print(value);
        let (what, read) = (self.what, of(self.read));
        let (low, high) = (of(self.low), of(self.high));
        let range = if low == high {
            format!("near {low}")
        } else {
            format!("{low} to {high}")
        };
        match self.place {
            Place::Fits => format!("{what} {range}: {read} fits"),
            Place::Seldom => format!("{what} {range}, seldom {read}"),
            Place::Excluded => format!("{what} {range}, not {read}"),
        }
    }
}

/// Whether every condition there can be excludes one reading at least.
pub(super) fn is_nowhere(groups: &[Group], ranges: &[Vec<Range>]) -> bool {
    let all = groups.iter().zip(ranges);
    let mut possible = all.filter(|(group, _)| group.prior > 0.0);
    possible.all(|(_, ranges)| ranges.iter().any(Range::excludes))
}

/// The ranges of every reading, condition by condition.
pub(super) fn of_groups(
    groups: &[Group],
    bench: &Bench<'_>,
    family: &dyn Family,
) -> Vec<Vec<Range>> {
    let of = |group| ranges(group, bench, family);
    groups.iter().map(of).collect()
}

fn ranges(group: &Group, bench: &Bench<'_>, family: &dyn Family) -> Vec<Range> {
    let kernel = bench.kernel;
    let brought = group.brings.iter().map(|brings| of_brought(brings, kernel));
    let seen = bench
        .evidence
        .readings()
        .filter(|(_, measure, _)| !family.drawn().contains(measure))
        .filter_map(|reading| of_seen(group, reading, family, kernel));
    brought.chain(seen).collect()
}

fn of_brought(brings: &Brings, kernel: &Kernel) -> Range {
    let deviation = kernel.deviation(brings.measure, brings.read);
    let within = |below: f64, above: f64, sds: f64| {
        let slack = sds * deviation;
        (brings.low - below - slack..=brings.high + above + slack).contains(&brings.read)
    };
    let (below, above) = brings.beyond;
    let place = if within(0.0, 0.0, USUAL_SDS) {
        Place::Fits
    } else if within(below, above, ALL_SDS) {
        Place::Seldom
    } else {
        Place::Excluded
    };
    Range {
        what: brings.what,
        measure: brings.measure,
        low: brings.low,
        high: brings.high,
        read: brings.read,
        place,
    }
}

fn of_seen(
    group: &Group,
    (run, measure, read): (usize, Measure, f64),
    family: &dyn Family,
    kernel: &Kernel,
) -> Option<Range> {
    let shown = group
        .specimens
        .iter()
        .map(|one| (one.runs[run].get(measure), one.weight));
    let shown: Vec<(f64, f64)> = shown.filter(|(value, _)| value.is_finite()).collect();
    let usual = middle_of(shown.clone(), USUAL)?;
    let all = middle_of(shown, NEARLY_ALL)?;
    let at = scaled(measure, read);
    let within = |low: f64, high: f64, sds: f64| {
        let low_end = scaled(measure, low) - sds * kernel.deviation(measure, low);
        let high_end = scaled(measure, high) + sds * kernel.deviation(measure, high);
        (low_end..=high_end).contains(&at)
    };
    let place = if within(usual.low, usual.high, USUAL_SDS) {
        Place::Fits
    } else if within(all.low, all.high, ALL_SDS) {
        Place::Seldom
    } else {
        Place::Excluded
    };
    let is_yes_or_no = measure.is_yes_or_no();
    Some(Range {
        what: family.name(measure),
        measure,
        low: usual.low,
        high: if is_yes_or_no {
            usual.typical
        } else {
            usual.high
        },
        read,
        place,
    })
}
