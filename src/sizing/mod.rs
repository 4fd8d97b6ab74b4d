//! A whole circuit sized: gauge of every wire and rating of every fuse with the
//! least copper that meets everything at once.
//!
//! For given currents the drop of each load is linear in the ohms of the wires
//! (`survey`), so the choice is a search among sizes under linear limits. The
//! sized circuit is then solved anew, and sized anew for its own currents,
//! until nothing changes (`rounds`). What `protect` then finds, a short that
//! is not ended in time or a fuse that a start opens, is raised step by step
//! (`learned`); last, lighter neighbours are put to the full judge
//! (`polish`) and fuses are raised where two may open at once (`order`).
//! Nothing is assumed of how the wires of others bear on a load: how light any
//! choice could be is proven by ranges that hold the currents of all of them
//! (`proof`), and where few are left each is tried.
//!
//! A length that is a range counts with its long end, for volts lost and for shorts
//! that have to open a fuse alike; with the likely one, and it says so, where no
//! choice keeps every rule at the long ends.
//!
//! # Limits
//! What flows a little harder through a shorter wire is not looked at: where lengths
//! are ranges, carrying them through the written file tells.
//! A stall that no fuse opens on, a place without protection and a breaking
//! capacity are no matter of sizes and ratings; `protect` names them.

mod against;
mod binding;
mod bound;
mod choices;
mod collisions;
mod frontier;
mod fuses;
mod greedy;
mod guard;
mod judge;
mod learned;
mod needs;
mod order;
mod plan;
mod polish;
mod problem;
mod proof;
mod rewrite;
mod rounds;
mod screen;
mod screen_buying;
mod search;
mod shopping;
mod stock;

pub use binding::WireBinding;
pub use fuses::FuseBinding;
pub use rewrite::{RewriteError, Rewritten, rewritten};
pub use screen::{cutting_list, document, runs};
pub use shopping::{BuyFuse, BuyWire, ShoppingList, Terminals};
pub use stock::Stock;

use crate::circuit::zones::{FuseId, Zones};
use crate::circuit::{Circuit, PartId, Wire};
use crate::devices::resolve;
use crate::findings::{Finding, Severity};
use crate::protecting::{Kind, Verdict};
use crate::quantities::{Band, WireSize};
use crate::solving::{Solution, SolveError, survey};
use crate::tables::fuses::FuseStyle;
use guard::Guard;
use judge::Judge;
use plan::Task;
use rounds::Settled;
use std::collections::BTreeSet;

/// A wire with its size.
#[derive(Debug, Clone, PartialEq)]
pub struct SizedWire {
    /// Index in the circuit.
    pub wire: usize,
    /// Chosen size.
    pub size: WireSize,
    /// Size in the file; where nobody read it, the likely one.
    pub was: WireSize,
    /// Whether nobody read its size, so that it cannot be told whether it changes.
    pub is_unread: bool,
    /// What decided it.
    pub binding: WireBinding,
    /// What the next size down would break, in words.
    pub because: String,
    /// Copper, kg.
    pub kg: f64,
}

/// A fuse with its rating.
#[derive(Debug, Clone, PartialEq)]
pub struct SizedFuse {
    /// Which.
    pub id: FuseId,
    /// `NAME` or `BLOCK.SLOT`.
    pub name: String,
    /// Family; none for a breaker.
    pub style: Option<FuseStyle>,
    /// Chosen rating, amperes.
    pub rating_a: f64,
    /// Rating in the file, amperes.
    pub was_a: f64,
    /// What decided it.
    pub binding: FuseBinding,
    /// Why, in words.
    pub because: String,
    /// Worst verdict of each kind of check that `protect` makes of it.
    pub checks: Vec<(Kind, Verdict)>,
}

