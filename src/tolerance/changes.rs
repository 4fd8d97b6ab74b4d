//! Which branches the unknowns change, and which setups have them alike.
//!
//! A wire has the same figures in every state; a load may be on in one alone. What is
//! alike is worked out and checked once for all setups that have it.
//!
//! # Limits
//! Seen at both ends of every range, one at a time. A state changes a branch by its
//! switches, conditions, ripple and duties alone, never by a product with an unknown
//! that both ends of its range would hide.

use super::batch::Setup;
use crate::solving::Setting;

/// What was seen of every branch of every setup.
pub(super) struct Changes {
    /// Settings at the typical figures, by setup and branch.
    typical: Vec<Vec<Setting>>,
    /// Whether any unknown changes them.
    changing: Vec<Vec<bool>>,
    /// The first setup that had the same all along.
    first: Vec<Vec<usize>>,
}

impl Changes {
    pub(super) fn at(typical: Vec<Vec<Setting>>) -> Self {
        let branches = typical.first().map_or(0, Vec::len);
        let mut found = Self {
            changing: vec![vec![false; branches]; typical.len()],
            first: vec![vec![0; branches]; typical.len()],
            typical: Vec::new(),
        };
        found.part(&typical);
        found.typical = typical;
        found
    }

    /// Takes in the settings with some unknown elsewhere.
    pub(super) fn see(&mut self, now: &[Vec<Setting>]) {
        for (setup, settings) in now.iter().enumerate() {
            let was = settings.iter().zip(&self.typical[setup]);
            for ((now, was), changing) in was.zip(&mut self.changing[setup]) {
                *changing |= now != was;
            }
        }
        self.part(now);
    }

    /// Parts those that were alike until now.
    fn part(&mut self, now: &[Vec<Setting>]) {
        let branches = now.first().map_or(0, Vec::len);
        for branch in 0..branches {
            let before: Vec<usize> = self.first.iter().map(|of| of[branch]).collect();
            for setup in 0..now.len() {
                let same = |earlier: &usize| {
                    before[*earlier] == before[setup] && now[*earlier][branch] == now[setup][branch]
                };
                self.first[setup][branch] = (0..setup).find(same).unwrap_or(setup);
            }
        }
    }

    /// Tells each setup what it has of its own, and what it has of an earlier one.
    pub(super) fn share_out(self, setups: &mut [Setup]) {
        for (number, setup) in setups.iter_mut().enumerate() {
            for (branch, first) in self.first[number].iter().enumerate() {
                if !self.changing[number][branch] {
                    continue;
                }
                if *first == number {
                    setup.own.push(branch);
                    continue;
                }
                match setup.alike.iter_mut().find(|(earlier, _)| earlier == first) {
                    Some((_, branches)) => branches.push(branch),
                    None => setup.alike.push((*first, vec![branch])),
                }
            }
        }
        for number in 0..setups.len() {
            let earlier: Vec<usize> = setups[number].alike.iter().map(|of| of.0).collect();
            for lender in earlier {
                setups[lender].lends_to.push(number);
            }
        }
    }
}
