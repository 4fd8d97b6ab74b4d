//! Round after round: currents of the circuit as sized, sizes for these
//! currents, until both agree.

use super::left_to_mend;
use super::fuses::Rated;
use super::needs::{CoilVolts, Needs, coil_volts};
use super::plan::{Plan, Task};
use crate::circuit::Circuit;
use crate::solving::{SolveError, Survey, survey};

/// Where the rounds ended.
#[derive(Debug, Clone)]
pub(super) struct Settled {
    /// The circuit with its sizes and ratings.
    pub circuit: Circuit,
    /// It, solved.
    pub survey: Survey,
    /// What it asks.
    pub needs: Needs,
    /// The answer for that; its sizes are the circuit's.
    pub plan: Plan,
    /// Whether the last round changed nothing more.
    pub at_rest: bool,
}

/// Rounds after which the best answer so far stands.
const MOST_ROUNDS: usize = 16;

/// Sizes and ratings, and the circuit with them solved.
#[derive(Clone)]
struct Tried {
    sizes: Vec<Option<usize>>,
    ratings_a: Vec<f64>,
    circuit: Circuit,
    survey: Survey,
}

impl Tried {
    /// The circuit of the file.
    fn file(task: &Task<'_>) -> Result<Self, SolveError> {
        Ok(Self {
            sizes: file_places(task),
            ratings_a: task.fuses.iter().map(|case| case.was_a).collect(),
            circuit: task.circuit.clone(),
            survey: survey(task.circuit)?,
        })
    }

    fn of(task: &Task<'_>, plan: &Plan) -> Result<Self, SolveError> {
        let circuit = task.applied(&plan.sizes, &plan.ratings);
        Ok(Self {
            sizes: plan.sizes.clone(),
            ratings_a: ratings_a(plan),
            survey: survey(&circuit)?,
            circuit,
        })
    }

    /// Whether every state was solved, every relay that the file pulls in
    /// stands pulled in and every battery that it charges is charged; else its
    /// currents are those of another circuit.
    fn is_sound(&self, task: &Task<'_>, states: usize, coils: &CoilVolts) -> bool {
        let own = coil_volts(&self.survey);
        let closed = |(part, state, closing): &(_, String, bool)| {
            *closing || own.contains_key(&(*part, state.clone(), false))
        };
        self.survey.contributions.len() == states
            && coils.keys().all(closed)
            && task.keeps_charging(&self.survey.solution)
    }

    fn is_same(&self, plan: &Plan) -> bool {
        self.sizes == plan.sizes && self.ratings_a == ratings_a(plan)
    }
}

fn ratings_a(plan: &Plan) -> Vec<f64> {
    plan.ratings.iter().map(|rated| rated.rating_a).collect()
}

/// Runs the rounds from the circuit of the file on.
///
/// An answer that comes back, or that loses a relay, means that the currents
/// hang too much on the sizes: from then on each answer has to serve all that
/// the rounds have asked so far, so it only grows.
///
/// # Errors
/// A figure that no table has.
pub(super) fn run(task: &Task<'_>) -> Result<Settled, SolveError> {
    let mut now = Tried::file(task)?;
    let coils = coil_volts(&now.survey);
    let states = now.survey.contributions.len();
    let mut asked: Vec<Needs> = Vec::new();
    let mut tried: Vec<Tried> = Vec::new();
    let mut best: Option<Settled> = None;
    let (mut serves_all, mut lost) = (false, 0);
    for _ in 0..MOST_ROUNDS {
        let sound = now.is_sound(task, states, &coils);
        if sound {
            let needs = Needs::of(task.circuit, task.choices, &now.sizes, &now.survey, &coils);
            asked.push(needs);
        } else {
            lost += 1;
            serves_all = true;
        }
        let last = asked.last().cloned().unwrap_or_default();
        let all = if serves_all { merged(&asked) } else { last };
        let needs = (0..lost).fold(all, |needs, _| needs.tightened());
        let plan = task.plan(&needs)?;
        let at_rest = sound && now.is_same(&plan);
        serves_all |= tried.iter().any(|other| other.is_same(&plan));
        if sound && (at_rest || !tried.is_empty()) {
            let settled = settle(&now, needs, &plan, at_rest);
            if at_rest {
                return Ok(settled);
            }
            best = Some(better(task, best, settled));
        }
        let next = Tried::of(task, &plan)?;
        tried.push(std::mem::replace(&mut now, next));
    }
    match best {
        Some(best) => Ok(best),
        None => last_resort(task, &coils),
    }
}

