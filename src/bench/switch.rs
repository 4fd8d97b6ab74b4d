//! Steps for a switch: simple, or a selector by its positions.

use super::assembly::{Sheet, on_rig, positive};
use super::lamp::{UnderLamp, across, current_of, lamp_for, volts_words};
use super::part::SwitchPart;
use super::preparation::{battery_step, ohms_read, tagged};
use super::rig::Rig;
use super::steps::{Jack, Procedure, Reading, Step, Unit};
use super::{Draws, Refused, Subject};
use crate::circuit::SwitchKind;
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Ohms};
use crate::tables::OutOfTable;
use crate::tables::contacts::{ContactKind, faulty};
use crate::tables::readings::{TestLamp, bench_limit};
use std::collections::BTreeMap;

/// A rating that asks for the 55 W lamp: a switch heavy cables end on.
const HEAVY: Amps = Amps::new(20.0);
/// A rating that asks for the 21 W lamp: any other switch.
const SMALL: Amps = Amps::new(5.0);

/// Two of a switch's terminals, and how many contacts lie between them; none
/// where nothing does.
type Pair = (usize, usize, Option<u32>);

pub(super) fn procedure(
    subject: &Subject,
    part: &SwitchPart,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let lamp = lamp_for(if part.heavy { HEAVY } else { SMALL })?.value;
    let under = across(rig, &lamp, draws, |pick, current_a| {
        current_a * pick(part.contact.si())
    })?;
    let mut steps = vec![
        Step::new("Battery minus off, then its wires off, each marked. Work it ten times and feel for a clean snap.")
            .cautions(tagged(&["neg-first"])?),
    ];
    for (words, pairs) in positions(part) {
        steps.push(by_ohms(part, &words, &pairs, rig, draws)?);
    }
    steps.push(battery_step(rig, draws)?);
    steps.push(under_lamp(part, rig, &lamp, &under)?);
    steps.push(
        Step::new("Wires back by their marks, or a new one in its place.")
            .cautions(tagged(&["ign-protected", "neg-first"])?),
    );
    let sheet = Sheet {
        topics: &["tracing", "boat"],
        answer: format!(
            "a sound contact loses {} on a {} ({}) and is open in every position that does not name it",
            volts_words(under.across),
            lamp.name,
            current_of(&lamp)
        ),
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

/// Each position in words with every pair of its terminals.
fn positions(part: &SwitchPart) -> Vec<(String, Vec<Pair>)> {
    match &part.kind {
        SwitchKind::Simple { normally_closed } => {
            let (rest, worked) = if *normally_closed {
                (Some(1), None)
            } else {
                (None, Some(1))
            };
            let closed = if *normally_closed {
                ", normally closed"
            } else {
                ""
            };
            vec![
                (format!("Nothing acting on it{closed}"), vec![(0, 1, rest)]),
                ("Worked".to_owned(), vec![(0, 1, worked)]),
            ]
        }
        SwitchKind::Selector { positions } => positions
            .iter()
            .map(|(name, joined)| {
                (
                    format!("Position `{name}`"),
                    pairs(part.terminals.len(), joined),
                )
            })
            .collect(),
    }
}

/// Contacts between every two of so many terminals, the fewest on the way.
fn pairs(terminals: usize, joined: &[(usize, usize)]) -> Vec<Pair> {
    let mut all = Vec::new();
    for from in 0..terminals {
        let mut steps: BTreeMap<usize, u32> = BTreeMap::from([(from, 0)]);
        let mut reached = vec![from];
        while let Some(at) = reached.pop() {
            for &(a, b) in joined {
                let next = if a == at { b } else { a };
                let next_steps = steps[&at] + 1;
                let shorter = steps.get(&next).is_none_or(|known| *known > next_steps);
                if (a == at || b == at) && shorter {
                    steps.insert(next, next_steps);
                    reached.push(next);
                }
            }
        }
        all.extend((from + 1..terminals).map(|to| (from, to, steps.get(&to).copied())));
    }
    all
}

fn by_ohms(
    part: &SwitchPart,
    words: &str,
    pairs: &[Pair],
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Step, OutOfTable> {
    let least = bench_limit("open contact of a switch")?
        .value
        .low
        .unwrap_or(1e6);
    let mut step = Step::new(format!(
        "{words}: ohms between its terminals, and wiggle it."
    ))
    .meter(Jack::Ohms);
    for (from, to, contacts) in pairs {
        if let Some(contacts) = contacts {
            let ohms = part.contact.scaled(f64::from(*contacts));
            let quantity = format!("`{}` to `{}`", part.terminals[*from], part.terminals[*to]);
            let read = ohms_read(&ohms, rig, draws);
            step = step.expect(Reading::computed(&quantity, read, Unit::Ohms));
        }
    }
    let made = pairs.iter().filter(|pair| pair.2.is_some()).count();
    if made < pairs.len() {
        let which = match (made, pairs) {
            (0, [(from, to, _)]) => {
                format!("`{}` to `{}`", part.terminals[*from], part.terminals[*to])
            }
            (0, _) => "every two terminals".to_owned(),
            _ => "every other two terminals".to_owned(),
        };
        step = step.expect(Reading::at_least(&which, least, Unit::Ohms));
    }
    Ok(step
        .outside("open or jumping where a contact is made: burnt or dirty")
        .outside(
            "a low reading where all is open: welded, or wet inside; dry it and measure again",
        ))
}

fn under_lamp(
    part: &SwitchPart,
    rig: &Rig,
    lamp: &TestLamp,
    under: &UnderLamp,
) -> Result<Step, OutOfTable> {
    let bad: Ohms = faulty(if part.heavy {
        ContactKind::MasterSwitch
    } else if matches!(part.kind, SwitchKind::Simple { .. }) {
        ContactKind::RockerSwitch
    } else {
        ContactKind::IgnitionSwitch
    })?
    .value;
    Ok(Step::new(format!(
        "Each contact in turn under load: lead with a {} fuse and its switch, then the contact, then a {}, then minus. Millivolts from terminal to terminal while you work it ten times.",
        nominal(rig.fuse.rating),
        lamp.name
    ))
    .cautions(tagged(&["switch-far", "fuse-lead", "lamp-hot", "vapour"])?)
    .meter(Jack::Millivolts)
    .expect(Reading::computed(
        "volts across one contact",
        positive(under.across),
        Unit::Volts,
    ))
    .sign("alike each of the ten times")
    .outside("more than a sound contact: work it ten times more and read again; what stays is a contact on its way")
    .outside(format!(
        "over {}: burnt contact, replace it; ohms do not find this",
        current_of(lamp) * bad
    ))
    .stop_if("it gets warm or smells"))
}
