//! Steps for a relay, or the solenoid of a starter or shift.
//!
//! # Limits
//! Coil at the temperature of the bench: one that was on for minutes needs up
//! to a quarter more volts to close.

use super::assembly::{Sheet, on_rig, positive};
use super::circuit_loop::{Load, Settled, specimens, typical};
use super::preparation::{battery_step, figures, jack_limit, ohms_read, tagged};
use super::rig::{Rig, read};
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Run, Step, Unit};
use super::{Draws, Refused, SPECIMENS, Subject, chance, shift};
use crate::circuit::Suppression;
use crate::devices::RelayModel;
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Ohms, Volts};
use crate::tables::OutOfTable;
use crate::tables::contacts::{ContactKind, faulty};
use crate::tables::meters::Accuracy;

/// Ohms between open contacts at least: `relay-tests`.
const OPEN_OHM: f64 = 10e6;
/// Ohms a closed contact may read at most, with the leads: `relay-tests`.
const CLOSED_OHM: f64 = 0.5;
/// Current of the lamp that loads the contacts: 55 W at 12 V.
const LAMP: Amps = Amps::new(55.0 / 12.0);

/// What coil and contacts read on this rig.
struct Expected {
    /// Ohms of the coil with what lies across it.
    ohms: Band<f64>,
    /// Coil current in the rig.
    current: Band<f64>,
    /// Volts at the coil.
    voltage: Band<f64>,
    /// Volts at which it closes.
    closes: Band<f64>,
    /// Volts at which it opens.
    opens: Band<f64>,
    /// Volts across the closed contact with the lamp on it.
    across: Band<f64>,
}

fn expected(relay: &RelayModel, rig: &Rig, draws: &mut Draws) -> Result<Expected, Refused> {
    // The suppressor lies across the coil.
    let seen = |coil_ohm: f64| 1.0 / (1.0 / coil_ohm + relay.suppressor_s);
    let typical_ohm = seen(relay.coil_warm.typical.si());
    let one = typical(rig, Load::resistance(typical_ohm), 0.0)?;
    let many = specimens(rig, SPECIMENS, draws, |draws| {
        Load::resistance(seen(draws.quantity(&relay.coil_warm)))
    })?;
    let mut readings = |figure: fn(&Settled) -> f64, error: &Accuracy| {
        let sample = many.iter().map(|s| read(draws, error, figure(s)));
        chance::range(sample.collect(), figure(&one))
    };
    let current = readings(|s| s.current_a, &rig.amps_error);
    let voltage = readings(|s| s.part_v, &rig.volts_error);
    let coil = relay.coil_warm;
    let [low, typical_ohms, high] =
        [coil.low, coil.typical, coil.high].map(|ohms| Ohms::new(seen(ohms.si())));
    let across_both = Band::new(low, typical_ohms, high);
    let ohms = ohms_read(&across_both, rig, draws);
    // A relay closes at a fixed current: its volts go with the warmth of the coil.
    let warmth = relay.coil_warm.typical.si() / relay.coil.typical.si();
    let mut volts = |band: &Band<Volts>| {
        figures(&band.scaled(warmth), draws, |draws, volts| {
            read(draws, &rig.volts_error, volts)
        })
    };
    let (closes, opens) = (volts(&relay.pull_in), volts(&relay.drop_out));
    let across = figures(&relay.contact.scaled(LAMP.si()), draws, |draws, volts| {
        read(draws, &rig.millivolts_error, volts)
    });
    Ok(Expected {
        ohms,
        current,
        voltage,
        closes,
        opens,
        across,
    })
}

