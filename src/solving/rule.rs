//! The rule's resistance of a wire, and the limit a load is held against.

use crate::circuit::{Circuit, Device, DropBasis, LoadLaw, MotorSpec, PartId, PartKind};
use crate::devices::WireModel;
use crate::sources::Source;
use crate::tables::OutOfTable;
use crate::tables::drops::{self, rule_constant};

/// Resistance of a wire as the drop rule counts it, ohms.
///
/// # Errors
/// When the table of constants cannot be read.
pub fn rule_ohm(basis: DropBasis, wire: &WireModel, rms_a: f64) -> Result<f64, OutOfTable> {
    let per_basis = |basis| {
        let constant = rule_constant(basis)?;
        Ok(constant.value.rho_ohm_mm2_per_m * wire.length.typical.si() / wire.area_mm2)
    };
    match basis {
        DropBasis::Abyc => per_basis(drops::DropBasis::Abyc),
        DropBasis::Iso => per_basis(drops::DropBasis::Iso),
        DropBasis::Physical => Ok(wire.copper_at(rms_a)),
    }
}

/// The citation of a basis.
///
/// # Errors
/// When the table of constants cannot be read.
pub fn basis_source(basis: DropBasis) -> Result<Source, OutOfTable> {
    match basis {
        DropBasis::Abyc => Ok(rule_constant(drops::DropBasis::Abyc)?.source),
        DropBasis::Iso => Ok(rule_constant(drops::DropBasis::Iso)?.source),
        DropBasis::Physical => Ok(Source::new(
            "copper at its own temperature",
            "33 CFR 183.425 table 5 for its heat",
            crate::sources::Standing::Derived,
        )),
    }
}

/// Classes of load that the tighter limit holds for.
const CRITICAL_LOADS: [&str; 8] = [
    "engine control unit",
    "ignition coil",
    "navigation light",
    "anchor light",
    "radio",
    "chart plotter",
    "fish finder",
    "warning horn",
];

/// Drop limit of a part, percent of nominal; none where no drop rule applies.
pub(super) fn limit_pct(circuit: &Circuit, part: PartId) -> Option<f64> {
    let limits = &circuit.limits;
    let critical = limits.drop_critical.si() * 100.0;
    let other = limits.drop_other.si() * 100.0;
    if limits.critical.contains(&part) {
        return Some(critical);
    }
    let class = |spec: &MotorSpec| {
        spec.class
            .as_ref()
            .map_or(String::new(), |given| given.value.clone())
    };
    match &circuit.part(part).device {
        Device::Pump(spec) => {
            let name = class(spec);
            Some(
                if name.starts_with("livewell") || name.starts_with("washdown") {
                    other
                } else {
                    critical
                },
            )
        }
        Device::Motor(spec) => {
            let name = class(spec);
            match name.as_str() {
                name if name.starts_with("starter") => None,
                "blower" => Some(critical),
                _ => Some(other),
            }
        }
        Device::Solenoid(spec) => {
            let injector = spec
                .class
                .as_ref()
                .is_some_and(|given| given.value.ends_with("injector"));
            Some(if injector { critical } else { other })
        }
        Device::Load(load) => match &load.law.value {
            LoadLaw::Class(name) if CRITICAL_LOADS.contains(&name.as_str()) => Some(critical),
            LoadLaw::Power(_) => Some(critical),
            _ => Some(other),
        },
        Device::FuseBlock(_) => Some(critical),
        _ => None,
    }
}

/// Kinds that get a reading of their own under `parts`.
pub(super) fn is_load(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::Pump | PartKind::Motor | PartKind::Solenoid | PartKind::Load
    )
}
