//! The tables `[boat]`, `[ambient]`, `[limits]` and `[bench]`.

use super::codes;
use super::roster::Roster;
use super::sink::Sink;
use super::value::Record;
use super::words;
use crate::circuit::{Ambient, BenchRig, Boat, DropBasis, FuseBasis, Given, Limits, PartKind};
use crate::findings::Finding;
use crate::quantities::{Fraction, Volts};

/// `[boat]`.
pub(super) fn boat(record: &Record) -> Boat {
    Boat {
        engine: record.word("engine", words::ENGINES),
        fuel: record.word("fuel", words::FUELS),
        nominal: record
            .figure("nominal")
            .map_or(Volts::new(12.0), |given| given.value),
    }
}

/// `[ambient]`.
pub(super) fn ambient(record: &Record) -> Ambient {
    Ambient {
        boat: record.range("boat"),
        engine_space: record.range("engine-space"),
        bench: record.range("bench"),
    }
}

/// `[limits]`.
pub(super) fn limits(out: &mut Sink, roster: &Roster, record: &Record) -> Limits {
    let share = |key: &str, default: f64| {
        record
            .figure(key)
            .map_or(Fraction::new(default), |given| given.value)
    };
    let mut critical: Vec<_> = record
        .texts("critical")
        .iter()
        .filter_map(|name| roster.part(out, name))
        .collect();
    critical.sort();
    critical.dedup();
    Limits {
        drop_critical: share("drop-critical", 0.03),
        drop_other: share("drop-other", 0.10),
        critical,
        drop_basis: record
            .word("drop-basis", words::DROP_BASES)
            .map_or(DropBasis::Abyc, |given| given.value),
        fuse_basis: record
            .word("fuse-basis", words::FUSE_BASES)
            .map_or(FuseBasis::LoadAnd100, |given| given.value),
    }
}

/// `[bench]`.
pub(super) fn bench(out: &mut Sink, roster: &Roster, record: &Record) -> BenchRig {
    BenchRig {
        battery: battery(out, roster, record),
        lead_length: record.range("lead-length"),
        lead_size: record
            .entry("lead-size")
            .and_then(super::value::Entry::size),
        inline_fuse: record.figure("inline-fuse"),
        meter: record.word("meter", words::METERS),
        meter_resistance: record.range("meter-resistance"),
        meter_error: record.figure("meter-error"),
    }
}

fn battery(
    out: &mut Sink,
    roster: &Roster,
    record: &Record,
) -> Option<Given<crate::circuit::PartId>> {
    let name = record.entry("battery")?.named()?;
    let part = roster.part(out, &name)?;
    let draft = roster.draft(part);
    if draft.kind == PartKind::Battery {
        return Some(Given::new(part, name.span));
    }
    out.push(
        Finding::new(
            codes::WRONG_PART,
            draft.name.text.as_str(),
            format!(
                "`{}` is a {}, not a battery",
                draft.name.text,
                draft.kind.word()
            ),
        )
        .with_label(name.span, "expected a battery")
        .with_label(draft.name.span, "described here")
        .with_hint("name a part written `[battery.NAME]`"),
    );
    None
}
