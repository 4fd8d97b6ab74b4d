//! What is changed in a circuit that is taken apart for a test: batteries off, plugs pulled.

use super::frame::{Extra, absent, ohms};
use super::scene::Scene;
use super::simulate::Changes;
use crate::circuit::PartId;
use crate::devices::{LoadShape, Model};
use crate::solving::Role;

impl Scene<'_> {
    /// The circuit as an ohmmeter meets it: batteries and chargers off, outputs
    /// of modules asleep, loads as the ohms they show cold, electronics as some
    /// kilohms.
    pub(super) fn resting_loads(&self) -> Changes {
        let mut changes = Changes::new();
        for (at, role) in self.frame.net.roles.iter().enumerate() {
            let law = self.frame.branches[at].law;
            match *role {
                Role::Supply(_) | Role::Charger(_) | Role::Channel { .. } => {
                    changes.push((at, absent(law)));
                }
                Role::Load { part, .. } => {
                    let shunt = self.frame.extra(Extra::Shunt(at));
                    let cold = cold_ohms(self.frame.resolved.part(part));
                    changes.push((at, absent(law)));
                    if let (Some(shunt), Some(ohm)) = (shunt, cold) {
                        changes.push((shunt, ohms(ohm)));
                    }
                }
                _ => {}
            }
        }
        changes
    }

    /// Branches of a part: taken out when its plug is pulled, with whatever
    /// shorts them.
    pub(super) fn unplugging(&self, part: PartId) -> Changes {
        let mut changes = Changes::new();
        let mut out = |branch: usize| {
            let law = self.frame.branches[branch].law;
            changes.push((branch, absent(law)));
        };
        for own in self.frame.of_part(part) {
            out(own);
            if let Some(shunt) = self.frame.extra(Extra::Shunt(own)) {
                out(shunt);
            }
        }
        changes
    }
}

/// A load as an ohmmeter meets it, cold.
fn cold_ohms(model: &Model) -> Option<f64> {
    /// A filament is a tenth of its hot ohms when cold (common practice).
    const COLD: f64 = 0.1;
    /// Electronics at an ohmmeter's volts (judgement).
    const ELECTRONICS_OHM: f64 = 5000.0;
    match model {
        Model::Motor(motor) => Some(motor.parameters.r.typical.si()),
        Model::PulsePump(pump) => Some(pump.coil_warm.typical.si()),
        Model::Solenoid(solenoid) => Some(solenoid.coil_warm.typical.si()),
        Model::Load(load) => Some(match &load.shape {
            LoadShape::Resistance(ohms) => ohms.typical.si(),
            LoadShape::Lamp { nominal_v, current } => COLD * nominal_v / current.typical.si(),
            LoadShape::Power(_) | LoadShape::Current(_) => ELECTRONICS_OHM,
        }),
        _ => None,
    }
}
