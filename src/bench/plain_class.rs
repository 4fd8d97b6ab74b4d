//! Classes that stand in no table of devices: a battery, a charger, a fuse by its
//! family and rating, a breaker, switches, and joints.

use super::part::{BatteryPart, FusePart, PlugPart, SwitchPart};
use super::{Kind, Refused, Subject};
use crate::circuit::{Battery, Breaker, Charger, Diode, Fuse, Given, Plug, SwitchKind};
use crate::devices::{battery_alone, breaker_alone, diode_alone, fuse_alone, plug_alone};
use crate::findings::Assumed;
use crate::quantities::{Amps, Celsius, Fraction};
use crate::span::Span;
use crate::tables::OutOfTable;
use crate::tables::batteries::Chemistry;
use crate::tables::contacts::{ContactKind, contact};
use crate::tables::fuses::{FuseStyle, breaker_ratings, standard_ratings};

/// Such classes; N stands for amperes.
pub const PLAIN_CLASSES: [&str; 13] = [
    "battery",
    "charger",
    "blade fuse N A",
    "mini-blade fuse N A",
    "high-current-blade fuse N A",
    "strip fuse N A",
    "glass fuse N A",
    "slow-glass fuse N A",
    "breaker N A",
    "rocker switch",
    "battery switch",
    "plug",
    "diode",
];

impl Subject {
    /// A class of this kind; none for one of a table of devices.
    pub(super) fn of_plain_class(class: &str, air: Celsius) -> Option<Result<Self, Refused>> {
        let found = match class {
            "battery" => battery(class, air),
            "charger" => Self::of_charger(&Charger::default(), class),
            "rocker switch" => switch(class, ContactKind::RockerSwitch),
            "battery switch" => switch(class, ContactKind::MasterSwitch),
            "plug" => plug(class),
            "diode" => diode_alone(&Diode::default(), class)
                .map(|(model, assumed)| Self::named(class, class, Kind::Diode(model), assumed)),
            _ => return rated(class, air),
        };
        Some(found.map_err(Refused::from))
    }
}

/// Fuse or breaker by its rating: `blade fuse 15 A`.
fn rated(class: &str, air: Celsius) -> Option<Result<Subject, Refused>> {
    let amps = class.strip_suffix('A')?.trim_end();
    let (family, rating) = amps.rsplit_once(' ')?;
    let rating = Amps::new(rating.parse().ok()?);
    if family == "breaker" {
        return Some(breaker(class, rating, air));
    }
    let style = FuseStyle::from_word(family.strip_suffix(" fuse")?)?;
    Some(fuse(class, style, rating, air))
}

fn fuse(class: &str, style: FuseStyle, rating: Amps, air: Celsius) -> Result<Subject, Refused> {
    made(
        rating,
        &standard_ratings(style)?.value,
        &format!("{style} fuse"),
    )?;
    let (model, assumed) = fuse_alone(&Fuse::new(style, rating), class, air)?;
    let part = FusePart {
        name: class.to_owned(),
        style,
        model,
        label: None,
        carries: Vec::new(),
    };
    Ok(Subject::named(
        class,
        class,
        Kind::Fuses(vec![part]),
        assumed,
    ))
}

fn breaker(class: &str, rating: Amps, air: Celsius) -> Result<Subject, Refused> {
    made(rating, &breaker_ratings()?.value, "breaker")?;
    let spec = Breaker {
        rating: Given::new(rating, Span::default()),
        reset: None,
        label: None,
        keep: false,
    };
    let (model, assumed) = breaker_alone(&spec, class, air)?;
    Ok(Subject::named(class, class, Kind::Breaker(model), assumed))
}

/// Refuses a rating its family is not made in.
fn made(rating: Amps, ratings: &[Amps], family: &str) -> Result<(), Refused> {
    if ratings.contains(&rating) {
        return Ok(());
    }
    let listed: Vec<String> = ratings.iter().map(|r| r.si().to_string()).collect();
    Err(Refused::NotMade {
        family: family.to_owned(),
        rating,
        known: listed.join(", "),
    })
}

fn switch(class: &str, kind: ContactKind) -> Result<Subject, OutOfTable> {
    let found = contact(kind)?;
    let band = found.value;
    let assumed = Assumed {
        subject: class.to_owned(),
        what: format!("contact {} ({} to {})", band.typical, band.low, band.high),
        source: found.source,
    };
    let part = SwitchPart {
        contact: band,
        kind: SwitchKind::Simple {
            normally_closed: false,
        },
        terminals: vec!["in".to_owned(), "out".to_owned()],
        heavy: kind == ContactKind::MasterSwitch,
    };
    Ok(Subject::named(
        class,
        "switch",
        Kind::Switch(part),
        vec![assumed],
    ))
}

fn plug(class: &str) -> Result<Subject, OutOfTable> {
    let spec = Plug {
        pins: vec!["1".to_owned()],
        contact: None,
        unplugged: false,
    };
    let (contact, assumed) = plug_alone(&spec, class)?;
    let kind = Kind::Plug(PlugPart {
        contact,
        pins: spec.pins,
    });
    Ok(Subject::named(class, class, kind, assumed))
}

fn battery(class: &str, air: Celsius) -> Result<Subject, OutOfTable> {
    let (model, assumed) = battery_alone(&Battery::default(), class, air)?;
    let part = BatteryPart {
        model,
        chemistry: Some(Chemistry::Flooded),
        charge: Fraction::new(1.0),
        temperature: air,
        cranks: None,
    };
    Ok(Subject::named(class, class, Kind::Battery(part), assumed))
}
