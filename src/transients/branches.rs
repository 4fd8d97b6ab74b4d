//! One branch of the net as a branch that remembers, from its figures.

use super::elements::battery::Battery;
use super::elements::capacitor::Capacitor;
use super::elements::filament::Filament;
use super::elements::link::{Link, Thermal};
use super::elements::warming::Warming;
use super::elements::wire::Wire;
use super::elements::{Element, MOST};
use super::machines;
use super::scenario::TransientError;
use crate::circuit::{Circuit, Condition, Device, Load, LoadLaw, PartId, State};
use crate::devices::{COPPER_PER_K, LinkModel, LoadShape, Model, WireModel};
use crate::findings::Assumed;
use crate::network::Parameters;
use crate::solving::{Role, Setting, Workings};
use crate::sources::{Source, Standing};
use crate::tables::constants::constant;
use crate::tables::devices::load_class;
use crate::tables::fuses::{Edge, ThermalState, breaker_network, network};
use std::collections::BTreeMap;

/// Capacity taken for electronics with a first current, farads.
const INPUT_F: f64 = 1e-3;
/// First current of a filament as a multiple where nothing says.
const LAMP_INRUSH: f64 = 10.0;

/// Builds branches of one state.
pub(super) struct Builder<'a> {
    /// The circuit.
    pub(super) circuit: &'a Circuit,
    /// Its net and figures.
    pub(super) workings: &'a Workings,
    /// The state, with what is wrong in it.
    pub(super) state: &'a State,
    /// Which instance of every fuse; none holds.
    pub(super) edge: Option<Edge>,
    /// Heating over mean current squared, by branch.
    pub(super) pulses: BTreeMap<usize, f64>,
    /// What was taken for what nobody named.
    pub(super) assumed: Vec<Assumed>,
}

