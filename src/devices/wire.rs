//! Wire: copper that heats with its current, and the joints at its ends.
//!
//! Temperature from the published ampacity: at that current, in 30 degC air,
//! the conductor stands at its insulation's class, so
//! T = Ta + (Tc - 30) (I/Iz)^2 r(T)/r(Tc), with r the resistance per metre at
//! a temperature. Solved for the resistance this is r(Ta)/(1 - kappa I^2).
//! SAE wire has less copper than AWG of its number, so its Iz here is the
//! table's figure times the root of the area ratio (derived); bundled wires
//! take the published bundle factor on Iz in the temperature alone.
//!
//! # Limits
//! Steady state; no heat along the wire into its ends. Without a published
//! ampacity the wire is taken at the temperature of the air.

use super::shelf::{Shelf, in_words};
use crate::circuit::{Circuit, Device, Place, Wire};
use crate::quantities::{Amps, Band, Celsius, Metres, Ohms, SizeSystem, WireSize};
use crate::sources::{Source, Sourced, Standing};
use crate::tables::OutOfTable;
use crate::tables::ampacity::{ampacity, bundle_factor, engine_space_factor};
use crate::tables::conductors::{area, resistance_20c};
use crate::tables::contacts::{ContactKind, contact};

/// Air temperature the ampacity tables are made for, degC.
const TABLE_AIR_DEGC: f64 = 30.0;
/// Temperature coefficient of copper at 20 degC, per kelvin.
const ALPHA: f64 = 0.00393;

/// What the tables allow a wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Allowed {
    /// Table figure as printed, for the fuse rule.
    pub table: Sourced<Amps>,
    /// With the factor of the place and, for SAE wire, its copper.
    pub corrected: Amps,
    /// Corrected, times the bundle factor: advice below 50 V.
    pub bundled: Amps,
    /// Insulation column used, degC.
    pub class: Celsius,
}

/// Electrical figures of a wire.
#[derive(Debug, Clone, PartialEq)]
pub struct WireModel {
    /// Copper resistance per metre at 20 degC.
    pub per_metre_ohm: Sourced<f64>,
    /// Length, one way.
    pub length: Band<Metres>,
    /// Area of the copper, mm2.
    pub area_mm2: f64,
    /// Both ends' joints together.
    pub joints: Band<Ohms>,
    /// Air around it.
    pub ambient: Celsius,
    /// What the tables allow; why not, where no table has it.
    pub allowed: Result<Allowed, OutOfTable>,
    /// Relative rise of resistance per ampere squared, from air temperature.
    pub kappa_per_a2: f64,
}

impl WireModel {
    /// Resistance of the copper at the temperature of the air, ohms.
    pub fn copper_ohm(&self) -> f64 {
        self.per_metre_ohm.value * heat_factor(self.ambient.si()) * self.length.typical.si()
    }

    /// Conductor temperature at a heating current.
    pub fn temperature(&self, rms_a: f64) -> Celsius {
        let room = 1.0 - self.kappa_per_a2 * rms_a * rms_a;
        let cold = heat_factor(self.ambient.si());
        let hot = cold / room.max(1e-6);
        Celsius::new((hot - 1.0) / ALPHA + 20.0)
    }

    /// Resistance of the copper at a heating current, ohms.
    pub fn copper_at(&self, rms_a: f64) -> f64 {
        self.per_metre_ohm.value
            * heat_factor(self.temperature(rms_a).si())
            * self.length.typical.si()
    }
}

/// Resistance at a temperature over that at 20 degC.
fn heat_factor(degc: f64) -> f64 {
    1.0 + ALPHA * (degc - 20.0)
}

pub(super) fn resolve(
    circuit: &Circuit,
    wire: &Wire,
    shelf: &mut Shelf,
) -> Result<WireModel, OutOfTable> {
    let size = wire.size.value;
    let tinned = wire
        .tinned
        .map_or_else(|| assumed_tin(size, shelf), |given| given.value);
    let per_metre_ohm = resistance_20c(size, tinned)?;
    let joints = match &wire.joints {
        Some(given) => given.value,
        None => joints(circuit, wire, shelf)?,
    };
    let ambient = circuit.ambient.at(wire.place);
    if wire.insulation.is_none() {
        let source = Source::new(
            "33 CFR 183.425 table 5",
            "unknown insulation: 60 degC column",
            Standing::Judgement,
        );
        shelf.note("wires", "insulation 60 \u{b0}C where none is named", source);
    }
    let allowed = allowed(wire);
    let kappa_per_a2 = allowed.as_ref().map_or(0.0, |allowed| kappa(allowed, size));
    Ok(WireModel {
        per_metre_ohm,
        length: wire.length.value,
        area_mm2: area(size)?.value.si(),
        joints,
        ambient,
        allowed,
        kappa_per_a2,
    })
}

