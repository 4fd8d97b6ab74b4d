//! The log of a tracing: TOML, read with every mistake at once.
//!
//! Names are those of the circuit file: a terminal (`pump.plus`), a part, a
//! fuse (`main`, `BLOCK.SLOT`), a wire (`FROM to TO`).

use super::trace_spots::Spots;
use crate::circuit::{Circuit, PartId};
use crate::findings::{Finding, code};
use crate::quantities::{Amps, Band, Ohms, RadiansPerSecond, Seconds, Volts, parse_band};
use crate::span::{CircuitText, Span};
use crate::tracing::{
    Before, Complaint, Done, Element, Evidence, Figure, Quantity, SignKind, Spot, TestKind, When,
};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Volts that no 12 V circuit shows, however it is charged (judgement).
const MOST_V: f64 = 60.0;

/// Keys a log may have.
const KEYS: &[&str] = &[
    "format",
    "complaint",
    "fuse",
    "load",
    "loads",
    "states",
    "fine",
    "when",
    "after",
    "opens-after",
    "holds-for",
    "element",
    "so-far",
    "dead",
    "works",
    "altered",
    "signs",
    "reading",
    "test",
];

/// Keys a reading may have.
const READING_KEYS: &[&str] = &[
    "at",
    "to",
    "quantity",
    "value",
    "state",
    "unplugged",
    "loaded",
];

/// Words that owners use, and the log's own.
const SAME: &[(&str, &str)] = &[
    ("cranking", "start"),
    ("starting", "start"),
    ("engine-off", "engine-stopped"),
    ("rain", "wet"),
    ("in-rain", "wet"),
    ("spray", "wet"),
    ("waves", "moving"),
    ("vibration", "moving"),
    ("fuse-blows", "fuse-opens"),
    ("fuse-blown", "fuse-opens"),
    ("winter", "storage"),
    ("new-battery", "work"),
    ("repair", "work"),
    ("reversed", "reversal"),
    ("burnt", "melted"),
    ("green", "corroded"),
    ("rusty", "corroded"),
    ("dim", "glows"),
    ("blown", "clean-gap"),
    ("black", "soot"),
];

/// Reads a log against its circuit.
///
/// # Errors
/// All mistakes, with their places.
pub(super) fn read(text: &CircuitText, circuit: &Circuit) -> Result<Evidence, Vec<Finding>> {
    let (tree, errors) = DeTable::parse_recoverable(&text.text);
    let mut reader = Reader {
        spots: Spots::of(circuit),
        findings: Vec::new(),
    };
    for error in errors {
        let span = error.span().map(Span::from).unwrap_or_default();
        reader.mistake(span, "", error.message().to_owned(), "mend the TOML here");
    }
    let evidence = reader.log(tree.get_ref());
    if reader.findings.is_empty() {
        Ok(evidence)
    } else {
        Err(reader.findings)
    }
}

struct Reader<'c> {
    spots: Spots<'c>,
    findings: Vec<Finding>,
}

type Entry<'a, 't> = &'a Spanned<DeValue<'t>>;

