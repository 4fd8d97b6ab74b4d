//! Other loads: electronics, lamps, resistances.
//!
//! Constant power or current holds above the cut-off; below it the load is
//! taken as a resistance, so that a starved circuit still has an answer.

use super::battery::judged;
use super::shelf::{Shelf, in_words};
use crate::circuit::{Load, LoadLaw};
use crate::network::{Conductor, ConstantCurrent, ConstantPower, Lamp, Parameters};
use crate::quantities::{Amps, Band, Ohms, Volts, Watts};
use crate::tables::OutOfTable;
use crate::tables::devices::{self, load_class};

/// How a load's current follows its volts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LoadShape {
    /// The same power at any volts.
    Power(Band<Watts>),
    /// The same current at any volts.
    Current(Band<Amps>),
    /// A resistance.
    Resistance(Band<Ohms>),
    /// A filament.
    Lamp {
        /// Volts its current belongs to.
        nominal_v: f64,
        /// Current at those volts.
        current: Band<Amps>,
    },
}

/// Electrical figures of a load.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadModel {
    /// Its law.
    pub shape: LoadShape,
    /// Volts below which electronics act as a resistance.
    pub cut_off: Band<Volts>,
}

/// Cut-off where neither file nor class names one.
const CUT_OFF_V: f64 = 6.0;

pub(super) fn resolve(
    spec: &Load,
    subject: &str,
    nominal: Volts,
    shelf: &mut Shelf,
) -> Result<LoadModel, OutOfTable> {
    let mut cut_off = judged(Band::exactly(Volts::new(CUT_OFF_V)), "electronics give up");
    let shape = match &spec.law.value {
        LoadLaw::Class(name) => {
            let class = load_class(name)?;
            if let Some(volts) = class.value.cut_off {
                cut_off = class.clone().map(|_| Band::exactly(volts));
            }
            let what = format!(
                "draws {} at {}",
                in_words(&class.value.current),
                class.value.at
            );
            shelf.note(subject, what, class.source.clone());
            of_class(&class.value)
        }
        LoadLaw::Power(power) => LoadShape::Power(*power),
        LoadLaw::Current(current) => LoadShape::Current(*current),
        LoadLaw::Resistance(ohms) => LoadShape::Resistance(*ohms),
        LoadLaw::Lamp(power) => {
            let current = Band::new(
                power.low / nominal,
                power.typical / nominal,
                power.high / nominal,
            );
            LoadShape::Lamp {
                nominal_v: nominal.si(),
                current,
            }
        }
    };
    let cut_off = match (&shape, &spec.cut_off) {
        (LoadShape::Power(_) | LoadShape::Current(_), given) => {
            shelf.take(given.as_ref(), subject, "cut-off", cut_off)
        }
        _ => cut_off.value,
    };
    Ok(LoadModel { shape, cut_off })
}

impl LoadModel {
    /// The branch law of the network at typical figures.
    pub fn branch(&self) -> Parameters {
        self.branch_of(&mut |band: Band<f64>| band.typical)
    }

    /// The branch law of one specimen, each range narrowed to what `pick` takes.
    pub fn branch_of(&self, pick: &mut impl FnMut(Band<f64>) -> f64) -> Parameters {
        let cut_off_v = pick(self.cut_off.si());
        match &self.shape {
            LoadShape::Power(power) => ConstantPower {
                p_w: pick(power.si()),
                v_cut_v: cut_off_v,
            }
            .into(),
            LoadShape::Current(current) => ConstantCurrent {
                i_a: pick(current.si()),
                v_cut_v: cut_off_v,
            }
            .into(),
            LoadShape::Resistance(ohms) => Conductor {
                conductance_s: 1.0 / pick(ohms.si()),
            }
            .into(),
            LoadShape::Lamp { nominal_v, current } => Lamp {
                v_nominal_v: *nominal_v,
                i_nominal_a: pick(current.si()),
            }
            .into(),
        }
    }
}

fn of_class(class: &devices::LoadClass) -> LoadShape {
    match class.law {
        devices::LoadLaw::Power => LoadShape::Power(class.power()),
        devices::LoadLaw::Resistance => class
            .resistance()
            .map_or(LoadShape::Current(class.current), LoadShape::Resistance),
        devices::LoadLaw::Lamp => LoadShape::Lamp {
            nominal_v: class.at.si(),
            current: class.current,
        },
        devices::LoadLaw::Current | devices::LoadLaw::None => LoadShape::Current(class.current),
    }
}
