//! The words fields take, and what they stand for.

use super::measured::Measured;
use crate::circuit::{
    BenchMeter, Condition, DropBasis, Engine, Fuel, FuseBasis, Place, Reset, Suppression, Winding,
};
use crate::tables::batteries::Chemistry;
use crate::tables::fuses::FuseStyle;

pub(super) const PLACES: &[(Place, &str)] = &[
    (Place::Boat, "boat"),
    (Place::EngineSpace, "engine-space"),
    (Place::Bench, "bench"),
];
pub(super) const MEASURED: &[(Measured, &str)] = &[
    (Measured::Volts, "volts"),
    (Measured::Millivolts, "millivolts"),
    (Measured::Amps, "amps"),
];
pub(super) const CHEMISTRIES: &[(Chemistry, &str)] = &[
    (Chemistry::Flooded, Chemistry::Flooded.word()),
    (Chemistry::Agm, Chemistry::Agm.word()),
    (Chemistry::Gel, Chemistry::Gel.word()),
];
pub(super) const STYLES: &[(FuseStyle, &str)] = &[
    (FuseStyle::Blade, FuseStyle::Blade.word()),
    (FuseStyle::MiniBlade, FuseStyle::MiniBlade.word()),
    (
        FuseStyle::HighCurrentBlade,
        FuseStyle::HighCurrentBlade.word(),
    ),
    (FuseStyle::Strip, FuseStyle::Strip.word()),
    (FuseStyle::Glass, FuseStyle::Glass.word()),
    (FuseStyle::SlowGlass, FuseStyle::SlowGlass.word()),
];
pub(super) const WINDINGS: &[(Winding, &str)] = &[
    (Winding::Grounded, "grounded"),
    (Winding::Floating, "floating"),
];
pub(super) const RESETS: &[(Reset, &str)] = &[
    (Reset::Manual, "manual"),
    (Reset::Automatic, "automatic"),
    (Reset::Modified, "modified"),
];
pub(super) const SUPPRESSIONS: &[(Suppression, &str)] = &[
    (Suppression::None, "none"),
    (Suppression::Resistor, "resistor"),
    (Suppression::Diode, "diode"),
];
/// Whether the contact is made when nothing acts on it.
pub(super) const NORMALLY: &[(bool, &str)] = &[(false, "open"), (true, "closed")];
pub(super) const ENGINES: &[(Engine, &str)] = &[
    (Engine::Outboard, "outboard"),
    (Engine::Inboard, "inboard"),
    (Engine::Sterndrive, "sterndrive"),
];
pub(super) const FUELS: &[(Fuel, &str)] = &[(Fuel::Petrol, "petrol"), (Fuel::Diesel, "diesel")];
pub(super) const DROP_BASES: &[(DropBasis, &str)] = &[
    (DropBasis::Abyc, "abyc"),
    (DropBasis::Iso, "iso"),
    (DropBasis::Physical, "physical"),
];
pub(super) const FUSE_BASES: &[(FuseBasis, &str)] = &[
    (FuseBasis::LoadAnd100, "load-and-100"),
    (FuseBasis::Cfr150, "cfr-150"),
    (FuseBasis::Iso100, "iso-100"),
];
pub(super) const METERS: &[(BenchMeter, &str)] =
    &[(BenchMeter::Clamp, "clamp"), (BenchMeter::Jack, "jack")];

macro_rules! lists {
    ($($name:ident from $table:expr;)*) => {
        $(pub(super) fn $name() -> Vec<&'static str> {
            $table.iter().map(|(_, word)| *word).collect()
        })*
    };
}

lists! {
    places from PLACES;
    measured from MEASURED;
    chemistries from CHEMISTRIES;
    styles from STYLES;
    windings from WINDINGS;
    resets from RESETS;
    suppressions from SUPPRESSIONS;
    normally from NORMALLY;
    engines from ENGINES;
    fuels from FUELS;
    drop_bases from DROP_BASES;
    fuse_bases from FUSE_BASES;
    meters from METERS;
    conditions from Condition::ALL;
}

/// What a word stands for.
pub(super) fn meaning<T: Copy>(table: &[(T, &'static str)], word: &str) -> Option<T> {
    table
        .iter()
        .find(|(_, known)| *known == word)
        .map(|(meaning, _)| *meaning)
}
