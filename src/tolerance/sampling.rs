//! All samples drawn, solved and counted, on any number of threads.
//!
//! Samples are taken in chunks. The first ones are kept whole, in order; what comes
//! beyond is counted in histograms, whose counts add up to the same in any order,
//! so the answer has the same bits for any thread count.

use super::batch::{Batch, LANES};
use super::eight::Eight;
use super::questions::Watch;
use super::strata::{Axis, Strata, Triangle};
use std::ops::Range;

/// Samples kept whole.
pub(super) const KEPT: u64 = 8192;
/// Samples a thread takes at a time.
const CHUNK: u64 = 512;
/// Classes of a histogram.
const CLASSES: usize = 2048;

/// How circuits are drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Drawing {
    /// How many.
    pub samples: u64,
    /// Start of all random numbers.
    pub seed: u64,
    /// Threads to use.
    pub threads: usize,
}

/// What the samples showed, by column.
#[derive(Debug, Clone)]
pub(super) struct Sampled {
    /// Rows of the samples kept: every unknown, and every column.
    pub kept: Vec<Row>,
    /// Of all samples, by column; empty where all are kept.
    pub beyond: Vec<Histogram>,
    /// Samples without an operating point in some state.
    pub unsolved: u64,
}

impl Sampled {
    /// 5, 50 and 95 percent of an unknown over the samples kept.
    pub(super) fn unknown(&self, number: usize) -> [f64; 3] {
        let mut values: Vec<f64> = self.kept.iter().map(|row| row.values[number]).collect();
        values.sort_by(f64::total_cmp);
        [0.05, 0.5, 0.95].map(|share| {
            let place = (share * values.len() as f64) as usize;
            values.get(place).copied().unwrap_or(f64::NAN)
        })
    }
}

/// One sample.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// The value of every unknown.
    pub values: Vec<f64>,
    /// Every column; not a number where its state has no operating point.
    pub columns: Vec<f64>,
}

/// Counts of a column between two ends.
#[derive(Debug, Clone, Default)]
pub(super) struct Histogram {
    low: f64,
    width: f64,
    /// Classes a unit, the reciprocal of the width.
    per_unit: f64,
    /// None of a column that is only held against nought.
    counts: Vec<u32>,
    /// How many lie above nought.
    pub above_nought: u64,
    /// How many were counted.
    pub counted: u64,
}

impl Histogram {
    /// Between the ends of what was kept, and half as far again either side.
    fn around(column: impl Iterator<Item = f64> + Clone) -> Self {
        let sound = column.filter(|value| value.is_finite());
        let low = sound.clone().fold(f64::INFINITY, f64::min);
        let high = sound.fold(f64::NEG_INFINITY, f64::max);
        let reach = if high > low { high - low } else { 0.0 };
        let width = (2.0 * reach / CLASSES as f64).max(f64::MIN_POSITIVE);
        Self {
            low: low - 0.5 * reach,
            width,
            per_unit: 1.0 / width,
            counts: vec![0; CLASSES],
            above_nought: 0,
            counted: 0,
        }
    }

    /// Of a column of which only what lies above nought is asked for.
    fn without_classes() -> Self {
        Self::default()
    }

    fn empty_like(&self) -> Self {
        Self {
            counts: vec![0; self.counts.len()],
            above_nought: 0,
            counted: 0,
            ..*self
        }
    }

    #[inline]
    fn count(&mut self, value: f64) {
        if !value.is_finite() {
            return;
        }
        if let Some(last) = self.counts.len().checked_sub(1) {
            let class = ((value - self.low) * self.per_unit) as usize;
            self.counts[class.min(last)] += 1;
        }
        self.above_nought += u64::from(value > 0.0);
        self.counted += 1;
    }

    fn join(&mut self, other: &Self) {
        for (mine, more) in self.counts.iter_mut().zip(&other.counts) {
            *mine += more;
        }
        self.above_nought += other.above_nought;
        self.counted += other.counted;
    }

    /// The value with so much of the samples below it.
    pub(super) fn percentile(&self, share: f64) -> f64 {
        let wanted = share * self.counted as f64;
        let mut below = 0.0;
        for (class, count) in self.counts.iter().enumerate() {
            let here = f64::from(*count);
            if below + here >= wanted && here > 0.0 {
                let within = (wanted - below) / here;
                return self.low + self.width * (class as f64 + within);
            }
            below += here;
        }
        self.low + self.width * self.counts.len() as f64
    }
}

/// Draws, solves and counts.
pub(super) fn sampled(batch: &Batch<'_>, watch: &Watch, drawing: Drawing) -> Sampled {
    let kept_count = drawing.samples.min(KEPT);
    let mut sampled = Sampled {
        kept: Vec::new(),
        beyond: Vec::new(),
        unsolved: 0,
    };
    let keep = |taker: &mut Taker<'_>, samples| taker.rows(samples);
    let taker = || Taker::new(batch, watch, drawing);
    for (rows, unsolved) in in_chunks(drawing.threads, 0..kept_count, &taker, &keep) {
        sampled.kept.extend(rows);
        sampled.unsolved += unsolved;
    }
    if drawing.samples > kept_count {
        let column = |at: usize| sampled.kept.iter().map(move |row| row.columns[at]);
        let histogram = |at: usize| {
            if watch.is_miss(at) {
                Histogram::without_classes()
            } else {
                Histogram::around(column(at))
            }
        };
        let mut all: Vec<Histogram> = (0..watch.columns()).map(histogram).collect();
        for (histogram, at) in all.iter_mut().zip(0..) {
            column(at).for_each(|value| histogram.count(value));
        }
        let blank: Vec<Histogram> = all.iter().map(Histogram::empty_like).collect();
        let count = |chunks: &mut dyn Iterator<Item = Range<u64>>| {
            let (mut taker, mut counts) = (taker(), blank.clone());
            let unsolved = chunks.map(|samples| taker.count(samples, &mut counts));
            let unsolved: u64 = unsolved.sum();
            (counts, unsolved)
        };
        let rest = kept_count..drawing.samples;
        for (counts, unsolved) in on_threads(drawing.threads, rest, &count) {
            for (mine, more) in all.iter_mut().zip(&counts) {
                mine.join(more);
            }
            sampled.unsolved += unsolved;
        }
        sampled.beyond = all;
    }
    sampled
}