/// Boat cable is tinned, primary wire mostly plain; metric marine cable tinned.
fn assumed_tin(size: WireSize, shelf: &mut Shelf) -> bool {
    let (tinned, what) = match size.system() {
        SizeSystem::Awg => (true, "AWG boat cable is tinned"),
        SizeSystem::Sae => (false, "SAE primary wire is plain copper"),
        SizeSystem::Metric => (true, "metric marine cable is tinned"),
    };
    shelf.note(
        "wires",
        what,
        Source::new("trade habit", "", Standing::CommonPractice),
    );
    tinned
}

/// Both ends' terminals, by what they are fastened to.
fn joints(circuit: &Circuit, wire: &Wire, shelf: &mut Shelf) -> Result<Band<Ohms>, OutOfTable> {
    let heavy = is_heavy(wire);
    let ends = [wire.from, wire.to]
        .map(|end| kind_of_end(&circuit.part(circuit.terminal(end).part).device, heavy));
    let mut total = Band::exactly(Ohms::new(0.0));
    for kind in ends {
        let found = contact(kind)?;
        shelf.note(
            "wire ends",
            format!("{} {}", kind.name(), in_words(&found.value)),
            found.source,
        );
        let sum = |pick: fn(&Band<Ohms>) -> Ohms| pick(&total) + pick(&found.value);
        total = Band::new(sum(|b| b.low), sum(|b| b.typical), sum(|b| b.high));
    }
    Ok(total)
}

/// Area from which a cable ends in ring lugs on studs, mm2: 6 AWG is 13.3.
const LUG_MM2: f64 = 10.0;

/// Whether a wire is a cable that ends in ring lugs.
pub(super) fn is_heavy(wire: &Wire) -> bool {
    area(wire.size.value).is_ok_and(|found| found.value.si() >= LUG_MM2)
}

fn kind_of_end(device: &Device, heavy: bool) -> ContactKind {
    match device {
        Device::Battery(_) => ContactKind::PostClamp,
        // The plug's own model holds the contact between its halves.
        Device::Stud | Device::Charger(_) | Device::Motor(_) | Device::Plug(_) => {
            ContactKind::RingOnStud
        }
        _ if heavy => ContactKind::RingOnStud,
        _ => ContactKind::BladePair,
    }
}

fn allowed(wire: &Wire) -> Result<Allowed, OutOfTable> {
    let insulation = wire.insulation.map(|given| given.value);
    let found = ampacity(wire.size.value, insulation)?;
    let class = found.value.column;
    let place = if wire.place == Place::EngineSpace {
        engine_space_factor(wire.size.value.system(), insulation)?.value
    } else {
        1.0
    };
    let corrected = found.value.current * (place * copper_share(wire.size.value));
    let bundled = wire.bundle.map_or(Ok(1.0), |given| {
        bundle_factor(given.value).map(|factor| factor.value)
    })?;
    Ok(Allowed {
        table: found.map(|value| value.current),
        corrected,
        bundled: corrected * bundled,
        class,
    })
}

/// Root of the copper an SAE wire has over AWG of its number; 1 for others.
fn copper_share(size: WireSize) -> f64 {
    match size {
        WireSize::Sae(number) => {
            let ratio = area(size).ok().zip(area(WireSize::Awg(number)).ok());
            ratio.map_or(1.0, |(sae, awg)| (sae.value.si() / awg.value.si()).sqrt())
        }
        _ => 1.0,
    }
}

/// kappa of r(Ta)/(1 - kappa I^2), from Iz in the table's air.
fn kappa(allowed: &Allowed, size: WireSize) -> f64 {
    let bundle = allowed.bundled.si() / allowed.corrected.si();
    let current_a = allowed.table.value.si() * copper_share(size) * bundle;
    let rise_k = allowed.class.si() - TABLE_AIR_DEGC;
    ALPHA * rise_k / (current_a * current_a * heat_factor(allowed.class.si()))
}
