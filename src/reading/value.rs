//! Values as read: each with its place, and typed access to a table's fields.

use super::words;
use crate::circuit::Given;
use crate::quantities::{Band, Quantity, WireSize};
use crate::span::Span;
use std::collections::BTreeMap;

/// A name in the file with its place.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Named {
    /// The text.
    pub(super) text: String,
    /// Where it stands.
    pub(super) span: Span,
}

/// A value with its place.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    /// Where it stands.
    pub(super) span: Span,
    /// What it is; `None` where it could not be read, which was reported.
    pub(super) value: Option<Value>,
}

/// What a value is.
#[derive(Debug, Clone)]
pub(super) enum Value {
    /// Low, typical, high in the base unit of the field's dimension.
    Range(f64, f64, f64),
    /// A wire size.
    Size(WireSize),
    /// `"?"`: known to nobody.
    Unknown,
    /// true or false.
    Flag(bool),
    /// A whole number.
    Count(u32),
    /// Free text, a checked word, or a reference.
    Text(String),
    /// A list.
    List(Vec<Entry>),
    /// Names with a value each, in file order.
    Map(Vec<(Named, Entry)>),
    /// A table with fields of its own.
    Table(Record),
}

/// The fields of one table that were written.
#[derive(Debug, Clone, Default)]
pub(super) struct Record {
    /// The header or key the table stands under.
    pub(super) header: Span,
    /// By key: where the key stands, and the value.
    pub(super) fields: BTreeMap<&'static str, (Span, Entry)>,
    /// Keys that are no fields, for the caller to judge: terminals joined
    /// straight to others. In file order.
    pub(super) others: Vec<(Named, Entry)>,
}

impl Record {
    /// Where a key stands, if it was written.
    pub(super) fn key(&self, key: &str) -> Option<Span> {
        self.fields.get(key).map(|(span, _)| *span)
    }

    /// A field's value, if it was written and could be read.
    pub(super) fn entry(&self, key: &str) -> Option<&Entry> {
        self.fields.get(key).map(|(_, entry)| entry)
    }

    /// A field's value with its place.
    pub(super) fn value(&self, key: &str) -> Option<(&Value, Span)> {
        let entry = self.entry(key)?;
        Some((entry.value.as_ref()?, entry.span))
    }

    /// A figure or range.
    pub(super) fn range<Q: Quantity>(&self, key: &str) -> Option<Given<Band<Q>>> {
        self.entry(key).and_then(Entry::range)
    }

    /// One figure.
    pub(super) fn figure<Q: Quantity>(&self, key: &str) -> Option<Given<Q>> {
        self.range(key)
            .map(|band: Given<Band<Q>>| Given::new(band.value.typical, band.span))
    }

    /// Free text or a reference.
    pub(super) fn text(&self, key: &str) -> Option<Given<String>> {
        self.entry(key).and_then(Entry::text)
    }

    /// true or false.
    pub(super) fn flag(&self, key: &str) -> Option<Given<bool>> {
        self.entry(key).and_then(Entry::flag)
    }

    /// A whole number.
    pub(super) fn count(&self, key: &str) -> Option<Given<u32>> {
        self.entry(key).and_then(Entry::count)
    }

    /// What a word stands for.
    pub(super) fn word<T: Copy>(&self, key: &str, table: &[(T, &'static str)]) -> Option<Given<T>> {
        self.entry(key).and_then(|entry| entry.word(table))
    }

    /// The entries of a list.
    pub(super) fn list(&self, key: &str) -> Option<&[Entry]> {
        match self.value(key)?.0 {
            Value::List(entries) => Some(entries),
            _ => None,
        }
    }

    /// The texts of a list, each with its place.
    pub(super) fn texts(&self, key: &str) -> Vec<Named> {
        self.list(key)
            .unwrap_or_default()
            .iter()
            .filter_map(Entry::named)
            .collect()
    }

    /// The pairs of a map, in file order.
    pub(super) fn map(&self, key: &str) -> &[(Named, Entry)] {
        match self.value(key) {
            Some((Value::Map(pairs), _)) => pairs,
            _ => &[],
        }
    }

    /// A table with fields of its own.
    pub(super) fn table(&self, key: &str) -> Option<&Record> {
        match self.value(key)?.0 {
            Value::Table(record) => Some(record),
            _ => None,
        }
    }
}

impl Entry {
    /// A figure or range.
    pub(super) fn range<Q: Quantity>(&self) -> Option<Given<Band<Q>>> {
        match self.value {
            Some(Value::Range(low, typical, high)) => Some(Given::new(
                Band::new(Q::new(low), Q::new(typical), Q::new(high)),
                self.span,
            )),
            _ => None,
        }
    }

    /// One figure.
    pub(super) fn figure<Q: Quantity>(&self) -> Option<Given<Q>> {
        self.range()
            .map(|band: Given<Band<Q>>| Given::new(band.value.typical, band.span))
    }

    /// A wire size.
    pub(super) fn size(&self) -> Option<Given<WireSize>> {
        match self.value {
            Some(Value::Size(size)) => Some(Given::new(size, self.span)),
            _ => None,
        }
    }

    /// true or false.
    pub(super) fn flag(&self) -> Option<Given<bool>> {
        match self.value {
            Some(Value::Flag(flag)) => Some(Given::new(flag, self.span)),
            _ => None,
        }
    }

    /// A whole number.
    pub(super) fn count(&self) -> Option<Given<u32>> {
        match self.value {
            Some(Value::Count(count)) => Some(Given::new(count, self.span)),
            _ => None,
        }
    }

    /// Free text or a reference.
    pub(super) fn text(&self) -> Option<Given<String>> {
        self.named().map(|named| Given::new(named.text, named.span))
    }

    /// The same, as a name.
    pub(super) fn named(&self) -> Option<Named> {
        match &self.value {
            Some(Value::Text(text)) => Some(Named {
                text: text.clone(),
                span: self.span,
            }),
            _ => None,
        }
    }

    /// What a word stands for.
    pub(super) fn word<T: Copy>(&self, table: &[(T, &'static str)]) -> Option<Given<T>> {
        let text = self.text()?;
        words::meaning(table, &text.value).map(|meaning| Given::new(meaning, self.span))
    }
}
