//! What the owner's readings told: what they narrow, and where they contradict
//! the drawing or each other.

use super::batch::Batch;
use super::sharpen::Sharpened;
use super::strata::{Triangle, share_below};
use crate::circuit::{Circuit, Reading};
use crate::findings::{Finding, code};
use crate::quantities::{Dimension, print_in};

/// What the readings of a file did.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// Each against what the rest of the boat would show, in file order.
    pub checked: Vec<Checked>,
    /// What they narrow, the most narrowed first; nothing where they contradict.
    pub narrowed: Vec<Narrowed>,
    /// How many drawn boats fit them, counted by their weights.
    pub counting: f64,
    /// Whether no boat of the ranges shows them all within their errors; they are
    /// then set aside, and boats drawn as though nothing had been read.
    pub contradict: bool,
}

/// A reading against what everything else would show there.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// Its number among the readings of the file, counted from 0.
    pub number: usize,
    /// Where it was taken.
    pub at: String,
    /// State.
    pub state: String,
    /// Volts or amperes.
    pub dimension: Dimension,
    /// What was read.
    pub value: f64,
    /// What the rest of the boat would show: with 95 in 100 between.
    pub expected: (f64, f64),
    /// How many spreads it is off.
    pub off: f64,
}

/// An unknown before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct Narrowed {
    /// Part, fuse or wire.
    pub subject: String,
    /// What it is.
    pub what: &'static str,
    /// Its dimension.
    pub dimension: Option<Dimension>,
    /// 5 and 95 percent before.
    pub before: (f64, f64),
    /// 5, 50 and 95 percent after.
    pub after: (f64, f64, f64),
    /// The typical value before.
    pub typical: f64,
}

/// Share of its old probability an unknown must be held to, to be told.
const TOLD: f64 = 0.7;
/// Most unknowns told.
const MOST: usize = 10;
/// Spreads from which a reading does not fit the rest: one in 370 by chance.
const ODD: f64 = 3.0;
/// Boats of weight below which ranges are coarse.
const FEW: f64 = 200.0;

impl Readings {
    pub(super) fn of(batch: &Batch<'_>, sharpened: &Sharpened) -> Self {
        let circuit = batch.circuit;
        let checked = sharpened.readings.iter().map(|against| {
            let reading = &circuit.readings[against.reading];
            let reach = 1.96 * against.sd;
            Checked {
                number: against.reading,
                at: reading.at.clone(),
                state: circuit.states[reading.state].name.clone(),
                dimension: dimension(reading),
                value: reading.value,
                expected: (against.expected - reach, against.expected + reach),
                off: (reading.value - against.expected) / against.sd,
            }
        });
        let checked: Vec<Checked> = checked.collect();
        let (misfit, rare) = sharpened.misfit;
        let contradict = misfit > rare || checked.iter().any(Checked::is_odd);
        Self {
            narrowed: if contradict {
                Vec::new()
            } else {
                all_narrowed(batch, sharpened)
            },
            checked,
            counting: sharpened.counting,
            contradict,
        }
    }
}

impl Checked {
    /// Whether it does not fit the rest.
    fn is_odd(&self) -> bool {
        self.off.abs() > ODD
    }
}

const fn dimension(reading: &Reading) -> Dimension {
    if reading.taken.is_volts() {
        Dimension::Voltage
    } else {
        Dimension::Current
    }
}

fn all_narrowed(batch: &Batch<'_>, sharpened: &Sharpened) -> Vec<Narrowed> {
    let mut all: Vec<(f64, Narrowed)> = Vec::new();
    for (number, unknown) in batch.unknowns.iter().enumerate() {
        let [low, middle, high] = sharpened.sampled.unknown(number);
        // Of nine tenths of its probability before.
        let held = share_below(&unknown.band, high) - share_below(&unknown.band, low);
        let left = held / 0.9;
        let before = |share| unknown.shown(Triangle::new(unknown.band).figure(share));
        if left < TOLD {
            let narrowed = Narrowed {
                subject: unknown.subject.clone(),
                what: unknown.what,
                dimension: unknown.shown_in(),
                before: (before(0.05), before(0.95)),
                typical: unknown.shown(unknown.band.typical),
                after: (
                    unknown.shown(low),
                    unknown.shown(middle),
                    unknown.shown(high),
                ),
            };
            all.push((left, narrowed));
        }
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.truncate(MOST);
    all.into_iter().map(|(_, narrowed)| narrowed).collect()
}

/// What is to be said of the readings.
pub(super) fn findings(circuit: &Circuit, readings: Option<&Readings>) -> Vec<Finding> {
    let Some(readings) = readings else {
        return not_used(circuit, &[]).collect();
    };
    let mut all = Vec::new();
    let worst = readings
        .checked
        .iter()
        .map(|checked| checked.off.abs())
        .fold(0.0, f64::max);
    for checked in &readings.checked {
        let leads = readings.contradict && checked.off.abs() >= worst;
        if checked.is_odd() || leads {
            all.push(contradicts(&circuit.readings[checked.number], checked));
        }
    }
    all.extend(not_used(circuit, &readings.checked));
    if readings.counting < FEW && !readings.contradict {
        let statement = format!(
            "the readings leave few of the drawn boats: about {:.0} count, so ranges are coarse",
            readings.counting
        );
        all.push(
            Finding::new(code("readings-leave-few"), "", statement)
                .with_hint("draw more boats with `--samples 8192`"),
        );
    }
    all
}

/// Readings that no study can take.
fn not_used<'a>(circuit: &'a Circuit, used: &'a [Checked]) -> impl Iterator<Item = Finding> + 'a {
    let each = circuit.readings.iter().enumerate();
    let left = each.filter(|(number, _)| {
        let mut used = used.iter();
        !used.any(|checked| checked.number == *number)
    });
    left.map(|(_, reading)| {
        let statement = format!("the reading at `{}` is not used", reading.at);
        Finding::new(code("reading-not-used"), &reading.at, statement)
            .in_state(&circuit.states[reading.state].name)
            .with_label(reading.span, "this reading")
            .with_hint("name a fuse, a wire or a load that the same current goes through")
    })
}

fn contradicts(reading: &Reading, checked: &Checked) -> Finding {
    let shown = |value: f64| print_in(checked.dimension, value.max(0.0));
    let (low, high) = checked.expected;
    let statement = format!(
        "{} at `{}` does not fit: by the drawing and the other readings it would be {} to {}",
        shown(checked.value),
        checked.at,
        shown(low),
        shown(high)
    );
    let unit = if checked.dimension == Dimension::Voltage {
        "V"
    } else {
        "A"
    };
    let limit = if checked.off > 0.0 { high } else { low };
    Finding::new(code("reading-contradicts"), &checked.at, statement)
        .in_state(&checked.state)
        .with_measure(checked.value, Some(limit), unit)
        .with_label(reading.span, "this reading")
        .with_hint("take it again, and look whether the state, the meter's leads and the drawing are as written; a fault shows like this too: `ampkeel trace` looks for it")
}
