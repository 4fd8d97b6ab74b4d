//! Whether a replacement suits, as a document.

use super::{Held, Suits};
use crate::document::{Cell, Document, Table};
use crate::protecting::Verdict;
use crate::tables::cautions::deference;

/// Writes the document.
pub fn document(found: &Suits) -> Document {
    let mut document = Document::new();
    document.about(format!(
        "{} in place of `{}`, held against fuse and wire",
        found.replacement, found.part
    ));
    for caution in &found.cautions {
        document.caution(format!("{} ({})", caution.text, caution.reason));
    }
    document.caution(deference());
    document.answer(found.statement.clone());
    document.table(overview(&found.checks));
    document.heading("why");
    document.bullets(
        found
            .checks
            .iter()
            .map(|held| format!("{}, {}: {}", held.check, held.verdict.word(), held.sentence)),
    );
    document.paragraph("A larger fuse is no answer to any of these: the fuse guards the wire. Fuse times are within the recalled or published gates, for genuine fuses; a warm or tired fuse opens sooner.");
    document
}

fn overview(checks: &[Held]) -> Table {
    let mut table = Table::new("held against its circuit")
        .words("what")
        .words("verdict")
        .figures("figure")
        .words("by");
    for held in checks {
        let verdict = match held.verdict {
            Verdict::Holds => Cell::ok("holds"),
            Verdict::Note => Cell::plain("note"),
            Verdict::Caution => Cell::warn("caution"),
            Verdict::Violation => Cell::bad("violation"),
        };
        let by = held.sources.first();
        table.row([
            Cell::plain(held.check),
            verdict,
            Cell::plain(held.figure.clone()),
            Cell::plain(by.map_or_else(|| "the file".to_owned(), |source| source.document.clone())),
        ]);
    }
    table
}
