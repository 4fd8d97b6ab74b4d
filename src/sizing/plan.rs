//! One answer for given currents: sizes and ratings together.

use super::against::{Against, Rules};
use super::choices::{Choices, Ohms};
use super::frontier::Option3;
use super::fuses::{FuseCase, Rated};
use super::needs::{Needs, Row, RowKind};
use super::problem::{Limit, Problem};
use super::search::search;
use super::stock::Stock;
use crate::circuit::Circuit;
use crate::circuit::zones::set_rating;
use crate::quantities::Amps;
use crate::solving::{Solution, StateSolution};
use crate::tables::OutOfTable;
use std::collections::{BTreeMap, BTreeSet};

/// All that does not change from round to round.
#[derive(Debug, Clone, Copy)]
pub(super) struct Task<'a> {
    /// The circuit of the file.
    pub circuit: &'a Circuit,
    /// Sizes of every wire.
    pub choices: &'a [Choices],
    /// The fuses.
    pub fuses: &'a [FuseCase],
    /// Wires on a battery's plus post without a fuse before them.
    pub bare: &'a BTreeMap<usize, f64>,
    /// What may be used.
    pub stock: &'a Stock,
    /// Batteries that take charge with the file's own sizes, by state: they go
    /// on taking it, or least copper would be a charge lead too thin to charge.
    pub charged: &'a BTreeSet<Charged>,
}

/// A state and a battery in it.
pub(super) type Charged = (String, String);

/// Current into a battery from which it counts as charged, amperes.
const CHARGES_A: f64 = 1e-3;

/// Batteries that take charge, by state.
pub(super) fn charged(solution: &Solution) -> BTreeSet<Charged> {
    let judged = solution.states.iter().filter(|state| !state.what_if);
    let of = |state: &StateSolution| {
        let batteries = state.batteries.iter();
        let takes = batteries.filter(|(_, battery)| battery.current_a < -CHARGES_A);
        let named = takes.map(|(name, _)| (state.name.clone(), name.clone()));
        named.collect::<Vec<_>>()
    };
    judged.flat_map(of).collect()
}

impl Task<'_> {
    /// Whether every battery that has to take charge takes it.
    pub(super) fn keeps_charging(&self, solution: &Solution) -> bool {
        self.charged.iter().all(|(state, battery)| {
            let state = solution.states.iter().find(|s| s.name == *state);
            let reading = state.and_then(|state| state.batteries.get(battery));
            reading.is_some_and(|reading| reading.current_a <= 0.0)
        })
    }
}

/// An answer for given currents.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// Place of every wire's size; none for the file's own.
    pub sizes: Vec<Option<usize>>,
    /// Every fuse's rating, in the order of the fuses.
    pub ratings: Vec<Rated>,
    /// Ratings the wires were sized for.
    pub targets: Vec<Rated>,
    /// Copper below which no answer for these currents lies, kg.
    pub bound_kg: f64,
    /// Limits on volts that no choice meets: row of the needs, and the least
    /// volts.
    pub hopeless: Vec<(usize, f64)>,
    /// Wires none of whose sizes is right, with what its thickest breaks.
    pub stuck: Vec<(usize, Against)>,
}

