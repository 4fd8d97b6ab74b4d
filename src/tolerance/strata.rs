//! Draws that fill every range evenly: as many strata as samples, each hit once.
//!
//! Latin hypercube sampling: an axis is cut into as many strata of the same
//! probability as there are samples, and a permutation of its own says which
//! sample takes which. What adds up axis by axis, as nearly all of a circuit's
//! volts do, is then found with far fewer samples than by plain drawing, in any
//! number of axes. A draw is a function of seed, axis and sample alone, so no
//! split into threads changes a bit.
//!
//! # Source
//! Latin hypercube sampling: textbook statistics. The permutations are
//! multiply-and-shift bijections on the next power of two, walked until they
//! fall inside (cycle walking, textbook).

use crate::quantities::Band;

/// One axis of the draws.
#[derive(Debug, Clone, Copy)]
pub(super) struct Axis {
    key: u64,
}

/// How many samples are drawn, as the permutations need it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strata {
    count: u64,
    bits: u32,
}

/// Spreads a number over all bits (the finaliser of a common 64-bit mixer).
const fn mixed(x: u64) -> u64 {
    let x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

/// Step between keys: odd, so that every axis gets another.
const STEP: u64 = 0x9e37_79b9_7f4a_7c15;

/// A number between 0 and 1, of a seed, an axis and a sample alone.
pub(super) fn hashed(seed: u64, axis: usize, sample: u64) -> f64 {
    let key = Axis::new(seed, axis).key;
    let bits = mixed(key ^ mixed(sample.wrapping_add(STEP))) >> 11;
    (bits as f64 + 0.5) / (1_u64 << 53) as f64
}

impl Strata {
    /// For so many samples.
    pub(super) fn new(count: u64) -> Self {
        let count = count.max(1);
        let bits = 64 - (count - 1).leading_zeros();
        Self {
            count,
            bits: bits.max(2),
        }
    }
}

impl Axis {
    /// An axis of a seeded study.
    pub(super) fn new(seed: u64, number: usize) -> Self {
        let number = (number as u64).wrapping_add(1).wrapping_mul(STEP);
        Self {
            key: mixed(mixed(seed) ^ number),
        }
    }

    /// Where a sample lies on this axis, above 0 and below 1: the share of the
    /// probability below it.
    #[inline]
    pub(super) fn share(self, sample: u64, strata: Strata) -> f64 {
        let mut stratum = self.moved(sample, strata.bits);
        while stratum >= strata.count {
            stratum = self.moved(stratum, strata.bits);
        }
        let within = mixed(self.key ^ sample.wrapping_mul(STEP)) >> 11;
        let within = (within as f64 + 0.5) / (1_u64 << 53) as f64;
        (stratum as f64 + within) / strata.count as f64
    }

    /// A bijection on numbers of so many bits.
    #[inline]
    fn moved(self, x: u64, bits: u32) -> u64 {
        let mask = (1_u64 << bits) - 1;
        let half = bits.div_ceil(2);
        let odd = |key: u64| key | 1;
        let mut x = (x ^ self.key) & mask;
        for turn in [17, 29, 41] {
            x = x.wrapping_mul(odd(self.key >> turn)) & mask;
            x ^= x >> half;
            x = x.wrapping_add(self.key >> (turn / 2)) & mask;
        }
        x
    }
}

/// A range as it is drawn from: triangular, its peak at the typical figure, as
/// everywhere in the project.
#[derive(Debug, Clone, Copy)]
pub(super) struct Triangle {
    band: Band<f64>,
    width: f64,
    /// Share of the probability below the peak.
    peak: f64,
}

impl Triangle {
    pub(super) fn new(band: Band<f64>) -> Self {
        let width = band.high - band.low;
        let peak = (band.typical - band.low) / width;
        Self { band, width, peak }
    }

    /// The figure with so much of the probability below it.
    #[inline]
    pub(super) fn figure(&self, share: f64) -> f64 {
        if self.width <= 0.0 {
            self.band.typical
        } else if share < self.peak {
            self.band.low + self.width * (share * self.peak).sqrt()
        } else {
            self.band.high - self.width * ((1.0 - share) * (1.0 - self.peak)).sqrt()
        }
    }
}

/// The share of the probability below a figure: the reverse of [`Triangle::figure`].
pub(super) fn share_below(band: &Band<f64>, value: f64) -> f64 {
    let width = band.high - band.low;
    if width <= 0.0 {
        return 0.5;
    }
    let (up, down) = (band.typical - band.low, band.high - band.typical);
    if value <= band.low {
        0.0
    } else if value >= band.high {
        1.0
    } else if value < band.typical {
        (value - band.low).powi(2) / (width * up)
    } else {
        1.0 - (band.high - value).powi(2) / (width * down)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_stratum_is_hit_once_whatever_the_count() {
        for count in [1, 2, 7, 64, 1000, 4096] {
            let strata = Strata::new(count);
            let axis = Axis::new(9, 3);
            let mut hit = vec![false; count as usize];
            for sample in 0..count {
                let at = (axis.share(sample, strata) * count as f64) as usize;
                assert!(!hit[at], "{count}: stratum {at} twice");
                hit[at] = true;
            }
        }
    }

    #[test]
    fn axes_are_not_alike() {
        // Of 200 pairs of 4096 samples a correlation has a spread of 1/64;
        // five spreads are passed once in two million.
        let count = 4096;
        let strata = Strata::new(count);
        let column = |number| {
            let axis = Axis::new(1, number);
            (0..count)
                .map(|sample| axis.share(sample, strata) - 0.5)
                .collect::<Vec<f64>>()
        };
        let columns: Vec<Vec<f64>> = (0..21).map(column).collect();
        for a in 0..columns.len() {
            for b in 0..a {
                let products = columns[a].iter().zip(&columns[b]).map(|(a, b)| a * b);
                let correlation = 12.0 * products.sum::<f64>() / count as f64;
                assert!(correlation.abs() < 5.0 / 64.0, "{a} {b}: {correlation}");
            }
        }
    }

    #[test]
    fn figure_and_share_undo_each_other() {
        let band = Band {
            low: 1.0,
            typical: 2.0,
            high: 7.0,
        };
        for share in [0.01, 0.1, 0.166, 0.5, 0.93] {
            let back = share_below(&band, Triangle::new(band).figure(share));
            assert!((back - share).abs() < 1e-12, "{share} gave {back}");
        }
    }
}
