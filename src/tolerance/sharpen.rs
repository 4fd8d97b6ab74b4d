//! Readings taken on the boat narrow what is not known.
//!
//! Each unknown is a normal deviate `z` through its range (0 its median). The
//! most likely boat minimises `|z|^2 + sum ((reading - shown)/error)^2`, found
//! by Gauss and Newton's steps; around it boats are drawn from the normal
//! distribution that the straightened circuit gives, each is solved as it is,
//! and weighed by how well it shows the readings, which makes good what the
//! straight lines left out. As many boats are then taken by their weights.
//!
//! # Limits
//! Readings that pin the boat down far from straight leave few boats of weight;
//! how many count is told. Meter errors are normal, two of their spreads as wide
//! as the meter's usual limits (judgement), each reading's its own.
//!
//! # Source
//! Bayes' rule by Laplace's approximation and importance weights: textbook.

use super::batch::{Batch, LANES, branch_of};
use super::dense::Split;
use super::questions::{Probe, Watch};
use super::sampling::{Drawing, Row, Sampled, solve_lanes};
use super::strata::{figure, hashed, share_below};
use crate::circuit::{Carrier, Circuit, Reading, Taken};
use crate::network::Settings;
use crate::quantities::Band;
use crate::solving::{Role, SolveError};
use crate::tables::meters::{MeterReading, accuracy};
use std::f64::consts::{PI, SQRT_2};

/// A reading as the study sees it.
pub(super) struct Taker {
    setup: usize,
    probe: Probe,
    value: f64,
    sd: f64,
}

/// What the readings did.
#[derive(Debug, Clone)]
pub(super) struct Sharpened {
    /// Drawn boats as the readings leave them.
    pub sampled: Sampled,
    /// How many boats the readings leave, counted by their weights.
    pub counting: f64,
    /// Each reading against what the rest of the boat would show.
    pub readings: Vec<Against>,
    /// Misfit of the likeliest boat, and what one in a hundred sound boats has.
    pub misfit: (f64, f64),
}

/// A reading against what everything else would show there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Against {
    /// What the rest would show.
    pub expected: f64,
    /// With this spread, the meter's error counted in.
    pub sd: f64,
}

/// Rounds of Gauss and Newton's steps.
const ROUNDS: usize = 12;
/// Deviate by which slopes are taken either side.
const STEP: f64 = 0.25;
/// Deviates beyond which no boat is looked for.
const FAR: f64 = 5.0;