pub(super) fn procedure(
    subject: &Subject,
    relay: &RelayModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let found = expected(relay, rig, draws)?;
    let ends = Ends::of(relay);
    let mut steps = vec![
        battery_step(rig, draws)?,
        coil(subject, relay, &found)?,
        Step::new(format!("Measure ohms {}, coil off.", ends.contacts))
            .meter(Jack::Ohms)
            .expect(Reading::at_least(ends.ohms, OPEN_OHM, Unit::Ohms))
            .outside("lower: welded or wet contacts"),
    ];
    if is_plug_in(subject) {
        steps.push(
            Step::new("Where it has a terminal 87a: ohms from 30 to 87a, coil off.")
                .meter(Jack::Ohms)
                .expect(Reading::at_most("ohms 30 to 87a", CLOSED_OHM, Unit::Ohms))
                .outside("open or higher: burnt opening contact"),
        );
    }
    steps.push(energise(subject, relay, rig, &found)?);
    steps.push(
        Step::new(if relay.pull_winding.is_some() {
            format!(
                "Hold winding on, plunger pushed in: ohms {}.",
                ends.contacts
            )
        } else {
            format!("Coil still on: ohms {}.", ends.contacts)
        })
        .meter(Jack::Ohms)
        .expect(Reading::at_most(ends.ohms, CLOSED_OHM, Unit::Ohms))
        .outside(
            "open: burnt contacts or a stuck armature; a low reading does not prove them, go on",
        ),
    );
    steps.push(contacts(relay, &found)?);
    if relay.pull_winding.is_some() {
        steps.extend(shift::pull_winding(relay, rig, draws)?);
    } else {
        steps.push(pull_in(rig, &found));
    }
    let sheet = Sheet {
        topics: topics(subject),
        tags: &["vapour"],
        answer: answer(relay, &found),
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

fn is_plug_in(subject: &Subject) -> bool {
    subject.class.ends_with("plug-in")
}

/// A starter's solenoid belongs to cranking.
fn topics(subject: &Subject) -> &'static [&'static str] {
    if subject.class.ends_with("-solenoid") {
        &["starter"]
    } else {
        &["relay"]
    }
}

fn answer(relay: &RelayModel, found: &Expected) -> String {
    let moves = if relay.pull_winding.is_some() {
        "and holds its plunger once that is pushed in"
    } else {
        "with one clear click"
    };
    format!(
        "a sound one has a coil of {} to {}, draws {} to {} on this rig {moves}, and loses {} to {} across its contacts under a 55 W lamp",
        Ohms::new(found.ohms.low),
        Ohms::new(found.ohms.high),
        Amps::new(found.current.low.max(0.0)),
        Amps::new(found.current.high),
        Volts::new(found.across.low.max(0.0)),
        Volts::new(found.across.high),
    )
}

/// What its terminals are called: a plug-in relay has numbers, a stud solenoid
/// large studs and small ones.
struct Ends {
    /// Across the coil.
    coil: &'static str,
    /// Across the contacts.
    contacts: &'static str,
    /// The same, as a reading of ohms.
    ohms: &'static str,
    /// The same, as a reading of volts.
    volts: &'static str,
    /// Where the lead goes to switch it on.
    plus: &'static str,
}

impl Ends {
    fn of(relay: &RelayModel) -> Self {
        if relay.is_solenoid() {
            return Self {
                coil: "from its small stud (86) to the other small one (85), or to its case where it has one small stud",
                contacts: "from large stud (30) to large stud (87)",
                ohms: "ohms from large stud to large stud",
                volts: "volts from large stud to large stud",
                plus: "plus to its small stud (86), minus to the other small one or to its case (85).",
            };
        }
        Self {
            coil: "from 85 to 86",
            contacts: "from 30 to 87",
            ohms: "ohms 30 to 87",
            volts: "volts 30 to 87",
            plus: "86 to plus.",
        }
    }
}

fn coil(subject: &Subject, relay: &RelayModel, found: &Expected) -> Result<Step, OutOfTable> {
    let alike = match subject.suppression {
        Some(Suppression::Diode) => {
            "its diode lies across the coil: one way round the meter may read lower; 86 is plus"
        }
        _ => "alike both ways; much lower one way means a diode inside, then 86 is plus",
    };
    let apart = if relay.is_solenoid() {
        "Cables off its studs, each marked"
    } else {
        "Unplugged and alone"
    };
    let tags: &[&str] = if relay.is_solenoid() {
        &["studs", "neg-first"]
    } else {
        &[]
    };
    Ok(Step::new(format!(
        "{apart}, measure ohms {}, both ways round.",
        Ends::of(relay).coil
    ))
    .cautions(tagged(tags)?)
    .meter(Jack::Ohms)
    .expect(
        Reading::computed("coil", found.ohms, Unit::Ohms)
            .logged(Logged::OfPart(Quantity::Ohms, None)),
    )
    .sign(alike)
    .outside("open: burnt coil")
    .outside("clearly lower: shorted turns, it overloads what switches it"))
}

fn energise(
    subject: &Subject,
    relay: &RelayModel,
    rig: &Rig,
    found: &Expected,
) -> Result<Step, OutOfTable> {
    let brief = if relay.pull_winding.is_some() {
        " This is its hold winding alone: 15 s at most."
    } else {
        ""
    };
    let polarity = if subject.suppression == Some(Suppression::Diode) {
        "86 to plus; the other way round its diode shorts the lead."
    } else {
        Ends::of(relay).plus
    };
    Ok(Step::new(format!(
        "Lead with a {} fuse and its switch onto the coil, {polarity}{brief} Switch on.",
        nominal(rig.fuse.rating)
    ))
    .cautions(tagged(&["switch-far", "fuse-lead", "amps-jack"])?)
    .cautions(tagged(if relay.is_solenoid() { &["studs"] } else { &[] })?)
    .cautions(jack_limit(rig, found.current.high)?)
    .meter(rig.meter)
    .meter(Jack::Volts)
    .expect(
        Reading::computed("coil current", positive(found.current), Unit::Amps)
            .logged(Logged::OfPart(Quantity::Amps, Some(Run::On))),
    )
    .expect(
        Reading::computed("volts at the coil", found.voltage, Unit::Volts)
            .logged(Logged::OfPart(Quantity::Volts, Some(Run::On))),
    )
    .sign(if relay.pull_winding.is_some() {
        "push the plunger in by hand: it stays, and springs back on switching off"
    } else {
        "one clear click on, one off"
    })
    .outside(if relay.pull_winding.is_some() {
        "right current, but it does not stay when pushed in: stuck or rubbing armature; that it does not jump in by itself is right, the hold winding alone is too weak for that"
    } else {
        "right current, no click or no hold: stuck armature"
    })
    .outside("no current: open coil, or a clip that does not make")
    .stop_if("it draws more, or smells"))
}

fn contacts(relay: &RelayModel, found: &Expected) -> Result<Step, OutOfTable> {
    let (kind, tags): (ContactKind, &[&str]) = if relay.is_solenoid() {
        (ContactKind::StarterSolenoid, &["lamp-hot", "studs"])
    } else {
        (ContactKind::RelayContact, &["lamp-hot"])
    };
    let ends = Ends::of(relay);
    let bad = LAMP * faulty(kind)?.value;
    Ok(Step::new(format!(
        "Coil on; a 55 W lamp ({LAMP}) from a second fused lead through its contacts. Read millivolts {}.",
        ends.contacts
    ))
    .cautions(tagged(tags)?)
    .meter(Jack::Millivolts)
    .expect(Reading::computed(
        ends.volts,
        positive(found.across),
        Unit::Volts,
    ))
    .outside("more than a sound contact: let it click ten times and read again; what stays is a contact on its way")
    .outside(format!(
        "over {bad}: burnt contacts, replace it; this finds what the ohms range misses"
    )))
}

fn pull_in(rig: &Rig, found: &Expected) -> Step {
    Step::new("With an adjustable supply in the battery's place: raise the coil's volts slowly from nothing until it clicks, then lower them again.")
        .meter(Jack::Volts)
        .expect(Reading::computed("closes at", found.closes, Unit::Volts).logged(Logged::OfPart(Quantity::PullIn, None)))
        .expect(Reading::computed("opens again at", found.opens, Unit::Volts))
        .outside(format!(
            "closes only above {} at {}: weak, it may not close while cranking",
            Volts::new(found.closes.high),
            rig.air
        ))
        .outside("still closed at 0.5 V: sticking")
}
