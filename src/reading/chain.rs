//! A chain of parts: which entries become wires.
//!
//! A bare name is a two-terminal part, entered at its first terminal and left
//! at its second; a stud or a pin is one entry; any other entry is the one
//! terminal it names. Two neighbouring entries of one part are a passage
//! through it, not a wire. A part is passed backwards by naming both its
//! terminals: `"main.out", "main.in"`.

use super::codes;
use super::roster::{Half, Roster, needs_terminal, short};
use super::sink::Sink;
use super::value::{Entry, Named};
use super::wiring::{is_loop, to_itself};
use crate::circuit::{PartId, PartKind, TerminalId};
use crate::findings::Finding;
use crate::span::Span;

/// One wire of a chain; without ends where an entry means nothing.
#[derive(Debug)]
pub(super) struct Hop {
    /// From and to.
    pub(super) ends: Option<(TerminalId, TerminalId)>,
    /// The entry it leads to.
    pub(super) span: Span,
}

/// What one entry of a chain means.
#[derive(Debug)]
struct Step {
    name: Named,
    /// `None` where the entry means nothing.
    at: Option<Place>,
}

#[derive(Debug, Clone, Copy)]
struct Place {
    part: PartId,
    enter: TerminalId,
    leave: TerminalId,
    /// Whether the entry names one terminal.
    one_terminal: bool,
}

/// Reads a chain. `None` where it cannot be told how many wires it has.
pub(super) fn hops(out: &mut Sink, roster: &Roster, entries: &[Entry]) -> Option<Vec<Hop>> {
    let names: Vec<Named> = entries.iter().filter_map(Entry::named).collect();
    if names.len() < entries.len() {
        return None;
    }
    let steps: Vec<Step> = names
        .into_iter()
        .map(|name| Step {
            at: step(out, roster, &name),
            name,
        })
        .collect();
    posts_of_bare_batteries(out, roster, &steps);
    let mut hops = Vec::new();
    for (before, after) in steps.iter().zip(steps.iter().skip(1)) {
        match pair(roster, before, after) {
            Pair::Wire(from, to) => hops.push(Hop {
                ends: Some((from, to)),
                span: after.name.span,
            }),
            Pair::Unknown => hops.push(Hop {
                ends: None,
                span: after.name.span,
            }),
            Pair::Passage => {}
            Pair::Wrong(finding) => {
                out.push(*finding);
                return None;
            }
        }
    }
    let known = steps.iter().all(|step| step.at.is_some());
    known.then_some(hops)
}

fn step(out: &mut Sink, roster: &Roster, name: &Named) -> Option<Place> {
    if let Some(part) = bare_part(out, roster, name) {
        let part = part?;
        let draft = roster.draft(part);
        if draft.kind != PartKind::Stud && draft.has_two_terminals() {
            let (enter, leave) = (roster.terminal(part, 0), roster.terminal(part, 1));
            return Some(Place {
                part,
                enter,
                leave,
                one_terminal: false,
            });
        }
        if draft.kind != PartKind::Stud {
            if draft.ports_known {
                out.push(needs_terminal(draft, name));
            }
            return None;
        }
    }
    let enter = roster.reference(out, name, Half::To)?;
    let (part, port) = roster.owner(enter);
    let pin = roster.draft(part).kind == PartKind::Plug;
    let leave = if pin {
        roster.terminal(part, (port & !1) + 1)
    } else {
        enter
    };
    Some(Place {
        part,
        enter,
        leave,
        one_terminal: true,
    })
}

/// The part a bare name stands for; `Some(None)` where there is none.
#[allow(
    clippy::option_option,
    reason = "a terminal is not a bare name, and a bare name may stand for nothing"
)]
fn bare_part(out: &mut Sink, roster: &Roster, name: &Named) -> Option<Option<PartId>> {
    (!name.text.contains('.')).then(|| roster.part(out, name))
}

enum Pair {
    Wire(TerminalId, TerminalId),
    Passage,
    Unknown,
    Wrong(Box<Finding>),
}

fn pair(roster: &Roster, before: &Step, after: &Step) -> Pair {
    let (Some(a), Some(b)) = (before.at, after.at) else {
        return Pair::Unknown;
    };
    if a.part != b.part {
        return Pair::Wire(a.leave, b.enter);
    }
    let draft = roster.draft(a.part);
    if is_loop(roster, a.leave, b.enter) {
        return Pair::Wrong(Box::new(to_itself(roster.label(b.enter), after.name.span)));
    }
    let ports = (roster.owner(a.leave).1, roster.owner(b.enter).1);
    if a.one_terminal && b.one_terminal && draft.joins_inside(ports.0, ports.1) {
        return Pair::Passage;
    }
    Pair::Wrong(Box::new(no_passage(&draft.name.text, before, after)))
}

fn no_passage(part: &str, before: &Step, after: &Step) -> Finding {
    let (from, to) = (short(&before.name.text), short(&after.name.text));
    Finding::new(codes::NO_PASSAGE, part, format!("there is no way through `{part}` from `{from}` to `{to}`"))
        .with_label(after.name.span, "two neighbouring entries of one part are a way through it")
        .with_label(before.name.span, "")
        .with_hint("name two terminals that the part joins, or write the wire between them as a `[[wire]]` of its own")
}

/// A battery's bare name at an end of a chain means the post one does not expect.
fn posts_of_bare_batteries(out: &mut Sink, roster: &Roster, steps: &[Step]) {
    let first = steps.first().map(|step| (step, "minus", "plus"));
    let last = steps.last().map(|step| (step, "plus", "minus"));
    for (step, taken, other) in [first, last].into_iter().flatten() {
        let Some(at) = step.at else { continue };
        if at.one_terminal || roster.draft(at.part).kind != PartKind::Battery {
            continue;
        }
        let name = &step.name.text;
        out.push(
            Finding::new(
                codes::BARE_BATTERY,
                name.as_str(),
                format!("`{name}` at the end of a chain is taken as its {taken} post"),
            )
            .with_label(step.name.span, format!("the wire ends at `{name}.{taken}`"))
            .with_hint(format!("write `{name}.{taken}` or `{name}.{other}`")),
        );
    }
}