/// Share of the normal distribution below a deviate.
fn normal(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// The value of a range at a deviate.
fn at(band: &Band<f64>, z: f64) -> f64 {
    figure(band, normal(z))
}

/// Readings of a circuit, as many as its states can show.
pub(super) fn takers(batch: &Batch<'_>) -> Result<Vec<Taker>, SolveError> {
    let mut all = Vec::new();
    for reading in &batch.circuit.readings {
        all.extend(taker(batch, batch.circuit, reading)?);
    }
    Ok(all)
}

fn taker(
    batch: &Batch<'_>,
    circuit: &Circuit,
    reading: &Reading,
) -> Result<Option<Taker>, SolveError> {
    let setup = batch.setups.iter().position(|setup| {
        setup.closing.is_empty() && setup.state == reading.state
    });
    let Some(setup) = setup else {
        return Ok(None);
    };
    let net = &batch.workings.net;
    let amps = |branch: usize| {
        batch.setups[setup].at.point.currents_a[branch].abs()
    };
    let probe = match reading.taken {
        Taken::Volts(a, b) | Taken::Millivolts(a, b) => Some(Probe::Volts(a.0, b.0)),
        Taken::Amps(Carrier::Wire(wire)) => branch_of(net, Role::Wire(wire)).map(Probe::Amps),
        Taken::Amps(Carrier::Fuse(fuse)) => branch_of(net, Role::Link(fuse)).map(Probe::Amps),
        Taken::Amps(Carrier::Part(part)) => {
            let of = net.roles.iter().enumerate().filter(|(_, role)| match role {
                Role::Load { part: other, .. }
                | Role::Coil(other)
                | Role::Supply(other)
                | Role::Charger(other)
                | Role::Switch(other, ..)
                | Role::Diode(other) => *other == part,
                _ => false,
            });
            let most = of.map(|(at, _)| at).max_by(|a, b| amps(*a).total_cmp(&amps(*b)));
            most.map(Probe::Amps)
        }
    };
    let meter = match reading.taken {
        Taken::Volts(..) => MeterReading::Volts,
        Taken::Millivolts(..) => MeterReading::Millivolts,
        Taken::Amps(_) if reading.value > 60.0 => MeterReading::LargeClampAmps,
        Taken::Amps(_) => MeterReading::ClampAmps,
    };
    let usual = accuracy(meter)?.value;
    let limit = reading
        .within
        .unwrap_or(usual.share.si() * reading.value + usual.plus);
    debug_assert!(circuit.states.len() > reading.state);
    Ok(probe.map(|probe| Taker {
        setup,
        probe,
        value: reading.value,
        sd: (limit / 2.0).max(1e-6),
    }))
}

/// Draws boats as the readings leave them; none where the circuit shows none.
pub(super) fn sharpened(
    batch: &Batch<'_>,
    watch: &Watch,
    drawing: Drawing,
    takers: &[Taker],
) -> Option<Sharpened> {
    if takers.is_empty() {
        return None;
    }
    let mut shower = Shower::new(batch, watch, takers);
    let likeliest = shower.likeliest()?;
    let (rows, weights) = shower.drawn(&likeliest, drawing);
    let total: f64 = weights.iter().sum();
    if !(total > 0.0 && total.is_finite()) {
        return None;
    }
    let squares: f64 = weights.iter().map(|w| w * w).sum();
    let misfit = likeliest.misfit;
    Some(Sharpened {
        counting: total * total / squares,
        readings: shower.against(&likeliest),
        misfit: (misfit, rare(takers.len())),
        sampled: Sampled {
            kept: taken_by_weight(rows, &weights, total),
            beyond: Vec::new(),
            unsolved: 0,
        },
    })
}

/// Misfit that one in a hundred boats has with so many readings: chi-squared by
/// Wilson and Hilferty's formula (textbook).
fn rare(readings: usize) -> f64 {
    const ONE_IN_A_HUNDRED: f64 = 2.326_35;
    let count = readings as f64;
    let ninth = 2.0 / (9.0 * count);
    count * (1.0 - ninth + ONE_IN_A_HUNDRED * ninth.sqrt()).powi(3)
}

/// As many rows as there are, each as often as its weight asks.
fn taken_by_weight(rows: Vec<Row>, weights: &[f64], total: f64) -> Vec<Row> {
    let count = rows.len();
    let step = total / count as f64;
    let mut taken = Vec::with_capacity(count);
    let mut reached = 0.0;
    for (row, weight) in rows.into_iter().zip(weights) {
        reached += weight;
        while taken.len() < count && (taken.len() as f64 + 0.5) * step <= reached {
            taken.push(row.clone());
        }
    }
    taken
}

/// The likeliest boat and the circuit straightened there.
struct Likeliest {
    z: Vec<f64>,
    shown: Vec<f64>,
    /// Slope of each reading with each deviate.
    slopes: Vec<Vec<f64>>,
    /// `J J^T + R`, split.
    split: Split,
    misfit: f64,
}

struct Shower<'b> {
    batch: &'b Batch<'b>,
    watch: &'b Watch,
    takers: &'b [Taker],
    worker: super::batch::Worker<'b>,
    lanes: super::questions::Lanes,
    columns: Vec<[f64; LANES]>,
}

impl<'b> Shower<'b> {
    fn new(batch: &'b Batch<'b>, watch: &'b Watch, takers: &'b [Taker]) -> Self {
        Self {
            worker: batch.worker(),
            lanes: watch.lanes(&batch.workings.resolved),
            columns: vec![[0.0; LANES]; watch.columns()],
            batch,
            watch,
            takers,
        }
    }

    fn load(&mut self, boats: &[Vec<f64>]) {
        for lane in 0..LANES {
            let z = &boats[lane.min(boats.len() - 1)];
            let bands = self.batch.unknowns.iter().map(|unknown| &unknown.band);
            let values: Vec<f64> = bands.zip(z).map(|(band, z)| at(band, *z)).collect();
            self.worker.load(lane, &values);
            let resolved = self.worker.resolved();
            self.watch.note(&mut self.lanes, lane, resolved);
        }
    }

    /// What each reading would show in up to eight boats; not a number where a
    /// boat has no operating point.
    fn shown(&mut self, boats: &[Vec<f64>]) -> Vec<Vec<f64>> {
        self.load(boats);
        let mut shown = vec![vec![f64::NAN; self.takers.len()]; boats.len()];
        let (takers, lanes) = (self.takers, &self.lanes);
        self.worker
            .solve(&Settings::study(), |setup, outcome, solved| {
                for (number, taker) in takers.iter().enumerate() {
                    if taker.setup != setup {
                        continue;
                    }
                    let read = taker.probe.read(outcome, lanes);
                    for (lane, boat) in shown.iter_mut().enumerate() {
                        if solved[lane] {
                            boat[number] = read[lane];
                        }
                    }
                }
            });
        shown
    }

