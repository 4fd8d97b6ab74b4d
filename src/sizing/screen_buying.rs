//! The shopping list on a screen.

use super::binding::amps;
use super::shopping::ShoppingList;
use crate::document::Table;
use crate::quantities::Metres;
use crate::tables::contacts::ContactKind;

pub(super) fn buy_wire(list: &ShoppingList) -> Table {
    let mut table = Table::new("wire")
        .words("size")
        .words("colour")
        .figures("for the changes")
        .figures("whole circuit");
    for row in &list.wires {
        let colour = row.colour.as_deref().unwrap_or("not named");
        table.row([
            row.size.clone(),
            colour.to_owned(),
            metres(row.changed_m),
            metres(row.all_m),
        ]);
    }
    table
}

pub(super) fn metres(length_m: f64) -> String {
    if length_m <= 0.0 {
        return "-".to_owned();
    }
    Metres::new(length_m).to_string()
}

fn count(number: usize) -> String {
    if number == 0 {
        "-".to_owned()
    } else {
        number.to_string()
    }
}

pub(super) fn buy_fuses(list: &ShoppingList) -> Table {
    let mut table = Table::new("fuses and breakers")
        .words("style")
        .figures("rating")
        .figures("for the changes")
        .figures("whole circuit");
    for row in &list.fuses {
        table.row([
            row.style.map_or("breaker", |style| style.word()).to_owned(),
            amps(row.rating_a),
            count(row.changed),
            count(row.all),
        ]);
    }
    table
}

pub(super) fn buy_terminals(list: &ShoppingList) -> Table {
    let mut table = Table::new("terminals and lugs")
        .words("for wire")
        .words("kind")
        .figures("for the changes")
        .figures("whole circuit");
    for row in &list.terminals {
        table.row([
            row.size.clone(),
            kind(row.kind).to_owned(),
            count(row.changed),
            count(row.all),
        ]);
    }
    table
}

fn kind(kind: ContactKind) -> &'static str {
    match kind {
        ContactKind::PostClamp => "battery post clamp or lug",
        ContactKind::RingOnStud => "ring lug",
        _ => "blade terminal",
    }
}
