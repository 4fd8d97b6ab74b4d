//! Every size a wire could get, with its copper, ohms and ampacity.

use super::guard::Outlasts;
use super::stock::Stock;
use crate::circuit::zones::Zones;
use crate::circuit::{Circuit, DropBasis, FuseBasis, Wire};
use crate::devices::{WireModel, wire_of_size};
use crate::quantities::WireSize;
use crate::solving::{LEGAL_SHARE, rule_ohm};
use crate::tables::OutOfTable;
use crate::tables::conductors::area;
use crate::tables::constants::constant;

/// One size for one wire.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    /// The size.
    pub size: WireSize,
    /// Copper, kg.
    pub kg: f64,
    /// Area, mm2.
    pub area_mm2: f64,
    /// Its figures as the wire lies.
    pub model: WireModel,
}

/// Ohms of a wire as a limit counts them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Ohms {
    /// As the drop rule counts.
    Rule,
    /// Copper at its own temperature.
    Copper,
}

impl Choice {
    fn of(
        circuit: &Circuit,
        wire: &Wire,
        size: WireSize,
        density_g_per_cm3: f64,
    ) -> Result<Self, OutOfTable> {
        let area_mm2 = area(size)?.value.si();
        // mm2 times metres are cubic centimetres.
        let kg = density_g_per_cm3 * area_mm2 * wire.length.value.typical.si() / 1000.0;
        Ok(Self {
            size,
            kg,
            area_mm2,
            model: wire_of_size(circuit, wire, size)?,
        })
    }

    /// Its ohms at a heating current.
    pub(super) fn ohm(&self, kind: Ohms, basis: DropBasis, rms_a: f64) -> Result<f64, OutOfTable> {
        match kind {
            Ohms::Rule => rule_ohm(basis, &self.model, rms_a),
            Ohms::Copper => Ok(self.model.copper_at(rms_a)),
        }
    }

    /// Largest fuse that may stand before it; none where no table says.
    pub(super) fn largest_fuse_a(&self, basis: FuseBasis) -> Option<f64> {
        let allowed = self.model.allowed.as_ref().ok()?;
        let legal_a = LEGAL_SHARE * allowed.table.value.si();
        Some(match basis {
            FuseBasis::Cfr150 => legal_a,
            FuseBasis::LoadAnd100 | FuseBasis::Iso100 => allowed.corrected.si().min(legal_a),
        })
    }
}

/// A size that looks at earlier answers have shown to be needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Floor {
    /// Least area, mm2.
    pub area_mm2: f64,
    /// Place of the fuse before it.
    pub fuse: usize,
    /// What a thinner one did not stand.
    pub outlasts: Outlasts,
}

impl Floor {
    /// Whether a size is thick enough.
    pub(super) fn is_met(&self, choice: &Choice) -> bool {
        choice.area_mm2 >= self.area_mm2 * (1.0 - SAME_AREA)
    }
}

/// Relative difference below which areas are the same.
const SAME_AREA: f64 = 1e-9;

/// The sizes of one wire.
#[derive(Debug, Clone)]
pub(super) struct Choices {
    /// As the file has it.
    pub was: Choice,
    /// Whether the file's size has to stay.
    pub fixed: bool,
    /// Sizes at hand with an ampacity, thin to thick; the file's own where it
    /// has to stay.
    pub all: Vec<Choice>,
    /// What looks at earlier answers ask.
    pub floor: Option<Floor>,
}

impl Choices {
    /// Leaves the wire as the file has it.
    pub(super) fn hold(&mut self) {
        self.fixed = true;
        self.all = vec![self.was.clone()];
    }

    /// A size by its place in the list; the file's own for none.
    pub(super) fn at(&self, place: Option<usize>) -> &Choice {
        place.and_then(|at| self.all.get(at)).unwrap_or(&self.was)
    }

    /// What a size costs, kg: its copper; nothing for the wire that is there
    /// where the least new wire is asked for.
    pub(super) fn cost_kg(&self, choice: &Choice, stock: &Stock) -> f64 {
        if stock.never_thinner && choice.size == self.was.size {
            0.0
        } else {
            choice.kg
        }
    }
}

/// The sizes of every wire, in the circuit's order.
///
/// # Errors
/// When the size of the file is in no table of conductors.
pub(super) fn choices(
    circuit: &Circuit,
    zones: &Zones,
    stock: &Stock,
) -> Result<Vec<Choices>, OutOfTable> {
    let density = constant("density, IEC standard copper")?.value;
    let one = |(at, wire): (usize, &Wire)| {
        let was = Choice::of(circuit, wire, wire.size.value, density)?;
        // Without an ampacity of its kind nothing can be said of other sizes.
        let fixed = wire.keep || was.model.allowed.is_err();
        let mut all = Vec::new();
        if fixed {
            all.push(was.clone());
        } else {
            for size in stock.sizes_for(wire)? {
                let choice = Choice::of(circuit, wire, size, density);
                all.extend(choice.ok().filter(|choice| choice.model.allowed.is_ok()));
            }
            if stock.never_thinner {
                // What lies there need not be in the stock.
                all.retain(|choice| choice.area_mm2 > was.area_mm2 * (1.0 + SAME_AREA));
                all.insert(0, was.clone());
            }
            // A lead that no fuse guards is never made thinner: with nothing as thick at
            // hand it stays.
            let as_thick = |choice: &Choice| choice.area_mm2 >= was.area_mm2 * (1.0 - SAME_AREA);
            if zones.bare.contains_key(&at) && !all.iter().any(as_thick) {
                all.push(was.clone());
            }
        }
        if all.is_empty() {
            all.push(was.clone());
        }
        Ok(Choices {
            was,
            fixed,
            all,
            floor: None,
        })
    };
    circuit.wires.iter().enumerate().map(one).collect()
}
