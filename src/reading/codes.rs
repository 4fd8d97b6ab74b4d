//! The codes of everything reading can say; each has its page.

use crate::findings::{Code, code};

macro_rules! codes {
    ($($name:ident = $word:literal;)*) => {
        $(pub(super) const $name: Code = code($word);)*
        /// All codes of this module.
        #[cfg(test)]
        const ALL: &[Code] = &[$($name),*];
    };
}

codes! {
    AFTER_CIRCLE = "after-circle";
    BAD_FIGURE = "bad-figure";
    BAD_NAME = "bad-name";
    BAD_PAIR = "bad-pair";
    BARE_BATTERY = "bare-battery-in-run";
    BARE_NUMBER = "bare-number";
    CHAIN_TOO_SHORT = "chain-too-short";
    DUPLICATE_NAME = "duplicate-name";
    EMPTY_FILE = "empty-file";
    FILE_TOO_LARGE = "file-too-large";
    FORMAT_MISSING = "format-missing";
    FORMAT_UNKNOWN = "format-unknown";
    HALF_WIRED = "half-wired";
    HOP_COUNT = "hop-count";
    ISLAND = "island-without-battery";
    LIKE_CIRCLE = "like-circle";
    MISSING_FIELD = "missing-field";
    NAME_MISSING = "name-missing";
    NO_BATTERY = "no-battery";
    NO_PASSAGE = "no-passage";
    NO_WAY_BACK = "no-way-back";
    NOT_A_CIRCUIT = "not-a-circuit-file";
    OUT_OF_RANGE = "out-of-range";
    PART_NOT_WIRED = "part-not-wired";
    PIN_HALF_EMPTY = "pin-half-empty";
    POSITION_NEEDED = "position-needed";
    RATING_NOT_MADE = "rating-not-made";
    SLOT_UNUSED = "slot-unused";
    STUD_TERMINAL = "stud-terminal";
    STUD_UNUSED = "stud-unused";
    TERMINAL_NEEDED = "terminal-needed";
    TOML_SYNTAX = "toml-syntax";
    TOO_MANY_MISTAKES = "too-many-mistakes";
    TWO_ANSWERS = "two-answers";
    UNKNOWN_CLASS = "unknown-class";
    UNKNOWN_FIELD = "unknown-field";
    UNKNOWN_KIND = "unknown-kind";
    UNKNOWN_PART = "unknown-part";
    UNKNOWN_POSITION = "unknown-position";
    UNKNOWN_STATE = "unknown-state";
    UNKNOWN_TERMINAL = "unknown-terminal";
    UNKNOWN_WORD = "unknown-word";
    WIRE_LIST_COLUMN = "wire-list-column";
    WIRE_LIST_ROW = "wire-list-row";
    WIRE_LIST_UNREADABLE = "wire-list-unreadable";
    WIRE_LISTED_TWICE = "wire-listed-twice";
    WIRE_TO_ITSELF = "wire-to-itself";
    WRONG_PART = "wrong-part";
    WRONG_TYPE = "wrong-type";
}

/// Mistakes in one value or name, whatever else the file holds.
pub(super) const ON_THEIR_OWN: [Code; 15] = [
    BAD_FIGURE,
    BAD_NAME,
    BAD_PAIR,
    BARE_NUMBER,
    OUT_OF_RANGE,
    RATING_NOT_MADE,
    UNKNOWN_CLASS,
    UNKNOWN_FIELD,
    UNKNOWN_KIND,
    UNKNOWN_WORD,
    WRONG_TYPE,
    TWO_ANSWERS,
    WIRE_LIST_COLUMN,
    WIRE_LIST_ROW,
    WIRE_LIST_UNREADABLE,
];

#[cfg(test)]
mod tests {
    use crate::findings::page_of;

    #[test]
    fn every_code_has_its_page() {
        for code in super::ALL {
            assert!(
                page_of(code.name()).is_some(),
                "no page for {}",
                code.name()
            );
        }
    }
}
