//! A wire where it lies: what it may carry and how warm it gets.

use crate::circuit::{Ambient, Place};
use crate::devices::{Allowed, WireModel};
use crate::findings::Assumed;
use crate::quantities::{Amps, Band, Celsius, Metres, Ohms, SizeSystem, WireSize};
use crate::sources::{Source, Standing};
use crate::tables::OutOfTable;
use crate::tables::ampacity::{ampacity, bundle_factor, engine_space_factor};
use crate::tables::conductors::{area, resistance_20c};

/// Air temperature the ampacity tables are made for, degC.
const TABLE_AIR_DEGC: f64 = 30.0;
/// Temperature coefficient of copper at 20 degC, per kelvin.
const ALPHA: f64 = 0.00393;

/// How a wire lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lay {
    /// Insulation class; `None` where it is not known.
    pub insulation: Option<Celsius>,
    /// Where it lies.
    pub place: Place,
    /// Loaded conductors in the bundle, with this one; 1 for none.
    pub bundle: u32,
}

/// A wire with its table figures.
#[derive(Debug, Clone, PartialEq)]
pub struct InPlace {
    /// The size.
    pub size: WireSize,
    /// Electrical and thermal figures; its joints are zero.
    pub model: WireModel,
    /// Figure of the table, uncorrected.
    pub table: Amps,
    /// What it may carry there: place and bundle counted.
    pub carries: Amps,
    /// Insulation column used.
    pub class: Celsius,
    /// Where the table figure comes from.
    pub source: Source,
}

/// Looks a wire up and applies the factors of its place and bundle.
///
/// SAE wire takes the row of its number, less the root of its smaller copper.
///
/// # Limits
/// Below 50 V the bundle factor is advice; it is applied here all the same.
///
/// # Errors
/// When the size, the insulation or the bundle is in no table.
pub fn in_place(size: WireSize, length: Metres, lay: &Lay) -> Result<InPlace, OutOfTable> {
    let found = ampacity(size, lay.insulation)?;
    let place = if lay.place == Place::EngineSpace {
        engine_space_factor(size.system(), lay.insulation)?.value
    } else {
        1.0
    };
    let bundle = bundle_factor(lay.bundle.max(1))?.value;
    let copper = copper_share(size)?;
    let table = found.value.current;
    let class = found.value.column;
    let corrected = table * (place * copper);
    let carries = corrected * bundle;
    let open_a = table.si() * copper * bundle;
    let heat = 1.0 + ALPHA * (class.si() - 20.0);
    let model = WireModel {
        per_metre_ohm: resistance_20c(size, is_tinned(size.system()))?,
        length: Band::exactly(length),
        area_mm2: area(size)?.value.si(),
        joints: Band::exactly(Ohms::new(0.0)),
        ambient: usual_air().at(lay.place),
        allowed: Ok(Allowed {
            table: found.clone().map(|value| value.current),
            corrected,
            bundled: carries,
            class,
        }),
        kappa_per_a2: ALPHA * (class.si() - TABLE_AIR_DEGC) / (open_a * open_a * heat),
    };
    Ok(InPlace {
        size,
        model,
        table,
        carries,
        class,
        source: found.source,
    })
}

/// Root of the copper an SAE wire has over AWG of its number; 1 for others.
fn copper_share(size: WireSize) -> Result<f64, OutOfTable> {
    match size {
        WireSize::Sae(number) => {
            let awg_mm2 = area(WireSize::Awg(number))?.value.si();
            Ok((area(size)?.value.si() / awg_mm2).sqrt())
        }
        WireSize::Awg(_) | WireSize::Metric(_) => Ok(1.0),
    }
}

const fn is_tinned(system: SizeSystem) -> bool {
    matches!(system, SizeSystem::Awg | SizeSystem::Metric)
}

const fn usual_air() -> Ambient {
    Ambient {
        boat: None,
        engine_space: None,
        bench: None,
    }
}

/// Defaults that enter the figures of a wire.
pub fn assumed_of(system: SizeSystem, lay: &Lay) -> Vec<Assumed> {
    let mut assumed = Vec::new();
    if lay.insulation.is_none() {
        assumed.push(unknown_insulation());
    }
    assumed.push(air(lay.place));
    assumed.push(tin(system));
    assumed
}

/// The insulation nobody named.
fn unknown_insulation() -> Assumed {
    Assumed {
        subject: "wire".into(),
        what: "insulation 60 \u{b0}C, since none is named; the print on the jacket may allow more"
            .into(),
        source: Source::new(
            "33 CFR 183.425 table 5",
            "unknown insulation: 60 degC column",
            Standing::Judgement,
        ),
    }
}

/// The air around the wire.
fn air(place: Place) -> Assumed {
    Assumed {
        subject: "air".into(),
        what: format!("{} at the place `{}`", usual_air().at(place), place.word()),
        source: Source::new("usual air temperatures", "", Standing::Judgement),
    }
}

/// Tinned or plain copper.
fn tin(system: SizeSystem) -> Assumed {
    Assumed {
        subject: "wire".into(),
        what: match system {
            SizeSystem::Awg => "AWG boat cable is tinned",
            SizeSystem::Sae => "SAE primary wire is plain copper",
            SizeSystem::Metric => "metric marine cable is tinned",
        }
        .into(),
        source: Source::new("trade habit", "", Standing::CommonPractice),
    }
}
