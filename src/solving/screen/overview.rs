//! The states side by side: what the battery gives, and what stands worst.
//!
//! A mark here is never better than the worst that is said of the same thing
//! farther down: by the meter, or by a finding.

use super::{OFF_A, amps, fuse_mark, marks, meter_pct, name_of, percent};
use crate::document::{Cell, Emphasis, Table};
use crate::findings::{Finding, Severity};
use crate::quantities::Volts;
use crate::solving::solution::{BatteryReading, PartReading, StateSolution};

/// One row a state.
pub(super) fn overview(states: &[&StateSolution], findings: &[Finding]) -> Table {
    let mut table = Table::new("states")
        .words("state")
        .figures("battery")
        .figures("gives")
        .words("worst drop")
        .words("fullest fuse");
    for state in states {
        let gives = busiest(state).map_or_else(|| "-".to_owned(), |(_, b)| amps(b.current_a));
        table.row([
            Cell::plain(name_of(state)),
            volts(state, findings),
            Cell::plain(gives),
            drops(state),
            fullest(state, findings),
        ]);
    }
    table
}

/// The battery that gives or takes most.
fn busiest(state: &StateSolution) -> Option<(&String, &BatteryReading)> {
    let batteries = state.batteries.iter();
    batteries.max_by(|a, b| a.1.current_a.abs().total_cmp(&b.1.current_a.abs()))
}

/// Its volts.
fn volts(state: &StateSolution, findings: &[Finding]) -> Cell {
    let Some((name, battery)) = busiest(state) else {
        return Cell::plain("-");
    };
    let volts = Volts::new(battery.voltage_v).to_string();
    // Of several, which one it is: the others stand otherwise.
    let words = if state.batteries.len() > 1 {
        format!("{name} {volts}")
    } else {
        volts
    };
    Cell::with(words, found(state, findings, name))
}

/// The load that comes nearest to its limit by the rule, and where a meter finds
/// one above its limit, that one too.
fn drops(state: &StateSolution) -> Cell {
    let worst = state
        .parts
        .iter()
        .filter_map(|(name, part)| Some((name, share(part.rule_drop_pct, part)?, part)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((name, _, part)) = worst else {
        return Cell::plain("-");
    };
    let of_rule = format!("{} {name}", percent(part.rule_drop_pct));
    let metered = state
        .parts
        .iter()
        .filter(|(_, part)| part.current_a.unwrap_or(0.0).abs() >= OFF_A)
        .filter(|(_, part)| marks(state, part).1 == Emphasis::Warn)
        .filter_map(|(name, part)| Some((name, share(meter_pct(part), part)?, part)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    match (marks(state, part).0, metered) {
        (Emphasis::Ok, Some((metered, _, part))) => {
            let meter = percent(meter_pct(part));
            let words = if metered == name {
                format!("{of_rule}; {meter} by the meter")
            } else {
                format!("{of_rule}; {meter} {metered} by the meter")
            };
            Cell::with(words, Emphasis::Warn)
        }
        (rule, _) => Cell::with(of_rule, rule),
    }
}

fn share(drop_pct: Option<f64>, part: &PartReading) -> Option<f64> {
    Some(drop_pct? / part.limit_pct?)
}

/// The fuse with the highest load, of what it holds.
fn fullest(state: &StateSolution, findings: &[Finding]) -> Cell {
    let fullest = state
        .fuses
        .iter()
        .max_by(|a, b| a.1.load_pct.total_cmp(&b.1.load_pct));
    fullest.map_or(Cell::plain("-"), |(name, fuse)| {
        let load = fuse_mark(state, fuse.load_pct);
        let mark = found(state, findings, name).max(load);
        Cell::with(format!("{:.0} % {name}", fuse.load_pct), mark)
    })
}

/// The worst finding about a subject in a judged state.
fn found(state: &StateSolution, findings: &[Finding], subject: &str) -> Emphasis {
    if state.what_if {
        Emphasis::Plain
    } else {
        found_mark(findings, subject, &state.name, false)
    }
}

/// The worst finding about a subject in a state, or in no state of its own; with
/// `inside`, also about what belongs to it.
pub(crate) fn found_mark(
    findings: &[Finding],
    subject: &str,
    state: &str,
    inside: bool,
) -> Emphasis {
    let about = |finding: &&Finding| {
        let here = finding.state.as_deref().is_none_or(|of| of == state);
        let belongs = || {
            let rest = finding.subject.strip_prefix(subject);
            rest.is_some_and(|rest| rest.starts_with('.') && !rest.contains(' '))
        };
        let subject_here = finding.subject == subject || (inside && belongs());
        subject_here && here
    };
    let worst = findings.iter().filter(about).map(Finding::severity).min();
    match worst {
        Some(Severity::Mistake | Severity::Violation) => Emphasis::Bad,
        Some(Severity::Caution) => Emphasis::Warn,
        Some(Severity::Note) | None => Emphasis::Plain,
    }
}
