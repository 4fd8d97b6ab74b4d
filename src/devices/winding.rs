//! The winding of a standing motor as a body that warms.
//!
//! Heat by the kelvin is copper times its specific heat; the copper goes with
//! the rated input of the motor's kind, a factor of two either way.

use super::MotorModel;
use crate::circuit::Condition;
use crate::quantities::Celsius;
use crate::sources::Source;
use crate::tables::OutOfTable;
use crate::tables::constants::constant;
use crate::tables::devices::winding_heat;

/// Thermal figures of a winding.
#[derive(Debug, Clone, PartialEq)]
pub struct Winding {
    /// Its copper, kilograms.
    pub copper_kg: f64,
    /// Heat of its copper, joules by the kelvin.
    pub heat_j_per_k: f64,
    /// Factor by which that may be off, either way.
    pub spread: f64,
    /// Time in which it loses 63 % of its rise while it stands, seconds.
    pub cools_s: f64,
    /// Temperature its insulation stands.
    pub limit: Celsius,
    /// Where the figures come from.
    pub source: Source,
}

/// Specific heat of copper near 100 degC.
const COPPER_HEAT: &str = "specific heat at 100 degC";
/// Temperature of a hot winding, at least, degC: the references' condition `hot`.
const HOT_DEGC: f64 = 70.0;

impl MotorModel {
    /// Its winding as a body that warms.
    ///
    /// # Errors
    /// When the tables cannot be read.
    pub fn winding_body(&self) -> Result<Winding, OutOfTable> {
        let heat = winding_heat()?;
        let rated_w = self.parameters.v_ref.si() * self.parameters.current_ref.si();
        let copper_kg = heat.value.copper_kg_per_w * rated_w;
        Ok(Winding {
            copper_kg,
            heat_j_per_k: copper_kg * constant(COPPER_HEAT)?.value,
            spread: heat.value.spread,
            cools_s: heat.value.cools.si(),
            limit: heat.value.limit,
            source: heat.source,
        })
    }

    /// Temperature of its winding before it carries current, degC.
    pub fn winding_degc(&self, condition: Condition) -> f64 {
        let place = self.winding.si();
        if condition == Condition::Hot {
            place.max(HOT_DEGC)
        } else {
            place
        }
    }
}
