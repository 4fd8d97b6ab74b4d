//! Readings that cannot be, and the slip of the hand that would explain them.

use super::kernel::Kernel;
use super::odds::{Compared, density};
use super::specimen::Group;
use super::{Measure, OPEN_OHM};

/// Amperes by which a clamp is off that was not zeroed, as a multiple of its curve.
const UNZEROED: f64 = 8.0;
/// Current below which a meter shows nothing, amperes.
const NOTHING_A: f64 = 0.05;

/// Figures from here up are rather milliamperes.
const MILLIAMPS_A: f64 = 200.0;

/// Volts up to which millivolts were rather meant for volts.
const MILLIVOLTS_V: f64 = 0.04;
/// How often probes miss, so that an ohmmeter shows `open`.
const MISSED: f64 = 0.02;
/// How often a speed of nothing stands for one that nobody measured.
const UNMEASURED: f64 = 0.05;
/// Ohms on another range. A thousandth of nearly anything is a short, and a thousand
/// times is open: only where a sound one comes out does it explain what was read.
const THOUSAND: &str = "the ohmmeter stood on another range, or kilohms were taken for ohms: the ohms are out by a thousand";
/// An ohmmeter that shows nothing.
const PROBES_MISSED: &str = "the ohms reading: the probes missed their terminals or stood on others, for whatever else was read needs a way that conducts";

/// A slip: what it is, and the readings with it taken back.
struct Slip {
    words: &'static str,
    readings: Vec<Compared>,
    /// Density given up for readings that are dropped.
    given_up: f64,
    /// Whether it explains readings of a sound part alone.
    of_sound: bool,
}

/// The slip that explains the readings best, in words; none where no single one does.
pub(super) fn likeliest(
    groups: &[Group],
    readings: &[Compared],
    kernel: &Kernel,
    broad: f64,
) -> Option<&'static str> {
    let slips = slips(readings, kernel)
        .into_iter()
        .map(|slip| (weight(&slip, groups, kernel), slip.words));
    slips
        .filter(|(weight, _)| *weight > broad)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, words)| words)
}

/// Probes that missed, where that is likelier than all conditions together, though
/// one of them would bear the readings with a click that was only fancied.
pub(super) fn contradicted(
    groups: &[Group],
    readings: &[Compared],
    kernel: &Kernel,
    best: f64,
) -> Option<&'static str> {
    let slip = missed(readings, kernel)?;
    (weight(&slip, groups, kernel) > best).then_some(slip.words)
}

fn weight(slip: &Slip, groups: &[Group], kernel: &Kernel) -> f64 {
    let of = |group: &Group| {
        let all = group.specimens.iter();
        let sum: f64 = all
            .map(|one| density(one, &slip.readings, kernel, 1.0))
            .sum();
        group.prior * sum / group.specimens.len().max(1) as f64
    };
    let counts = |group: &&Group| !slip.of_sound || group.condition == "healthy";
    slip.given_up * groups.iter().filter(counts).map(of).sum::<f64>()
}

/// The highest density a reading can have: that of one its model foretold.
fn peak(reading: &Compared, kernel: &Kernel) -> f64 {
    kernel.density(reading.measure, reading.value, reading.value, 1.0)
}

/// An ohmmeter that showed nothing because its probes missed.
fn missed(plain: &[Compared], kernel: &Kernel) -> Option<Slip> {
    let is_open = |r: &Compared| r.measure.is_ohms() && r.value >= OPEN_OHM;
    dropping(plain, kernel, is_open, PROBES_MISSED, MISSED)
}

/// Some readings left out, as ones that would have come out so in any case.
fn dropping(
    plain: &[Compared],
    kernel: &Kernel,
    which: impl Fn(&Compared) -> bool,
    words: &'static str,
    how_often: f64,
) -> Option<Slip> {
    let (dropped, left): (Vec<Compared>, Vec<Compared>) =
        plain.iter().copied().partition(|reading| which(reading));
    if dropped.is_empty() || left.is_empty() {
        return None;
    }
    let foretold: f64 = dropped.iter().map(|r| peak(r, kernel)).product();
    Some(Slip {
        words,
        readings: left,
        given_up: how_often * foretold,
        of_sound: false,
    })
}

