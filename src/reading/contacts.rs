//! Which switch or channel an entry of `closed`, `open` or `set` means.

use super::codes;
use super::draft::Draft;
use super::nearest::{did_you_mean, listed};
use super::roster::{Roster, short};
use super::sink::Sink;
use super::value::{Entry, Named};
use crate::circuit::{PartId, PartKind};
use crate::findings::Finding;

/// A simple switch, or a driver's channel by its index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Contact {
    /// The part.
    pub(super) part: PartId,
    /// The channel of a driver; none for a simple switch.
    pub(super) channel: Option<usize>,
}

/// Whether a switch has positions of its own.
pub(super) fn is_selector(draft: &Draft) -> bool {
    draft.kind == PartKind::Switch
        && (draft.record.key("positions").is_some() || draft.record.key("terminals").is_some())
}

/// The contact that an entry of `closed` or `open` names.
pub(super) fn contact(out: &mut Sink, roster: &Roster, name: &Named) -> Option<Contact> {
    let (part_name, channel) = match name.text.split_once('.') {
        Some((part, channel)) => (part.to_owned(), Some(channel)),
        None => (name.text.clone(), None),
    };
    let part = roster.part(
        out,
        &Named {
            text: part_name,
            span: name.span,
        },
    )?;
    let draft = roster.draft(part);
    match (draft.kind, channel) {
        (PartKind::Switch, None) if !is_selector(draft) => Some(Contact {
            part,
            channel: None,
        }),
        (PartKind::Driver, Some(channel)) => {
            let found = draft
                .port(channel)
                .filter(|&port| port + 1 < draft.ports.len());
            if found.is_none() && draft.ports_known {
                out.push(unknown_channel(draft, channel, name));
            }
            found.map(|port| Contact {
                part,
                channel: Some(port),
            })
        }
        _ => {
            out.push(not_a_contact(draft, name));
            None
        }
    }
}

fn unknown_channel(draft: &Draft, channel: &str, name: &Named) -> Finding {
    let words = draft.port_words();
    let channels: Vec<&str> = words.into_iter().filter(|word| *word != "out").collect();
    let part = &draft.name.text;
    Finding::new(
        codes::UNKNOWN_TERMINAL,
        part.as_str(),
        format!("`{part}` has no channel `{}`", short(channel)),
    )
    .with_label(name.span, "unknown channel")
    .with_hint(did_you_mean(
        channel,
        &channels,
        &format!("channels of `{part}`"),
    ))
}

fn not_a_contact(draft: &Draft, name: &Named) -> Finding {
    let part = &draft.name.text;
    let hint = match draft.kind {
        PartKind::Switch if is_selector(draft) => {
            let positions: Vec<&str> = draft
                .record
                .map("positions")
                .iter()
                .map(|(name, _)| name.text.as_str())
                .collect();
            let example = positions.first().copied().unwrap_or("on");
            format!(
                "write `set = {{ {part} = \"{example}\" }}`; positions: {}",
                listed(positions)
            )
        }
        PartKind::Switch => format!("write the switch's bare name, `{part}`"),
        PartKind::Driver => format!(
            "name a channel, for example `{part}.{}`",
            draft.ports.first().map_or("", |port| &port.name)
        ),
        PartKind::Relay => "a relay moves by its own coil: close what feeds the coil".to_owned(),
        _ => "name simple switches, and channels of drivers as `NAME.CHANNEL`".to_owned(),
    };
    let what = match draft.kind {
        PartKind::Switch if is_selector(draft) => "selector".to_owned(),
        kind => kind.word().to_owned(),
    };
    Finding::new(
        codes::WRONG_PART,
        part.as_str(),
        format!(
            "`{}` is no simple switch or channel: `{part}` is a {what}",
            short(&name.text)
        ),
    )
    .with_label(name.span, "cannot be opened or closed here")
    .with_hint(hint)
}

/// The selector and position that an entry of `set` names.
pub(super) fn position(
    out: &mut Sink,
    roster: &Roster,
    name: &Named,
    entry: &Entry,
) -> Option<(PartId, usize)> {
    let part = roster.part(out, name)?;
    let draft = roster.draft(part);
    let part_name = &draft.name.text;
    if !is_selector(draft) {
        let hint = if draft.kind == PartKind::Switch {
            format!("`{part_name}` is a simple switch: write `closed = [\"{part_name}\"]`")
        } else {
            "only switches with positions can be set".to_owned()
        };
        out.push(
            Finding::new(
                codes::WRONG_PART,
                part_name.as_str(),
                format!("`{part_name}` has no positions to set"),
            )
            .with_label(name.span, "not a selector switch")
            .with_hint(hint),
        );
        return None;
    }
    let wanted = entry.named()?;
    let positions: Vec<&str> = draft
        .record
        .map("positions")
        .iter()
        .map(|(name, _)| name.text.as_str())
        .collect();
    let found = positions.iter().position(|known| *known == wanted.text);
    if found.is_none() && !positions.is_empty() {
        out.push(
            Finding::new(
                codes::UNKNOWN_POSITION,
                part_name.as_str(),
                format!("`{part_name}` has no position `{}`", short(&wanted.text)),
            )
            .with_label(wanted.span, "unknown position")
            .with_hint(did_you_mean(
                &wanted.text,
                &positions,
                &format!("positions of `{part_name}`"),
            )),
        );
    }
    found.map(|position| (part, position))
}
