//! What earlier looks have taught: wires that have to be thicker than volts and
//! amperes ask, fuses that have to ride out a start.
//!
//! Whether a fuse opens before its wire suffers hangs on the whole way to a
//! short, so it is no limit that could be written down beforehand. An answer is
//! looked at, what fails is raised by one step, and the search runs again. What
//! was raised for nothing comes down again in the last look
//! ([`polish`](super::polish)).

use super::choices::{Choices, Floor};
use super::fuses::{FuseBinding, FuseCase, Rated};
use super::guard::{Guard, Outlasts, Thin};
use super::needs::Needs;
use super::plan::Task;
use super::rounds::{self, Settled};
use crate::solving::SolveError;

/// What the looks so far ask.
#[derive(Debug, Clone)]
struct Learned {
    /// Of each wire.
    floors: Vec<Option<Floor>>,
    /// Of each fuse, the least rating that rides its starts out, amperes.
    starts_a: Vec<f64>,
    /// Of each fuse, the most with which a short behind it is ended, amperes.
    most_a: Vec<f64>,
}

/// Looks after which the answer stands as it is.
const MOST_LOOKS: usize = 400;
/// Searches after which it does.
const MOST_SEARCHES: usize = 8;

/// Sizes and ratings for which `protect` finds nothing left to mend, as far as
/// there are such.
///
/// # Errors
/// A figure that no table has.
pub(super) fn guarded(task: &Task<'_>) -> Result<Settled, SolveError> {
    let mut learned = Learned {
        floors: vec![None; task.choices.len()],
        starts_a: vec![0.0; task.fuses.len()],
        most_a: vec![f64::INFINITY; task.fuses.len()],
    };
    let mut searches = 0;
    loop {
        let choices = learned.choices(task.choices);
        let fuses = learned.fuses(task.fuses);
        let own = Task {
            choices: &choices,
            fuses: &fuses,
            ..*task
        };
        let settled = rounds::run(&own)?;
        searches += 1;
        if !learned.raise(&own, &settled)? || searches == MOST_SEARCHES {
            return Ok(settled);
        }
    }
}

impl Learned {
    fn choices(&self, choices: &[Choices]) -> Vec<Choices> {
        let with = |(of, floor): (&Choices, &Option<Floor>)| Choices {
            floor: *floor,
            ..of.clone()
        };
        choices.iter().zip(&self.floors).map(with).collect()
    }

    fn fuses(&self, fuses: &[FuseCase]) -> Vec<FuseCase> {
        let with = |(at, case): (usize, &FuseCase)| FuseCase {
            start_a: self.starts_a[at],
            short_a: self.most_a[at],
            ..case.clone()
        };
        fuses.iter().enumerate().map(with).collect()
    }

    /// Looks at an answer and raises what fails until a look finds nothing
    /// more; whether anything was raised.
    fn raise(&mut self, task: &Task<'_>, settled: &Settled) -> Result<bool, SolveError> {
        let mut sizes = settled.plan.sizes.clone();
        let mut ratings = settled.plan.ratings.clone();
        let mut circuit = settled.circuit.clone();
        for look in 0..MOST_LOOKS {
            let guard = Guard::of(&circuit, task.choices, task.fuses)?;
            if !self.take(task, &sizes, &ratings, &settled.needs, &guard) {
                return Ok(look > 0);
            }
            for (wire, size) in sizes.iter_mut().enumerate() {
                *size = size.map(|place| self.at_least(&task.choices[wire], wire, place));
            }
            for (at, rated) in ratings.iter_mut().enumerate() {
                rated.rating_a = rated.rating_a.max(self.starts_a[at]).min(self.most_a[at]);
            }
            circuit = task.applied(&sizes, &ratings);
        }
        Ok(true)
    }

    /// The place of the least size a wire may have, `place` or thicker.
    fn at_least(&self, choices: &Choices, wire: usize, place: usize) -> usize {
        let Some(floor) = self.floors[wire] else {
            return place;
        };
        let thick = |choice: &super::choices::Choice| floor.is_met(choice);
        let first = choices.all.iter().position(thick);
        place.max(first.unwrap_or(choices.all.len() - 1))
    }

    /// Takes in what a look shows; whether it asks for more than before.
    fn take(
        &mut self,
        task: &Task<'_>,
        sizes: &[Option<usize>],
        ratings: &[Rated],
        needs: &Needs,
        guard: &Guard,
    ) -> bool {
        let mut more = false;
        for thin in &guard.thin {
            let counts = thin.outlasts == Outlasts::Short || task.stock.overloads;
            if !counts {
                continue;
            }
            // A fitted fuse larger than the load asks is no reason for copper.
            let idle = ratings[thin.fuse].binding == FuseBinding::Fitted;
            more |= (idle && self.lower(task, thin.fuse, ratings, needs))
                || self.thicken(task, sizes, *thin)
                || (thin.outlasts == Outlasts::Short
                    && self.lower(task, thin.fuse, ratings, needs));
        }
        for fuse in &guard.starts {
            more |= self.lift(task, *fuse, ratings[*fuse].rating_a);
        }
        more
    }

    /// Asks for the next size up; whether there is one.
    fn thicken(&mut self, task: &Task<'_>, sizes: &[Option<usize>], thin: Thin) -> bool {
        let next = sizes[thin.wire].and_then(|place| task.choices[thin.wire].all.get(place + 1));
        let Some(next) = next else { return false };
        self.floors[thin.wire] = Some(Floor {
            area_mm2: next.area_mm2,
            fuse: thin.fuse,
            outlasts: thin.outlasts,
        });
        true
    }

    /// Where no wire can grow: asks for the next rating down that still
    /// carries the load; whether there is one.
    fn lower(&mut self, task: &Task<'_>, fuse: usize, ratings: &[Rated], needs: &Needs) -> bool {
        let case = &task.fuses[fuse];
        let now_a = ratings[fuse].rating_a;
        let needed_a = case.needed_a(needs).max(self.starts_a[fuse]);
        let fits = |rating: &&f64| **rating < now_a && **rating >= needed_a;
        let Some(lower_a) = case.ratings_a.iter().rfind(fits).filter(|_| !case.keep) else {
            return false;
        };
        self.most_a[fuse] = *lower_a;
        true
    }

    /// Asks for the next rating up for the sake of a start; whether one is
    /// allowed.
    fn lift(&mut self, task: &Task<'_>, fuse: usize, now_a: f64) -> bool {
        let case = &task.fuses[fuse];
        let most_a = case
            .cap_a()
            .min(case.ceiling_a(task.circuit, task.choices))
            .min(self.most_a[fuse]);
        let mut larger = case.ratings_a.iter().filter(|rating| **rating > now_a);
        let Some(next_a) = larger.next().filter(|rating| **rating <= most_a) else {
            return false;
        };
        if case.keep {
            return false;
        }
        self.starts_a[fuse] = *next_a;
        true
    }
}
