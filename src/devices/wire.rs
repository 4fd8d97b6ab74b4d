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
use crate::tables::fuses::FuseStyle;
use crate::tables::unwritten::{self, HangsOn, Sizes};

/// Air temperature the ampacity tables are made for, degC.
const TABLE_AIR_DEGC: f64 = 30.0;
/// Temperature coefficient of copper at 20 degC, per kelvin.
pub const COPPER_PER_K: f64 = 0.00393;

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

impl Allowed {
    /// Looks the wire up and applies the factors of its place and bundle.
    ///
    /// # Errors
    /// A size, insulation or bundle that no table has.
    pub fn of(laid: &Laid) -> Result<Self, OutOfTable> {
        let found = ampacity(laid.size, laid.insulation)?;
        let class = found.value.column;
        let place = if laid.place == Place::EngineSpace {
            engine_space_factor(laid.size.system(), laid.insulation)?.value
        } else {
            1.0
        };
        let corrected = found.value.current * (place * copper_share(laid.size));
        Ok(Self {
            table: found.map(|value| value.current),
            corrected,
            bundled: corrected * bundle_factor(laid.bundle)?.value,
            class,
        })
    }
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
    /// The thinnest and the thickest it may be, where nobody read its size.
    pub may_be: Option<Box<[WireModel; 2]>>,
}

/// How a wire is made and lies, all that its figures hang on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laid {
    /// Size.
    pub size: WireSize,
    /// Whether its copper is tinned.
    pub tinned: bool,
    /// Length, one way.
    pub length: Band<Metres>,
    /// Both ends' joints together.
    pub joints: Band<Ohms>,
    /// Temperature class of its insulation; 60 degC where it is not known.
    pub insulation: Option<Celsius>,
    /// Where it lies.
    pub place: Place,
    /// Air there.
    pub ambient: Celsius,
    /// Loaded conductors in its bundle, with this one; 1 for none.
    pub bundle: u32,
}

/// Conductor temperature beyond which a steady state means nothing: no
/// insulation of a boat is left (250 degC ends the adiabatic rule of
/// IEC 60364-5-54 for bare copper; the rest is this project's judgement).
pub const BURNT: Celsius = Celsius::new(300.0);

impl WireModel {
    /// The figures of a wire. Where no table has its ampacity the model says
    /// why and the wire keeps the temperature of the air.
    ///
    /// # Errors
    /// A size that no table of conductors has.
    pub fn new(laid: &Laid) -> Result<Self, OutOfTable> {
        let allowed = Allowed::of(laid);
        let kappa_per_a2 = allowed
            .as_ref()
            .map_or(0.0, |allowed| kappa(allowed, laid.size));
        Ok(Self {
            per_metre_ohm: resistance_20c(laid.size, laid.tinned)?,
            length: laid.length,
            area_mm2: area(laid.size)?.value.si(),
            joints: laid.joints,
            ambient: laid.ambient,
            allowed,
            kappa_per_a2,
            may_be: None,
        })
    }

    /// The same wire between the thinnest (-1), the most likely (0) and the
    /// thickest (1) it may be; itself where its size was read. Copper and
    /// ampacity go by logarithms between the sizes: strands differ, and a wire
    /// may be of another system.
    #[must_use]
    pub fn at_thickness(&self, share: f64) -> Self {
        let mut one = self.clone();
        one.set_thickness(self, share);
        one
    }

    /// As [`Self::at_thickness`], in place: takes the copper of `from`.
    pub(crate) fn set_thickness(&mut self, from: &Self, share: f64) {
        let Some(ends) = &from.may_be else { return };
        let end = &ends[usize::from(share > 0.0)];
        let share = share.abs().min(1.0);
        let between = |a: f64, b: f64| {
            if a > 0.0 && b > 0.0 {
                a * (b / a).powf(share)
            } else {
                a + share * (b - a)
            }
        };
        self.per_metre_ohm.value = between(from.per_metre_ohm.value, end.per_metre_ohm.value);
        self.area_mm2 = between(from.area_mm2, end.area_mm2);
        self.kappa_per_a2 = between(from.kappa_per_a2, end.kappa_per_a2);
        let figures = (&mut self.allowed, &from.allowed, &end.allowed);
        if let (Ok(mine), Ok(from), Ok(end)) = figures {
            let amps = |a: Amps, b: Amps| Amps::new(between(a.si(), b.si()));
            mine.table.value = amps(from.table.value, end.table.value);
            mine.corrected = amps(from.corrected, end.corrected);
            mine.bundled = amps(from.bundled, end.bundled);
        }
    }

    /// Resistance of the copper at the temperature of the air, ohms.
    pub fn copper_ohm(&self) -> f64 {
        self.copper_of(self.ambient)
    }

    /// Conductor temperature at a heating current.
    pub fn temperature(&self, rms_a: f64) -> Celsius {
        let room = 1.0 - self.kappa_per_a2 * rms_a * rms_a;
        let cold = heat_factor(self.ambient.si());
        let hot = cold / room.max(1e-6);
        Celsius::new((hot - 1.0) / COPPER_PER_K + 20.0)
    }

    /// Resistance of the copper of a wire that burns, ohms: held at [`BURNT`], so
    /// that no glowing wire makes a short look small.
    pub fn copper_burnt(&self) -> f64 {
        self.copper_of(BURNT)
    }

