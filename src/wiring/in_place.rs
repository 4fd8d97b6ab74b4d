//! A wire where it lies: what it may carry and how warm it gets.

use crate::circuit::{Ambient, Place};
use crate::devices::{Allowed, Laid, WireModel, usual_tin};
use crate::findings::Assumed;
use crate::quantities::{Amps, Band, Celsius, Metres, Ohms, SizeSystem, WireSize};
use crate::sources::{Source, Standing};
use crate::tables::OutOfTable;

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
/// # Limits
/// Below 50 V the bundle factor is advice; it is applied here all the same.
///
/// # Errors
/// When the size, the insulation or the bundle is in no table.
pub fn in_place(size: WireSize, length: Metres, lay: &Lay) -> Result<InPlace, OutOfTable> {
    let laid = Laid {
        size,
        tinned: usual_tin(size.system()).0,
        length: Band::exactly(length),
        joints: Band::exactly(Ohms::new(0.0)),
        insulation: lay.insulation,
        place: lay.place,
        ambient: usual_air().at(lay.place),
        bundle: lay.bundle.max(1),
    };
    let allowed = Allowed::of(&laid)?;
    Ok(InPlace {
        size,
        model: WireModel::new(&laid)?,
        table: allowed.table.value,
        carries: allowed.bundled,
        class: allowed.class,
        source: allowed.table.source,
    })
}

fn usual_air() -> Ambient {
    Ambient::default()
}

/// Defaults that enter the figures of a wire.
pub fn assumed_of(system: SizeSystem, lay: &Lay) -> Vec<Assumed> {
    let mut assumed = Vec::new();
    if lay.insulation.is_none() {
        assumed.push(unknown_insulation());
    }
    assumed.push(air(lay.place));
    assumed.push(tin(system));
    if lay.bundle > 1 {
        assumed.push(bundled());
    }
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
    let (_, what) = usual_tin(system);
    Assumed {
        subject: "wire".into(),
        what: what.value.into(),
        source: what.source,
    }
}

/// The bundle factor, which the law asks from 50 V on only.
fn bundled() -> Assumed {
    Assumed {
        subject: "bundle".into(),
        what: "its factor is counted, though the law asks it from 50 V on only; bundled wires heat each other all the same".into(),
        source: Source::new("33 CFR 183.435(b)", "applied below 50 V", Standing::Judgement),
    }
}