impl Reader<'_> {
    fn mistake(&mut self, span: Span, subject: &str, what: String, hint: impl Into<String>) {
        self.findings.push(
            Finding::new(code("log-entry"), subject, what)
                .with_label(span, "")
                .with_hint(hint),
        );
    }

    fn known_keys(&mut self, table: &DeTable<'_>, what: &str, keys: &[&'static str]) {
        for (key, _) in table {
            let name = key.get_ref();
            if !keys.contains(&name.as_ref()) {
                let near = super::nearest(name, keys.iter().copied());
                let hint = near.map_or_else(
                    || format!("{what} has {}", keys.join(", ")),
                    |near| format!("did you mean `{near}`?"),
                );
                let what = format!("{what} has no `{name}`");
                self.mistake(key.span().into(), name, what, hint);
            }
        }
    }

    fn log(&mut self, log: &DeTable<'_>) -> Evidence {
        self.known_keys(log, "a log", KEYS);
        // Of a log without a sound complaint the rest is read all the same: its
        // mistakes are told with it.
        let complaint = self.complaint(log).unwrap_or(Complaint::FuseOpens);
        let mut evidence = Evidence::of(complaint);
        self.what_and_when(log, &mut evidence);
        self.how(log, &mut evidence);
        self.lists(log, &mut evidence);
        evidence
    }

    fn complaint(&mut self, log: &DeTable<'_>) -> Option<Complaint> {
        let Some(entry) = log.get("complaint") else {
            let all = words(Complaint::ALL);
            self.mistake(
                Span::default(),
                "complaint",
                "the log names no complaint".to_owned(),
                format!("write complaint = \"fuse-opens\"; it is one of {all}"),
            );
            return None;
        };
        self.word(entry, "complaint", Complaint::ALL)
    }

    fn what_and_when(&mut self, log: &DeTable<'_>, evidence: &mut Evidence) {
        if let Some(entry) = log.get("fuse") {
            evidence.fuse = self.fuse(entry);
        }
        for key in ["load", "loads"] {
            evidence.loads.extend(self.parts(log, key));
        }
        evidence.dead = self.parts(log, "dead");
        evidence.works = self.parts(log, "works");
        evidence.states = self.states(log, "states");
        evidence.fine = self.states(log, "fine");
        evidence.when = self.each(log, "when", |reader, entry| {
            reader.word(entry, "when", When::ALL)
        });
        evidence.after = self.each(log, "after", |reader, entry| {
            reader.word(entry, "after", Before::ALL)
        });
    }

    fn how(&mut self, log: &DeTable<'_>, evidence: &mut Evidence) {
        if let Some(entry) = log.get("opens-after") {
            evidence.opens_after = self.figure::<Seconds>(entry, "opens-after", "\"2 s\"");
        }
        if let Some(entry) = log.get("holds-for") {
            let held = self.figure::<Seconds>(entry, "holds-for", "\"30 s\"");
            evidence.holds_for = held.map(|band| band.typical);
        }
        if let Some(entry) = log.get("element") {
            evidence.element = self.word(entry, "element", Element::ALL);
        }
        if let Some(entry) = log.get("so-far") {
            match entry.get_ref() {
                DeValue::Integer(count) => {
                    evidence.so_far = count.as_str().parse().ok();
                }
                _ => self.mistake(
                    entry.span().into(),
                    "so-far",
                    "`so-far` is a count".to_owned(),
                    "write so-far = 3",
                ),
            }
        }
    }

    fn lists(&mut self, log: &DeTable<'_>, evidence: &mut Evidence) {
        evidence.altered = self.each(log, "altered", |reader, entry| {
            let name = reader.text(entry, "altered")?;
            reader.spot(&name, entry.span().into())
        });
        evidence.signs = self.each(log, "signs", Self::sign);
        evidence.figures = self.each(log, "reading", Self::reading);
        evidence.tests = self.each(log, "test", Self::test);
    }

    /// Every entry of a list, or the one value that stands for a list.
    fn each<T>(
        &mut self,
        log: &DeTable<'_>,
        key: &str,
        mut one: impl FnMut(&mut Self, Entry<'_, '_>) -> Option<T>,
    ) -> Vec<T> {
        match log.get(key) {
            None => Vec::new(),
            Some(entry) => match entry.get_ref() {
                DeValue::Array(list) => {
                    let list: Vec<_> = list.iter().collect();
                    list.into_iter()
                        .filter_map(|entry| one(self, entry))
                        .collect()
                }
                _ => one(self, entry).into_iter().collect(),
            },
        }
    }

    fn text(&mut self, entry: Entry<'_, '_>, key: &str) -> Option<String> {
        if let DeValue::String(text) = entry.get_ref() {
            return Some(text.to_string());
        }
        self.mistake(
            entry.span().into(),
            key,
            format!("`{key}` is a text"),
            format!("write {key} = \"...\""),
        );
        None
    }

    fn word<T: Copy>(
        &mut self,
        entry: Entry<'_, '_>,
        key: &str,
        all: &[(T, &'static str)],
    ) -> Option<T> {
        let text = self.text(entry, key)?;
        if let Some((found, _)) = all.iter().find(|(_, word)| *word == text) {
            return Some(*found);
        }
        let own = |word: &&str| all.iter().any(|(_, known)| known == word);
        let same = SAME.iter().find(|(said, _)| *said == text);
        let same = same.map(|(_, word)| *word).filter(own);
        let near = same.or_else(|| super::nearest(&text, all.iter().map(|(_, word)| *word)));
        let hint = near.map_or_else(
            || format!("it is one of {}", words(all)),
            |near| format!("did you mean `{near}`?"),
        );
        let what = format!("`{text}` is no `{key}`");
        self.mistake(entry.span().into(), key, what, hint);
        None
    }

    fn figure<Q: crate::quantities::Quantity>(
        &mut self,
        entry: Entry<'_, '_>,
        key: &str,
        example: &str,
    ) -> Option<Band<f64>> {
        let text = self.text(entry, key)?;
        match parse_band::<Q>(&text) {
            Ok(band) => Some(band.si()),
            Err(why) => {
                let hint = format!("write it with its unit, as in {example}");
                self.mistake(entry.span().into(), key, why.to_string(), hint);
                None
            }
        }
    }

    fn spot(&mut self, name: &str, span: Span) -> Option<Spot> {
        match self.spots.spot(name) {
            Ok(spot) => Some(spot),
            Err(hint) => {
                self.mistake(span, name, format!("the circuit has no `{name}`"), hint);
                None
            }
        }
    }

    fn fuse(&mut self, entry: Entry<'_, '_>) -> Option<usize> {
        let name = self.text(entry, "fuse")?;
        match self.spots.fuse(&name) {
            Ok(fuse) => Some(fuse),
            Err(hint) => {
                let what = format!("no fuse or breaker is called `{name}`");
                self.mistake(entry.span().into(), &name, what, hint);
                None
            }
        }
    }

    fn parts(&mut self, log: &DeTable<'_>, key: &str) -> Vec<PartId> {
        self.each(log, key, |reader, entry| {
            let name = reader.text(entry, key)?;
            match reader.spots.part(&name) {
                Ok(part) => Some(part),
                Err(hint) => {
                    let what = format!("no part is called `{name}`");
                    reader.mistake(entry.span().into(), &name, what, hint);
                    None
                }
            }
        })
    }

    fn state(&mut self, entry: Entry<'_, '_>) -> Option<usize> {
        let name = self.text(entry, "state")?;
        match self.spots.state(&name) {
            Ok(state) => Some(state),
            Err(hint) => {
                let what = format!("no state is called `{name}`");
                self.mistake(entry.span().into(), &name, what, hint);
                None
            }
        }
    }

    fn states(&mut self, log: &DeTable<'_>, key: &str) -> Vec<usize> {
        self.each(log, key, Self::state)
    }

    fn table<'a, 't>(&mut self, entry: Entry<'a, 't>, key: &str) -> Option<&'a DeTable<'t>> {
        if let DeValue::Table(table) = entry.get_ref() {
            return Some(table);
        }
        let hint = format!("write [[{key}]] with its keys below");
        self.mistake(
            entry.span().into(),
            key,
            format!("`{key}` is a table"),
            hint,
        );
        None
    }

    fn needed<'a, 't>(
        &mut self,
        table: &'a DeTable<'t>,
        span: Span,
        key: &str,
        example: &str,
    ) -> Option<Entry<'a, 't>> {
        let found = table.get(key);
        if found.is_none() {
            self.mistake(
                span,
                key,
                format!("`{key}` is missing"),
                format!("write {key} = {example}"),
            );
        }
        found
    }

    fn at(&mut self, table: &DeTable<'_>, span: Span) -> Option<Spot> {
        let entry = self.needed(table, span, "at", "\"pump.plus\"")?;
        let name = self.text(entry, "at")?;
        self.spot(&name, entry.span().into())
    }

    fn sign(&mut self, entry: Entry<'_, '_>) -> Option<(Spot, SignKind)> {
        let table = self.table(entry, "signs")?;
        self.known_keys(table, "a sign", &["at", "sign"]);
        let span = entry.span().into();
        let at = self.at(table, span);
        let sign = self.needed(table, span, "sign", "\"hot\"")?;
        let sign = self.word(sign, "sign", SignKind::ALL);
        Some((at?, sign?))
    }

    fn reading(&mut self, entry: Entry<'_, '_>) -> Option<Figure> {
        let table = self.table(entry, "reading")?;
        self.known_keys(table, "a reading", READING_KEYS);
        let span: Span = entry.span().into();
        let at = self.at(table, span);
        let to = table.get("to").and_then(|to| {
            let name = self.text(to, "to")?;
            match self.spots.terminal(&name) {
                Ok(end) => Some(end),
                Err(hint) => {
                    let what = format!("no terminal is called `{name}`");
                    self.mistake(to.span().into(), &name, what, hint);
                    None
                }
            }
        });
        let quantity = self.needed(table, span, "quantity", "\"volts\"")?;
        let quantity = self.word(quantity, "quantity", Quantity::ALL);
        let value = self.needed(table, span, "value", "\"6 V\"")?;
        let found = self.value(value, quantity?);
        let value = self.possible(value, quantity?, found);
        let state = table.get("state").map(|entry| self.state(entry));
        let mut unplugged = self.parts(table, "unplugged");
        let loaded = table.get("loaded").map(Spanned::get_ref);
        if matches!(loaded, Some(DeValue::Boolean(false)))
            && let Some(part) = at.and_then(|at| self.spots.part_of(at))
        {
            unplugged.push(part);
        }
        Some(Figure {
            at: at?,
            to,
            quantity: quantity?,
            value: value?,
            // A state that is not known is a mistake that was told.
            state: state.flatten(),
            unplugged,
        })
    }

    fn value(&mut self, entry: Entry<'_, '_>, quantity: Quantity) -> Option<Band<f64>> {
        let text = self.text(entry, "value")?;
        if quantity == Quantity::Ohms && ["open", "OL"].contains(&text.as_str()) {
            return Some(Band::exactly(Ohms::new(1e7)).si());
        }
        match quantity {
            Quantity::Volts => self.figure::<Volts>(entry, "value", "\"6 V\""),
            Quantity::Millivolts => self.figure::<Volts>(entry, "value", "\"12 mV\""),
            Quantity::Amps => self.figure::<Amps>(entry, "value", "\"19 A\""),
            Quantity::Ohms => self.figure::<Ohms>(entry, "value", "\"0.6 ohm\""),
            Quantity::Speed => self.figure::<RadiansPerSecond>(entry, "value", "\"29 rpm\""),
        }
    }

    /// The value, unless no meter shows it on such a boat.
    fn possible(
        &mut self,
        entry: Entry<'_, '_>,
        quantity: Quantity,
        value: Option<Band<f64>>,
    ) -> Option<Band<f64>> {
        let found = value?;
        let what = match quantity {
            Quantity::Volts if found.typical.abs() > MOST_V => {
                "a 12 V circuit shows no such volts; look at the meter's range"
            }
            Quantity::Ohms if found.typical < 0.0 => {
                "ohms below nought: the circuit was live; read them with the battery off"
            }
            _ => return value,
        };
        let hint = "read it again, or leave the reading out".to_owned();
        self.mistake(entry.span().into(), "value", what.to_owned(), hint);
        None
    }

    fn test(&mut self, entry: Entry<'_, '_>) -> Option<Done> {
        let table = self.table(entry, "test")?;
        self.known_keys(table, "a test", &["test", "at", "state", "outcome"]);
        let span: Span = entry.span().into();
        let test = self.needed(table, span, "test", "\"lamp\"")?;
        let test = self.word(test, "test", TestKind::ALL);
        let at = self.at(table, span);
        let state = table.get("state").map(|entry| self.state(entry));
        let outcome = self.needed(table, span, "outcome", "\"bright\"")?;
        let word = self.text(outcome, "outcome")?;
        let test = test?;
        let allowed = test.outcomes();
        if !allowed.contains(&word.as_str()) {
            let what = format!("`{word}` is no outcome of `{}`", test.word());
            let hint = format!("it is one of {}", allowed.join(", "));
            self.mistake(outcome.span().into(), "outcome", what, hint);
            return None;
        }
        Some(Done {
            test,
            at: at?,
            state: state.flatten(),
            outcome: word,
        })
    }
}

fn words<T>(all: &[(T, &'static str)]) -> String {
    let all: Vec<&str> = all.iter().map(|(_, word)| *word).collect();
    all.join(", ")
}