    fn slopes(&mut self, z: &[f64]) -> Vec<Vec<f64>> {
        let numbers: Vec<usize> = (0..z.len()).collect();
        let mut slopes = vec![vec![0.0; z.len()]; self.takers.len()];
        for some in numbers.chunks(LANES / 2) {
            let either = some.iter().flat_map(|&number| {
                [-STEP, STEP].map(|step| {
                    let mut moved = z.to_vec();
                    moved[number] += step;
                    moved
                })
            });
            let boats: Vec<Vec<f64>> = either.collect();
            let shown = self.shown(&boats);
            for (pair, number) in some.iter().enumerate() {
                for (reading, slopes) in slopes.iter_mut().enumerate() {
                    let rise = shown[2 * pair + 1][reading] - shown[2 * pair][reading];
                    let slope = rise / (2.0 * STEP);
                    slopes[*number] = if slope.is_finite() { slope } else { 0.0 };
                }
            }
        }
        slopes
    }

    /// The misfit of a boat: its own deviates, and the readings it misses.
    fn misfit(&self, z: &[f64], shown: &[f64]) -> f64 {
        let own: f64 = z.iter().map(|z| z * z).sum();
        let missed = self.takers.iter().zip(shown);
        own + missed
            .map(|(taker, shown)| ((taker.value - shown) / taker.sd).powi(2))
            .sum::<f64>()
    }

    fn split(&self, slopes: &[Vec<f64>]) -> Option<Split> {
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let row = |(i, of): (usize, &Vec<f64>)| {
            let mut row: Vec<f64> = slopes.iter().map(|other| dot(of, other)).collect();
            row[i] += self.takers[i].sd.powi(2);
            row
        };
        let matrix: Vec<Vec<f64>> = slopes.iter().enumerate().map(row).collect();
        Split::of(&matrix)
    }

    /// The least misfit, by steps that are halved until they better it.
    fn likeliest(&mut self) -> Option<Likeliest> {
        let mut z = vec![0.0; self.batch.unknowns.len()];
        let mut shown = self.shown(std::slice::from_ref(&z)).pop()?;
        let mut misfit = self.misfit(&z, &shown);
        if !misfit.is_finite() {
            return None;
        }
        for _ in 0..ROUNDS {
            let slopes = self.slopes(&z);
            let aim = self.aim(&z, &shown, &slopes)?;
            let tried = (0..LANES).map(|halving| {
                let part = 0.5_f64.powi(halving as i32);
                let moved = z.iter().zip(&aim).map(|(z, aim)| z + part * (aim - z));
                moved.map(|z| z.clamp(-FAR, FAR)).collect::<Vec<f64>>()
            });
            let boats: Vec<Vec<f64>> = tried.collect();
            let all = self.shown(&boats);
            let misfits: Vec<f64> = boats
                .iter()
                .zip(&all)
                .map(|(z, shown)| self.misfit(z, shown))
                .collect();
            let best = (0..LANES)
                .filter(|at| misfits[*at].is_finite())
                .min_by(|a, b| misfits[*a].total_cmp(&misfits[*b]))?;
            let gain = misfit - misfits[best];
            if gain <= 0.0 {
                break;
            }
            z.clone_from(&boats[best]);
            shown.clone_from(&all[best]);
            misfit = misfits[best];
            if gain < 1e-6 * (1.0 + misfit) {
                break;
            }
        }
        let slopes = self.slopes(&z);
        Some(Likeliest {
            split: self.split(&slopes)?,
            z,
            shown,
            slopes,
            misfit,
        })
    }

    /// Where the straightened circuit has its least misfit.
    fn aim(&self, z: &[f64], shown: &[f64], slopes: &[Vec<f64>]) -> Option<Vec<f64>> {
        let straight = self.takers.iter().enumerate().map(|(reading, taker)| {
            let here: f64 = slopes[reading].iter().zip(z).map(|(s, z)| s * z).sum();
            taker.value - shown[reading] + here
        });
        let right: Vec<f64> = straight.collect();
        let pull = self.split(slopes)?.solve(&right);
        Some(pulled(slopes, &pull))
    }

