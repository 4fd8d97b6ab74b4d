//! The part on the bench, of a file or of a class: for `bench` and `interpret`.

use super::rig::RigArgs;
use super::{Failure, Loaded};
use crate::bench::{Kind, Options, PLAIN_CLASSES, Refused, Subject, air, classes, testable};
use crate::tables::devices::{ClassKind, class_names};

/// Names of the parts of a circuit that have bench steps.
pub(super) fn has_steps(loaded: &Loaded) -> Vec<&str> {
    let parts = loaded.circuit.parts.iter();
    parts
        .filter(|part| testable(part))
        .map(|part| part.name.as_str())
        .collect()
}

/// A part of a circuit, or one fuse of a block: `helm.pump`.
pub(super) fn of_part(loaded: &Loaded, name: &str, options: &Options) -> Result<Subject, Failure> {
    let circuit = &loaded.circuit;
    let air = air(Some(circuit), options);
    let list = || format!("this file has: {}", has_steps(loaded).join(", "));
    if let Some((block, slot)) = name.split_once('.')
        && let Some(id) = circuit.find(block)
        && let Ok(subject) = Subject::of_part(circuit, id, air)
        && let Some(one) = subject.slot(slot)
    {
        return Ok(one);
    }
    let Some(id) = circuit.find(name) else {
        return Err(Failure::unknown("part", name, has_steps(loaded), list()));
    };
    Subject::of_part(circuit, id, air).map_err(|why| match why {
        Refused::NoSteps { .. } => Failure::Refused(format!("{why}; {}", list())),
        other => Failure::Refused(other.to_string()),
    })
}

/// A class alone.
pub(super) fn of_class(rig: &RigArgs, options: &Options) -> Result<Subject, Failure> {
    let class = rig.class.clone().unwrap_or_default();
    let asked = |class: &str| Subject::of_class(class, air(None, options));
    // Capitals are no other class.
    let found = asked(&class).or_else(|why| asked(&class.to_lowercase()).map_err(|_| why));
    found.map_err(|why| {
        if matches!(why, Refused::NotMade { .. }) {
            return Failure::Refused(why.to_string());
        }
        let names = [
            ClassKind::Pump,
            ClassKind::Motor,
            ClassKind::Relay,
            ClassKind::Solenoid,
            ClassKind::Load,
        ]
        .map(class_names)
        .concat();
        let usual_fuses = ["blade fuse 15 A", "breaker 50 A"];
        let names = [names.as_slice(), &PLAIN_CLASSES, &usual_fuses].concat();
        let meant = everyday(&class).map_or_else(String::new, |meant| {
            format!("ask for {}; all ", meant.join(" or "))
        });
        let list = format!(
            "{meant}classes with bench steps: {}, {}",
            classes().join(", "),
            PLAIN_CLASSES.join(", ")
        );
        Failure::unknown("class", &class, names, list)
    })
}

/// What a shop calls a part, and the classes that may be meant.
const EVERYDAY: [(&str, &[&str]); 17] = [
    ("relay", &["\"plug-in\"", "\"starter-solenoid\""]),
    (
        "solenoid",
        &["\"starter-solenoid\"", "\"shift-solenoid\"", "\"primer\""],
    ),
    (
        "fuel pump",
        &[
            "\"high-pressure fuel pump\"",
            "\"rotary lift pump\"",
            "\"solenoid lift pump\"",
        ],
    ),
    (
        "lift pump",
        &["\"rotary lift pump\"", "\"solenoid lift pump\""],
    ),
    (
        "pump",
        &["\"high-pressure fuel pump\"", "\"bilge pump 500 gal/h\""],
    ),
    (
        "bilge pump",
        &["\"bilge pump 500 gal/h\", with its own gal/h"],
    ),
    (
        "livewell pump",
        &["\"livewell pump 500 gal/h\", with its own gal/h"],
    ),
    ("starter", &["\"starter 40 hp\", with the engine's own hp"]),
    (
        "starter motor",
        &["\"starter 40 hp\", with the engine's own hp"],
    ),
    ("trim motor", &["\"trim\""]),
    ("tilt motor", &["\"trim\""]),
    ("stator", &["\"charger\""]),
    ("rectifier", &["\"charger\""]),
    ("regulator", &["\"charger\""]),
    ("coil", &["\"ignition coil\""]),
    ("switch", &["\"rocker switch\""]),
    ("fuse", &["\"blade fuse 15 A\", with its own rating"]),
];

/// The classes that an everyday word may mean.
fn everyday(class: &str) -> Option<&'static [&'static str]> {
    let class = class.trim().to_lowercase();
    let found = EVERYDAY.iter().find(|(word, _)| *word == class);
    found.map(|(_, meant)| *meant)
}

/// A starter hangs on jump cables: no fuse, and no ampere jack, in them.
pub(super) fn no_thin_lead(rig: &RigArgs, subject: &Subject) -> Result<(), Failure> {
    let heavy = matches!(subject.kind, Kind::Starter(_));
    if heavy && rig.asks_for_thin_lead() {
        return Err(Failure::Refused(format!(
            "{} is tested through jump cables with a large clamp: no `--inline-fuse`, no ampere jack in them",
            subject.in_words()
        )));
    }
    Ok(())
}