impl Builder<'_> {
    /// The branch at its index.
    ///
    /// # Errors
    /// A class no table holds.
    pub(super) fn element(
        &mut self,
        branch: usize,
        setting: &Setting,
    ) -> Result<Element, TransientError> {
        let resolved = &self.workings.resolved;
        let pulse = self.pulses.get(&branch).copied().unwrap_or(1.0);
        let still = Element::Still(setting.parameters, setting.scale);
        let role = self.workings.net.roles[branch];
        Ok(match (role, setting.parameters) {
            (Role::Wire(wire), Parameters::HeatedConductor(law)) => {
                let model = &resolved.wires[wire];
                let tau_s = copper_time(model)?;
                Element::Wire(Wire::new(
                    law.r_joint_ohm,
                    law.r_ambient_ohm,
                    law.kappa_per_a2,
                    tau_s,
                    pulse,
                    alpha_from(model),
                ))
            }
            (Role::Link(fuse), Parameters::HeatedLink(_)) => {
                let Model::Links(links) = resolved.part(fuse.part) else {
                    return Ok(still);
                };
                Element::Link(self.link(&links[fuse.slot.unwrap_or(0)], pulse)?)
            }
            (Role::Supply(part), Parameters::Supply(law)) => {
                let Model::Battery(model) = resolved.part(part) else {
                    return Ok(still);
                };
                let fast = model.fast.typical.si();
                let slow = (law.r_ohm - fast).max(0.0);
                Element::Battery(Battery::new(law.emf_v, fast, slow, law.r_charge_ohm))
            }
            (Role::Load { part, .. }, Parameters::Motor(_)) if setting.scale > 0.0 => {
                let Model::Motor(model) = resolved.part(part) else {
                    return Ok(still);
                };
                let condition = self.state.conditions.get(&part);
                let condition = condition.map_or(Condition::Healthy, |given| given.value);
                let (motor, copper_g) = machines::motor(model, condition);
                self.note(
                    part,
                    format!(
                        "{copper_g:.0} g of copper in its winding, cooling within a minute at rest"
                    ),
                    "from 20 g in a fuel pump, as the 0.6th power of k2/R",
                );
                Element::Motor(motor)
            }
            (Role::Load { part, .. }, law) if setting.scale >= 1.0 => self.load(part, law)?,
            _ => still,
        })
    }

    fn link(&self, model: &LinkModel, pulse: f64) -> Result<Link, TransientError> {
        let edge = self.edge.unwrap_or(Edge::Nominal);
        let states: Option<Vec<ThermalState>> = match model.style {
            // A rating its family is not made in is told by the reader; it holds here.
            Some(style) => network(style, model.rating, edge).ok().map(|s| s.value),
            None => Some(breaker_network(edge)?.value),
        };
        let opens = self.edge.is_some() && states.is_some();
        let thermal = states.unwrap_or_default().into_iter().take(MOST);
        let thermal = thermal.map(|state| Thermal {
            a: state.a,
            tau_s: state.tau.si(),
        });
        let mut link = Link::new(
            model.clips.typical.si(),
            model.cold.typical.si(),
            model.rise_cap,
            model.rating.si() * model.ambient_factor,
            thermal.collect(),
        )
        .with_rise(model.rise_per_a2);
        link.opens = opens;
        link.pulse = pulse;
        Ok(link)
    }

    fn load(&mut self, part: PartId, law: Parameters) -> Result<Element, TransientError> {
        let Device::Load(spec) = &self.circuit.part(part).device else {
            return Ok(Element::Still(law, 1.0));
        };
        match law {
            Parameters::Lamp(lamp) => {
                let inrush = first_over(spec, lamp.i_nominal_a)?.unwrap_or(LAMP_INRUSH);
                self.note(
                    part,
                    format!("cold filament takes {inrush:.0} times its current, hot within 0.1 s"),
                    "filament lamps",
                );
                Ok(Element::Filament(Filament::new(
                    lamp.v_nominal_v,
                    lamp.i_nominal_a,
                    inrush,
                )))
            }
            Parameters::Conductor(conductor) => {
                let nominal = self.circuit.boat.nominal.si();
                let warm_a = nominal * conductor.conductance_s;
                match first_over(spec, warm_a)? {
                    Some(inrush) if inrush > 1.0 && warm_a > 0.0 => {
                        self.note(
                            part,
                            format!(
                                "takes {inrush:.1} times its current when cold, warm within 30 s"
                            ),
                            "sensor heaters",
                        );
                        let ohm = 1.0 / conductor.conductance_s;
                        Ok(Element::Warming(Warming::new(ohm, inrush, nominal)))
                    }
                    _ => Ok(Element::Still(law, 1.0)),
                }
            }
            _ => Ok(Element::Still(law, 1.0)),
        }
    }

    /// Input capacitor of electronics whose first current the file names.
    pub(super) fn capacitor(&mut self, branch: usize, setting: &Setting) -> Option<Capacitor> {
        let Role::Load { part, .. } = self.workings.net.roles[branch] else {
            return None;
        };
        let Device::Load(spec) = &self.circuit.part(part).device else {
            return None;
        };
        let Model::Load(model) = self.workings.resolved.part(part) else {
            return None;
        };
        let nominal = self.circuit.boat.nominal.si();
        let steady_a = match model.shape {
            LoadShape::Power(power) => power.typical.si() / nominal,
            LoadShape::Current(current) => current.typical.si(),
            _ => return None,
        };
        let more_a = spec.inrush?.value.typical.si() - steady_a;
        if more_a <= 0.0 || setting.scale == 0.0 {
            return None;
        }
        self.note(
            part,
            format!(
                "input capacitor of {:.0} uF behind what limits its first current",
                INPUT_F * 1e6
            ),
            "electronics of a few amperes",
        );
        Some(Capacitor::new(nominal / more_a, INPUT_F))
    }

    fn note(&mut self, part: PartId, what: String, why: &str) {
        self.assumed.push(Assumed {
            subject: self.circuit.part(part).name.clone(),
            what,
            source: Source::new(why, "", Standing::Judgement),
        });
    }
}

/// First over steady current, from the file or the class.
fn first_over(spec: &Load, steady_a: f64) -> Result<Option<f64>, TransientError> {
    if let Some(given) = spec.inrush {
        return Ok((steady_a > 0.0).then(|| given.value.typical.si() / steady_a));
    }
    match &spec.law.value {
        LoadLaw::Class(name) => Ok(load_class(name)?.value.inrush.map(|band| band.typical)),
        _ => Ok(None),
    }
}

/// Relative rise of a wire's resistance per kelvin from the air's temperature.
fn alpha_from(model: &WireModel) -> f64 {
    let at_air = model.copper_ohm();
    let at_20 = model.per_metre_ohm.value * model.length.typical.si();
    COPPER_PER_K * at_20 / at_air
}

/// Time constant with which the copper alone follows the ampacity's law, seconds.
///
/// Derived: adiabatic heating is `alpha r i^2 / c` a second, the law's rise
/// `kappa i^2`; their quotient is `kappa c / (alpha r)`, all by the metre at 20 degC.
fn copper_time(model: &WireModel) -> Result<f64, TransientError> {
    let heat = constant("volumetric heat of IEC 60949")?.value * 1e3 * model.area_mm2;
    let tau_s = model.kappa_per_a2 * heat / (COPPER_PER_K * model.per_metre_ohm.value);
    Ok(if tau_s > 0.0 { tau_s } else { 1.0 })
}
