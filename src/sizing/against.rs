//! What speaks against a size of one wire by itself.

use super::choices::{Choice, Choices, Floor};
use super::fuses::{FuseCase, Rated};
use super::needs::{Needs, section_limit_v};
use super::stock::Stock;
use crate::circuit::{Circuit, Wire};
use crate::solving::{BUNDLE_FROM, excepted_from_least, least_above};
use crate::tables::OutOfTable;
use std::collections::BTreeMap;

/// A reason of the wire's own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Against {
    /// It may not carry the current, or gets too warm.
    Ampacity {
        /// Current it has to carry, amperes.
        current_a: f64,
        /// What it may carry there, amperes.
        carries_a: f64,
    },
    /// It is thinner than the least single wire.
    Minimum {
        /// The least size.
        least: &'static str,
    },
    /// It cannot stand the fuse before it.
    Fuse {
        /// Place among the fuses.
        fuse: usize,
        /// The largest fuse it may have, amperes.
        stands_a: f64,
    },
    /// While cranking it loses more than a section may.
    Section {
        /// Volts it loses.
        drop_v: f64,
    },
    /// It could not carry what the fuse of a load lets through back to the
    /// battery.
    Return {
        /// Place among the fuses.
        fuse: usize,
        /// The largest fuse it could stand, amperes.
        stands_a: f64,
    },
    /// No fuse guards it, or it cranks a starter, which the ampacity rule
    /// excepts: never thinner than it is.
    Unguarded,
    /// No judged state uses it, so nothing says what it has to carry.
    Unused,
    /// Thinner wires were ruled out.
    Thinner,
    /// Its fuse would not save it in time.
    Outlasts(Floor),
}

/// Everything the separate rules need.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rules<'a> {
    /// The circuit.
    pub circuit: &'a Circuit,
    /// What is asked.
    pub needs: &'a Needs,
    /// What may be used.
    pub stock: &'a Stock,
    /// The fuses and the rating each is reckoned with.
    pub fuses: &'a [(FuseCase, Rated)],
    /// Wires on a battery's plus post without a fuse before them.
    pub bare: &'a BTreeMap<usize, f64>,
}

/// Relative room for areas of the same size and limits met exactly.
const ROUNDING: f64 = 1e-9;

impl Rules<'_> {
    /// The first rule a size of a wire breaks by itself.
    ///
    /// # Errors
    /// When a table cannot be read.
    pub(super) fn against(
        &self,
        wire: usize,
        choices: &Choices,
        choice: &Choice,
    ) -> Result<Option<Against>, OutOfTable> {
        let need = self.needs.wires[wire];
        let given = &self.circuit.wires[wire];
        let thinner = choice.area_mm2 < choices.was.area_mm2 * (1.0 - ROUNDING);
        if thinner && (need.cranks || self.bare.contains_key(&wire)) {
            return Ok(Some(Against::Unguarded));
        }
        if thinner && !need.used {
            return Ok(Some(Against::Unused));
        }
        if thinner && self.stock.never_thinner {
            return Ok(Some(Against::Thinner));
        }
        if let Some(against) = ampacity(given, choice, need.steady_a) {
            return Ok(Some(against));
        }
        if let Some(least) = least_above(choice.size, given.sheath)
            && !excepted_from_least(given, need.most_a)
        {
            return Ok(Some(Against::Minimum { least }));
        }
        if let Some(floor) = choices.floor.filter(|floor| !floor.is_met(choice)) {
            return Ok(Some(Against::Outlasts(floor)));
        }
        let drop_v = need.cranking_a * choice.model.copper_at(need.heating_a);
        if need.cranks && drop_v > section_limit_v()? && !is_thickest(choices, choice) {
            return Ok(Some(Against::Section { drop_v }));
        }
        Ok(self.fuse(wire, choice, is_thickest(choices, choice)))
    }

    /// A fuse that stands before the wire, or before a load that gets its
    /// current back by it, and is too large for a size of it.
    fn fuse(&self, wire: usize, choice: &Choice, is_thickest: bool) -> Option<Against> {
        let stands_a = choice.largest_fuse_a(self.circuit.limits.fuse_basis)?;
        let too_large = |(_, (_, rated)): &(usize, &(FuseCase, Rated))| {
            rated.rating_a > stands_a * (1.0 + ROUNDING)
        };
        let mut before = self.fuses.iter().enumerate().filter(too_large);
        if let Some((fuse, _)) = before
            .clone()
            .find(|(_, (case, _))| case.wires.contains(&wire))
        {
            return Some(Against::Fuse { fuse, stands_a });
        }
        let (fuse, _) = before.find(|(_, (case, _))| case.returns.contains(&wire))?;
        (!is_thickest).then_some(Against::Return { fuse, stands_a })
    }
}

/// A section whose drop no size mends is the caution's own business.
fn is_thickest(choices: &Choices, choice: &Choice) -> bool {
    let last = choices.all.last();
    last.is_some_and(|last| last.size == choice.size)
}

/// The judge's ampacity, heat and bundle rules.
fn ampacity(wire: &Wire, choice: &Choice, steady_a: f64) -> Option<Against> {
    let allowed = choice.model.allowed.as_ref().ok()?;
    let crowded = wire.bundle.is_some_and(|given| given.value >= BUNDLE_FROM);
    let carries_a = if crowded {
        allowed.bundled.si()
    } else {
        allowed.corrected.si()
    };
    let hot = choice.model.temperature(steady_a).si() > allowed.class.si() + 0.5;
    (steady_a > carries_a || hot).then_some(Against::Ampacity {
        current_a: steady_a,
        carries_a,
    })
}
