//! A whole circuit sized: gauge of every wire and rating of every fuse with the
//! least copper that meets everything at once.
//!
//! For given currents the drop of each load is linear in the ohms of the wires
//! ([`survey`]), so the choice is a search among sizes
//! under linear limits; it is exact where it finishes. The sized circuit is
//! then solved anew, and sized anew for its own currents, until nothing
//! changes. Nothing is assumed of how the wires of others bear on a load but
//! what the solved currents say.
//!
//! # Limits
//! What is sized for: ampacity and heat, least sizes, rule drop, cranking
//! volts, coils that have to stay pulled in, and fuses between load and wire.
//! Inrush, stall and far-end shorts are the business of `protect`.

mod against;
mod apply;
mod binding;
mod bound;
mod choices;
mod collisions;
mod frontier;
mod fuses;
mod greedy;
mod needs;
mod plan;
mod polish;
mod problem;
mod rewrite;
mod rounds;
mod screen;
mod search;
mod shopping;
mod stock;

pub use binding::WireBinding;
pub use fuses::FuseBinding;
pub use rewrite::{RewriteError, rewritten};
pub use screen::document;
pub use shopping::{BuyFuse, BuyWire, ShoppingList, Terminals};
pub use stock::Stock;

use crate::circuit::zones::{FuseId, Zones};
use crate::circuit::{Circuit, PartId};
use crate::devices::resolve;
use crate::findings::{Finding, Severity};
use crate::quantities::WireSize;
use crate::solving::{Solution, SolveError, survey};
use crate::tables::fuses::FuseStyle;
use needs::Needs;
use plan::Task;
use std::collections::BTreeSet;

/// Share of its current that every load is taken to draw at least, whatever
/// the sizes, for the bound: a choice that keeps the limits of 3 and 10 % takes
/// no load that low.
pub const LEAST_SHARE: f64 = 0.8;

/// A wire with its size.
#[derive(Debug, Clone, PartialEq)]
pub struct SizedWire {
    /// Index in the circuit.
    pub wire: usize,
    /// Chosen size.
    pub size: WireSize,
    /// Size in the file.
    pub was: WireSize,
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
    /// Copper below which no answer lies as long as every load draws
    /// [`LEAST_SHARE`] of its current in this one, kg.
    pub bound_kg: f64,
    /// Copper below which no answer lies for the currents of this one, kg.
    pub bound_same_currents_kg: f64,
    /// Whether sizing the answer again changes nothing.
    pub at_rest: bool,
    /// What to buy.
    pub shopping: ShoppingList,
    /// The sized circuit.
    pub circuit: Circuit,
    /// It, solved and judged.
    pub solution: Solution,
    /// Rules that no choice meets together.
    pub collisions: Vec<Finding>,
    /// Why nothing was sized: a part stands the wrong way round, and its
    /// currents are those of a fault.
    pub not_sized: Option<String>,
}

impl Sizing {
    /// Wires whose size changes.
    pub fn changed_wires(&self) -> impl Iterator<Item = &SizedWire> {
        self.wires.iter().filter(|wire| wire.size != wire.was)
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
    let resolved = resolve(circuit)?;
    let mut choices = choices::choices(circuit, stock)?;
    let file = survey(circuit)?;
    let mut fuses = fuses::cases(circuit, &resolved, stock, &file)?;
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
        bare: &Zones::of(circuit).bare,
        stock,
    };
    let mut sizing = answer(&task)?;
    if not_sized.is_some() {
        sizing.collisions.clear();
        for finding in &mut sizing.solution.findings {
            finding.sizing_can_mend = false;
        }
    }
    sizing.not_sized = not_sized;
    Ok(sizing)
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
    let settled = rounds::polished(task, rounds::run(task)?)?;
    let collisions = collisions::found(task, &settled);
    let missed: BTreeSet<PartId> = settled
        .plan
        .hopeless
        .iter()
        .map(|(row, _)| settled.needs.rows[*row].part)
        .collect();
    let mut low = Needs::at_least(task.circuit, &settled.survey, LEAST_SHARE);
    low.rows.retain(|row| !missed.contains(&row.part));
    let wires = binding::wires(task, &settled)?;
    let fuses = binding::fuses(task, &settled);
    let bound_kg = task.plan(&low)?.bound_kg;
    let mut solution = settled.survey.solution;
    for finding in &mut solution.findings {
        // What is at hand or kept forbids it: the collision says so.
        let about_volts = ["drop-above-limit", "starter-volts-low"];
        let part = task.circuit.find(&finding.subject);
        finding.sizing_can_mend &= !(about_volts.contains(&finding.code.name())
            && part.is_some_and(|part| missed.contains(&part)));
    }
    Ok(Sizing {
        shopping: shopping::list(task.circuit, &wires, &fuses),
        wires,
        fuses,
        copper_kg: task.kg(&settled.plan.sizes),
        was_kg: task.choices.iter().map(|of| of.was.kg).sum(),
        bound_kg,
        bound_same_currents_kg: settled.plan.bound_kg,
        at_rest: settled.at_rest,
        circuit: settled.circuit,
        solution,
        collisions,
        not_sized: None,
    })
}