/// A circuit sized.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizing {
    /// Every wire, in the circuit's order.
    pub wires: Vec<SizedWire>,
    /// Every fuse and breaker.
    pub fuses: Vec<SizedFuse>,
    /// Copper of the answer, kg.
    pub copper_kg: f64,
    /// Copper of the file's sizes, kg.
    pub was_kg: f64,
    /// Copper of the wires that change, kg.
    pub new_kg: f64,
    /// Whether the least new wire was asked for, so that the bounds are on
    /// `new_kg`; else they are on `copper_kg`.
    pub bounds_new: bool,
    /// Copper below which no choice lies that keeps every rule with these
    /// ratings, every relay as it stands here, kg.
    pub bound_kg: f64,
    /// Copper below which no answer lies for the currents of this one, kg.
    pub bound_same_currents_kg: f64,
    /// Whether sizing the answer again changes nothing.
    pub at_rest: bool,
    /// What to buy.
    pub shopping: ShoppingList,
    /// The sized circuit, with the lengths it was sized for.
    pub circuit: Circuit,
    /// It, solved and judged.
    pub solution: Solution,
    /// What `protect` finds in it beyond that.
    pub protection: Vec<Finding>,
    /// Rules that no choice meets together.
    pub collisions: Vec<Finding>,
    /// Why nothing was sized: a part stands the wrong way round, and its
    /// currents are those of a fault.
    pub not_sized: Option<String>,
    /// Whether lengths that are ranges count with their likely value, since at the
    /// long ends some rules collide.
    pub is_for_likely: bool,
}

impl SizedWire {
    /// Whether its size was read and changes.
    pub fn changes(&self) -> bool {
        self.size != self.was && !self.is_unread
    }
}

impl Sizing {
    /// Wires whose size was read and changes.
    pub fn changed_wires(&self) -> impl Iterator<Item = &SizedWire> {
        self.wires.iter().filter(|wire| wire.changes())
    }

    /// Wires whose size nobody read.
    pub fn unread_wires(&self) -> impl Iterator<Item = &SizedWire> {
        self.wires.iter().filter(|wire| wire.is_unread)
    }

    /// Fuses whose rating changes.
    pub fn changed_fuses(&self) -> impl Iterator<Item = &SizedFuse> {
        let changes = |fuse: &&SizedFuse| fuse.rating_a.total_cmp(&fuse.was_a).is_ne();
        self.fuses.iter().filter(changes)
    }
}

/// Violations that sizing could mend and has not: none in a sound answer. Takes
/// the findings of every study the answer is held against.
pub fn left_to_mend<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Vec<&'a Finding> {
    let open =
        |finding: &&Finding| finding.sizing_can_mend && finding.severity() == Severity::Violation;
    findings.into_iter().filter(open).collect()
}

/// Sizes a circuit from a stock.
///
/// # Errors
/// A size of the file or of the stock that no table holds.
pub fn size(circuit: &Circuit, stock: &Stock) -> Result<Sizing, SolveError> {
    let longest = sized(&at_longest(circuit), stock)?;
    let is_range = |wire: &Wire| wire.length.value.is_range();
    if longest.collisions.is_empty() || !circuit.wires.iter().any(is_range) {
        return Ok(longest);
    }
    // Lengths nobody measured may be long enough that nothing fits: what fits the
    // likely ones is of more use, if it says so.
    let mut likely = sized(circuit, stock)?;
    likely.is_for_likely = true;
    Ok(if likely.collisions.is_empty() {
        likely
    } else {
        longest
    })
}

fn sized(circuit: &Circuit, stock: &Stock) -> Result<Sizing, SolveError> {
    with_task(circuit, stock, |task, not_sized| {
        let mut sizing = answer(task)?;
        if not_sized.is_some() {
            sizing.collisions.clear();
            let all = sizing.solution.findings.iter_mut();
            for finding in all.chain(&mut sizing.protection) {
                finding.sizing_can_mend = false;
            }
        }
        sizing.not_sized = not_sized;
        Ok(sizing)
    })
}

/// The circuit with every length that is a range at its long end.
fn at_longest(circuit: &Circuit) -> Circuit {
    let mut circuit = circuit.clone();
    for wire in &mut circuit.wires {
        wire.length.value = Band::exactly(wire.length.value.high);
    }
    circuit
}

