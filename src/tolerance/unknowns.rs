//! What is not known exactly: every figure with a range, whose it is, and how
//! an owner would measure it.

use crate::circuit::zones::{FuseId, fuse_name, fuses};
use crate::circuit::{Battery, Circuit, Device, PartId, Place};
use crate::devices::{Figure, Owner, Resolved, What, resolve};
use crate::quantities::{Band, Dimension, Fraction, Quantity};
use crate::tables::OutOfTable;
use crate::tables::unwritten::ageing;

/// A figure that is not known exactly.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// Part, fuse or wire it belongs to, by name.
    pub subject: String,
    /// What it is, in words.
    pub what: &'static str,
    /// Its dimension; none for shares between a thinnest and a thickest.
    pub dimension: Option<Dimension>,
    /// Its range in base units; of a size nobody read, -1 to 1 between the
    /// thinnest and the thickest ([`Unknown::shown`] tells its copper).
    pub band: Band<f64>,
    /// How it is measured.
    pub way: Way,
    /// What it moves.
    pub(super) moves: Moves,
}

impl Unknown {
    /// A value of it as people read it, in the base unit of [`Self::shown_in`].
    pub fn shown(&self, value: f64) -> f64 {
        let Moves::Thickness(_, [thin, middle, thick]) = self.moves else {
            return value;
        };
        let end = if value > 0.0 { thick } else { thin };
        middle * (end / middle).powf(value.abs())
    }

    /// The dimension of what [`Self::shown`] gives.
    pub fn shown_in(&self) -> Option<Dimension> {
        match self.moves {
            Moves::Thickness(..) => Some(Dimension::Area),
            _ => self.dimension,
        }
    }
}

/// What an unknown moves.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Moves {
    /// One figure, by its number in the order of [`Resolved::narrow`].
    Figure(usize),
    /// The figure of a wire's thickness, with the copper of the thinnest, likeliest
    /// and thickest it may be, mm2.
    Thickness(usize, [f64; 3]),
    /// Several figures together: by number, what the low and the high end of
    /// the unknown add to each.
    Several(Vec<(usize, f64, f64)>),
    /// What a charger gives in a state.
    Output(usize, PartId),
    /// Share of the time a load is on in a state.
    Duty(usize, PartId),
    /// Where in its band a fuse opens: no figure of the steady state.
    Strength(FuseId),
}

/// How an owner measures a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// Along the wire, with a tape.
    Tape,
    /// Printed on the insulation, or strands counted and measured.
    Print,
    /// Millivolts across it while its load runs.
    DropAtWork,
    /// Volts and amperes of the part while it works.
    AtWork,
    /// The battery's volts at rest, hours after charge or load.
    AtRest,
    /// The battery's volts before and under a known load.
    UnderLoad,
    /// Volts at the battery while the engine charges.
    WhileCharging,
    /// Ohms of a coil, its plug pulled.
    Ohms,
    /// A thermometer at its place.
    Thermometer,
    /// Nothing an owner could measure.
    None,
}

/// What a figure is called, its dimension, and how it is measured; none for
/// figures that no steady state hangs on.
fn described(figure: Figure) -> Option<(&'static str, Option<Dimension>, Way)> {
    let ohm = Some(Dimension::Resistance);
    let volt = Some(Dimension::Voltage);
    let amp = Some(Dimension::Current);
    Some(match figure.what {
        What::Length => ("length", Some(Dimension::Length), Way::Tape),
        What::Thickness => ("size", None, Way::Print),
        What::Joints => ("joints at both ends", ohm, Way::DropAtWork),
        What::OpenVolts => ("volts at rest", volt, Way::AtRest),
        What::Inside => ("inside resistance", ohm, Way::UnderLoad),
        What::Sag => ("inside resistance after 20 s", ohm, Way::UnderLoad),
        What::Charging => ("resistance against charging", ohm, Way::WhileCharging),
        What::SetPoint => ("charging set-point", volt, Way::WhileCharging),
        What::Element => ("element", ohm, Way::DropAtWork),
        What::Clips => ("holder's clips", ohm, Way::DropAtWork),
        What::Contact if figure.of == Owner::Bolted => ("bolted joints", ohm, Way::DropAtWork),
        What::Contact => ("contact", ohm, Way::DropAtWork),
        What::Drop => ("volts lost in it", volt, Way::DropAtWork),
        What::Coil => ("coil", ohm, Way::Ohms),
        What::Duty => ("share of time on", Some(Dimension::Share), Way::None),
        What::Held | What::Current | What::KnownCurrent => ("current", amp, Way::AtWork),
        What::Power => ("power", Some(Dimension::Power), Way::AtWork),
        What::Resistance => ("resistance", ohm, Way::Ohms),
        What::CutOff => ("volts where it gives up", volt, Way::None),
        What::TorqueConstant => ("volts per speed (torque constant)", None, Way::AtWork),
        What::Friction => ("friction of bearings and brushes", None, Way::AtWork),
        What::Drag => ("drag of what it turns", None, Way::AtWork),
        What::PressureTorque => ("torque by pressure", None, Way::AtWork),
        What::LoadTorque => ("load on its shaft", None, Way::AtWork),
        What::Winding => ("winding", ohm, Way::AtWork),
        What::KnownSpeed => ("speed at work", Some(Dimension::Speed), Way::AtWork),
        What::Warmth | What::AirFactor | What::Inertia | What::Inductance => return None,
    })
}

