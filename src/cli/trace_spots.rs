//! Names a person gives to places of a circuit.

use crate::circuit::zones::{fuse_name, fuses};
use crate::circuit::{Circuit, Device, PartId, TerminalId};
use crate::tracing::Spot;

/// The names of a circuit.
pub(super) struct Spots<'c> {
    circuit: &'c Circuit,
}

/// What to type instead.
type Hint = String;

impl<'c> Spots<'c> {
    pub(super) fn of(circuit: &'c Circuit) -> Self {
        Self { circuit }
    }

    /// Fuse, part, wire or terminal; a stud is its terminal.
    pub(super) fn spot(&self, name: &str) -> Result<Spot, Hint> {
        if let Ok(fuse) = self.fuse(name) {
            return Ok(Spot::Fuse(fuse));
        }
        if let Some(part) = self.circuit.find(name) {
            let device = &self.circuit.part(part).device;
            return Ok(match device {
                Device::Stud => Spot::Terminal(self.circuit.part(part).terminals[0]),
                _ => Spot::Part(part),
            });
        }
        if let Ok(end) = self.terminal(name) {
            return Ok(Spot::Terminal(end));
        }
        self.wire(name).map(Spot::Wire)
    }

    /// A fuse or breaker, `BLOCK.SLOT` for one of a block.
    pub(super) fn fuse(&self, name: &str) -> Result<usize, Hint> {
        let all: Vec<String> = fuses(self.circuit)
            .into_iter()
            .map(|id| fuse_name(self.circuit, id))
            .collect();
        let found = all.iter().position(|known| known == name);
        found.ok_or_else(|| hint(name, all.iter().map(String::as_str), "fuses"))
    }

    pub(super) fn part(&self, name: &str) -> Result<PartId, Hint> {
        let names = self.circuit.parts.iter().map(|part| part.name.as_str());
        self.circuit
            .find(name)
            .ok_or_else(|| hint(name, names, "parts"))
    }

    pub(super) fn state(&self, name: &str) -> Result<usize, Hint> {
        let names = || self.circuit.states.iter().map(|state| state.name.as_str());
        let found = names().position(|known| known == name);
        found.ok_or_else(|| hint(name, names(), "states"))
    }

    /// A terminal; the far half of a pin may be written without its ending.
    pub(super) fn terminal(&self, name: &str) -> Result<TerminalId, Hint> {
        let labels = || self.circuit.terminals.iter().map(|end| end.label.as_str());
        let found = labels().position(|label| label == name);
        found
            .map(TerminalId)
            .ok_or_else(|| hint(name, labels(), "terminals"))
    }

    fn wire(&self, name: &str) -> Result<usize, Hint> {
        let labels: Vec<String> = self
            .circuit
            .wires
            .iter()
            .map(|wire| self.circuit.wire_label(wire))
            .collect();
        let plain = |label: &str| label.replace(".from", "");
        let turned = name.split_once(" to ").map(|(a, b)| format!("{b} to {a}"));
        let found = labels.iter().position(|label| {
            let own = self.circuit.wires.iter().find(|wire| {
                wire.name.as_ref().is_some_and(|given| given.value == name)
                    && self.circuit.wire_label(wire) == *label
            });
            own.is_some()
                || plain(label) == plain(name)
                || turned
                    .as_ref()
                    .is_some_and(|turned| plain(label) == plain(turned))
        });
        let known = labels
            .iter()
            .map(String::as_str)
            .chain(self.circuit.parts.iter().map(|part| part.name.as_str()))
            .chain(self.circuit.terminals.iter().map(|end| end.label.as_str()));
        found.ok_or_else(|| hint(name, known, "places"))
    }

    /// The name of a fuse or breaker.
    pub(super) fn fuse_name(&self, fuse: usize) -> String {
        let all = fuses(self.circuit);
        all.get(fuse)
            .map_or_else(String::new, |id| fuse_name(self.circuit, *id))
    }

    /// Names of everything that draws current, and which parts they are.
    pub(super) fn loads(&self) -> (Vec<String>, Vec<PartId>) {
        let draws = |id: &PartId| {
            matches!(
                self.circuit.part(*id).device,
                Device::Pump(_) | Device::Motor(_) | Device::Solenoid(_) | Device::Load(_)
            )
        };
        let parts: Vec<PartId> = self.circuit.part_ids().filter(draws).collect();
        let name = |id: &PartId| self.circuit.part(*id).name.clone();
        (parts.iter().map(name).collect(), parts)
    }

    /// The name of a spot, as [`Self::spot`] takes it.
    pub(super) fn name(&self, spot: Spot) -> String {
        match spot {
            Spot::Terminal(end) => self.circuit.terminal(end).label.clone(),
            Spot::Part(part) => self.circuit.part(part).name.clone(),
            Spot::Fuse(fuse) => self.fuse_name(fuse),
            Spot::Wire(wire) => self.circuit.wire_label(&self.circuit.wires[wire]),
        }
    }

    /// The part of a spot.
    pub(super) fn part_of(&self, spot: Spot) -> Option<PartId> {
        match spot {
            Spot::Part(part) => Some(part),
            Spot::Terminal(end) => Some(self.circuit.terminal(end).part),
            Spot::Fuse(_) | Spot::Wire(_) => None,
        }
    }
}

/// Names listed in a hint.
const LISTED: usize = 8;

fn hint<'a>(name: &str, known: impl Iterator<Item = &'a str> + Clone, what: &str) -> Hint {
    if let Some(near) = super::nearest(name, known.clone()) {
        return format!("did you mean `{near}`?");
    }
    let all: Vec<&str> = known.take(LISTED + 1).collect();
    if all.len() > LISTED {
        format!("its {what} are {}, ...", all[..LISTED].join(", "))
    } else {
        format!("its {what} are {}", all.join(", "))
    }
}
