//! Taking a part out of its circuit, or a class off the shelf.

use super::consumers::alike;
use super::part::{BatteryPart, ChargerPart, FusePart, PlugPart, SwitchPart};
use super::{Kind, Refused, Subject, in_circuit};
use crate::circuit::{
    Breaker, Charger, Circuit, Device, Fuse, FuseBlock, Given, Load, LoadLaw, MotorSpec, Part,
    PartId, Solenoid, Switch,
};
use crate::devices::{
    battery_alone, block_alone, breaker_alone, charger_alone, diode_alone, fuse_alone, plug_alone,
    switch_alone,
};
use crate::findings::Assumed;
use crate::quantities::{Band, Celsius, Fraction, Volts};
use crate::span::Span;
use crate::tables::OutOfTable;
use crate::tables::batteries::Chemistry;
use crate::tables::contacts::{ContactKind, contact};
use crate::tables::devices::{load_class, motor_class, solenoid_class};
use crate::tables::readings::charging_coil;

/// Whether a part of a circuit has bench steps.
pub fn testable(part: &Part) -> bool {
    !matches!(part.device, Device::Driver(_))
}

impl Subject {
    /// A part of a circuit, on the bench.
    ///
    /// # Errors
    /// A part without bench steps, or a class no table holds.
    pub fn of_part(circuit: &Circuit, id: PartId, air: Celsius) -> Result<Self, Refused> {
        let part = circuit.part(id);
        let name = part.name.as_str();
        match &part.device {
            Device::Pump(spec) => Self::of_pump(spec, name, air),
            Device::Relay(spec) => Self::of_relay(spec, name, air),
            Device::Motor(spec) => Self::of_motor(spec, name, part.terminals.len(), air),
            Device::Solenoid(spec) => Ok(Self::of_solenoid(
                spec,
                name,
                alike(circuit, id, spec),
                air,
            )?),
            Device::Load(spec) => Ok(Self::of_load(spec, name, circuit.boat.nominal)?),
            Device::Charger(spec) => Ok(Self::of_charger(spec, name)?),
            Device::Fuse(spec) => Ok(Self::of_fuse(spec, circuit, name, air)?),
            Device::FuseBlock(block) => Ok(Self::of_block(block, circuit, name, air)?),
            Device::Breaker(spec) => Ok(Self::of_breaker(spec, name, air)?),
            Device::Switch(spec) => Ok(Self::of_switch(spec, circuit, id)?),
            Device::Battery(_) => Ok(Self::of_battery(circuit, id, air)?),
            Device::Diode(spec) => {
                let (model, assumed) = diode_alone(spec, name)?;
                Ok(Self::named(name, "diode", Kind::Diode(model), assumed))
            }
            Device::Plug(spec) => {
                let (contact, assumed) = plug_alone(spec, name)?;
                let pins = spec.pins.clone();
                let kind = Kind::Plug(PlugPart { contact, pins });
                Ok(Self::named(name, "plug", kind, assumed))
            }
            Device::Stud => {
                let kind = Kind::Stud(in_circuit::fastened(circuit, id));
                Ok(Self::named(name, "stud", kind, Vec::new()))
            }
            Device::Driver(_) => Err(Refused::NoSteps {
                name: name.to_owned(),
                kind: part.kind().word(),
            }),
        }
    }

    /// A class of motor, solenoid or load; none for a class of pump or relay.
    pub(super) fn of_other_class(class: &str, air: Celsius) -> Option<Result<Self, Refused>> {
        let given = Some(Given::new(class.to_owned(), Span::default()));
        if motor_class(class).is_ok() {
            let spec = MotorSpec {
                class: given,
                ..MotorSpec::default()
            };
            return Some(Self::of_motor(&spec, class, 2, air));
        }
        if solenoid_class(class).is_ok() {
            let spec = Solenoid {
                class: given,
                ..Solenoid::default()
            };
            return Some(Self::of_solenoid(&spec, class, Vec::new(), air).map_err(Refused::from));
        }
        load_class(class).ok()?;
        let spec = Load {
            law: Given::new(LoadLaw::Class(class.to_owned()), Span::default()),
            inrush: None,
            cut_off: None,
            max_fuse: None,
        };
        Some(Self::of_load(&spec, class, Volts::new(12.0)).map_err(Refused::from))
    }

    pub(super) fn named(name: &str, class: &str, kind: Kind, assumed: Vec<Assumed>) -> Self {
        Self {
            name: name.to_owned(),
            class: class.to_owned(),
            kind,
            suppression: None,
            max_fuse: None,
            assumed,
        }
    }

