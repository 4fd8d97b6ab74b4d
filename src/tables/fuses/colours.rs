//! Body colours, and why a colour alone names no rating.

use super::style::FuseStyle;
use crate::quantities::Amps;
use crate::sources::Sourced;
use crate::tables::{OutOfTable, Table, need, table};

const FAMILIES: [(FuseStyle, &str, Option<&str>); 3] = [
    (FuseStyle::Blade, "fuse-colours-c-f", Some("blade")),
    (FuseStyle::MiniBlade, "fuse-colours-c-f", Some("mini_blade")),
    (FuseStyle::HighCurrentBlade, "fuse-colours-e", None),
];

/// Whether the row's rating is made in the family of this column.
fn is_made(table: &Table, row: usize, flag: Option<&str>) -> bool {
    use crate::tables::Cell;
    flag.is_none_or(|column| table.cell(row, column) == Some(&Cell::Flag(true)))
}

/// Body colour of a blade fuse.
///
/// # Errors
/// When the family has no colours (strip, glass) or the rating is not listed.
///
/// # Source
/// ISO 8820-3 and DIN 72581-3.
pub fn colour(style: FuseStyle, rating: Amps) -> Result<Sourced<&'static str>, OutOfTable> {
    let Some((_, id, flag)) = FAMILIES.iter().find(|(family, _, _)| *family == style) else {
        return Err(OutOfTable::new(
            format!("a {style} fuse has no colour code"),
            "colours are listed for the three blade families",
            "fuse-colours-c-f",
        ));
    };
    let table = need(id)?;
    let row = (0..table.rows.len()).find(|&row| {
        table.number(row, "rating_a") == Some(rating.si()) && is_made(table, row, *flag)
    });
    let found = row.and_then(|row| Some((row, table.text(row, "colour")?)));
    match found {
        Some((row, colour)) => Ok(Sourced::new(colour, table.row_source(row))),
        None => Err(OutOfTable::new(
            format!("no colour for a {} A {style} fuse", rating.si()),
            "the list has the stocked ratings only",
            &table.id,
        )),
    }
}

/// Every family and rating of a colour; `blue` also finds light blue and
/// blue-green, since the eye does.
pub fn ratings_of_colour(colour: &str) -> Vec<(FuseStyle, Amps)> {
    let wanted = words_of(colour);
    let mut found = Vec::new();
    for (style, id, flag) in FAMILIES {
        let Some(table) = table(id) else { continue };
        for row in 0..table.rows.len() {
            let (Some(rating), Some(body)) =
                (table.number(row, "rating_a"), table.text(row, "colour"))
            else {
                continue;
            };
            let body = words_of(body);
            let fits = !wanted.is_empty() && wanted.iter().all(|word| body.contains(word));
            if fits && is_made(table, row, flag) {
                found.push((style, Amps::new(rating)));
            }
        }
    }
    found
}

fn words_of(colour: &str) -> Vec<String> {
    colour
        .split(|c: char| !c.is_ascii_alphabetic())
        .filter(|word| !word.is_empty())
        .map(|word| match word.to_lowercase().as_str() {
            "gray" => "grey".to_owned(),
            "transparent" | "white" => "clear".to_owned(),
            "purple" => "violet".to_owned(),
            other => other.to_owned(),
        })
        .collect()
}
