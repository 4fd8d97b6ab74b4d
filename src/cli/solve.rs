//! `solve`: what every load, fuse and wire gets in each state.

use super::{Answer, CircuitArgs, Failure, Reply};
use crate::circuit::Circuit;
use crate::present::json;
use crate::present::json::solution::states;
use crate::solving::{document, solve};
use crate::tolerance;

const EXAMPLES: &str = "\
Examples:
  ampkeel solve boat.toml
  ampkeel solve boat.toml --state cruise
  ampkeel solve boat.toml --tolerance
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
    /// Carry every range through: how far readings may lie, which verdicts
    /// cannot be told yet, and what to measure next
    #[arg(long)]
    tolerance: bool,
    /// Boats drawn for `--tolerance`
    #[arg(
        long,
        value_name = "COUNT",
        default_value_t = 4096,
        requires = "tolerance",
        value_parser = clap::value_parser!(u64).range(64..=10_000_000)
    )]
    samples: u64,
    /// Start of the random draws of `--tolerance`
    #[arg(long, value_name = "SEED", default_value_t = 1, requires = "tolerance")]
    seed: u64,
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
        let mut body = states(&loaded.circuit, &solution, only);
        let mut findings = loaded.findings;
        let (mut document, assumed) = if self.tolerance {
            let study = self.study(&loaded.circuit)?;
            body = body.object("tolerance", json::tolerance::tolerance(&study, only));
            let document = tolerance::document(&loaded.circuit, &study, only);
            findings.extend(study.failing(&solution.findings, only));
            findings.extend(study.findings);
            (document, study.assumed)
        } else {
            let document = document(&loaded.circuit, &solution, only);
            (document, solution.assumed)
        };
        if let Some(line) = loaded.about {
            document.about(line);
        }
        findings.extend(solution.findings.into_iter().filter(|finding| {
            only.is_none_or(|name| finding.state.as_deref().is_none_or(|state| state == name))
        }));
        let answer = Answer {
            command: "solve",
            document,
            body,
            text: Some(loaded.text),
            findings,
            assumed,
            ..Answer::default()
        };
        Ok(answer.into())
    }

    fn study(&self, circuit: &Circuit) -> Result<tolerance::Study, Failure> {
        let options = tolerance::Options {
            samples: self.samples,
            seed: self.seed,
            threads: std::thread::available_parallelism().map_or(1, usize::from),
        };
        tolerance::study(circuit, options).map_err(|why| Failure::Unsolved(why.to_string()))
    }
}