    pub(super) fn of_charger(spec: &Charger, name: &str) -> Result<Self, OutOfTable> {
        let (model, mut assumed) = charger_alone(spec, name)?;
        let coil = charging_coil(model.output.typical)?;
        assumed.push(Assumed {
            subject: name.to_owned(),
            what: format!("charging coil {} to {}", coil.value.low, coil.value.high),
            source: coil.source,
        });
        let kind = Kind::Charger(ChargerPart {
            model,
            winding: spec.winding.map(|given| given.value),
            regulated: spec.regulated.is_none_or(|given| given.value),
            coil: coil.value,
        });
        Ok(Self::named(name, "charger", kind, assumed))
    }

    fn of_fuse(
        spec: &Fuse,
        circuit: &Circuit,
        name: &str,
        air: Celsius,
    ) -> Result<Self, OutOfTable> {
        let (model, assumed) = fuse_alone(spec, name, air)?;
        let mut carried = in_circuit::carried(circuit);
        let fuse = FusePart {
            name: name.to_owned(),
            style: spec.style.value,
            model,
            label: spec.label.map(|given| given.value),
            carries: carried.remove(name).unwrap_or_default(),
        };
        Ok(Self::named(name, "fuse", Kind::Fuses(vec![fuse]), assumed))
    }

    fn of_block(
        block: &FuseBlock,
        circuit: &Circuit,
        name: &str,
        air: Celsius,
    ) -> Result<Self, OutOfTable> {
        let (models, assumed) = block_alone(block, name, air)?;
        let mut carried = in_circuit::carried(circuit);
        let fuses = block.slots.iter().zip(models).map(|(slot, model)| {
            let name = format!("{name}.{}", slot.name);
            FusePart {
                style: slot.fuse.style.value,
                model,
                label: slot.fuse.label.map(|given| given.value),
                carries: carried.remove(&name).unwrap_or_default(),
                name,
            }
        });
        let kind = Kind::Fuses(fuses.collect());
        Ok(Self::named(name, "fuse block", kind, assumed))
    }

    fn of_breaker(spec: &Breaker, name: &str, air: Celsius) -> Result<Self, OutOfTable> {
        let (model, assumed) = breaker_alone(spec, name, air)?;
        Ok(Self::named(name, "breaker", Kind::Breaker(model), assumed))
    }

    fn of_switch(spec: &Switch, circuit: &Circuit, id: PartId) -> Result<Self, OutOfTable> {
        let part = circuit.part(id);
        let (ohms, assumed) = switch_alone(spec, circuit, part)?;
        let of_terminal = |t: &crate::circuit::TerminalId| circuit.terminal(*t).name.clone();
        let kind = Kind::Switch(SwitchPart {
            contact: ohms,
            kind: spec.kind.clone(),
            terminals: part.terminals.iter().map(of_terminal).collect(),
            heavy: ohms == contact(ContactKind::MasterSwitch)?.value,
        });
        Ok(Self::named(&part.name, "switch", kind, assumed))
    }

    fn of_battery(circuit: &Circuit, id: PartId, air: Celsius) -> Result<Self, OutOfTable> {
        let part = circuit.part(id);
        let spec = match &part.device {
            Device::Battery(spec) => spec.clone(),
            _ => crate::circuit::Battery::default(),
        };
        let (model, assumed) = battery_alone(&spec, &part.name, air)?;
        let chemistry = spec.chemistry.map_or(Chemistry::Flooded, |c| c.value);
        let full = Band::exactly(Fraction::new(1.0));
        let kind = Kind::Battery(BatteryPart {
            cranks: in_circuit::cranks(circuit, id),
            chemistry: spec.open_volts.is_none().then_some(chemistry),
            charge: spec.charge.map_or(full, |given| given.value).typical,
            temperature: spec.temperature.map_or(air, |given| given.value.typical),
            model,
        });
        Ok(Self::named(&part.name, "battery", kind, assumed))
    }

    /// One fuse of a block; none where the block has no such slot.
    pub fn slot(mut self, slot: &str) -> Option<Self> {
        let Kind::Fuses(fuses) = &mut self.kind else {
            return None;
        };
        let wanted = format!("{}.{slot}", self.name);
        fuses.retain(|fuse| fuse.name == wanted);
        let found = !fuses.is_empty();
        self.assumed
            .retain(|assumed| assumed.subject == wanted || !assumed.subject.contains('.'));
        self.name = wanted;
        "fuse".clone_into(&mut self.class);
        found.then_some(self)
    }
}
