//! Parts away from any circuit: on a bench, in air of a given temperature.

use super::shelf::Shelf;
use super::{BatteryModel, LinkModel, Model, RelayModel, battery, coil, fuse, motor};
use crate::circuit::{Battery, Fuse, MotorSpec, Relay};
use crate::findings::Assumed;
use crate::quantities::Celsius;
use crate::tables::OutOfTable;

/// Figures of a part, with the defaults that entered.
pub type Alone<M> = Result<(M, Vec<Assumed>), OutOfTable>;

fn alone<M>(find: impl FnOnce(&mut Shelf) -> Result<M, OutOfTable>) -> Alone<M> {
    let mut shelf = Shelf::default();
    let model = find(&mut shelf)?;
    Ok((model, shelf.into_assumed()))
}

/// A battery.
///
/// # Errors
/// A figure outside its table.
pub fn battery_alone(spec: &Battery, name: &str, air: Celsius) -> Alone<BatteryModel> {
    alone(|shelf| battery::resolve(spec, name, air, shelf))
}

/// A fuse in its holder.
///
/// # Errors
/// Air outside its table.
pub fn fuse_alone(spec: &Fuse, name: &str, air: Celsius) -> Alone<LinkModel> {
    alone(|shelf| fuse::resolve(spec, name, air, shelf))
}

/// A relay.
///
/// # Errors
/// A class no table holds.
pub fn relay_alone(spec: &Relay, name: &str, air: Celsius) -> Alone<RelayModel> {
    alone(|shelf| coil::resolve_relay(spec, name, air, shelf))
}

/// A pump: a [`Model::Motor`] or a [`Model::PulsePump`].
///
/// # Errors
/// A class no table holds.
pub fn pump_alone(spec: &MotorSpec, name: &str, air: Celsius) -> Alone<Model> {
    alone(|shelf| motor::resolve(spec, name, motor::Family::Pump, air, shelf))
}
