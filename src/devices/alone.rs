//! Parts away from any circuit: on a bench, in air of a given temperature.

use super::shelf::Shelf;
use super::{
    BatteryModel, ChargerModel, DiodeModel, LinkModel, LoadModel, Model, RelayModel, SolenoidModel,
    battery, charger, coil, contact, fuse, load, motor,
};
use crate::circuit::{
    Battery, Breaker, Charger, Circuit, Diode, Fuse, FuseBlock, Load, MotorSpec, Part, Plug, Relay,
    Solenoid, Switch,
};
use crate::findings::Assumed;
use crate::quantities::{Band, Celsius, Ohms, Volts};
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

/// A motor that drives no pump: a [`Model::Motor`].
///
/// # Errors
/// A class no table holds.
pub fn motor_alone(spec: &MotorSpec, name: &str, air: Celsius) -> Alone<Model> {
    alone(|shelf| motor::resolve(spec, name, motor::Family::Motor, air, shelf))
}

/// A solenoid.
///
/// # Errors
/// A class no table holds.
pub fn solenoid_alone(spec: &Solenoid, name: &str, air: Celsius) -> Alone<SolenoidModel> {
    alone(|shelf| coil::resolve_solenoid(spec, name, air, shelf))
}

/// Another load.
///
/// # Errors
/// A class no table holds.
pub fn load_alone(spec: &Load, name: &str, nominal: Volts) -> Alone<LoadModel> {
    alone(|shelf| load::resolve(spec, name, nominal, shelf))
}

/// A charger.
///
/// # Errors
/// When its tables cannot be read.
pub fn charger_alone(spec: &Charger, name: &str) -> Alone<ChargerModel> {
    alone(|shelf| charger::resolve(spec, name, shelf))
}

/// Every fuse of a block, in the slots' order.
///
/// # Errors
/// Air outside its table.
pub fn block_alone(block: &FuseBlock, name: &str, air: Celsius) -> Alone<Vec<LinkModel>> {
    alone(|shelf| fuse::resolve_block(block, name, air, shelf))
}

/// A breaker.
///
/// # Errors
/// A rating that is not above zero.
pub fn breaker_alone(spec: &Breaker, name: &str, air: Celsius) -> Alone<LinkModel> {
    alone(|shelf| fuse::resolve_breaker(spec, name, air, shelf))
}

/// The contact of a switch; the cables on it say which kind it is.
///
/// # Errors
/// When its table cannot be read.
pub fn switch_alone(spec: &Switch, circuit: &Circuit, part: &Part) -> Alone<Band<Ohms>> {
    alone(|shelf| contact::switch(spec, circuit, part, shelf))
}

/// A diode.
///
/// # Errors
/// None today; its drop may come from a table one day.
pub fn diode_alone(spec: &Diode, name: &str) -> Alone<DiodeModel> {
    alone(|shelf| Ok(contact::diode(spec, name, shelf)))
}

/// One pin of a plug with its socket.
///
/// # Errors
/// When its table cannot be read.
pub fn plug_alone(spec: &Plug, name: &str) -> Alone<Band<Ohms>> {
    alone(|shelf| contact::plug(spec, name, shelf))
}
