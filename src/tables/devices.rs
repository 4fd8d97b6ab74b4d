//! Device classes by name: what is taken for a pump, motor, relay, solenoid or
//! load of which only the kind is known.
//!
//! Every figure is a range with its standing. Classes with a number in their
//! name ("bilge pump N gal/h", "starter N hp") take the published row where
//! there is one and are interpolated, and marked derived, between rows.
//!
//! Used by the devices and by reading, which asks for names.

mod charging;
mod conditions;
mod loads;
mod motors;
mod names;
mod numbered;
mod relays;
mod windings;

pub use charging::{ChargerDefaults, charger_defaults, charging_output};
pub use conditions::{PriorOdds, prior_odds};
pub use loads::{LoadClass, LoadLaw, SolenoidClass, load_class, solenoid_class};
pub use motors::{
    MotorParameters, PumpClass, SolenoidPump, brush_drop, flux_coefficient, motor_class,
    pump_class, pump_range,
};
pub use names::{ClassKind, USUAL_PUMP, class_names, class_patterns, pumps_fuel};
pub use relays::{RelayClass, contact_current_at, relay_class};
pub use windings::{WindingHeat, winding_heat};
