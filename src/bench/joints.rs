//! Steps for joints: plugs, studs, and diodes.

use super::assembly::{Sheet, by_meter, on_rig, positive};
use super::fuses::ANY_LAMP;
use super::lamp::{across, current_of, lamp_for, volts_words};
use super::part::{Fastened, PlugPart};
use super::preparation::{battery_step, figures, tagged};
use super::rig::{Rig, read};
use super::steps::{Jack, Procedure, Reading, Step, Unit};
use super::{Draws, Refused, Subject};
use crate::devices::DiodeModel;
use crate::quantities::print::nominal;
use crate::quantities::{Band, Volts};
use crate::tables::contacts::{ContactKind, contact, faulty};
use crate::tables::drops::service_limit;
use crate::tables::readings::bench_limit;

/// Limit of a joint at its load current: a row of `service-drop-limits`.
const JOINT_DROP: &str = "each clean joint at load current";

/// Steps for a plug.
pub(super) fn plug(
    subject: &Subject,
    part: &PlugPart,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let lamp = lamp_for(ANY_LAMP)?.value;
    let pin = part.contact.si();
    let under = across(rig, &lamp, draws, |pick, current_a| current_a * pick(pin))?;
    let bad = faulty(ContactKind::SealedPin)?.value;
    let mut loaded = Step::new(format!(
        "Plug together, its wires off the harness or its loads unplugged: lead with a {} fuse and its switch, then one pin, then a {}, then minus. Millivolts from the back of one half to the back of the other; wiggle it.",
        nominal(rig.fuse.rating),
        lamp.name
    ))
    .cautions(tagged(&["switch-far", "fuse-lead", "lamp-hot", "vapour"])?)
    .meter(Jack::Millivolts)
    .outside("more than a sound pin: unplug it and plug it in ten times and read again; what stays is a pin on its way, clean it")
    .outside(format!(
        "over {}, or jumping: clean, close the socket, crimp anew",
        current_of(&lamp) * bad
    ))
    .stop_if("it gets warm");
    for name in &part.pins {
        let quantity = format!("volts across pin `{name}`");
        loaded = loaded.expect(Reading::computed(
            &quantity,
            positive(under.across),
            Unit::Volts,
        ));
    }
    let open = bench_limit("open contact of a switch")?
        .value
        .low
        .unwrap_or(1e6);
    let steps = vec![
        Step::new("Battery minus off. Pull it apart; look into both halves for green, brown, bent or pushed-back pins and water; tug each wire.")
            .cautions(tagged(&["neg-first", "relieve"])?)
            .outside("water: dry it, find where it came in, and new seals before it goes together"),
        Step::new("Apart, on the loose half: ohms from each pin to every other.")
            .meter(Jack::Ohms)
            .expect(Reading::at_least("pin to pin, nothing behind them", open, Unit::Ohms))
            .outside("lower: wet or tracked; a load behind the two pins reads its own ohms and is no fault"),
        battery_step(rig, draws)?,
        loaded,
        Step::new("Never through the insulation: a probe hole rots the wire. Back together until it snaps."),
    ];
    let sheet = Sheet {
        topics: &["tracing"],
        answer: format!(
            "a sound pin loses {} on a {} ({})",
            volts_words(under.across),
            lamp.name,
            current_of(&lamp)
        ),
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

/// Steps for a stud, bus bar or splice, where it sits.
pub(super) fn stud(
    subject: &Subject,
    wires: &[Fastened],
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let joint = contact(ContactKind::RingOnStud)?.value;
    let limit = Volts::new(service_limit(JOINT_DROP)?.value);
    let mut loaded = Step::new("Where it sits, the state named with each reading switched on: millivolts from each wire's ring or crimp to the metal of the stud.")
        .cautions(tagged(&["vapour", "amps-jack", "rotate"])?)
        .meter(Jack::Millivolts)
        .outside(format!(
            "over {limit}: off with it, bright metal, star washer, tighten, grease over the top"
        ));
    for wire in wires {
        let quantity = format!(
            "wire to `{}` in `{}`, about {}",
            wire.other_end, wire.state, wire.current
        );
        let volts = figures(&joint.scaled(wire.current.si()), draws, |draws, volts| {
            read(draws, &rig.millivolts_error, volts)
        });
        loaded = loaded.expect(Reading::computed(&quantity, positive(volts), Unit::Volts));
    }
    if wires.is_empty() {
        loaded = loaded.expect(Reading::at_most("any joint of it", limit.si(), Unit::Volts));
    }
    let steps = vec![
        Step::new("Battery minus off. Look and tug: green, rust, paint under a ring, a loose nut, too many rings.")
            .cautions(tagged(&["neg-first", "short"])?),
        loaded,
        Step::new("Unloaded volts or ohms prove nothing here: 20 mohm lose 0.1 V at 5 A and 2 mV at 0.1 A. Always under load."),
    ];
    let sheet = Sheet {
        topics: &["tracing"],
        answer: format!(
            "a clean joint loses at most {limit} at its load current, mostly a few millivolts"
        ),
        steps,
        ..Sheet::default()
    };
    Ok(by_meter(subject, rig, draws, sheet))
}

/// Steps for a diode.
pub(super) fn diode(
    subject: &Subject,
    model: &DiodeModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let limits = bench_limit("silicon diode, diode range, one way")?.value;
    let ends = |end: Option<f64>, usual| Volts::new(end.unwrap_or(usual));
    let small = Band::between(ends(limits.low, 0.4), ends(limits.high, 0.75));
    let small = figures(&small, draws, |draws, volts| {
        read(draws, &rig.volts_error, volts)
    });
    let lamp = lamp_for(ANY_LAMP)?.value;
    let drop = model.drop.si();
    // The working drop hardly follows the current.
    let under = across(rig, &lamp, draws, |pick, _| pick(drop))?;
    let steps = vec![
        Step::new("Battery minus off, one end of it off: red lead on the anode, black on the cathode; then swapped.")
            .cautions(tagged(&["neg-first", "polarity"])?)
            .meter(Jack::Diode)
            .expect(Reading::computed("anode to cathode", small, Unit::Volts))
            .sign("swapped: open")
            .outside("near zero both ways: shorted; open both ways: open"),
        battery_step(rig, draws)?,
        Step::new(format!(
            "Lead with a {} fuse and its switch onto the anode, the cathode through a {} to minus. Volts from anode to cathode.",
            nominal(rig.fuse.rating),
            lamp.name
        ))
        .cautions(tagged(&["switch-far", "fuse-lead", "lamp-hot", "vapour"])?)
        .meter(Jack::Volts)
        .expect(Reading::computed("volts under load", under.across, Unit::Volts))
        .sign("swapped, the lamp stays dark")
        .outside("half of it: a Schottky kind, sound if it stays dark swapped")
        .stop_if("it gets too hot to hold: it needs its heat sink"),
    ];
    let sheet = Sheet {
        topics: &["tracing"],
        answer: format!(
            "a sound one loses {} under a {} one way and is open the other",
            volts_words(under.across),
            lamp.name
        ),
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}
