//! What can happen to a circuit file: lines lost, names misspelt, figures that
//! nobody means, brackets without an end.

use super::draws::Draws;

const FIGURES: &[&str] = &[
    "0.01",
    "0.5",
    "2",
    "7",
    "37",
    "1000",
    "0",
    "-1",
    "1e300",
    "1e-300",
    "1e999",
    "nan",
    "inf",
    "-0",
    "1e308",
    "99999999999999999999",
    "0.0000000001",
    "1/0",
    "",
    "3,5",
    "1e-18",
    "\u{661}",
];
const UNITS: &[&str] = &[
    "A", "V", "mohm", "Mohm", "ft", "mm", "AWG", "SAE", "mm2", "degC", "%", "kPa", "Ah", "rpm",
    "W", "", "furlong",
];
const LETTERS: &[char] = &[
    'a',
    '0',
    '"',
    '\'',
    '[',
    ']',
    '{',
    '}',
    '=',
    '.',
    ',',
    '#',
    '\\',
    '-',
    ' ',
    '\n',
    '\r',
    '\t',
    '\u{0}',
    '\u{7f}',
    '\u{e9}',
    '\u{feff}',
    '\u{202e}',
    '\u{1f50b}',
];
const HEADERS: &[&str] = &[
    "battery",
    "charger",
    "fuse",
    "fuse-block",
    "breaker",
    "switch",
    "relay",
    "driver",
    "pump",
    "motor",
    "solenoid",
    "load",
    "diode",
    "stud",
    "plug",
    "state",
    "boat",
    "wire",
    "run",
];

/// Byte ranges of what a test picks out of the text.
fn found(text: &str, is_wanted: impl Fn(char) -> bool) -> Vec<(usize, usize)> {
    let mut ranges: Vec<(usize, usize)> = Vec::new();
    for (at, c) in text.char_indices().filter(|(_, c)| is_wanted(*c)) {
        let end = at + c.len_utf8();
        match ranges.last_mut() {
            Some(last) if last.1 == at => last.1 = end,
            _ => ranges.push((at, end)),
        }
    }
    ranges
}

fn replaced(text: &str, (start, end): (usize, usize), new: &str) -> String {
    format!("{}{new}{}", &text[..start], &text[end..])
}

fn is_name(c: char) -> bool {
    c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'
}

/// One damage to a text.
pub(super) type Damage = fn(&str, &mut Draws) -> String;

/// Every damage.
pub(super) const DAMAGES: &[Damage] = &[
    // Lines left out, written twice, in another place.
    |text, draws| {
        let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
        lines.remove(draws.below(lines.len()));
        lines.concat()
    },
    |text, draws| {
        let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
        lines.insert(draws.below(lines.len()), lines[draws.below(lines.len())]);
        lines.concat()
    },
    |text, draws| {
        let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
        let (one, other) = (draws.below(lines.len()), draws.below(lines.len()));
        lines.swap(one, other);
        lines.concat()
    },
    // The end or the beginning is missing.
    |text, draws| {
        let at = text.floor_char_boundary(draws.below(text.len()));
        text[..at].to_owned()
    },
    |text, draws| {
        let at = text.floor_char_boundary(draws.below(text.len()));
        text[at..].to_owned()
    },
    // One character is another, or one too many.
    |text, draws| {
        let at = text.floor_char_boundary(draws.below(text.len()));
        let long = text[at..].chars().next().map_or(0, char::len_utf8);
        replaced(text, (at, at + long), &draws.one_of(LETTERS).to_string())
    },
    |text, draws| {
        let at = text.floor_char_boundary(draws.below(text.len()));
        replaced(text, (at, at), &draws.one_of(LETTERS).to_string())
    },
    // Figures and units.
    |text, draws| {
        let numbers = found(text, |c| c.is_ascii_digit() || c == '.');
        replaced(text, draws.one_of(&numbers), draws.one_of(FIGURES))
    },
    |text, draws| {
        let numbers = found(text, |c| c.is_ascii_digit() || c == '.');
        let (_, end) = draws.one_of(&numbers);
        replaced(
            text,
            (end, end),
            draws.one_of(&["e400", "e9", "e-9", "/0", "/3", "000"]),
        )
    },
    |text, draws| {
        let units = found(text, |c| c.is_ascii_alphabetic() || c == '%');
        replaced(text, draws.one_of(&units), draws.one_of(UNITS))
    },
    // Quotes dropped around one value.
    |text, draws| {
        let quotes = found(text, |c| c == '"');
        let at = draws.below(quotes.len());
        let without = replaced(text, quotes[at], "");
        match quotes.get(at + 1) {
            Some(&(start, end)) if at % 2 == 0 => replaced(&without, (start - 1, end - 1), ""),
            _ => without,
        }
    },
    // Two names change places; a name is misspelt; a kind is another.
    |text, draws| {
        let names = found(text, is_name);
        let (a, b) = (draws.below(names.len()), draws.below(names.len()));
        let (first, last) = (names[a.min(b)], names[a.max(b)]);
        let (one, other) = (&text[first.0..first.1], &text[last.0..last.1]);
        let (one, other) = (one.to_owned(), other.to_owned());
        replaced(&replaced(text, last, &one), first, &other)
    },
    |text, draws| {
        let names = found(text, is_name);
        let (start, end) = draws.one_of(&names);
        let other = &text[start..end - 1].to_owned();
        replaced(text, (start, end), other)
    },
    |text, draws| {
        let headers: Vec<(usize, usize)> = text
            .match_indices("\n[")
            .filter_map(|(at, _)| {
                let start = at + text[at..].find(|c: char| c.is_ascii_lowercase())?;
                Some((start, start + text[start..].find(['.', ']'])?))
            })
            .collect();
        replaced(text, draws.one_of(&headers), draws.one_of(HEADERS))
    },
    // A value of another type.
    |text, draws| {
        let values: Vec<(usize, usize)> = text
            .match_indices(" = ")
            .map(|(at, _)| {
                let start = at + 3;
                (start, start + text[start..].find('\n').unwrap_or(0))
            })
            .collect();
        let others = [
            "true",
            "[]",
            "{}",
            "[[]]",
            "1",
            "1.5",
            "\"\"",
            "1979-05-27",
            "{ a = 1 }",
            "-inf",
            "[\"a\", 1]",
            "[\"stud\", \"stud\"]",
            "\"ground\"",
        ];
        replaced(text, draws.one_of(&values), draws.one_of(&others))
    },
    // Deep nesting and very long texts.
    |text, draws| {
        let deep = 1 + draws.below(3000);
        format!("{text}\ndeep = {}{}\n", "[".repeat(deep), "]".repeat(deep))
    },
    |text, draws| {
        let deep = 1 + draws.below(1000);
        format!("{text}\n[{}a]\n", "a.".repeat(deep))
    },
    |text, draws| {
        let names = found(text, is_name);
        let long = draws.one_of(&["x", "\u{e9}", "1", "-", "ab "]).repeat(2000);
        replaced(text, draws.one_of(&names), &long)
    },
];

/// Keeps something of every kind in a text that has lost it, for a second damage.
pub(super) fn padded(text: String) -> String {
    text + "\n[stud.spare]\n[fuse.spare-fuse]\nrating = \"5 A\"\n"
}
