//! Terminals bolted straight to others: `minus = "block"` inside a part.

use super::codes;
use super::draft::Draft;
use super::fields::{self, About};
use super::roster::{Half, Roster};
use super::sink::Sink;
use super::value::Named;
use super::wiring::{Wiring, is_loop, to_itself};
use crate::circuit::{Join, PartId, PartKind};
use crate::findings::Finding;

/// Reads the bolted joints of one part; any other unknown key is a mistake.
pub(super) fn joins(out: &mut Sink, roster: &Roster, part: PartId, wiring: &mut Wiring) {
    let draft = roster.draft(part);
    for (key, entry) in &draft.record.others {
        let Some(port) = own_port(draft, key) else {
            if draft.ports_known {
                out.push(unknown(draft, key));
            }
            continue;
        };
        let Some(target) = entry.named() else {
            out.push(
                Finding::new(
                    codes::WRONG_TYPE,
                    draft.name.text.as_str(),
                    format!("`{}` takes a terminal in quotes", key.text),
                )
                .with_label(entry.span, "expected a terminal")
                .with_hint(format!(
                    "write {} = \"block\" to bolt it straight to the stud `block`",
                    key.text
                )),
            );
            continue;
        };
        let from = roster.terminal(part, port);
        match roster.reference(out, &target, Half::To) {
            None => wiring.broken = true,
            Some(to) if is_loop(roster, from, to) => {
                out.push(to_itself(roster.label(to), target.span));
            }
            Some(to) => wiring.joins.push(Join {
                part: from,
                to,
                span: target.span,
            }),
        }
    }
}

/// The terminal a key names; of a pin the half that looks away from the wires
/// written `to` it.
fn own_port(draft: &Draft, key: &Named) -> Option<usize> {
    let port = draft
        .port(&key.text)
        .filter(|_| draft.kind != PartKind::Stud)?;
    Some(if draft.kind == PartKind::Plug {
        port + 1
    } else {
        port
    })
}

fn unknown(draft: &Draft, key: &Named) -> Finding {
    let about = About {
        subject: &draft.name.text,
        table: draft.kind.word(),
    };
    let mut known: Vec<&str> = draft.table().fields.iter().map(|field| field.key).collect();
    if draft.kind != PartKind::Stud {
        known.extend(draft.port_words());
    }
    fields::unknown(about, key, &known)
}
