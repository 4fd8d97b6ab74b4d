//! The fuses of a block.

use super::catalogue::SLOT_FIELDS;
use super::devices::rating_is_made;
use super::fields::{About, missing};
use super::roster::Roster;
use super::sink::Sink;
use super::value::{Entry, Named, Record, Value};
use super::words;
use crate::circuit::{Fuse, FuseBlock, Given, PartId, Slot};
use crate::tables::fuses::FuseStyle;

/// Makes the block; a slot takes the block's style unless it names its own.
pub(super) fn block(out: &mut Sink, roster: &Roster, part: PartId) -> Option<FuseBlock> {
    let draft = roster.draft(part);
    let style = draft.record.word("style", words::STYLES);
    let style_written = draft.record.key("style").is_some();
    let mut slots = Vec::new();
    for (name, entry) in draft.record.map("slots") {
        let port = draft.port(&name.text)?;
        let subject = format!("{}.{}", draft.name.text, name.text);
        if !style_written && !names_style(entry) {
            let about = About {
                subject: &subject,
                table: "slot",
            };
            let field = SLOT_FIELDS.iter().find(|field| field.key == "style")?;
            out.push(missing(about, field, name.span));
            continue;
        }
        let Some(fuse) = fuse(entry, style) else {
            continue;
        };
        rating_is_made(out, &subject, fuse.style.value, fuse.rating);
        slots.push(slot(name, fuse, roster.terminal(part, port)));
    }
    slots.sort_by_key(|slot| slot.terminal);
    Some(FuseBlock { slots })
}

fn slot(name: &Named, fuse: Fuse, terminal: crate::circuit::TerminalId) -> Slot {
    Slot {
        name: name.text.clone(),
        span: name.span,
        fuse,
        terminal,
    }
}

fn names_style(entry: &Entry) -> bool {
    match &entry.value {
        Some(Value::Table(record)) => record.key("style").is_some(),
        // What could not be read was reported already.
        Some(_) => false,
        None => true,
    }
}

fn fuse(entry: &Entry, style: Option<Given<FuseStyle>>) -> Option<Fuse> {
    match entry.value.as_ref()? {
        Value::Table(record) => from_table(record, style),
        _ => Some(Fuse {
            style: style?,
            rating: entry.figure()?,
            label: None,
            keep: false,
        }),
    }
}

fn from_table(record: &Record, style: Option<Given<FuseStyle>>) -> Option<Fuse> {
    Some(Fuse {
        style: record.word("style", words::STYLES).or(style)?,
        rating: record.figure("rating")?,
        label: record.figure("label"),
        keep: record.flag("keep").is_some_and(|given| given.value),
    })
}
