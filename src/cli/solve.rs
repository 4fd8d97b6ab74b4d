//! `solve`: what every load, fuse and wire gets in each state.

use super::{Answer, CircuitArgs, Failure, Reply};
use crate::present::json::solution::states;
use crate::solving::{document, solve};

const EXAMPLES: &str = "\
Examples:
  ampkeel solve boat.toml
  ampkeel solve boat.toml --state cruise
  ampkeel solve --example --json";

/// Solve a circuit: volts, amperes, drop, fuse loading and relays by state
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    circuit: CircuitArgs,
    /// Show one state only
    #[arg(long, value_name = "STATE")]
    state: Option<String>,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let loaded = self.circuit.load()?;
        let only = self.state.as_deref();
        if let Some(asked) = only {
            let known: Vec<&str> = loaded
                .circuit
                .states
                .iter()
                .map(|state| state.name.as_str())
                .collect();
            if !known.contains(&asked) {
                let list = format!("the file has {}", known.join(", "));
                return Err(Failure::unknown("state", asked, known, &list));
            }
        }
        let solution = solve(&loaded.circuit).map_err(|why| Failure::Unsolved(why.to_string()))?;
        let mut document = document(&loaded.circuit, &solution, only);
        if let Some(line) = loaded.about {
            document.about(line);
        }
        let body = states(&solution, only);
        let mut findings = loaded.findings;
        findings.extend(solution.findings.into_iter().filter(|finding| {
            only.is_none_or(|name| finding.state.as_deref().is_none_or(|state| state == name))
        }));
        let answer = Answer {
            command: "solve",
            document,
            body,
            text: Some(loaded.text),
            findings,
            assumed: solution.assumed,
            ..Answer::default()
        };
        Ok(answer.into())
    }
}