    /// Resistance of the copper at a temperature of its own, ohms.
    pub fn copper_of(&self, copper: Celsius) -> f64 {
        self.per_metre_ohm.value * heat_factor(copper.si()) * self.length.typical.si()
    }

    /// Resistance of the copper at a heating current, ohms.
    pub fn copper_at(&self, rms_a: f64) -> f64 {
        self.copper_of(self.temperature(rms_a))
    }
}

/// Resistance at a temperature over that at 20 degC.
fn heat_factor(degc: f64) -> f64 {
    1.0 + COPPER_PER_K * (degc - 20.0)
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
    let joints = match &wire.joints {
        Some(given) => given.value,
        None => joints(circuit, wire, shelf)?,
    };
    if wire.insulation.is_none() {
        let source = Source::new(
            "33 CFR 183.425 table 5",
            "unknown insulation: 60 degC column",
            Standing::Judgement,
        );
        shelf.note("wires", "insulation 60 \u{b0}C where none is named", source);
    }
    let laid = Laid {
        size,
        tinned,
        length: wire.length.value,
        joints,
        insulation: wire.insulation.map(|given| given.value),
        place: wire.place,
        ambient: circuit.ambient.at(wire.place),
        bundle: wire.bundle.map_or(1, |given| given.value),
    };
    let mut model = WireModel::new(&laid)?;
    let may_be = wire.unwritten.size.map(unwritten::sizes).transpose()?;
    note_unwritten(circuit, wire, may_be.as_ref(), shelf)?;
    if let Some(Sourced { value: may_be, .. }) = may_be {
        let of = |size| WireModel::new(&Laid { size, ..laid });
        model.may_be = Some(Box::new([of(may_be.thinnest)?, of(may_be.thickest)?]));
    }
    Ok(model)
}

/// Writes down what stands for a length or size that nobody measured.
fn note_unwritten(
    circuit: &Circuit,
    wire: &Wire,
    may_be: Option<&Sourced<Sizes>>,
    shelf: &mut Shelf,
) -> Result<(), OutOfTable> {
    if wire.unwritten.is_nothing() {
        return Ok(());
    }
    let label = circuit.wire_label(wire);
    if let Some(lies) = wire.unwritten.length {
        let found = unwritten::length(lies)?;
        let what = format!("length not written: {}", in_words(&found.value));
        shelf.note(&label, what, found.source);
    }
    if let Some(Sourced { value, source }) = may_be {
        let by = match wire.unwritten.size {
            Some(HangsOn::Fuse(_)) => "; a guess by the fuse before it",
            _ => "",
        };
        let what = format!(
            "size not written: {} ({} to {}){by}",
            value.typical, value.thinnest, value.thickest
        );
        shelf.note(&label, what, source.clone());
    }
    Ok(())
}

/// The figures of a wire of the circuit, were it of another size.
///
/// # Errors
/// A size that no table of conductors has.
pub fn wire_of_size(
    circuit: &Circuit,
    wire: &Wire,
    size: WireSize,
) -> Result<WireModel, OutOfTable> {
    let mut other = wire.clone();
    other.size.value = size;
    other.unwritten.size = None;
    resolve(circuit, &other, &mut Shelf::default())
}

/// What each end of a wire is fastened with, were it of a size.
pub fn wire_ends(circuit: &Circuit, wire: &Wire, size: WireSize) -> [ContactKind; 2] {
    let heavy = area(size).is_ok_and(|found| found.value.si() >= LUG_MM2);
    [wire.from, wire.to]
        .map(|end| kind_of_end(&circuit.part(circuit.terminal(end).part).device, heavy))
}

/// Whether wire of a system is usually tinned, and how that is said.
pub fn usual_tin(system: SizeSystem) -> (bool, Sourced<&'static str>) {
    let (tinned, what) = match system {
        SizeSystem::Awg => (true, "AWG boat cable is tinned"),
        SizeSystem::Sae => (false, "SAE primary wire is plain copper"),
        SizeSystem::Metric => (true, "metric marine cable is tinned"),
    };
    let source = Source::new("trade habit", "", Standing::CommonPractice);
    (tinned, Sourced::new(what, source))
}

/// Boat cable is tinned, primary wire mostly plain; metric marine cable tinned.
fn assumed_tin(size: WireSize, shelf: &mut Shelf) -> bool {
    let (tinned, what) = usual_tin(size.system());
    shelf.note("wires", what.value, what.source);
    tinned
}

/// Both ends' terminals, by what they are fastened to.
fn joints(circuit: &Circuit, wire: &Wire, shelf: &mut Shelf) -> Result<Band<Ohms>, OutOfTable> {
    let ends = wire_ends(circuit, wire, wire.size.value);
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
        Device::Fuse(fuse) if fuse.style.value == FuseStyle::Strip => ContactKind::RingOnStud,
        // The plug's own model holds the contact between its halves.
        Device::Stud | Device::Charger(_) | Device::Motor(_) | Device::Plug(_) => {
            ContactKind::RingOnStud
        }
        _ if heavy => ContactKind::RingOnStud,
        _ => ContactKind::BladePair,
    }
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
    COPPER_PER_K * rise_k / (current_a * current_a * heat_factor(allowed.class.si()))
}
