//! Operating states: which contacts are made, who charges, what is wrong.

use super::circles::circles;
use super::codes;
use super::contacts::{self, Contact, is_selector};
use super::nearest::{did_you_mean, listed};
use super::roster::{Roster, short};
use super::sink::Sink;
use super::value::{Entry, Named, Record};
use super::words;
use crate::circuit::{Condition, ContactPosition, Given, PartId, PartKind, State};
use crate::findings::{Code, Finding};
use crate::quantities::{Amps, Band, Fraction};
use crate::span::Span;
use std::collections::BTreeMap;

/// What one state says, references resolved.
#[derive(Debug, Clone, Default)]
struct Lists {
    set: BTreeMap<PartId, usize>,
    contacts: BTreeMap<Contact, bool>,
    charging: BTreeMap<PartId, Band<Amps>>,
    duty: BTreeMap<PartId, Band<Fraction>>,
    conditions: BTreeMap<PartId, Given<Condition>>,
}

impl Lists {
    /// Keeps its own entries and takes the rest from `other`.
    fn filled_from(mut self, other: &Self) -> Self {
        fill(&mut self.set, &other.set);
        fill(&mut self.contacts, &other.contacts);
        fill(&mut self.charging, &other.charging);
        fill(&mut self.duty, &other.duty);
        fill(&mut self.conditions, &other.conditions);
        self
    }
}

fn fill<K: Ord + Clone, V: Clone>(own: &mut BTreeMap<K, V>, other: &BTreeMap<K, V>) {
    for (key, value) in other {
        own.entry(key.clone()).or_insert_with(|| value.clone());
    }
}

/// Reads all states, in file order; without any there is one, `on`.
pub(super) fn read(out: &mut Sink, roster: &Roster, records: &[(Named, Record)]) -> Vec<State> {
    if records.is_empty() {
        return vec![implied(out, roster)];
    }
    let own: Vec<Lists> = records
        .iter()
        .map(|(_, record)| lists(out, roster, record))
        .collect();
    let index: BTreeMap<&str, usize> = records
        .iter()
        .enumerate()
        .map(|(i, (name, _))| (name.text.as_str(), i))
        .collect();
    let like = named_states(out, records, &index, "like", codes::LIKE_CIRCLE);
    let after = named_states(out, records, &index, "after", codes::AFTER_CIRCLE);
    let lists = copied(&own, &like);
    let standing = Standing::new(roster);
    let mut states = Vec::with_capacity(records.len());
    for (((name, _), lists), after) in records.iter().zip(lists).zip(after) {
        states.push(State {
            name: name.text.clone(),
            span: name.span,
            contacts: standing.contacts(out, roster, name, &lists),
            charging: lists.charging,
            duty: lists.duty,
            after,
            conditions: lists.conditions,
        });
    }
    states
}

/// The state of a file without states: every simple switch closed.
fn implied(out: &mut Sink, roster: &Roster) -> State {
    let standing = Standing::new(roster);
    let mut lists = Lists::default();
    for (part, _) in standing.simple {
        lists.contacts.insert(
            Contact {
                part,
                channel: None,
            },
            true,
        );
    }
    let name = Named {
        text: "on".to_owned(),
        span: Span::default(),
    };
    State {
        contacts: Standing::new(roster).contacts(out, roster, &name, &lists),
        name: name.text,
        span: Span::default(),
        charging: BTreeMap::new(),
        duty: BTreeMap::new(),
        after: None,
        conditions: BTreeMap::new(),
    }
}