fn slips(plain: &[Compared], kernel: &Kernel) -> Vec<Slip> {
    let has = |of| has(plain, of);
    let no_current = plain
        .iter()
        .any(|r| r.measure == Measure::Amps && r.value < NOTHING_A);
    let mut slips = Vec::new();
    let mut add = |words, readings, given_up| {
        slips.push(Slip {
            words,
            readings,
            given_up,
            of_sound: words == THOUSAND,
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
        add(
            words,
            changed(plain, |r| of_amps(r, |r| r.wider = UNZEROED)),
            1.0,
        );
    }
    if plain
        .iter()
        .any(|r| r.measure == Measure::Amps && (MILLIAMPS_A..).contains(&r.value))
    {
        let words = "milliamperes were taken for amperes: look at the meter's range";
        add(
            words,
            changed(plain, |r| of_amps(r, |r| r.value *= 0.001)),
            0.2,
        );
    }
    if has(Measure::Volts) {
        let words = "the volts were taken at the battery, not at the part's own terminals";
        add(
            words,
            changed(plain, |r| {
                if r.measure == Measure::Volts {
                    r.against = Measure::PostVolts;
                }
            }),
            1.0,
        );
    }
    if plain.iter().any(|r| r.measure.is_ohms()) {
        for factor in [1e3, 1e-3] {
            add(
                THOUSAND,
                changed(plain, |r| {
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
                changed(plain, |r| {
                    if r.measure == Measure::Speed {
                        r.value *= factor;
                    }
                }),
                0.3,
            );
        }
    }
    let is_still = |r: &Compared| r.measure == Measure::Speed && r.value == 0.0;
    let words = "the speed: nobody measured it or the ripple was not seen, for by its volts and amperes it turns";
    slips.extend(dropping(plain, kernel, is_still, words, UNMEASURED));
    slips.extend(missed(plain, kernel));
    slips.extend(mixed_up(plain));
    slips.extend(swapped(plain));
    slips
}

/// Millivolts that were written as volts.
fn mixed_up(plain: &[Compared]) -> Option<Slip> {
    let is_millivolts = |r: &Compared| {
        matches!(r.measure, Measure::Volts | Measure::PostVolts)
            && r.value > 0.0
            && r.value <= MILLIVOLTS_V
    };
    if !plain.iter().any(is_millivolts) {
        return None;
    }
    Some(Slip {
        words: "volts and millivolts were mixed up: the volts are out by a thousand",
        readings: changed(plain, |r| {
            if is_millivolts(r) {
                r.value *= 1e3;
            }
        }),
        given_up: 0.2,
        of_sound: false,
    })
}

/// A diode range read with the meter's leads the other way round.
fn swapped(plain: &[Compared]) -> Option<Slip> {
    if !(has(plain, Measure::Forward) && has(plain, Measure::Backward)) {
        return None;
    }
    let readings = changed(plain, |r| {
        r.measure = match r.measure {
            Measure::Forward => Measure::Backward,
            Measure::Backward => Measure::Forward,
            other => other,
        };
        r.against = r.measure;
    });
    Some(Slip {
        words: "the meter's leads were swapped on the diode: red belongs on the anode, the end without the ring",
        readings,
        given_up: 0.3,
        of_sound: false,
    })
}

fn has(plain: &[Compared], of: Measure) -> bool {
    plain.iter().any(|reading| reading.measure == of)
}

/// The readings as a slip would have changed them.
fn changed(plain: &[Compared], change: impl Fn(&mut Compared)) -> Vec<Compared> {
    let mut readings = plain.to_vec();
    readings.iter_mut().for_each(change);
    readings
}

fn of_amps(reading: &mut Compared, change: impl Fn(&mut Compared)) {
    if reading.measure == Measure::Amps {
        change(reading);
    }
}
