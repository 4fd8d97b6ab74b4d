//! Cautions of bench and boat work, each with its reason.
//!
//! Bench, interpret and trace output begins with the cautions of its topics;
//! they stand before the step they belong to, never after.

use super::{OutOfTable, Table, need, row_named};
use crate::sources::Source;

/// A caution to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution {
    /// Short name, for step lists and JSON.
    pub tag: String,
    /// What to do.
    pub text: String,
    /// Why.
    pub reason: String,
    /// Topics it belongs to.
    pub applies_to: Vec<String>,
    /// Where it comes from.
    pub source: Source,
}

impl Caution {
    /// Whether it belongs to one of the topics, or to all work.
    pub fn applies(&self, topics: &[&str]) -> bool {
        let named = |topic: &String| topic == "all" || topics.contains(&topic.as_str());
        self.applies_to.iter().any(named)
    }
}

fn read(table: &Table, row: usize) -> Option<Caution> {
    let text = |column: &str| table.text(row, column).map(str::to_owned);
    Some(Caution {
        tag: text("tag")?,
        text: text("caution")?,
        reason: text("reason")?,
        applies_to: text("applies_to")?.split(", ").map(str::to_owned).collect(),
        source: table.row_source(row),
    })
}

/// One caution by its tag.
///
/// # Errors
/// When there is no such tag; the refusal lists them.
pub fn caution(tag: &str) -> Result<Caution, OutOfTable> {
    let table = need("cautions")?;
    let row = row_named(table, "tag", &tag.replace('_', "-"), "caution")?;
    read(table, row).ok_or_else(|| {
        OutOfTable::new(
            format!("the caution `{tag}` is incomplete"),
            "other cautions are whole",
            &table.id,
        )
    })
}

/// Every caution, in the order of the table.
pub fn cautions() -> Vec<Caution> {
    super::table("cautions").map_or_else(Vec::new, |table| {
        (0..table.rows.len())
            .filter_map(|row| read(table, row))
            .collect()
    })
}

/// Puts a caution into the words of an inboard engine, where it has others there.
pub fn in_inboard_words(caution: &mut Caution) {
    let Some(table) = super::table("inboard-words") else {
        return;
    };
    let rows = 0..table.rows.len();
    let mut own = rows.filter(|row| table.text(*row, "tag") == Some(caution.tag.as_str()));
    let Some(row) = own.next() else { return };
    let texts = (table.text(row, "caution"), table.text(row, "reason"));
    if let (Some(text), Some(reason)) = texts {
        text.clone_into(&mut caution.text);
        reason.clone_into(&mut caution.reason);
        caution.source = table.row_source(row);
    }
}

/// Cautions of a topic (`fuel-pump`, `battery`, `cranking`, `tracing`, ...) and
/// those that always apply, in the order of the table.
pub fn cautions_for(topic: &str) -> Vec<Caution> {
    cautions()
        .into_iter()
        .filter(|caution| caution.applies(&[topic]))
        .collect()
}

/// The topics cautions are filed under, in alphabetical order.
pub fn topics() -> Vec<String> {
    let mut topics: Vec<String> = cautions()
        .into_iter()
        .flat_map(|caution| caution.applies_to)
        .collect();
    topics.sort();
    topics.dedup();
    topics
}

/// Who has the last word on bench work.
pub const fn deference() -> &'static str {
    "Local codes, the engine maker's manual and licensed practice come before these steps; on an engine's own harness its maker's fuse ratings rule."
}

/// Two lines for the first screen, in the words of an outboard.
pub const fn two_line_summary() -> [&'static str; 2] {
    [
        "Petrol vapour and battery gas burn from a spark: work in the open, switch at the battery's end of a fused lead, an arm's length from the posts.",
        "Run a fuel pump filled and 10 s at most, propeller off before cranking, and never fit a larger fuse to stop one from opening.",
    ]
}

/// The same in the words of an inboard engine.
pub const fn two_line_summary_inboard() -> [&'static str; 2] {
    [
        two_line_summary()[0],
        "Run a fuel pump filled and 10 s at most, gear in neutral before cranking, and never fit a larger fuse to stop one from opening.",
    ]
}
