//! Weights of causes and costs of tests, for tracing a fault.

use super::{OutOfTable, figure, need, row_named};
use crate::sources::Sourced;

/// What a complaint is about, as the columns of the weights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WeightColumn {
    /// A fuse or breaker opens.
    FuseOpens,
    /// A load is dead or weak, or several died together.
    DeadOrWeak,
    /// The battery drains.
    Drain,
    /// The battery was connected backwards.
    Reversed,
}

impl WeightColumn {
    const fn name(self) -> &'static str {
        match self {
            Self::FuseOpens => "fuse_opens",
            Self::DeadOrWeak => "dead_or_weak",
            Self::Drain => "drain",
            Self::Reversed => "reversed",
        }
    }
}

/// Causes with their weights in a complaint, as the table has them, in its order.
///
/// # Errors
/// When the table cannot be read.
pub fn cause_weights(
    column: WeightColumn,
) -> Result<Sourced<Vec<(&'static str, f64)>>, OutOfTable> {
    let table = need("trace-priors")?;
    let mut weights = Vec::new();
    for row in 0..table.rows.len() {
        let cause = table.text(row, "cause").unwrap_or_default();
        weights.push((cause, figure(table, row, column.name())?));
    }
    Ok(Sourced::new(weights, table.source.clone()))
}

/// What a test takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TestCost {
    /// Minutes for one person at the boat.
    pub minutes: f64,
    /// 0 none, 1 low, 2 some, 3 high near fuel.
    pub risk: u8,
    /// Tools.
    pub tools: &'static str,
}

/// The cost of a test by its name.
///
/// # Errors
/// When there is no such test.
pub fn test_cost(test: &str) -> Result<Sourced<TestCost>, OutOfTable> {
    let table = need("trace-tests")?;
    let row = row_named(table, "test", test, "test")?;
    let cost = TestCost {
        minutes: figure(table, row, "minutes")?,
        risk: figure(table, row, "risk")? as u8,
        tools: table.text(row, "tools").unwrap_or_default(),
    };
    Ok(Sourced::new(cost, table.row_source(row)))
}