/// Works on every chunk of a range, on all threads; results in order. Each
/// thread has a worker of its own.
pub(super) fn in_chunks<W, T: Send>(
    threads: usize,
    samples: Range<u64>,
    worker: &(impl Fn() -> W + Sync),
    work: &(impl Fn(&mut W, Range<u64>) -> T + Sync),
) -> Vec<T> {
    let by_thread = on_threads(threads, samples, &|chunks| {
        let mut worker = worker();
        chunks
            .map(|samples| work(&mut worker, samples))
            .collect::<Vec<T>>()
    });
    let mut by_thread: Vec<_> = by_thread.into_iter().map(Vec::into_iter).collect();
    let mut all = Vec::new();
    // Chunks were dealt out in turn, so the first thread to run out had the last.
    'dealt: loop {
        for one in &mut by_thread {
            let Some(next) = one.next() else { break 'dealt };
            all.push(next);
        }
    }
    all
}

/// Deals the chunks of a range out to threads in turn; what each made of its own.
fn on_threads<T: Send>(
    threads: usize,
    samples: Range<u64>,
    work: &(impl Fn(&mut dyn Iterator<Item = Range<u64>>) -> T + Sync),
) -> Vec<T> {
    let chunks = (samples.end - samples.start).div_ceil(CHUNK);
    let threads = (threads.clamp(1, 64) as u64).min(chunks.max(1));
    let chunk = |number: u64| {
        let start = samples.start + number * CHUNK;
        start..(start + CHUNK).min(samples.end)
    };
    let one = |first: u64| work(&mut (first..chunks).step_by(threads as usize).map(chunk));
    std::thread::scope(|scope| {
        let started: Vec<_> = (0..threads)
            .map(|first| scope.spawn(move || one(first)))
            .collect();
        let joined = started.into_iter().map(std::thread::ScopedJoinHandle::join);
        // A broken thread breaks the study: half an answer would pass for one.
        joined
            .map(|made| made.unwrap_or_else(|why| std::panic::resume_unwind(why)))
            .collect()
    })
}

/// Takes samples one group of lanes after the other.
struct Taker<'b> {
    eight: Eight<'b>,
    axes: Vec<(Axis, Triangle)>,
    strata: Strata,
    values: Vec<Vec<f64>>,
}

impl<'b> Taker<'b> {
    fn new(batch: &'b Batch<'b>, watch: &'b Watch, drawing: Drawing) -> Self {
        let axes = batch.unknowns.iter().enumerate();
        let axes = axes.map(|(number, unknown)| {
            let axis = Axis::new(drawing.seed, number);
            (axis, Triangle::new(unknown.band))
        });
        Self {
            eight: Eight::new(batch, watch),
            axes: axes.collect(),
            strata: Strata::new(drawing.samples),
            values: vec![vec![0.0; batch.unknowns.len()]; LANES],
        }
    }

    /// Draws and solves the group that starts at a sample; true for each lane
    /// with an operating point in every state.
    fn group(&mut self, first: u64, count: usize) -> [bool; LANES] {
        for (sample, values) in (first..).zip(&mut self.values[..count]) {
            for (value, (axis, range)) in values.iter_mut().zip(&self.axes) {
                *value = range.figure(axis.share(sample, self.strata));
            }
        }
        self.eight.solved(&self.values[..count])
    }

    /// Every group of a range, with how many samples it has and which are solved.
    fn groups(&mut self, samples: Range<u64>, mut see: impl FnMut(&Self, usize, [bool; LANES])) {
        let mut first = samples.start;
        while first < samples.end {
            let count = (samples.end - first).min(LANES as u64) as usize;
            let solved = self.group(first, count);
            see(self, count, solved);
            first += count as u64;
        }
    }

    fn rows(&mut self, samples: Range<u64>) -> (Vec<Row>, u64) {
        let (mut rows, mut unsolved) = (Vec::new(), 0);
        self.groups(samples, |taker, count, solved| {
            unsolved += missing(&solved[..count]);
            rows.extend((0..count).map(|lane| Row {
                values: taker.values[lane].clone(),
                columns: taker.eight.row(lane),
            }));
        });
        (rows, unsolved)
    }

    /// Counts every column of a range; how many had no operating point. A histogram
    /// takes its group at once: all of them together pass the near caches.
    fn count(&mut self, samples: Range<u64>, counts: &mut [Histogram]) -> u64 {
        let mut unsolved = 0;
        self.groups(samples, |taker, count, solved| {
            unsolved += missing(&solved[..count]);
            for (histogram, column) in counts.iter_mut().zip(&taker.eight.columns) {
                column[..count]
                    .iter()
                    .for_each(|value| histogram.count(*value));
            }
        });
        unsolved
    }
}

/// How many have no operating point.
fn missing(solved: &[bool]) -> u64 {
    solved.iter().filter(|solved| !**solved).count() as u64
}