/// All figures of a circuit in their order, with their ranges.
pub(super) fn figures(resolved: &Resolved) -> Vec<(Figure, Band<f64>)> {
    let mut all = Vec::new();
    let mut scratch = resolved.clone();
    resolved.narrow(&mut scratch, &mut |figure, band| {
        all.push((figure, band));
        band.typical
    });
    all
}

/// Every unknown of a circuit.
///
/// # Errors
/// A charge or temperature beyond its tables.
pub(super) fn unknowns(circuit: &Circuit, resolved: &Resolved) -> Result<Vec<Unknown>, OutOfTable> {
    let mut all = Vec::new();
    for (at, (figure, band)) in figures(resolved).into_iter().enumerate() {
        if band.high <= band.low {
            continue;
        }
        if let Some((what, dimension, way)) = described(figure) {
            all.push(Unknown {
                subject: subject(circuit, figure.of),
                what,
                dimension,
                band,
                way,
                moves: copper(resolved, figure)
                    .map_or(Moves::Figure(at), |copper| Moves::Thickness(at, copper)),
            });
        }
    }
    all.extend(charges(circuit, resolved)?);
    all.extend(ages(circuit, resolved)?);
    all.extend(airs(circuit, resolved)?);
    all.extend(of_states(circuit));
    all.extend(strengths(circuit));
    Ok(all)
}

/// Copper of a wire whose size nobody read, at the ends of its range.
fn copper(resolved: &Resolved, figure: Figure) -> Option<[f64; 3]> {
    let (What::Thickness, Owner::Wire(wire)) = (figure.what, figure.of) else {
        return None;
    };
    let wire = &resolved.wires[wire];
    let ends = wire.may_be.as_ref()?;
    Some([ends[0].area_mm2, wire.area_mm2, ends[1].area_mm2])
}

fn subject(circuit: &Circuit, of: Owner) -> String {
    match of {
        Owner::Part(part) => circuit.part(part).name.clone(),
        Owner::Link(part, number) => {
            let in_block = matches!(circuit.part(part).device, Device::FuseBlock(_));
            let slot = in_block.then_some(number);
            fuse_name(circuit, FuseId { part, slot })
        }
        Owner::Wire(wire) => circuit.wire_label(&circuit.wires[wire]),
        Owner::Bolted => "bolted joints".to_owned(),
    }
}

/// An unknown that moves several figures: the circuit resolved at its ends.
fn together(
    circuit: &Circuit,
    resolved: &Resolved,
    band: Band<f64>,
    set: impl Fn(&mut Circuit, f64),
) -> Result<Moves, OutOfTable> {
    let at = |value: f64| {
        let mut other = circuit.clone();
        set(&mut other, value);
        resolve(&other).map(|resolved| figures(&resolved))
    };
    let (low, high) = (at(band.low)?, at(band.high)?);
    let plain = figures(resolved);
    let moved = plain.iter().zip(low.iter().zip(&high)).enumerate();
    let moved = moved.filter_map(|(number, (plain, (low, high)))| {
        let by = |end: &(Figure, Band<f64>)| end.1.typical - plain.1.typical;
        let (low, high) = (by(low), by(high));
        (low.abs() + high.abs() > 1e-12 * plain.1.typical.abs()).then_some((number, low, high))
    });
    Ok(Moves::Several(moved.collect()))
}