fn lists(out: &mut Sink, roster: &Roster, record: &Record) -> Lists {
    let mut lists = Lists::default();
    for (name, entry) in record.map("set") {
        if let Some((part, position)) = contacts::position(out, roster, name, entry) {
            lists.set.insert(part, position);
        }
    }
    let mut first: BTreeMap<Contact, (bool, Span)> = BTreeMap::new();
    for (key, closed) in [("closed", true), ("open", false)] {
        for name in record.texts(key) {
            let Some(contact) = contacts::contact(out, roster, &name) else {
                continue;
            };
            match first.get(&contact) {
                Some(&(before, span)) if before != closed => out.push(open_and_closed(&name, span)),
                _ => {
                    first.insert(contact, (closed, name.span));
                    lists.contacts.insert(contact, closed);
                }
            }
        }
    }
    for (part, entry) in by_part(out, roster, record, "charging", &[PartKind::Charger]) {
        lists
            .charging
            .extend(entry.range().map(|given| (part, given.value)));
    }
    for (part, entry) in by_part(
        out,
        roster,
        record,
        "duty",
        &[PartKind::Load, PartKind::Solenoid],
    ) {
        lists
            .duty
            .extend(entry.range().map(|given| (part, given.value)));
    }
    for (part, entry) in by_part(out, roster, record, "condition", &[]) {
        lists
            .conditions
            .extend(entry.word(&Condition::ALL).map(|given| (part, given)));
    }
    lists
}

fn open_and_closed(name: &Named, before: Span) -> Finding {
    let shown = short(&name.text);
    Finding::new(
        codes::TWO_ANSWERS,
        shown.clone(),
        format!("`{shown}` is both closed and open in one state"),
    )
    .with_label(name.span.max(before), "named again")
    .with_label(name.span.min(before), "first named here")
    .with_hint("keep it in one of the two lists")
}

/// Parts a map names, of the given kinds (any, if none is given).
fn by_part<'r>(
    out: &mut Sink,
    roster: &Roster,
    record: &'r Record,
    key: &str,
    kinds: &[PartKind],
) -> Vec<(PartId, &'r Entry)> {
    let mut found = Vec::new();
    for (name, entry) in record.map(key) {
        let Some(part) = roster.part(out, name) else {
            continue;
        };
        let draft = roster.draft(part);
        if kinds.is_empty() || kinds.contains(&draft.kind) {
            found.push((part, entry));
            continue;
        }
        let words: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
        out.push(
            Finding::new(
                codes::WRONG_PART,
                name.text.as_str(),
                format!(
                    "`{}` is a {}; `{key}` is for parts of another kind",
                    name.text,
                    draft.kind.word()
                ),
            )
            .with_label(name.span, "the wrong kind of part")
            .with_hint(format!("`{key}` takes parts of kind {}", listed(words))),
        );
    }
    found
}

/// The state each state names under a key, circles cut and reported.
fn named_states(
    out: &mut Sink,
    records: &[(Named, Record)],
    index: &BTreeMap<&str, usize>,
    key: &str,
    circle_code: Code,
) -> Vec<Option<usize>> {
    let known: Vec<&str> = records.iter().map(|(name, _)| name.text.as_str()).collect();
    let mut named: Vec<Option<usize>> = Vec::with_capacity(records.len());
    for (_, record) in records {
        let Some(wanted) = record.entry(key).and_then(Entry::named) else {
            named.push(None);
            continue;
        };
        let found = index.get(wanted.text.as_str()).copied();
        if found.is_none() {
            out.push(
                Finding::new(
                    codes::UNKNOWN_STATE,
                    "",
                    format!("there is no state `{}`", short(&wanted.text)),
                )
                .with_label(wanted.span, "unknown state")
                .with_hint(did_you_mean(&wanted.text, &known, "states")),
            );
        }
        named.push(found);
    }
    for circle in circles(&named) {
        let Some(&first) = circle.first() else {
            continue;
        };
        let words: Vec<&str> = circle.iter().map(|&state| known[state]).collect();
        let span = records[first]
            .1
            .entry(key)
            .map(|entry| entry.span)
            .unwrap_or_default();
        let statement = format!("`{key}` runs in a circle: {}", listed(words));
        out.push(
            Finding::new(circle_code, "", statement)
                .in_state(known[first])
                .with_label(span, "leads back to this state")
                .with_hint(format!("take `{key}` out of the state that comes first")),
        );
        named[first] = None;
    }
    named
}

