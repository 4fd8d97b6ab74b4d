//! Without arguments: the built-in example answered, and what to try next.

use super::builtin::example;
use super::{Answer, Failure, Reply};
use crate::bench::expectations;
use crate::findings::Severity;
use crate::present::json::solution::states;
use crate::reading::read;
use crate::solving::{first_screen, solve};
use crate::tables::cautions::two_line_summary;

/// Solves the built-in example and says what to try next.
pub(super) fn run() -> Result<Reply, Failure> {
    let text = example();
    let reading = read(&text);
    let Some(circuit) = reading.circuit else {
        return Err(Failure::Mistakes {
            text,
            findings: reading.findings,
        });
    };
    let solution = solve(&circuit).map_err(|why| Failure::Unsolved(why.to_string()))?;
    let mut document = first_screen(&circuit, &solution);
    for line in two_line_summary() {
        document.caution(line);
    }
    document.about(format!(
        "answered for the built-in example `{}`, an invented boat, not for yours",
        text.name
    ));
    let pumps = expectations(&circuit).map_err(|why| Failure::Refused(why.to_string()))?;
    if let Some(pumps) = pumps {
        document.table(pumps);
    }
    document.heading("try next");
    document.bullets([
        "`ampkeel solve --example --state cruise` shows where every volt of one state goes",
        "`ampkeel bench --example high-pressure` lists the steps of a bench test and what to read",
        "`ampkeel report --example -o example.html` writes it all on one page, for a phone or for paper",
        "`ampkeel check boat.toml` finds every mistake in your own circuit file",
        "`ampkeel explain` lists what can be found, `ampkeel tables` every figure with its source",
        "`ampkeel --help` lists all commands",
    ]);
    let body = states(&circuit, &solution, None);
    // The first screen shows the verdicts in its tables; all findings are `solve`'s.
    let findings = solution
        .findings
        .into_iter()
        .filter(|finding| finding.severity() == Severity::Violation);
    let answer = Answer {
        command: "first-screen",
        document,
        body,
        text: Some(text),
        findings: findings.collect(),
        ..Answer::default()
    };
    Ok(answer.into())
}