/// Charge of batteries whose file gives it a range.
fn charges(circuit: &Circuit, resolved: &Resolved) -> Result<Vec<Unknown>, OutOfTable> {
    let mut all = Vec::new();
    for id in circuit.part_ids() {
        let Device::Battery(Battery {
            charge: Some(charge),
            ..
        }) = &circuit.part(id).device
        else {
            continue;
        };
        if !charge.value.is_range() {
            continue;
        }
        let band = charge.value.si();
        let set = |circuit: &mut Circuit, value: f64| {
            if let Device::Battery(battery) = &mut circuit.parts[id.0].device
                && let Some(charge) = &mut battery.charge
            {
                charge.value = Band::exactly(Fraction::new(value));
            }
        };
        all.push(Unknown {
            subject: circuit.part(id).name.clone(),
            what: "charge",
            dimension: Some(Dimension::Share),
            band,
            way: Way::AtRest,
            moves: together(circuit, resolved, band, set)?,
        });
    }
    Ok(all)
}

/// Batteries whose inside resistance nobody measured: they may be old.
pub(super) fn of_unknown_age(circuit: &Circuit) -> impl Iterator<Item = PartId> {
    circuit.part_ids().filter(|id| {
        let device = &circuit.part(*id).device;
        matches!(device, Device::Battery(battery) if battery.resistance.is_none())
    })
}

/// What age may have done to batteries.
fn ages(circuit: &Circuit, resolved: &Resolved) -> Result<Vec<Unknown>, OutOfTable> {
    let band = ageing()?.value;
    let plain = figures(resolved);
    let of = |id: PartId| {
        let grows = |figure: &Figure| {
            figure.of == Owner::Part(id) && matches!(figure.what, What::Inside | What::Sag)
        };
        let moved = plain.iter().enumerate();
        let moved = moved.filter(|(_, (figure, _))| grows(figure));
        let moved = moved.map(|(number, (_, ohms))| {
            let at = |times: f64| (times - band.typical) * ohms.typical;
            (number, at(band.low), at(band.high))
        });
        Unknown {
            subject: circuit.part(id).name.clone(),
            what: "inside resistance over new",
            dimension: None,
            band,
            way: Way::UnderLoad,
            moves: Moves::Several(moved.collect()),
        }
    };
    Ok(of_unknown_age(circuit).map(of).collect())
}

/// Air of places whose file gives it a range.
fn airs(circuit: &Circuit, resolved: &Resolved) -> Result<Vec<Unknown>, OutOfTable> {
    let mut all = Vec::new();
    for place in [Place::Boat, Place::EngineSpace, Place::Bench] {
        let given = *circuit.ambient.clone().given(place);
        let Some(band) = given.map(|given| given.value).filter(Band::is_range) else {
            continue;
        };
        let band = band.si();
        let set = |circuit: &mut Circuit, value: f64| {
            if let Some(given) = circuit.ambient.given(place) {
                given.value = Band::exactly(Quantity::new(value));
            }
        };
        all.push(Unknown {
            subject: format!("air, {}", place.word()),
            what: "temperature",
            dimension: Some(Dimension::Temperature),
            band,
            way: Way::Thermometer,
            moves: together(circuit, resolved, band, set)?,
        });
    }
    Ok(all)
}

/// Where in its band each fuse opens, -1 the earliest and 1 the latest.
fn strengths(circuit: &Circuit) -> Vec<Unknown> {
    let of = |id: FuseId| Unknown {
        subject: fuse_name(circuit, id),
        what: "where in its band it opens",
        dimension: None,
        band: Band {
            low: -1.0,
            typical: 0.0,
            high: 1.0,
        },
        way: Way::None,
        moves: Moves::Strength(id),
    };
    fuses(circuit).into_iter().map(of).collect()
}

/// Ranges that states give: what chargers deliver, how long loads are on.
fn of_states(circuit: &Circuit) -> Vec<Unknown> {
    let mut all = Vec::new();
    for (at, state) in circuit.states.iter().enumerate() {
        let subject = |part: PartId| format!("{} in {}", circuit.part(part).name, state.name);
        let charging = state.charging.iter().filter(|(_, band)| band.is_range());
        all.extend(charging.map(|(part, band)| Unknown {
            subject: subject(*part),
            what: "current it gives",
            dimension: Some(Dimension::Current),
            band: band.si(),
            way: Way::WhileCharging,
            moves: Moves::Output(at, *part),
        }));
        let duty = state.duty.iter().filter(|(_, band)| band.is_range());
        all.extend(duty.map(|(part, band)| Unknown {
            subject: subject(*part),
            what: "share of time on",
            dimension: Some(Dimension::Share),
            band: band.si(),
            way: Way::None,
            moves: Moves::Duty(at, *part),
        }));
    }
    all
}
