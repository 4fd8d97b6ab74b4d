//! What the simulator found, as `regenerate.sh` stores it: lines of state,
//! `volts` or `amperes`, terminal or branch number, and figure.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Results of all states of a circuit.
pub(super) struct Stored {
    rows: BTreeMap<(String, String, String), f64>,
}

impl Stored {
    pub(super) fn read(path: &Path) -> Self {
        let text = fs::read_to_string(path).unwrap_or_default();
        let mut rows = BTreeMap::new();
        for line in text.lines().filter(|line| !line.starts_with('#')) {
            let words: Vec<&str> = line.split_whitespace().collect();
            let [state, kind, name, figure] = words[..] else {
                panic!("{}: {line}", path.display());
            };
            let key = (state.to_owned(), kind.to_owned(), name.to_owned());
            let before = rows.insert(key, figure.parse().unwrap());
            assert!(before.is_none(), "{}: twice {line}", path.display());
        }
        Self { rows }
    }

    /// Count of states.
    pub(super) fn states(&self) -> usize {
        let states: BTreeSet<&String> = self.rows.keys().map(|(state, ..)| state).collect();
        states.len()
    }

    /// Volts of a terminal; none where nothing connects it to a supply.
    pub(super) fn volts(&self, state: &str, label: &str) -> Option<f64> {
        self.get(state, "volts", label)
    }

    /// Amperes of a branch; none where it was left out.
    pub(super) fn amperes(&self, state: &str, branch: usize) -> Option<f64> {
        self.get(state, "amperes", &branch.to_string())
    }

    fn get(&self, state: &str, kind: &str, name: &str) -> Option<f64> {
        let key = (state.to_owned(), kind.to_owned(), name.to_owned());
        self.rows.get(&key).copied()
    }
}

/// Figures of a deck may differ by this: the last of their twelve digits may
/// fall either way on another machine.
const DIGITS: f64 = 1e-9;

/// The first line in which two decks differ, of both.
pub(super) fn first_difference(kept: &str, fresh: &str) -> Option<(String, String)> {
    let (mut kept, mut fresh) = (kept.lines(), fresh.lines());
    loop {
        match (kept.next(), fresh.next()) {
            (None, None) => return None,
            (Some(a), Some(b)) if is_same(a, b) => {}
            (a, b) => return Some((a.unwrap_or("").to_owned(), b.unwrap_or("").to_owned())),
        }
    }
}

fn is_same(a: &str, b: &str) -> bool {
    let words = |line: &str| -> Vec<String> { line.split([' ', '=']).map(str::to_owned).collect() };
    let (a, b) = (words(a), words(b));
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| is_same_word(a, b))
}

fn is_same_word(a: &str, b: &str) -> bool {
    match (a.parse::<f64>(), b.parse::<f64>()) {
        (Ok(a), Ok(b)) => (a - b).abs() <= DIGITS * a.abs().max(b.abs()),
        _ => a == b,
    }
}

#[test]
fn a_changed_figure_and_a_changed_terminal_are_seen() {
    let line = "x1 a b conductor g=1.00000000000e0 scale=1.00000000000e0";
    assert!(is_same(
        line,
        &line.replace("g=1.00000000000e0", "g=1.00000000001e0")
    ));
    assert!(!is_same(
        line,
        &line.replace("g=1.00000000000e0", "g=1.00000001000e0")
    ));
    assert!(!is_same(line, &line.replace(" b ", " c ")));
    assert!(first_difference(line, "").is_some());
}
