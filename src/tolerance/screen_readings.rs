//! What readings did, on a screen.

use super::screen::{figure, spread};
use super::{Narrowed, Readings};
use crate::document::{Cell, Emphasis, Table};
use crate::quantities::{print, print_in};

/// Each reading against what the rest of the boat would show.
pub(super) fn checked(readings: &Readings) -> Table {
    let mut table = Table::new("Your readings against the rest of the boat")
        .words("at")
        .words("state")
        .figures("read")
        .words("the rest would show (95 %)");
    for reading in &readings.checked {
        let (low, high) = reading.expected;
        let odd = !(low..=high).contains(&reading.value);
        let emphasis = if odd { Emphasis::Warn } else { Emphasis::Ok };
        let shown = figure(reading.value, reading.value, reading.dimension);
        table.row([
            Cell::plain(format!("`{}`", reading.at)),
            Cell::plain(reading.state.clone()),
            Cell::plain(shown),
            Cell::with(
                spread(low.max(0.0), high.max(0.0), reading.dimension),
                emphasis,
            ),
        ]);
    }
    table
}

/// Unknowns before and after the readings.
pub(super) fn narrowed(readings: &Readings) -> Table {
    let mut table = Table::new("What your readings narrow (5 to 95 % of boats)")
        .words("what")
        .words("before")
        .words("now");
    for one in &readings.narrowed {
        let (low, middle, high) = one.after;
        let plain = |value| plain(value, one);
        let before = format!("{} to {}", plain(one.before.0), plain(one.before.1));
        let now = format!("{} to {}", plain(low), plain(high));
        table.row([
            match one.dimension {
                Some(_) => format!("{} of `{}`", one.what, one.subject),
                None => format!("{} of `{}`, of the usual", one.what, one.subject),
            },
            before,
            format!("{}, likeliest near {}", now, plain(middle)),
        ]);
    }
    table
}

/// A figure with its unit; of what no meter on a boat shows, its share of the usual.
fn plain(value: f64, of: &Narrowed) -> String {
    match of.dimension {
        Some(dimension) => print_in(dimension, value),
        None => print::percent(value / of.typical),
    }
}
