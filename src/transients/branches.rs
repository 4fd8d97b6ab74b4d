//! One branch of the net as a branch that remembers, from its figures.

use super::elements::Element;
use super::elements::battery::Battery;
use super::elements::capacitor::Capacitor;
use super::elements::filament::Filament;
use super::elements::link::Link;
use super::elements::warming::Warming;
use super::elements::wire::Wire;
use super::machines;
use super::made::{Made, heatless};
use super::scenario::TransientError;
use crate::circuit::zones::FuseId;
use crate::circuit::{Circuit, Condition, Device, Load, LoadLaw, PartId, State};
use crate::devices::{LinkModel, LoadShape, Model};
use crate::findings::Assumed;
use crate::network::Parameters;
use crate::quantities::Seconds;
use crate::solving::{Role, Setting, Workings};
use crate::sources::{Source, Standing};
use crate::tables::devices::load_class;
use crate::tables::fuses::Edge;
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
    /// Its fuses, breakers and wires.
    pub(super) made: &'a Made,
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
                let body = self.made.wires[wire].map(|(body, _)| body);
                Element::Wire(Wire::new(law.r_joint_ohm, law.r_ambient_ohm, pulse, body))
            }
            (Role::Link(fuse), Parameters::HeatedLink(_)) => {
                let Model::Links(links) = resolved.part(fuse.part) else {
                    return Ok(still);
                };
                Element::Link(self.link(fuse, &links[fuse.slot.unwrap_or(0)], pulse))
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
                let winding = model.winding_body()?;
                self.assumed.push(Assumed {
                    subject: self.circuit.part(part).name.clone(),
                    what: format!(
                        "{:.0} g of copper in its winding, which cools in {} while it stands",
                        winding.copper_kg * 1e3,
                        Seconds::new(winding.cools_s)
                    ),
                    source: winding.source.clone(),
                });
                Element::Motor(machines::motor(model, condition, &winding))
            }
            (Role::Load { part, .. }, law) if setting.scale >= 1.0 => self.load(part, law)?,
            _ => still,
        })
    }

    fn link(&self, id: FuseId, model: &LinkModel, pulse: f64) -> Link {
        let fitted = self.made.fuses.get(&id);
        let edge = self.edge.unwrap_or(Edge::Nominal);
        let element = fitted.map_or_else(heatless, |fuse| fuse.instance(edge).clone());
        let effective_a = fitted.map_or(model.rating.si(), |fuse| fuse.effective_a);
        let (clips, cold) = (model.clips.typical.si(), model.cold.typical.si());
        let mut link = Link::new(clips, cold, model.rise_cap, effective_a, element)
            .with_rise(model.rise_per_a2)
            .with_pulse(pulse);
        link.opens = self.edge.is_some() && fitted.is_some();
        link.closes_again = fitted.is_some_and(|fuse| fuse.closes_again);
        link
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
