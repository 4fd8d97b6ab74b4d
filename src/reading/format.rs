//! The number of the file format.

use super::codes;
use super::scalars::kind_of;
use super::sink::Sink;
use crate::findings::Finding;
use crate::span::Span;
use toml::de::{DeTable, DeValue};

/// The format this program reads.
const FORMAT: i64 = 1;

/// Checks `format`. False where the file is of a newer format, so that
/// nothing else in it can be judged.
pub(super) fn check(out: &mut Sink, tree: &DeTable) -> bool {
    let Some(value) = tree.get("format") else {
        out.push(
            Finding::new(
                codes::FORMAT_MISSING,
                "",
                "the file does not say its `format`",
            )
            .with_label(Span::new(0, 0), "")
            .with_hint("begin the file with the line `format = 1`"),
        );
        return true;
    };
    let span: Span = value.span().into();
    let number = match value.get_ref() {
        DeValue::Integer(number) => {
            i64::from_str_radix(number.as_str(), number.radix()).unwrap_or(i64::MAX)
        }
        other => {
            out.push(unknown(
                span,
                format!("`format` takes a whole number, not {}", kind_of(other)),
            ));
            return true;
        }
    };
    if number > FORMAT {
        out.push(
            Finding::new(
                codes::FORMAT_UNKNOWN,
                "",
                format!("the file is of a newer format than this program reads, which is {FORMAT}"),
            )
            .with_label(span, "newer")
            .with_hint("read it with a newer version of the program"),
        );
        return false;
    }
    if number < FORMAT {
        out.push(unknown(span, format!("there is no format {number}")));
    }
    true
}

fn unknown(span: Span, statement: String) -> Finding {
    Finding::new(codes::FORMAT_UNKNOWN, "", statement)
        .with_label(span, "unknown format")
        .with_hint("write `format = 1`")
}
