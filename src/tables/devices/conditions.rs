//! Odds of conditions before anything is read.

use crate::sources::Sourced;
use crate::tables::{OutOfTable, figure, need};

/// Conditions of one kind of part with their odds.
pub type PriorOdds = Vec<(&'static str, f64)>;

/// Odds of the conditions of a kind of part (`pump`, `relay`, `harness` ...), in
/// the order of the table; they add up to 1.
///
/// # Errors
/// When the table has no such part.
pub fn prior_odds(part: &str) -> Result<Sourced<PriorOdds>, OutOfTable> {
    let table = need("condition-priors")?;
    let mut odds = Vec::new();
    for row in 0..table.rows.len() {
        if table.text(row, "part") == Some(part)
            && let Some(condition) = table.text(row, "condition")
        {
            odds.push((condition, figure(table, row, "odds")?));
        }
    }
    if odds.is_empty() {
        return Err(OutOfTable::new(
            format!("no odds for the conditions of a `{part}`"),
            "it lists pumps, motors, relays, coils, fuses, switches, joints, chargers, loads, batteries and a harness",
            &table.id,
        ));
    }
    Ok(Sourced::new(odds, table.source.clone()))
}
