//! Readings that cannot be, and the slip of the hand that would explain them.

use super::Measure;
use super::kernel::Kernel;
use super::odds::{Compared, density};
use super::specimen::Group;

/// Amperes by which a clamp is off that was not zeroed, as a multiple of its curve.
const UNZEROED: f64 = 8.0;
/// Current below which a meter shows nothing, amperes.
const NOTHING_A: f64 = 0.05;

/// Figures from here up are rather milliamperes.
const MILLIAMPS_A: f64 = 200.0;

/// A slip: what it is, and the readings with it taken back.
struct Slip {
    words: &'static str,
    readings: Vec<Compared>,
    /// Density given up for readings that are dropped.
    given_up: f64,
}

/// The slip that explains the readings best, in words; none where no single one does.
pub(super) fn likeliest(
    groups: &[Group],
    readings: &[Compared],
    kernel: &Kernel,
    broad: f64,
) -> Option<&'static str> {
    let weigh = |slip: &Slip| {
        let of = |group: &Group| {
            let all = group.specimens.iter();
            let sum: f64 = all
                .map(|one| density(one, &slip.readings, kernel, 1.0))
                .sum();
            group.prior * sum / group.specimens.len().max(1) as f64
        };
        slip.given_up * groups.iter().map(of).sum::<f64>()
    };
    let slips = slips(readings)
        .into_iter()
        .map(|slip| (weigh(&slip), slip.words));
    slips
        .filter(|(weight, _)| *weight > broad)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, words)| words)
}

fn slips(plain: &[Compared]) -> Vec<Slip> {
    let has = |of: Measure| plain.iter().any(|reading| reading.measure == of);
    let no_current = plain
        .iter()
        .any(|r| r.measure == Measure::Amps && r.value < NOTHING_A);
    let with = |change: &dyn Fn(&mut Compared)| {
        let mut readings = plain.to_vec();
        readings.iter_mut().for_each(change);
        readings
    };
    let mut slips = Vec::new();
    let mut add = |words, readings, given_up| {
        slips.push(Slip {
            words,
            readings,
            given_up,
        });
    };
    if no_current {
        let left = plain
            .iter()
            .copied()
            .filter(|r| r.measure != Measure::Amps)
            .collect();
        let words = "the meter stands in the wrong jack, or its own fuse is blown: it shows no current while one flows";
        add(words, left, 0.05);
    }
    if has(Measure::Amps) {
        let words = "the clamp was not zeroed, or its jaws were not shut around one lead alone";
        add(words, with(&|r| of_amps(r, |r| r.wider = UNZEROED)), 1.0);
    }
    if plain
        .iter()
        .any(|r| r.measure == Measure::Amps && (MILLIAMPS_A..).contains(&r.value))
    {
        let words = "milliamperes were taken for amperes: look at the meter's range";
        add(words, with(&|r| of_amps(r, |r| r.value *= 0.001)), 0.2);
    }
    if has(Measure::Volts) {
        let words = "the volts were taken at the battery, not at the part's own terminals";
        add(
            words,
            with(&|r| {
                if r.measure == Measure::Volts {
                    r.against = Measure::PostVolts;
                }
            }),
            1.0,
        );
    }
    if plain.iter().any(|r| r.measure.is_ohms()) {
        let words = "the ohmmeter stood on another range, or kilohms were taken for ohms: the ohms are out by a thousand";
        for factor in [1e3, 1e-3] {
            add(
                words,
                with(&|r| {
                    if r.measure.is_ohms() {
                        r.value *= factor;
                    }
                }),
                0.2,
            );
        }
    }
    if has(Measure::Speed) {
        let words = "the speed is out by two: the humps of one turn were counted wrongly";
        for factor in [2.0, 0.5] {
            add(
                words,
                with(&|r| {
                    if r.measure == Measure::Speed {
                        r.value *= factor;
                    }
                }),
                0.3,
            );
        }
    }
    slips
}

fn of_amps(reading: &mut Compared, change: impl Fn(&mut Compared)) {
    if reading.measure == Measure::Amps {
        change(reading);
    }
}
