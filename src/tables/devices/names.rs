//! The names a class may have.

use crate::tables::table;

/// Kinds of class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ClassKind {
    /// `[pump.NAME]`.
    Pump,
    /// `[motor.NAME]`.
    Motor,
    /// `[relay.NAME]`.
    Relay,
    /// `[solenoid.NAME]`.
    Solenoid,
    /// `[load.NAME]`.
    Load,
}

/// Whole names a kind takes, with a usual number where there is one: for "did
/// you mean" and completions.
pub fn class_names(kind: ClassKind) -> Vec<&'static str> {
    match kind {
        ClassKind::Pump => vec![
            "high-pressure fuel pump",
            "rotary lift pump",
            "solenoid lift pump",
            "bilge pump 360 gal/h",
            "bilge pump 500 gal/h",
            "bilge pump 800 gal/h",
            "bilge pump 1100 gal/h",
            "bilge pump 1500 gal/h",
            "bilge pump 2000 gal/h",
            "bilge pump 3700 gal/h",
            "livewell pump 500 gal/h",
            "washdown pump",
        ],
        ClassKind::Motor => vec![
            "starter 10 hp",
            "starter 25 hp",
            "starter 50 hp",
            "starter 150 hp",
            "trim",
            "blower",
        ],
        ClassKind::Relay => column_of("relay-classes"),
        ClassKind::Solenoid => column_of("solenoid-classes"),
        ClassKind::Load => column_of("load-classes"),
    }
}

fn column_of(id: &str) -> Vec<&'static str> {
    table(id).map_or_else(Vec::new, |table| {
        (0..table.rows.len())
            .filter_map(|row| table.text(row, "class"))
            .collect()
    })
}

/// The class of a pump that says none.
pub const USUAL_PUMP: &str = "high-pressure fuel pump";

/// Whether a pump of a class pumps petrol: bilge, livewell and washdown pumps do not.
pub fn pumps_fuel(class: &str) -> bool {
    let water = ["bilge", "livewell", "washdown"];
    !water.iter().any(|word| class.starts_with(word))
}

/// Names with a number in them, for help texts: N is the reader's.
pub fn class_patterns(kind: ClassKind) -> &'static [&'static str] {
    match kind {
        ClassKind::Pump => &[
            "high-pressure fuel pump",
            "rotary lift pump",
            "solenoid lift pump",
            "bilge pump N gal/h",
            "livewell pump N gal/h",
            "washdown pump",
        ],
        ClassKind::Motor => &["starter N hp", "trim", "blower"],
        ClassKind::Relay => &[
            "plug-in",
            "micro plug-in",
            "starter-solenoid",
            "shift-solenoid",
        ],
        ClassKind::Solenoid => &[
            "injector",
            "low-impedance injector",
            "choke",
            "primer",
            "fuel valve",
            "vapour valve",
            "idle air valve",
        ],
        ClassKind::Load => &[
            "engine control unit",
            "ignition coil",
            "capacitor-discharge ignition",
            "gauge",
            "warning horn",
            "sensor heater",
            "sensors",
            "horn",
            "warning lamp",
            "navigation light",
            "anchor light",
            "cabin light",
            "radio",
            "chart plotter",
            "fish finder",
        ],
    }
}