/// Gathers all that does not change from round to round; with it, why nothing
/// can be sized, if so.
fn with_task<T>(
    circuit: &Circuit,
    stock: &Stock,
    then: impl FnOnce(&Task<'_>, Option<String>) -> Result<T, SolveError>,
) -> Result<T, SolveError> {
    let resolved = resolve(circuit)?;
    let zones = Zones::of(circuit);
    let mut choices = choices::choices(circuit, &zones, stock)?;
    let file = survey(circuit)?;
    let mut fuses = fuses::cases(circuit, &resolved, &zones, stock, &file)?;
    let not_sized = wrong_way_round(&file.solution);
    if not_sized.is_some() {
        for of in &mut choices {
            of.hold();
        }
        for case in &mut fuses {
            case.keep = true;
        }
    }
    let task = Task {
        circuit,
        choices: &choices,
        fuses: &fuses,
        bare: &zones.bare,
        stock,
        charged: &plan::charged(&file.solution),
    };
    then(&task, not_sized)
}

/// What stands the wrong way round, in words: wires sized for such currents
/// would feed a fault.
fn wrong_way_round(solution: &Solution) -> Option<String> {
    let reversed = |finding: &&Finding| {
        ["polarity-reversed", "relay-coil-reversed"].contains(&finding.code.name())
    };
    let first = solution.findings.iter().find(reversed)?;
    Some(first.statement.clone())
}

fn answer(task: &Task<'_>) -> Result<Sizing, SolveError> {
    let settled = learned::guarded(task)?;
    let (settled, bound_kg) = lightened(task, settled)?;
    let guard = Guard::of(&settled.circuit, task.choices, task.fuses)?;
    let mut collisions = collisions::found(task, &settled);
    collisions.extend(collisions::shorts(task, &settled, &guard));
    let wires = binding::wires(task, &settled)?;
    let mut fuses = binding::fuses(task, &settled, &guard);
    for (fuse, checks) in fuses.iter_mut().zip(guard.verdicts) {
        fuse.checks = checks;
    }
    let missed = missed(&settled);
    let mut solution = settled.survey.solution;
    for finding in &mut solution.findings {
        // What is at hand or kept forbids it: the collision says so.
        let about_volts = ["drop-above-limit", "starter-volts-low"];
        let part = task.circuit.find(&finding.subject);
        finding.sizing_can_mend &= !(about_volts.contains(&finding.code.name())
            && part.is_some_and(|part| missed.contains(&part)));
    }
    let new_kg = wires.iter().filter(|wire| wire.changes());
    Ok(Sizing {
        shopping: shopping::list(task.circuit, &wires, &fuses),
        new_kg: new_kg.map(|wire| wire.kg).sum(),
        wires,
        fuses,
        copper_kg: task.kg(&settled.plan.sizes),
        was_kg: task.choices.iter().map(|of| of.was.kg).sum(),
        bounds_new: task.stock.never_thinner,
        bound_kg,
        bound_same_currents_kg: settled.plan.bound_kg,
        at_rest: settled.at_rest,
        circuit: settled.circuit,
        protection: beyond(&solution, guard.findings, &collisions),
        solution,
        collisions,
        not_sized: None,
        is_for_likely: false,
    })
}

/// The answer made lighter where the full judge allows it, the copper below
/// which no choice lies, and last the order in which fuses open.
fn lightened(task: &Task<'_>, mut settled: Settled) -> Result<(Settled, f64), SolveError> {
    let file = rounds::file_places(task);
    let judge = Judge::of(task, &settled)?;
    if let Some(places) = polish::lighter(task, &settled, &judge, &file)? {
        settled = rounds::with_sizes(task, &settled, &places)?;
    }
    let judge = Judge::of(task, &settled)?;
    let proof = proof::proven(task, &settled, &judge)?;
    if let Some(places) = &proof.lighter {
        settled = rounds::with_sizes(task, &settled, places)?;
    }
    let judge = Judge::of(task, &settled)?;
    if let Some(ratings) = order::parted(task, &settled, &judge)? {
        settled = rounds::with_ratings(task, &settled, ratings)?;
    }
    Ok((settled, proof.bound_kg))
}

/// Loads whose limit no choice keeps.
fn missed(settled: &Settled) -> BTreeSet<PartId> {
    let rows = settled.plan.hopeless.iter();
    rows.map(|(row, _)| settled.needs.rows[*row].part).collect()
}

/// Findings of `protect` that the solve has not made as well; what a collision
/// speaks of sizing cannot mend.
fn beyond(solution: &Solution, findings: Vec<Finding>, collisions: &[Finding]) -> Vec<Finding> {
    let key = |finding: &Finding| (finding.code.name(), finding.subject.clone());
    let known: BTreeSet<_> = solution.findings.iter().map(key).collect();
    let mut own: Vec<Finding> = findings
        .into_iter()
        .filter(|finding| !known.contains(&key(finding)))
        .collect();
    for finding in &mut own {
        let collides = collisions.iter().any(|c| c.subject == finding.subject);
        finding.sizing_can_mend &= !(collides && finding.severity() == Severity::Violation);
    }
    own
}
