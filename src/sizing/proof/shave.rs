//! Sizes that no lighter choice can have, taken away.
//!
//! Any prices on the limits give a bound that falls apart into the wires:
//! copper is at least the sum over the wires of the least of copper plus priced
//! volts, less the priced limits. A size whose own priced copper lifts that sum
//! to the answer's or above is in no lighter choice; nor is one that breaks a
//! limit with all other wires at their thickest.

use super::envelope::Domain;
use crate::sizing::frontier::Option3;
use crate::sizing::problem::Limit;

/// Copper too little to count, relative.
pub(super) const NOTHING: f64 = 1e-9;

/// Limits with their prices, by wire.
pub(super) struct Priced<'a> {
    /// Options of every wire.
    pub options: &'a [Vec<Option3>],
    /// The limits.
    pub limits: &'a [Limit],
    /// Limits each wire counts in, with its amperes.
    pub columns: Vec<Vec<(usize, f64)>>,
    /// Least ohms of each wire, by kind.
    least_ohm: Vec<[f64; 2]>,
    /// Copper below which no choice lies at these prices, kg.
    pub bound_kg: f64,
    /// Of each wire and option: how far its priced copper lies above the
    /// wire's least, kg.
    pub above_kg: Vec<Vec<f64>>,
}

impl<'a> Priced<'a> {
    /// Limits with some prices, kg per volt, zero or more.
    pub(super) fn new(
        options: &'a [Vec<Option3>],
        limits: &'a [Limit],
        prices: &[f64],
    ) -> Self {
        let mut columns: Vec<Vec<(usize, f64)>> = vec![Vec::new(); options.len()];
        for (at, limit) in limits.iter().enumerate() {
            for (wire, amps) in &limit.amps {
                columns[*wire].push((at, *amps));
            }
        }
        let mut bound_kg = 0.0;
        for (limit, price) in limits.iter().zip(prices) {
            bound_kg -= price * limit.most_v;
        }
        let mut above_kg = Vec::with_capacity(options.len());
        for (of, column) in options.iter().zip(&columns) {
            let priced = of.iter().map(|option| {
                let volts = column.iter().map(|(limit, amps)| {
                    prices[*limit] * amps * option.ohm[limits[*limit].ohms as usize]
                });
                option.kg + volts.sum::<f64>()
            });
            let priced: Vec<f64> = priced.collect();
            let least = priced.iter().copied().fold(f64::INFINITY, f64::min);
            bound_kg += least;
            above_kg.push(priced.iter().map(|kg| kg - least).collect());
        }
        let least = |of: &Vec<Option3>| {
            [0, 1].map(|kind| of.iter().map(|o| o.ohm[kind]).fold(f64::INFINITY, f64::min))
        };
        Self {
            least_ohm: options.iter().map(least).collect(),
            options,
            limits,
            columns,
            bound_kg,
            above_kg,
        }
    }

    /// Least volts of every limit, all wires at their thickest.
    pub(super) fn least_v(&self) -> Vec<f64> {
        let of = |limit: &Limit| {
            let volts = limit.amps.iter().map(|(wire, amps)| amps * self.least_ohm(*wire, limit));
            volts.sum::<f64>()
        };
        self.limits.iter().map(of).collect()
    }

    /// The least ohms a wire can have for a limit.
    pub(super) fn least_ohm(&self, wire: usize, limit: &Limit) -> f64 {
        self.least_ohm[wire][limit.ohms as usize]
    }

    /// Takes away what no choice below `most_kg` can have; whether anything was.
    pub(super) fn shave(&self, domain: &mut Domain, most_kg: f64) -> bool {
        let least_v = self.least_v();
        let mut shaved = false;
        for (wire, places) in domain.iter_mut().enumerate() {
            let before = places.len();
            let options = self.options[wire].iter().zip(&self.above_kg[wire]);
            let kept: Vec<usize> = options
                .filter(|(option, above_kg)| {
                    self.bound_kg + *above_kg < most_kg && self.fits(wire, option, &least_v)
                })
                .map(|(option, _)| option.choice)
                .collect();
            *places = kept;
            shaved |= places.len() < before;
        }
        shaved
    }

    fn fits(&self, wire: usize, option: &Option3, least_v: &[f64]) -> bool {
        self.columns[wire].iter().all(|(at, amps)| {
            let limit = &self.limits[*at];
            let more_ohm = option.ohm[limit.ohms as usize] - self.least_ohm(wire, limit);
            let volts = least_v[*at] + amps * more_ohm;
            volts <= limit.most_v + NOTHING * limit.most_v.abs()
        })
    }
}