    /// Boats drawn around the likeliest, with their weights.
    fn drawn(&mut self, likeliest: &Likeliest, drawing: Drawing) -> (Vec<Row>, Vec<f64>) {
        let count = drawing.samples.min(super::sampling::KEPT);
        let (mut rows, mut logs) = (Vec::new(), Vec::new());
        let mut first = 0;
        while first < count {
            let some = (count - first).min(LANES as u64);
            let boats: Vec<(Vec<f64>, f64)> = (first..first + some)
                .map(|boat| self.proposed(likeliest, drawing.seed, boat))
                .collect();
            let z: Vec<Vec<f64>> = boats.iter().map(|(z, _)| z.clone()).collect();
            let shown = self.shown(&z);
            let solved = solve_lanes(
                &mut self.worker,
                self.watch,
                &self.lanes,
                &mut self.columns,
            );
            for (lane, (z, log_drawn)) in boats.into_iter().enumerate() {
                let log = -0.5 * self.misfit(&z, &shown[lane]) - log_drawn;
                let sound = solved[lane] && log.is_finite();
                logs.push(if sound { log } else { f64::NEG_INFINITY });
                let bands = self.batch.unknowns.iter().map(|unknown| &unknown.band);
                rows.push(Row {
                    values: bands.zip(&z).map(|(band, z)| at(band, *z)).collect(),
                    columns: self.columns.iter().map(|column| column[lane]).collect(),
                });
            }
            first += some;
        }
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weights = logs.iter().map(|log| (log - most).exp()).collect();
        (rows, weights)
    }

    /// One boat of the straightened circuit's distribution, and the logarithm
    /// of how densely it is drawn there.
    fn proposed(&self, likeliest: &Likeliest, seed: u64, boat: u64) -> (Vec<f64>, f64) {
        let unknowns = likeliest.z.len();
        let plain: Vec<f64> = (0..unknowns).map(|n| deviate(seed, n, boat)).collect();
        let along = |slopes: &Vec<f64>, z: &[f64]| -> f64 {
            slopes.iter().zip(z).map(|(slope, z)| slope * z).sum()
        };
        let missed: Vec<f64> = self
            .takers
            .iter()
            .enumerate()
            .map(|(reading, taker)| {
                let error = taker.sd * deviate(seed, unknowns + reading, boat);
                error - along(&likeliest.slopes[reading], &plain)
            })
            .collect();
        let pull = likeliest.split.solve(&missed);
        let moved = pulled(&likeliest.slopes, &pull);
        let off: Vec<f64> = plain.iter().zip(&moved).map(|(a, b)| a + b).collect();
        let seen = self.takers.iter().zip(&likeliest.slopes);
        let seen: f64 = seen
            .map(|(taker, slopes)| (along(slopes, &off) / taker.sd).powi(2))
            .sum();
        let own: f64 = off.iter().map(|z| z * z).sum();
        let z = off.iter().zip(&likeliest.z).map(|(off, z)| off + z).collect();
        (z, -0.5 * (own + seen))
    }

    /// Each reading against what the boat would show without it.
    fn against(&self, likeliest: &Likeliest) -> Vec<Against> {
        let count = self.takers.len();
        let straight: Vec<f64> = (0..count)
            .map(|reading| {
                let along = likeliest.slopes[reading].iter().zip(&likeliest.z);
                let here: f64 = along.map(|(slope, z)| slope * z).sum();
                self.takers[reading].value - likeliest.shown[reading] + here
            })
            .collect();
        let whole = likeliest.split.solve(&straight);
        (0..count)
            .map(|reading| {
                // Leaving one out, from the whole: textbook identity of the
                // inverse's diagonal.
                let mut unit = vec![0.0; count];
                unit[reading] = 1.0;
                let diagonal = likeliest.split.solve(&unit)[reading];
                Against {
                    expected: self.takers[reading].value - whole[reading] / diagonal,
                    sd: (1.0 / diagonal).sqrt(),
                }
            })
            .collect()
    }
}

/// `J^T` times something of the readings.
fn pulled(slopes: &[Vec<f64>], pull: &[f64]) -> Vec<f64> {
    let unknowns = slopes.first().map_or(0, Vec::len);
    let of = |number: usize| {
        let each = slopes.iter().zip(pull);
        each.map(|(slopes, pull)| slopes[number] * pull).sum()
    };
    (0..unknowns).map(of).collect()
}

/// A normal deviate of a seed, axis and boat (Box and Muller's formula, textbook).
fn deviate(seed: u64, axis: usize, boat: u64) -> f64 {
    let radius = (-2.0 * hashed(seed, 2 * axis, boat).ln()).sqrt();
    radius * (2.0 * PI * hashed(seed, 2 * axis + 1, boat)).cos()
}

/// A range as the readings leave it, beside what it was: shares of the old
/// probability below the new one's ends.
pub(super) fn narrowed(band: &Band<f64>, low: f64, high: f64) -> f64 {
    share_below(band, high) - share_below(band, low)
}
