//! Regular expressions for the schema: what figures, sizes, names and classes
//! look like. Each lets through all that the reader takes, and nothing with a
//! wrong unit or none.

use super::known;
use crate::circuit::PartKind;
use crate::quantities::{Dimension, units_of};

/// A name.
pub(super) const NAME: &str = "^[a-z0-9]([a-z0-9-]*[a-z0-9])?$";
/// A terminal, or a bare name.
pub(super) const TERMINAL: &str =
    "^[a-z0-9]([a-z0-9-]*[a-z0-9])?(\\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)?$";

/// A number: decimal, with an exponent, or a fraction.
const NUMBER: &str = "[+\\-\u{2212}]?([0-9]+[- ][0-9]+/[0-9]+|[0-9]+/[0-9]+|([0-9]+\\.?[0-9]*|\\.[0-9]+)([eE][+-]?[0-9]+)?|[0-9]* ?[\u{bc}-\u{be}])";
const BLANK: &str = "[ \\t\u{a0}\u{2009}\u{202f}]*";

/// One figure with its unit.
pub(super) fn figure(dimension: Dimension) -> String {
    format!("^{BLANK}{}{BLANK}$", one(dimension))
}

/// One figure or a range.
pub(super) fn range(dimension: Dimension) -> String {
    let (one, unit) = (one(dimension), units(dimension));
    let bare = format!("{NUMBER}{BLANK}({unit})?");
    let to = format!("{bare}{BLANK}( to |\\.\\.|\u{2013}|\u{2014}){BLANK}{one}");
    let share = units(Dimension::Share);
    let reach = format!("{bare}{BLANK}(\\+/-|\u{b1}){BLANK}({one}|{NUMBER}{BLANK}({share}))");
    format!("^{BLANK}({one}|{to}|{reach}){BLANK}$")
}

fn one(dimension: Dimension) -> String {
    let plain = format!("{NUMBER}{BLANK}({})", units(dimension));
    if dimension == Dimension::Length {
        format!(
            "({plain}|{NUMBER}{BLANK}(ft|feet|foot|'|\u{2032}|\u{2019}){BLANK}{NUMBER}{BLANK}({}))",
            units(dimension)
        )
    } else {
        plain
    }
}

/// All spellings of a dimension's units.
fn units(dimension: Dimension) -> String {
    let mut spellings = Vec::new();
    for unit in units_of(dimension) {
        for spelling in std::iter::once(&unit.symbol).chain(unit.aliases) {
            spellings.push(spelled(
                spelling,
                unit.any_case || spelling.chars().count() >= 4,
            ));
        }
    }
    // The longest first: some engines take the first that fits.
    spellings.sort_by_key(|spelling| std::cmp::Reverse(spelling.len()));
    spellings.join("|")
}

/// One spelling: capitals where they do not matter, look-alike characters.
fn spelled(text: &str, any_case: bool) -> String {
    let text = text
        .replace("ohm", "\u{1}")
        .replace("deg ", "\u{2}")
        .replace("deg", "\u{2}");
    let mut out = String::new();
    for (at, c) in text.chars().enumerate() {
        match c {
            '\u{1}' => out.push_str("([oO][hH][mM]|\u{2126}|\u{3a9})"),
            '\u{2}' => out.push_str("([dD][eE][gG]|\u{b0}) ?"),
            'u' if at == 0 && !any_case => out.push_str("[u\u{b5}\u{3bc}]"),
            '2' => out.push_str("[2\u{b2}]"),
            '\'' => out.push_str("['\u{2032}\u{2019}]"),
            '"' => out.push_str("[\"\u{2033}\u{201d}]"),
            c if any_case && c.is_ascii_alphabetic() => {
                out.extend(['[', c.to_ascii_lowercase(), c.to_ascii_uppercase(), ']']);
            }
            c if "^$.*+?()[]{}|\\/".contains(c) => out.extend(['\\', c]),
            c => out.push(c),
        }
    }
    out
}

/// A wire size.
pub(super) fn size() -> String {
    let gauge = "([0-9]+|[1-4]/0)";
    let word = "([aA][wW][gG]|[sS][aA][eE]|[gG][aA]|[gG][aA][uU][gG][eE])";
    let area = "([0-9]+\\.?[0-9]*|\\.[0-9]+)";
    let mm2 = "([mM][mM](2|\u{b2}|\\^2)|[sS][qQ] ?[mM][mM])";
    format!(
        "^{BLANK}({gauge}{BLANK}{word}|{word}{BLANK}{gauge}|#{BLANK}{gauge}|{area}{BLANK}{mm2}){BLANK}$"
    )
}

/// The classes of a kind.
pub(super) fn class(kind: PartKind) -> String {
    let names: Vec<String> = known::patterns(kind)
        .iter()
        .map(|name| match name.split_once(" N ") {
            Some((words, "gal/h")) => format!("{words} +[0-9]+(\\.[0-9]+)? *(gal/h|gph)"),
            Some((words, unit)) => format!("{words} +[0-9]+(\\.[0-9]+)? *{unit}"),
            None => (*name).to_owned(),
        })
        .collect();
    format!("^ *({}) *$", names.join("|"))
}