/// Fills every state from the one it is like; chains have no circles here.
fn copied(own: &[Lists], like: &[Option<usize>]) -> Vec<Lists> {
    let mut done: Vec<Option<Lists>> = vec![None; own.len()];
    for start in 0..own.len() {
        let mut chain = vec![start];
        while let Some(next) = chain.last().and_then(|&last| like[last])
            && done[next].is_none()
        {
            chain.push(next);
        }
        for state in chain.into_iter().rev() {
            let from = like[state].and_then(|other| done[other].as_ref());
            let filled = match from {
                Some(other) => own[state].clone().filled_from(other),
                None => own[state].clone(),
            };
            done[state] = Some(filled);
        }
    }
    done.into_iter().flatten().collect()
}

/// How contacts stand where a state says nothing.
struct Standing {
    /// Simple switches, and whether they are made when nothing acts on them.
    simple: Vec<(PartId, bool)>,
    /// Selectors, and their position `off` or `rest`.
    selectors: Vec<(PartId, Option<usize>)>,
    drivers: Vec<PartId>,
}

impl Standing {
    fn new(roster: &Roster) -> Self {
        let mut standing = Self {
            simple: Vec::new(),
            selectors: Vec::new(),
            drivers: Vec::new(),
        };
        for (at, draft) in roster.parts.iter().enumerate() {
            let part = PartId(at);
            if is_selector(draft) {
                let positions = draft.record.map("positions");
                let find = |word: &str| positions.iter().position(|(name, _)| name.text == word);
                standing
                    .selectors
                    .push((part, find("off").or_else(|| find("rest"))));
            } else if draft.kind == PartKind::Switch {
                let closed = draft
                    .record
                    .word("normally", words::NORMALLY)
                    .is_some_and(|given| given.value);
                standing.simple.push((part, closed));
            } else if draft.kind == PartKind::Driver {
                standing.drivers.push(part);
            }
        }
        standing
    }

    fn contacts(
        &self,
        out: &mut Sink,
        roster: &Roster,
        state: &Named,
        lists: &Lists,
    ) -> BTreeMap<PartId, ContactPosition> {
        let mut contacts = BTreeMap::new();
        for &(part, as_drawn) in &self.simple {
            let closed = lists
                .contacts
                .get(&Contact {
                    part,
                    channel: None,
                })
                .copied()
                .unwrap_or(as_drawn);
            contacts.insert(part, ContactPosition::Simple { closed });
        }
        for &(part, at_rest) in &self.selectors {
            match lists.set.get(&part).copied().or(at_rest) {
                Some(position) => {
                    contacts.insert(part, ContactPosition::Selector { position });
                }
                None => position_needed(out, roster, part, state),
            }
        }
        for &part in &self.drivers {
            let closed = |channel: &usize| {
                lists.contacts.get(&Contact {
                    part,
                    channel: Some(*channel),
                }) == Some(&true)
            };
            let channels = 0..roster.draft(part).ports.len().saturating_sub(1);
            contacts.insert(
                part,
                ContactPosition::Channels {
                    closed: channels.filter(closed).collect(),
                },
            );
        }
        contacts
    }
}

fn position_needed(out: &mut Sink, roster: &Roster, part: PartId, state: &Named) {
    let draft = roster.draft(part);
    let name = &draft.name.text;
    let positions: Vec<&str> = draft
        .record
        .map("positions")
        .iter()
        .map(|(name, _)| name.text.as_str())
        .collect();
    let Some(&example) = positions.first() else {
        return;
    };
    let set = format!("set = {{ {name} = \"{example}\" }}");
    let (span, hint) = if state.span == Span::default() {
        (
            draft.name.span,
            format!(
                "add a state that names one: `[state.{}]` with `{set}`; or call one position `off`",
                state.text
            ),
        )
    } else {
        (
            state.span,
            format!("add `{set}`; positions: {}", listed(positions)),
        )
    };
    out.push(
        Finding::new(
            codes::POSITION_NEEDED,
            name.as_str(),
            format!(
                "the state `{}` does not say where `{name}` stands",
                state.text
            ),
        )
        .in_state(state.text.as_str())
        .with_label(
            span,
            format!("`{name}` has no position `off` or `rest` to stand at"),
        )
        .with_hint(hint),
    );
}
