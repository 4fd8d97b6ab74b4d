//! Fields of a part to the device they describe, kind by kind.

use super::codes;
use super::draft::Draft;
use super::known;
use super::roster::Roster;
use super::selector;
use super::sink::Sink;
use super::slots;
use super::value::Record;
use super::words;
use crate::circuit::{
    Battery, Breaker, Charger, Device, Diode, Driver, Fuse, Given, Load, LoadLaw, MotorSpec,
    PartId, PartKind, Plug, Relay, Solenoid, Switch, SwitchKind, WorkingPoint,
};
use crate::findings::Finding;
use crate::quantities::Amps;
use crate::tables::fuses::FuseStyle;

/// Makes the device; `None` where something it needs is missing or wrong,
/// which was reported.
pub(super) fn device(out: &mut Sink, roster: &Roster, part: PartId) -> Option<Device> {
    let draft = roster.draft(part);
    let record = &draft.record;
    Some(match draft.kind {
        PartKind::Battery => Device::Battery(battery(record)),
        PartKind::Charger => Device::Charger(charger(record)),
        PartKind::Fuse => Device::Fuse(fuse(out, draft)?),
        PartKind::FuseBlock => Device::FuseBlock(slots::block(out, roster, part)?),
        PartKind::Breaker => Device::Breaker(breaker(record)?),
        PartKind::Switch => Device::Switch(switch(out, draft)?),
        PartKind::Relay => Device::Relay(relay(record)),
        PartKind::Driver => Device::Driver(Driver {
            channels: draft
                .ports
                .iter()
                .map(|port| port.name.clone())
                .filter(|name| name != "out")
                .collect(),
            drop: record.range("drop"),
        }),
        PartKind::Pump => Device::Pump(motor(record)),
        PartKind::Motor => Device::Motor(motor(record)),
        PartKind::Solenoid => Device::Solenoid(Solenoid {
            class: record.text("class"),
            coil: record.range("coil"),
            pull: record.range("pull"),
            hold: record.range("hold"),
        }),
        PartKind::Load => Device::Load(load(record)?),
        PartKind::Diode => Device::Diode(Diode {
            drop: record.range("drop"),
        }),
        PartKind::Stud => Device::Stud,
        PartKind::Plug => Device::Plug(plug(draft)),
    })
}

fn flag(record: &Record, key: &str) -> bool {
    record.flag(key).is_some_and(|given| given.value)
}

fn battery(record: &Record) -> Battery {
    Battery {
        chemistry: record.word("chemistry", words::CHEMISTRIES),
        cold_cranking: record.range("cold-cranking"),
        capacity: record.range("capacity"),
        charge: record.range("charge"),
        temperature: record.range("temperature"),
        open_volts: record.range("open-volts"),
        resistance: record.range("resistance"),
    }
}

fn charger(record: &Record) -> Charger {
    Charger {
        output: record.range("output"),
        set_point: record.range("set-point"),
        winding: record.word("winding", words::WINDINGS),
        regulated: record.flag("regulated"),
    }
}

fn fuse(out: &mut Sink, draft: &Draft) -> Option<Fuse> {
    let record = &draft.record;
    let fuse = Fuse {
        style: record.word("style", words::STYLES)?,
        rating: record.figure("rating")?,
        label: record.figure("label"),
        keep: flag(record, "keep"),
    };
    rating_is_made(out, &draft.name.text, fuse.style.value, fuse.rating);
    Some(fuse)
}

/// Cautions where a family is not made in a rating.
pub(super) fn rating_is_made(out: &mut Sink, subject: &str, style: FuseStyle, rating: Given<Amps>) {
    let Some((below, above)) = known::not_made(style, rating.value) else {
        return;
    };
    let near: Vec<String> = [below, above]
        .into_iter()
        .flatten()
        .map(|a| a.to_string())
        .collect();
    let family = words::STYLES
        .iter()
        .find(|(known, _)| *known == style)
        .map_or("", |(_, word)| word);
    out.push(
        Finding::new(
            codes::RATING_NOT_MADE,
            subject,
            format!("no `{family}` fuse of {} is made", rating.value),
        )
        .with_label(rating.span, "not a stock rating")
        .with_hint(format!(
            "the nearest made: {}; read the figure on the fuse again",
            near.join(" and ")
        )),
    );
}

fn breaker(record: &Record) -> Option<Breaker> {
    Some(Breaker {
        rating: record.figure("rating")?,
        reset: record.word("reset", words::RESETS),
        label: record.figure("label"),
        keep: flag(record, "keep"),
    })
}

fn switch(out: &mut Sink, draft: &Draft) -> Option<Switch> {
    let record = &draft.record;
    let contact = record.range("contact");
    if record.key("terminals").is_none() && record.key("positions").is_none() {
        let normally_closed = record
            .word("normally", words::NORMALLY)
            .is_some_and(|given| given.value);
        return Some(Switch {
            kind: SwitchKind::Simple { normally_closed },
            contact,
        });
    }
    let positions = selector::positions(out, draft)?;
    Some(Switch {
        kind: SwitchKind::Selector { positions },
        contact,
    })
}

fn relay(record: &Record) -> Relay {
    Relay {
        class: record.text("class"),
        coil: record.range("coil"),
        pull_in: record.range("pull-in"),
        drop_out: record.range("drop-out"),
        contact: record.range("contact"),
        suppression: record.word("suppression", words::SUPPRESSIONS),
    }
}

fn motor(record: &Record) -> MotorSpec {
    MotorSpec {
        class: record.text("class"),
        at: record.table("at").and_then(working_point),
        locked: record.range("locked"),
        dry: record.range("dry"),
        resistance: record.range("resistance"),
        bars: record.count("bars"),
        max_fuse: record.figure("max-fuse"),
    }
}

fn working_point(record: &Record) -> Option<WorkingPoint> {
    Some(WorkingPoint {
        voltage: record.range("voltage")?,
        current: record.range("current")?,
        pressure: record.range("pressure"),
        speed: record.range("speed"),
    })
}

/// The fields of which a load has exactly one.
const LAWS: [&str; 5] = ["class", "power", "current", "resistance", "lamp"];

fn load(record: &Record) -> Option<Load> {
    let mut written = LAWS.into_iter().filter(|key| record.key(key).is_some());
    let (first, None) = (written.next()?, written.next()) else {
        return None;
    };
    Some(Load {
        law: law(record, first)?,
        inrush: record.range("inrush"),
        cut_off: record.range("cut-off"),
        max_fuse: record.figure("max-fuse"),
    })
}

fn law(record: &Record, key: &str) -> Option<Given<LoadLaw>> {
    let span = record.entry(key)?.span;
    let law = match key {
        "class" => LoadLaw::Class(record.text(key)?.value),
        "power" => LoadLaw::Power(record.range(key)?.value),
        "current" => LoadLaw::Current(record.range(key)?.value),
        "resistance" => LoadLaw::Resistance(record.range(key)?.value),
        _ => LoadLaw::Lamp(record.range(key)?.value),
    };
    Some(Given::new(law, span))
}

fn plug(draft: &Draft) -> Plug {
    Plug {
        pins: draft
            .ports
            .iter()
            .step_by(2)
            .map(|port| port.name.clone())
            .collect(),
        contact: draft.record.range("contact"),
        unplugged: flag(&draft.record, "unplugged"),
    }
}
