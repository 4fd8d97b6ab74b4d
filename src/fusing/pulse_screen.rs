//! What becomes of a fuse under pulses, on the screen.

use super::Request;
use super::pulse::{Fared, Fate, Instance, Pulse};
use crate::document::{Cell, Document, Table};
use crate::quantities::{Seconds, print};
use crate::tables::fuses::Edge;

/// Answer, table of the instances, and what they are.
pub(super) fn write(document: &mut Document, request: &Request, pulse: &Pulse, fared: &Fared) {
    document.answer(answer(request, pulse, fared));
    document.table(table(pulse, fared));
    document.paragraph("Clocks are matched to the gates, so that a constant current opens each instance exactly at its gate; the passive network beside it is as it was fitted to them. Early and late bound a genuine fuse within the gates; middle goes through the geometric mean of each gate pair, and is no typical fuse.");
    if pulse.steps.iter().any(|step| step.towards.is_some()) {
        document.paragraph("A falling current has gone 63 % of its way after the time given for it, 99 % after five of those times.");
    }
}

fn answer(request: &Request, pulse: &Pulse, fared: &Fared) -> String {
    let head = format!("{} {}, {}", request.rating, request.style, pulse.words);
    let at = |edge| fared.opens(edge).unwrap_or(Seconds::new(0.0));
    match fared.fate {
        Fate::Opens => format!(
            "{head}: opens, between {} and {}",
            at(Edge::Early),
            at(Edge::Late)
        ),
        Fate::MayOpen => format!(
            "{head}: may open; the earliest does after {}, {}the latest holds at {} of its melting heat",
            at(Edge::Early),
            match fared.opens(Edge::Nominal) {
                Some(middle) => format!("the middle after {middle}, "),
                None => String::new(),
            },
            print::percent(fared.instances[2].matched.peak)
        ),
        Fate::Holds => format!(
            "{head}: {}; even the earliest reaches only {} of its melting heat",
            holds(pulse, fared),
            print::percent(fared.instances[0].matched.peak)
        ),
    }
}

/// What holds once may wear out over many rounds.
fn holds(pulse: &Pulse, fared: &Fared) -> String {
    match fared.wears_out_after() {
        Some(count) if f64::from(pulse.rounds) >= count => format!(
            "holds at first, but some {} such pulses wear it out (chart of wire-element fuses, pulses 10 s apart or more)",
            print::significant(count, 1)
        ),
        _ => "holds".to_owned(),
    }
}

fn table(pulse: &Pulse, fared: &Fared) -> Table {
    let mut table = Table::new("the three instances")
        .words("instance")
        .words("opens")
        .figures("most heat")
        .words("passive network");
    for instance in &fared.instances {
        let name = match instance.edge {
            Edge::Early => "early",
            Edge::Nominal => "middle",
            Edge::Late => "late",
        };
        table.row([
            Cell::plain(name),
            Cell::plain(opens(pulse, instance)),
            Cell::plain(print::percent(instance.matched.peak)),
            Cell::plain(match instance.passive.opens {
                Some((seconds, round)) => when(pulse, Seconds::new(seconds), round),
                None => format!("holds, {}", print::percent(instance.passive.peak)),
            }),
        ]);
    }
    table
}

fn opens(pulse: &Pulse, instance: &Instance) -> String {
    match instance.matched.opens {
        Some((seconds, round)) => when(pulse, Seconds::new(seconds), round),
        None => "holds".into(),
    }
}

fn when(pulse: &Pulse, seconds: Seconds, round: u32) -> String {
    if pulse.rounds > 1 {
        format!("{seconds} into round {round}")
    } else {
        seconds.to_string()
    }
}
