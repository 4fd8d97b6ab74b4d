//! Width, colour and character set of a terminal.
//!
//! Code names a [`Meaning`]; only the table in [`Meaning::style`] knows
//! colours. Colour never carries a meaning alone: a word or sign stands
//! beside it.

use crate::findings::Severity;
use annotate_snippets::renderer::{AnsiColor, Effects, Style};

/// What the reader's screen can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Columns to fill.
    pub width: usize,
    /// Whether colour may be used.
    pub colour: bool,
    /// Whether to keep to ASCII: no box drawing, no degree or ohm signs.
    pub ascii: bool,
}

impl Default for Look {
    /// A pipe: 80 columns without colour.
    fn default() -> Self {
        Self {
            width: 80,
            colour: false,
            ascii: false,
        }
    }
}

/// What a piece of text means to the reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meaning {
    /// Danger to people or boat.
    Caution,
    /// The answer.
    Answer,
    /// A heading or a table's title.
    Heading,
    /// Within its limit.
    Ok,
    /// Near its limit, or not certain.
    Warn,
    /// Past its limit.
    Bad,
    /// To know, no more.
    Note,
}

impl Meaning {
    /// The meaning of a severity.
    pub const fn of(severity: Severity) -> Self {
        match severity {
            Severity::Mistake | Severity::Violation => Self::Bad,
            Severity::Caution => Self::Warn,
            Severity::Note => Self::Note,
        }
    }

    /// The one table of colours.
    pub(super) const fn style(self) -> Style {
        match self {
            Self::Caution => AnsiColor::Yellow.on_default().effects(Effects::BOLD),
            Self::Answer | Self::Heading => Style::new().effects(Effects::BOLD),
            Self::Ok => AnsiColor::Green.on_default(),
            Self::Warn => AnsiColor::Yellow.on_default(),
            Self::Bad => AnsiColor::BrightRed.on_default().effects(Effects::BOLD),
            Self::Note => AnsiColor::Cyan.on_default(),
        }
    }
}

impl Look {
    /// Colours text by what it means, if colour may be used.
    pub fn paint(&self, meaning: Meaning, text: &str) -> String {
        if !self.colour || text.is_empty() {
            return text.to_owned();
        }
        let style = meaning.style();
        format!("{style}{text}{style:#}")
    }

    /// Makes text safe and fit for the screen: control characters are dropped
    /// and, where asked, everything is written in ASCII.
    pub fn text(&self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        for character in text.chars() {
            match character {
                '\n' => out.push('\n'),
                c if c.is_control() => {}
                c if c.is_ascii() || !self.ascii => out.push(c),
                c => out.push_str(in_ascii(c)),
            }
        }
        out
    }
}

/// ASCII spelling of a sign; a question mark for what has none.
const fn in_ascii(sign: char) -> &'static str {
    match sign {
        '\u{b0}' => "deg",
        '\u{2126}' | '\u{3a9}' => "ohm",
        '\u{b5}' | '\u{3bc}' => "u",
        '\u{b2}' => "2",
        '\u{b3}' => "3",
        '\u{b1}' => "+/-",
        '\u{d7}' => "x",
        '\u{2264}' => "<=",
        '\u{2265}' => ">=",
        '\u{2010}'..='\u{2015}' | '\u{2212}' => "-",
        '\u{2018}' | '\u{2019}' => "'",
        '\u{201c}' | '\u{201d}' => "\"",
        '\u{2026}' => "...",
        '\u{b7}' | '\u{2022}' => "*",
        '\u{a0}' | '\u{2009}' | '\u{202f}' => " ",
        _ => "?",
    }
}

#[cfg(test)]
mod tests {
    use super::{Look, Meaning};

    #[test]
    fn ascii_spells_signs_out_and_control_characters_never_reach_the_screen() {
        let ascii = Look {
            ascii: true,
            ..Look::default()
        };
        assert_eq!(
            ascii.text("50 \u{b0}C, 3 \u{3a9}, 2 mm\u{b2}"),
            "50 degC, 3 ohm, 2 mm2"
        );
        assert_eq!(Look::default().text("a\u{1b}[2Jb"), "a[2Jb");
    }

    #[test]
    fn without_colour_nothing_is_added() {
        assert_eq!(Look::default().paint(Meaning::Bad, "no"), "no");
    }
}
