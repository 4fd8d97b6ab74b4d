//! Readings taken on the boat narrow what is not known.
//!
//! Each unknown is a normal deviate `z` through its range (0 its median). The
//! likeliest boat minimises `|z|^2 + sum ((reading - shown)/error)^2`, found by
//! Gauss and Newton's steps. Its slopes span the few directions `s` of `z` that
//! the readings tell of. A boat is drawn as the ranges have it across these
//! directions; along them its own likeliest place is sought (Broyden's steps),
//! a place is drawn around it, and the boat is weighed by how likely it is over
//! how often it is drawn so. As many boats are then taken by their weights.
//!
//! # Limits
//! Where readings contradict the ranges few boats carry the weight; how many
//! count is told. Meter errors are normal, as widely spread as one anywhere
//! within the usual limits of a meter (judgement), each reading its own.
//!
//! # Source
//! Bayes' rule by Laplace's approximation and importance weights: textbook.

use super::batch::{Batch, LANES, branch_of};
use super::dense::Split;
use super::questions::{Probe, Watch};
use super::sampling::{Drawing, KEPT, Row, Sampled, in_chunks, solve_lanes};
use super::strata::{figure, hashed, share_below};
use crate::circuit::{Carrier, Circuit, Reading, Taken};
use crate::network::Settings;
use crate::quantities::Band;
use crate::solving::{Role, SolveError};
use crate::tables::meters::{MeterReading, accuracy};
use std::f64::consts::{PI, SQRT_2};
use std::ops::Range;

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
    let setup = batch
        .setups
        .iter()
        .position(|setup| setup.closing.is_empty() && setup.state == reading.state);
    let Some(setup) = setup else {
        return Ok(None);
    };
    let net = &batch.workings.net;
    let amps = |branch: usize| batch.setups[setup].at.point.currents_a[branch].abs();
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
            let most = of
                .map(|(at, _)| at)
                .max_by(|a, b| amps(*a).total_cmp(&amps(*b)));
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
        sd: (limit / 3.0_f64.sqrt()).max(1e-6),
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
    let along = Along::of(&likeliest)?;
    let count = drawing.samples.min(KEPT);
    let new = || Shower::new(batch, watch, takers);
    let draw = |shower: &mut Shower<'_>, boats| shower.drawn(&along, drawing.seed, boats);
    let chunks = in_chunks(drawing.threads, 0..count, &new, &draw);
    let (rows, logs): (Vec<Row>, Vec<f64>) = chunks.into_iter().flatten().unzip();
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = logs.iter().map(|log| (log - most).exp()).collect();
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
            lanes: watch.lanes(batch),
            columns: vec![[0.0; LANES]; watch.columns()],
            batch,
            watch,
            takers,
        }
    }

    fn load(&mut self, boats: &[Vec<f64>], wanted: impl Fn(usize) -> bool + Copy) {
        for lane in 0..LANES {
            let z = &boats[lane.min(boats.len() - 1)];
            let bands = self.batch.unknowns.iter().map(|unknown| &unknown.band);
            let values: Vec<f64> = bands.zip(z).map(|(band, z)| at(band, *z)).collect();
            self.worker.load_only(lane, &values, wanted);
            let resolved = self.worker.resolved();
            self.watch.note(&mut self.lanes, lane, resolved, &values);
        }
    }

    /// What each reading would show in up to eight boats; not a number where a
    /// boat has no operating point.
    fn shown(&mut self, boats: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let takers = self.takers;
        let wanted = |setup| takers.iter().any(|taker| taker.setup == setup);
        self.load(boats, wanted);
        let mut shown = vec![vec![f64::NAN; takers.len()]; boats.len()];
        let lanes = &self.lanes;
        self.worker
            .solve_only(&Settings::study(), wanted, |setup, outcome, solved| {
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
        own + self.missed(shown)
    }

    /// By how much the readings are missed, in squared spreads.
    fn missed(&self, shown: &[f64]) -> f64 {
        let each = self.takers.iter().zip(shown);
        each.map(|(taker, shown)| ((taker.value - shown) / taker.sd).powi(2))
            .sum()
    }

    fn split(&self, slopes: &[Vec<f64>]) -> Option<Split> {
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

    /// Boats drawn as the readings leave them, each with the logarithm of its
    /// weight.
    fn drawn(&mut self, along: &Along, seed: u64, boats: Range<u64>) -> Vec<(Row, f64)> {
        let all: Vec<u64> = boats.collect();
        let mut drawn = Vec::with_capacity(all.len());
        for some in all.chunks(LANES) {
            let mut places: Vec<Place> = some
                .iter()
                .map(|boat| Place::new(along, seed, *boat))
                .collect();
            for _ in 0..SEEKING {
                let z: Vec<Vec<f64>> = places.iter().map(|place| place.z(along)).collect();
                let shown = self.shown(&z);
                for (place, shown) in places.iter_mut().zip(shown) {
                    place.step(self.takers, shown);
                }
            }
            for (place, boat) in places.iter_mut().zip(some) {
                place.settle(self.takers, along, seed, *boat);
            }
            let z: Vec<Vec<f64>> = places.iter().map(|place| place.z(along)).collect();
            drawn.extend(self.weighed(&z, &places));
        }
        drawn
    }

    /// Rows and weights of boats at their final places.
    fn weighed(&mut self, z: &[Vec<f64>], places: &[Place]) -> Vec<(Row, f64)> {
        let shown = self.shown(z);
        self.load(z, |_| true);
        let solved = solve_lanes(&mut self.worker, self.watch, &self.lanes, &mut self.columns);
        let each = z.iter().zip(places).zip(shown).enumerate();
        each.map(|(lane, ((z, place), shown))| {
            let own: f64 = place.s.iter().map(|s| s * s).sum();
            let log = -0.5 * (own + self.missed(&shown)) - place.log_drawn;
            let sound = solved[lane] && log.is_finite();
            let bands = self.batch.unknowns.iter().map(|unknown| &unknown.band);
            let row = Row {
                values: bands.zip(z).map(|(band, z)| at(band, *z)).collect(),
                columns: self.columns.iter().map(|column| column[lane]).collect(),
            };
            (row, if sound { log } else { f64::NEG_INFINITY })
        })
        .collect()
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

/// The directions of the deviates that the readings tell of.
struct Along {
    /// Of length 1 and square to each other.
    directions: Vec<Vec<f64>>,
    /// Slope of each reading along each direction, at the likeliest boat.
    slopes: Vec<Vec<f64>>,
    /// The likeliest boat along them.
    likeliest: Vec<f64>,
    /// How many unknowns there are.
    unknowns: usize,
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

impl Along {
    /// None where no reading tells anything.
    fn of(likeliest: &Likeliest) -> Option<Self> {
        let mut directions: Vec<Vec<f64>> = Vec::new();
        for slopes in &likeliest.slopes {
            let whole = dot(slopes, slopes).sqrt();
            let mut left = slopes.clone();
            // Twice, so that rounding leaves nothing along the others.
            for _ in 0..2 {
                for direction in &directions {
                    let along = dot(&left, direction);
                    for (left, direction) in left.iter_mut().zip(direction) {
                        *left -= along * direction;
                    }
                }
            }
            let length = dot(&left, &left).sqrt();
            if length > 1e-6 * whole {
                directions.push(left.iter().map(|left| left / length).collect());
            }
        }
        if directions.is_empty() {
            return None;
        }
        let along = |z: &Vec<f64>| directions.iter().map(|d| dot(d, z)).collect();
        Some(Self {
            slopes: likeliest.slopes.iter().map(along).collect(),
            likeliest: along(&likeliest.z),
            unknowns: likeliest.z.len(),
            directions,
        })
    }
}

/// A boat on its way to where the readings put it.
struct Place {
    /// Its deviates across the directions.
    across: Vec<f64>,
    /// Its deviates along them.
    s: Vec<f64>,
    /// Slopes of the readings along them, as they were seen on the way.
    slopes: Vec<Vec<f64>>,
    /// Where it stood before, and what it showed there.
    before: Option<(Vec<f64>, Vec<f64>)>,
    /// Logarithm of how densely its place is drawn.
    log_drawn: f64,
}

/// Steps to a boat's own likeliest place.
const SEEKING: usize = 5;

impl Place {
    fn new(along: &Along, seed: u64, boat: u64) -> Self {
        let plain: Vec<f64> = (0..along.unknowns)
            .map(|number| deviate(seed, number, boat))
            .collect();
        let mut across = plain.clone();
        for direction in &along.directions {
            let part = dot(&plain, direction);
            for (across, direction) in across.iter_mut().zip(direction) {
                *across -= part * direction;
            }
        }
        Self {
            across,
            s: along.likeliest.clone(),
            slopes: along.slopes.clone(),
            before: None,
            log_drawn: 0.0,
        }
    }

    fn z(&self, along: &Along) -> Vec<f64> {
        let mut z = self.across.clone();
        for (s, direction) in self.s.iter().zip(&along.directions) {
            for (z, direction) in z.iter_mut().zip(direction) {
                *z += s * direction;
            }
        }
        z.iter().map(|z| z.clamp(-FAR, FAR)).collect()
    }

    /// `I + A^T R^-1 A`, split.
    fn curvature(&self, takers: &[Taker]) -> Option<Split> {
        let count = self.s.len();
        let entry = |i: usize, j: usize| {
            let each = self.slopes.iter().zip(takers);
            let sum: f64 = each.map(|(a, t)| a[i] * a[j] / (t.sd * t.sd)).sum();
            sum + if i == j { 1.0 } else { 0.0 }
        };
        let matrix: Vec<Vec<f64>> = (0..count)
            .map(|i| (0..count).map(|j| entry(i, j)).collect())
            .collect();
        Split::of(&matrix)
    }

    /// One step to where this boat shows the readings best.
    fn step(&mut self, takers: &[Taker], shown: Vec<f64>) {
        if shown.iter().any(|shown| !shown.is_finite()) {
            return;
        }
        self.learn(&shown);
        let pull = |i: usize| {
            let each = takers.iter().zip(&self.slopes).zip(&shown);
            each.map(|((t, a), shown)| a[i] * (t.value - shown) / (t.sd * t.sd))
                .sum::<f64>()
                - self.s[i]
        };
        let right: Vec<f64> = (0..self.s.len()).map(pull).collect();
        let Some(split) = self.curvature(takers) else {
            return;
        };
        let step = split.solve(&right);
        // A step too far for straight lines is shortened.
        let length = dot(&step, &step).sqrt();
        let part = (STRIDE / length).min(1.0);
        let before = self.s.clone();
        for (s, step) in self.s.iter_mut().zip(&step) {
            *s += part * step;
        }
        self.before = Some((before, shown));
    }

    /// Broyden's correction of the slopes by what the last step showed.
    fn learn(&mut self, shown: &[f64]) {
        let Some((before, shown_before)) = &self.before else {
            return;
        };
        let moved: Vec<f64> = self.s.iter().zip(before).map(|(s, b)| s - b).collect();
        let square = dot(&moved, &moved);
        if square < 1e-12 {
            return;
        }
        for (reading, slopes) in self.slopes.iter_mut().enumerate() {
            let missed = shown[reading] - shown_before[reading] - dot(slopes, &moved);
            for (slope, moved) in slopes.iter_mut().zip(&moved) {
                *slope += missed * moved / square;
            }
        }
    }

    /// Draws its final place around the likeliest.
    fn settle(&mut self, takers: &[Taker], along: &Along, seed: u64, boat: u64) {
        let Some(split) = self.curvature(takers) else {
            self.log_drawn = f64::INFINITY;
            return;
        };
        let first = along.unknowns;
        let plain: Vec<f64> = (0..self.s.len())
            .map(|number| deviate(seed, first + number, boat))
            .collect();
        let off = split.spread(&plain);
        for (s, off) in self.s.iter_mut().zip(&off) {
            *s += off;
        }
        self.log_drawn = -0.5 * dot(&plain, &plain) + split.log_root();
    }
}

/// Longest step along the readings' directions, deviates.
const STRIDE: f64 = 1.5;

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