impl Task<'_> {
    /// The lightest sizes and their ratings for what is asked.
    ///
    /// # Errors
    /// When a table cannot be read.
    pub(super) fn plan(&self, needs: &Needs) -> Result<Plan, OutOfTable> {
        let targets: Vec<Rated> = self
            .fuses
            .iter()
            .map(|case| case.target(needs, case.ceiling_a(self.circuit, self.choices)))
            .collect();
        let (legal, stuck) = self.legal(needs, &targets)?;
        let options = self.options(needs, &legal)?;
        let (problem, hopeless) = problem(&options, &needs.rows);
        let found = search(&problem);
        let places = problem.sizes(&found.picks, options.len());
        let sizes = self.sizes(&places);
        let ratings = self.ratings(needs, &targets, &sizes);
        Ok(Plan {
            sizes,
            ratings,
            targets,
            bound_kg: found.bound_kg,
            hopeless,
            stuck,
        })
    }

    /// Copper of some sizes, kg.
    pub(super) fn kg(&self, sizes: &[Option<usize>]) -> f64 {
        let wires = self.choices.iter().zip(sizes);
        wires.map(|(choices, size)| choices.at(*size).kg).sum()
    }

    /// What some sizes cost, kg: their copper, or that of new wire alone.
    pub(super) fn cost_kg(&self, sizes: &[Option<usize>]) -> f64 {
        let wires = self.choices.iter().zip(sizes);
        let cost = |(choices, size): (&Choices, &Option<usize>)| {
            choices.cost_kg(choices.at(*size), self.stock)
        };
        wires.map(cost).sum()
    }

    /// Rules of single wires under ratings.
    pub(super) fn with_rules<T>(
        &self,
        needs: &Needs,
        ratings: &[Rated],
        then: impl FnOnce(&Rules<'_>) -> T,
    ) -> T {
        let fuses: Vec<(FuseCase, Rated)> = self
            .fuses
            .iter()
            .cloned()
            .zip(ratings.iter().copied())
            .collect();
        then(&Rules {
            circuit: self.circuit,
            needs,
            stock: self.stock,
            fuses: &fuses,
            bare: self.bare,
        })
    }

    /// Places of the sizes of each wire that break no rule of the wire's own;
    /// where there is none, the thickest, with what it breaks.
    pub(super) fn legal(
        &self,
        needs: &Needs,
        targets: &[Rated],
    ) -> Result<(Vec<Vec<usize>>, Stuck), OutOfTable> {
        self.with_rules(needs, targets, |rules| {
            let mut legal = Vec::new();
            let mut stuck = Vec::new();
            for (wire, choices) in self.choices.iter().enumerate() {
                let mut last = None;
                let mut places = Vec::new();
                for (place, choice) in choices.all.iter().enumerate() {
                    last = rules.against(wire, choices, choice)?;
                    if last.is_none() {
                        places.push(place);
                    }
                }
                if places.is_empty() {
                    places.push(choices.all.len() - 1);
                    stuck.extend(last.map(|against| (wire, against)));
                }
                legal.push(places);
            }
            Ok((legal, stuck))
        })
    }

    /// The sizes at some places as the search sees them.
    ///
    /// # Errors
    /// When a table cannot be read.
    pub(super) fn options(
        &self,
        needs: &Needs,
        legal: &[Vec<usize>],
    ) -> Result<Vec<Vec<Option3>>, OutOfTable> {
        let basis = self.circuit.limits.drop_basis;
        let mut options = Vec::new();
        for (wire, places) in legal.iter().enumerate() {
            let rms_a = needs.wires[wire].heating_a;
            let one = |place: &usize| {
                let choice = &self.choices[wire].all[*place];
                Ok(Option3 {
                    choice: *place,
                    kg: self.choices[wire].cost_kg(choice, self.stock),
                    ohm: [
                        choice.ohm(Ohms::Rule, basis, rms_a)?,
                        choice.ohm(Ohms::Copper, basis, rms_a)?,
                    ],
                })
            };
            let of: Result<Vec<Option3>, OutOfTable> = places.iter().map(one).collect();
            options.push(of?);
        }
        Ok(options)
    }

    /// Places as sizes; the file's own where the wire has to stay.
    pub(super) fn sizes(&self, places: &[usize]) -> Vec<Option<usize>> {
        let wires = self.choices.iter().zip(places);
        wires
            .map(|(choices, place)| (!choices.fixed).then_some(*place))
            .collect()
    }

    fn ratings(&self, needs: &Needs, targets: &[Rated], sizes: &[Option<usize>]) -> Vec<Rated> {
        let basis = self.circuit.limits.fuse_basis;
        let one = |(case, target): (&FuseCase, &Rated)| {
            let stand = case.wires.iter().filter_map(|&wire| {
                let choice = self.choices[wire].at(sizes[wire]);
                choice.largest_fuse_a(basis)
            });
            case.final_rating(needs, *target, stand.fold(f64::INFINITY, f64::min))
        };
        self.fuses.iter().zip(targets).map(one).collect()
    }

    /// The circuit with sizes and ratings put in.
    pub(super) fn applied(&self, sizes: &[Option<usize>], ratings: &[Rated]) -> Circuit {
        let mut circuit = self.circuit.clone();
        for ((wire, choices), size) in circuit.wires.iter_mut().zip(self.choices).zip(sizes) {
            wire.size.value = choices.at(*size).size;
            wire.unwritten.size = None;
        }
        for (case, rated) in self.fuses.iter().zip(ratings) {
            set_rating(&mut circuit, case.id, Amps::new(rated.rating_a));
        }
        circuit
    }
}

/// Wires without a right size, with what the thickest breaks.
pub(super) type Stuck = Vec<(usize, Against)>;

/// The problem of some rows, and those that no choice meets. A starter or coil
/// that no size can help is left to the findings of the solve: the battery or
/// a joint takes its volts.
fn problem(options: &[Vec<Option3>], rows: &[Row]) -> (Problem, Vec<(usize, f64)>) {
    let limit = |row: &Row| Limit {
        ohms: row.ohms,
        amps: row.amps.clone(),
        most_v: row.limit_v,
    };
    let all: Vec<Limit> = rows.iter().map(limit).collect();
    let problem = Problem::new(options, &all);
    let hopeless = problem.hopeless.clone();
    let soft = |at: usize| rows[at].kind != RowKind::Drop;
    if !hopeless.iter().any(|(at, _)| soft(*at)) {
        return (problem, hopeless);
    }
    let dropped = |at: usize| soft(at) && hopeless.iter().any(|(of, _)| *of == at);
    let left: Vec<usize> = (0..rows.len()).filter(|at| !dropped(*at)).collect();
    let limits: Vec<Limit> = left.iter().map(|at| all[*at].clone()).collect();
    (Problem::new(options, &limits), hopeless)
}