/// The answer with other sizes, solved.
///
/// # Errors
/// A figure that no table has.
pub(super) fn with_sizes(
    task: &Task<'_>,
    settled: &Settled,
    places: &[usize],
) -> Result<Settled, SolveError> {
    let coils = coil_volts(&Tried::file(task)?.survey);
    let sizes = task.sizes(places);
    let ratings = settled.plan.ratings.clone();
    let circuit = task.applied(&sizes, &ratings);
    let now = Tried {
        sizes,
        ratings_a: ratings_a(&settled.plan),
        survey: survey(&circuit)?,
        circuit,
    };
    let needs = Needs::of(task.circuit, task.choices, &now.sizes, &now.survey, &coils);
    let plan = Plan {
        ratings,
        targets: settled.plan.targets.clone(),
        ..task.plan(&needs)?
    };
    Ok(settle(&now, needs, &plan, settled.at_rest))
}

/// The answer with other ratings, solved.
///
/// # Errors
/// A figure that no table has.
pub(super) fn with_ratings(
    task: &Task<'_>,
    settled: &Settled,
    ratings: Vec<Rated>,
) -> Result<Settled, SolveError> {
    let circuit = task.applied(&settled.plan.sizes, &ratings);
    Ok(Settled {
        survey: survey(&circuit)?,
        circuit,
        plan: Plan {
            ratings,
            ..settled.plan.clone()
        },
        ..settled.clone()
    })
}

/// Places of the file's own sizes; none for one that is not among those a wire
/// may get.
pub(super) fn file_places(task: &Task<'_>) -> Vec<Option<usize>> {
    let place = |of: &super::choices::Choices| {
        let place = of.all.iter().position(|choice| choice.size == of.was.size);
        place.filter(|_| !of.fixed)
    };
    task.choices.iter().map(place).collect()
}

/// Everything several rounds asked.
fn merged(asked: &[Needs]) -> Needs {
    let mut all = asked.iter().cloned();
    let first = all.next().unwrap_or_default();
    all.fold(first, Needs::and)
}

fn settle(now: &Tried, needs: Needs, plan: &Plan, at_rest: bool) -> Settled {
    Settled {
        circuit: now.circuit.clone(),
        survey: now.survey.clone(),
        needs,
        plan: Plan {
            sizes: now.sizes.clone(),
            ..plan.clone()
        },
        at_rest,
    }
}

/// Of two answers the one that breaks less, then the lighter.
fn better(task: &Task<'_>, best: Option<Settled>, other: Settled) -> Settled {
    let rank = |of: &Settled| {
        let open = left_to_mend(&of.survey.solution.findings).len();
        (open, task.cost_kg(&of.plan.sizes))
    };
    match best {
        Some(best) => {
            let (a, b) = (rank(&best), rank(&other));
            if a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).is_le() {
                best
            } else {
                other
            }
        }
        None => other,
    }
}

/// No answer kept the relays: the file's own sizes stand.
fn last_resort(task: &Task<'_>, coils: &CoilVolts) -> Result<Settled, SolveError> {
    let file = Tried::file(task)?;
    let needs = Needs::of(task.circuit, task.choices, &file.sizes, &file.survey, coils);
    let plan = task.plan(&needs)?;
    Ok(settle(&file, needs, &plan, false))
}
