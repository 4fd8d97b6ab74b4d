//! Runs: chains of parts, a wire each hop.

use super::chain::{Hop, hops};
use super::codes;
use super::roster::Roster;
use super::sink::Sink;
use super::value::{Entry, Record, Value};
use super::wiring::{COPIED, WireDraft, Wiring};
use crate::findings::Finding;

/// Counts of wires: of the chain, and of its return.
#[derive(Debug, Clone, Copy)]
struct Counts {
    there: usize,
    back: usize,
}

/// Reads one run into wires.
pub(super) fn run(out: &mut Sink, roster: &Roster, record: &Record, wiring: &mut Wiring) {
    let there = chain(out, roster, record, "through");
    let back = chain(out, roster, record, "back");
    wiring.broken |= there.is_none() || back.is_none();
    let counts = match (&there, &back) {
        (Some(there), Some(back)) => {
            let counts = Counts {
                there: there.len(),
                back: back.len(),
            };
            counts_fit(out, record, counts).then_some(counts)
        }
        _ => None,
    };
    let hops = [&there, &back]
        .iter()
        .map(|chain| chain.as_ref().map_or(0, Vec::len))
        .sum();
    let all = there
        .into_iter()
        .flatten()
        .chain(back.into_iter().flatten());
    for (hop, Hop { ends, span }) in all.enumerate() {
        let Some((from, to)) = ends else {
            wiring.broken = true;
            continue;
        };
        let fields = counts.map_or_else(Vec::new, |counts| fields_of_hop(record, hop, counts));
        wiring.wires.push(WireDraft {
            from,
            to,
            fields,
            columns: Vec::new(),
            span,
            hop: (record.header, hop, hops),
        });
    }
}

/// The wires of a chain; empty where the key is not written.
fn chain(out: &mut Sink, roster: &Roster, record: &Record, key: &str) -> Option<Vec<Hop>> {
    if record.key(key).is_none() {
        // A missing `through` was reported with the fields.
        return (key == "back").then(Vec::new);
    }
    let entries = record.list(key)?;
    if entries.len() < 2 {
        let at = record.entry(key).map_or(record.header, |entry| entry.span);
        out.push(
            Finding::new(
                codes::CHAIN_TOO_SHORT,
                "",
                format!("`{key}` names fewer than two parts"),
            )
            .with_label(at, "no wire fits here")
            .with_hint(format!(
                "name what the chain joins: {key} = [\"house.plus\", \"main\", \"pump.plus\"]"
            )),
        );
        return None;
    }
    hops(out, roster, entries)
}

/// Whether every list has one entry a wire; reports those that have not.
fn counts_fit(out: &mut Sink, record: &Record, counts: Counts) -> bool {
    let mut fit = true;
    for (key, needed, wires) in [
        ("lengths", counts.there, "`through`"),
        ("back-lengths", counts.back, "`back`"),
    ] {
        if record.key("back").is_some() || key == "lengths" {
            fit &= count_fits(out, record, key, needed, wires);
        }
    }
    let together = if counts.back > 0 {
        "`through` and `back` together"
    } else {
        "`through`"
    };
    for key in COPIED {
        fit &= count_fits(out, record, key, counts.there + counts.back, together);
    }
    fit
}

fn count_fits(out: &mut Sink, record: &Record, key: &str, needed: usize, chains: &str) -> bool {
    let (Some(list), Some(entry)) = (record.list(key), record.entry(key)) else {
        return true;
    };
    if list.len() == needed {
        return true;
    }
    let wires = if needed == 1 {
        "1 wire".to_owned()
    } else {
        format!("{needed} wires")
    };
    out.push(
        Finding::new(
            codes::HOP_COUNT,
            "",
            format!(
                "`{key}` has {} but {chains} {} {wires}",
                entries(list.len()),
                verb(chains)
            ),
        )
        .with_label(entry.span, format!("{} needed", entries(needed)))
        .with_hint(format!(
            "write one entry a wire, {} in all; a way through a part is no wire",
            entries(needed)
        )),
    );
    false
}

fn verb(chains: &str) -> &'static str {
    if chains.contains("together") {
        "have"
    } else {
        "has"
    }
}

fn entries(count: usize) -> String {
    if count == 1 {
        "1 entry".to_owned()
    } else {
        format!("{count} entries")
    }
}

/// The fields that hold for one wire of the run.
fn fields_of_hop(record: &Record, hop: usize, counts: Counts) -> Vec<(&'static str, Entry)> {
    let mut fields = Vec::new();
    for &key in COPIED {
        let Some(entry) = record.entry(key) else {
            continue;
        };
        let own = match &entry.value {
            Some(Value::List(list)) => list.get(hop).cloned(),
            _ => Some(entry.clone()),
        };
        fields.extend(own.map(|own| (key, own)));
    }
    let length = if hop < counts.there {
        record.list("lengths").and_then(|list| list.get(hop))
    } else {
        record
            .list("back-lengths")
            .and_then(|list| list.get(hop - counts.there))
    };
    fields.extend(length.map(|entry| ("length", entry.clone())));
    fields
}
