//! The figures of a run.

use super::searching::{Found, Held, MINUTES, Way};
use std::collections::BTreeMap;
use std::fmt::Write;

/// One case with what each way made of it.
pub(super) struct Case {
    pub circuit: String,
    pub complaint: &'static str,
    /// Cause and place of the hidden fault.
    pub truth: String,
    pub cause: &'static str,
    pub told: String,
    pub results: BTreeMap<Way, Result>,
}

/// What one way made of a case.
pub(super) struct Result {
    pub found: Found,
    /// The class that is first is the true one: by name, and by meters.
    pub named: bool,
    pub right: bool,
    /// The true one is among the likeliest that make up nine in ten.
    pub in_set: bool,
    /// As `right` and odds of the first, before any test.
    pub right_at_first: bool,
    /// Odds of the true class at the end.
    pub truth_odds: f64,
}

fn share(count: usize, of: usize) -> f64 {
    100.0 * count as f64 / of.max(1) as f64
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    if count > 0.0 { sum / count } else { f64::NAN }
}

/// Figures of some cases under one way.
pub(super) struct Line {
    pub cases: usize,
    pub right_pct: f64,
    pub named_pct: f64,
    pub decided_pct: f64,
    pub in_set_pct: f64,
    pub minutes: f64,
    pub claimed_pct: f64,
}

pub(super) fn line(cases: &[&Case], way: Way) -> Line {
    let all: Vec<&Result> = cases
        .iter()
        .filter_map(|case| case.results.get(&way))
        .collect();
    let count = |pick: &dyn Fn(&&&Result) -> bool| all.iter().filter(pick).count();
    let top = |held: &[Held]| held.first().map_or(0.0, |one| one.odds);
    Line {
        cases: all.len(),
        right_pct: share(count(&|one| one.right), all.len()),
        named_pct: share(count(&|one| one.named), all.len()),
        decided_pct: share(count(&|one| one.found.decided), all.len()),
        in_set_pct: share(count(&|one| one.in_set), all.len()),
        // An undecided search has taken all its time.
        minutes: mean(all.iter().map(|one| {
            if one.found.decided {
                one.found.minutes
            } else {
                MINUTES
            }
        })),
        claimed_pct: 100.0 * mean(all.iter().map(|one| top(&one.found.last))),
    }
}

fn table(out: &mut String, title: &str, cases: &[&Case]) {
    for way in Way::ALL {
        let line = line(cases, way);
        if line.cases == 0 {
            continue;
        }
        let _ = writeln!(
            out,
            "{title:<34} {:<6} {:>5} cases  first {:>5.1} %  by name {:>5.1} %  claimed {:>5.1} %  decided {:>5.1} %  in 90 % set {:>5.1} %  {:>5.1} min",
            format!("{way:?}"),
            line.cases,
            line.right_pct,
            line.named_pct,
            line.claimed_pct,
            line.decided_pct,
            line.in_set_pct,
            line.minutes
        );
    }
}

/// The whole report.
pub(super) fn report(cases: &[Case]) -> String {
    let mut out = String::new();
    let all: Vec<&Case> = cases.iter().collect();
    table(&mut out, "all", &all);
    let mut by: BTreeMap<String, Vec<&Case>> = BTreeMap::new();
    for case in cases {
        by.entry(format!("file {}", case.circuit))
            .or_default()
            .push(case);
        by.entry(format!("complaint {}", case.complaint))
            .or_default()
            .push(case);
    }
    for (title, some) in &by {
        table(&mut out, title, some);
    }
    bins(&mut out, cases);
    by_cause(&mut out, cases);
    out
}

/// Odds of the first class against how often it was right.
fn bins(out: &mut String, cases: &[Case]) {
    const EDGES: [f64; 6] = [0.0, 0.3, 0.5, 0.7, 0.9, 1.01];
    for (title, last) in [("before any test", false), ("at the end", true)] {
        let _ = writeln!(
            out,
            "\nreliability {title}: odds of the first class, how often it was right"
        );
        for edge in EDGES.windows(2) {
            let inside: Vec<(f64, bool)> = cases
                .iter()
                .filter_map(|case| case.results.get(&Way::Tool))
                .map(|one| {
                    let held = if last {
                        &one.found.last
                    } else {
                        &one.found.first
                    };
                    let odds = held.first().map_or(0.0, |top| top.odds);
                    (odds, if last { one.right } else { one.right_at_first })
                })
                .filter(|(odds, _)| (edge[0]..edge[1]).contains(odds))
                .collect();
            let right = inside.iter().filter(|one| one.1).count();
            let _ = writeln!(
                out,
                "  {:.1} to {:.1}: {:>4} cases, odds {:>5.1} %, right {:>5.1} %",
                edge[0],
                edge[1].min(1.0),
                inside.len(),
                100.0 * mean(inside.iter().map(|one| one.0)),
                share(right, inside.len())
            );
        }
    }
}

fn by_cause(out: &mut String, cases: &[Case]) {
    let mut all: BTreeMap<(&str, &str), (usize, usize, BTreeMap<String, usize>)> = BTreeMap::new();
    for case in cases {
        let Some(result) = case.results.get(&Way::Tool) else {
            continue;
        };
        let entry = all.entry((case.complaint, case.cause)).or_default();
        entry.0 += 1;
        entry.1 += usize::from(result.right);
        if !result.right {
            let top = result
                .found
                .last
                .first()
                .map_or("nothing", |top| top.key.0.word());
            *entry.2.entry(top.to_owned()).or_default() += 1;
        }
    }
    let _ = writeln!(
        out,
        "\nby hidden cause: right of all; what was said instead"
    );
    for ((complaint, cause), (count, right, said)) in &all {
        let _ = writeln!(
            out,
            "  {complaint:<14} {cause:<24} {right:>3} of {count:<3} {said:?}"
        );
    }
}

/// What was said of a case, and why.
pub(super) fn story(case: &Case) -> String {
    let Some(result) = case.results.get(&Way::Tool) else {
        return String::new();
    };
    let told: Vec<String> = result
        .found
        .last
        .iter()
        .take(4)
        .map(|held| format!("{} {} {:.2}", held.key.0.word(), held.key.1, held.odds))
        .collect();
    format!(
        "- {} | {} | truth {} ({:.3}) | said {told:?} | {} {:.0} min\n    {}\n    {}",
        case.circuit,
        case.complaint,
        case.truth,
        result.truth_odds,
        if result.found.decided {
            "decided"
        } else {
            "open"
        },
        result.found.minutes,
        case.told,
        result.found.steps.join("; ")
    )
}
