//! What tests and readings would show, kept from answer to answer.
//!
//! A suspect shows the same whatever was found since, as long as the complaint
//! and what was told stay: a later answer simulates only what it asks anew.

use super::evidence::{Evidence, Figure};
use super::weighing::{Item, Outcomes, Trial};
use crate::quantities::Band;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// What was simulated for one complaint.
#[derive(Debug, Default)]
pub(super) struct Memory {
    told: Option<Evidence>,
    /// What was told, weighed for so many suspects.
    items: Mutex<(usize, Vec<Item>)>,
    trials: Kept<Trial, Vec<f64>>,
    figures: Kept<Figure, f64>,
}

impl Memory {
    /// Forgets everything where more than tests and readings differs from last time.
    pub(super) fn begin(&mut self, evidence: &Evidence) {
        let told = Evidence {
            tests: Vec::new(),
            figures: Vec::new(),
            ..evidence.clone()
        };
        if self.told.as_ref() != Some(&told) {
            *self = Self {
                told: Some(told),
                ..Self::default()
            };
        }
    }

    /// What was told, held against every suspect; `work` weighs it where it is not known
    /// for so many of them.
    pub(super) fn items(&self, suspects: usize, work: impl FnOnce() -> Vec<Item>) -> Vec<Item> {
        let mut known = self.items.lock().unwrap_or_else(PoisonError::into_inner);
        if known.0 != suspects {
            *known = (suspects, work());
        }
        known.1.clone()
    }

    /// What a test would show under each of `live`; `work` shows those that are new.
    pub(super) fn outcomes(
        &self,
        trial: &Trial,
        live: &[usize],
        work: impl FnOnce(&[usize]) -> Outcomes,
    ) -> Outcomes {
        let mut words = Vec::new();
        let odds = self.trials.ask(trial, live, |new| {
            let found = work(new);
            words = found.words;
            found.odds
        });
        Outcomes { words, odds }
    }

    /// What would be read under each of `live`; `work` shows those that are new.
    pub(super) fn readings(
        &self,
        figure: &Figure,
        live: &[usize],
        work: impl FnOnce(&[usize]) -> Vec<f64>,
    ) -> Vec<f64> {
        // What was read says nothing of what would be.
        let asked = Figure {
            value: Band {
                low: 0.0,
                typical: 0.0,
                high: 0.0,
            },
            ..figure.clone()
        };
        self.figures.ask(&asked, live, work)
    }
}

/// Answers by question and suspect.
#[derive(Debug)]
struct Kept<Q, A>(Mutex<Vec<(Q, BTreeMap<usize, A>)>>);

impl<Q, A> Default for Kept<Q, A> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<Q: PartialEq + Clone, A: Clone> Kept<Q, A> {
    /// The answer for each of `live`. `work` is called once, with those that are not
    /// known, be they none; nothing is locked meanwhile.
    fn ask(&self, asked: &Q, live: &[usize], work: impl FnOnce(&[usize]) -> Vec<A>) -> Vec<A> {
        let known: Vec<Option<A>> = {
            let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let known = all.iter().find(|(question, _)| question == asked);
            let of = |at: &usize| known.and_then(|(_, known)| known.get(at).cloned());
            live.iter().map(of).collect()
        };
        let pairs = live.iter().zip(&known);
        let new: Vec<usize> = pairs
            .filter(|(_, known)| known.is_none())
            .map(|(at, _)| *at)
            .collect();
        let found = work(&new);
        {
            let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let place = all.iter().position(|(question, _)| question == asked);
            let place = place.unwrap_or_else(|| {
                all.push((asked.clone(), BTreeMap::new()));
                all.len() - 1
            });
            all[place]
                .1
                .extend(new.into_iter().zip(found.iter().cloned()));
        }
        let mut found = found.into_iter();
        let either = |known: Option<A>| known.or_else(|| found.next());
        known.into_iter().filter_map(either).collect()
    }
}
