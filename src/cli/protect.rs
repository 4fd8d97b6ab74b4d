//! `protect`: every fuse against everything it guards.

use super::{Answer, CircuitArgs, Failure, Reply};
use crate::document::Chart;
use crate::present::json::{Object, source};
use crate::protecting::{Check, Report, Study, document, study};
use crate::quantities::Amps;

const EXAMPLES: &str = "\
Examples:
  ampkeel protect boat.toml
  ampkeel protect boat.toml --fuse engine-fuses.fuel
  ampkeel protect --example --json

Exit status: 0 no violation, 1 at least one violation, 2 could not run.";

/// Hold every fuse against load, start, stall, wire, place and the fuse before it
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    circuit: CircuitArgs,
    /// Show one fuse (a block's as BLOCK.SLOT), with its time-current chart
    #[arg(long, value_name = "NAME")]
    fuse: Option<String>,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let loaded = self.circuit.load()?;
        let found = study(&loaded.circuit).map_err(|why| Failure::Unsolved(why.to_string()))?;
        let only = self.fuse.as_deref();
        if let Some(asked) = only
            && !found.fuses.iter().any(|fuse| fuse.name == asked)
        {
            let known: Vec<&str> = found.fuses.iter().map(|fuse| fuse.name.as_str()).collect();
            let list = format!("the file has {}", known.join(", "));
            return Err(Failure::unknown("fuse", asked, known, &list));
        }
        let mut document = document(&loaded.circuit, &found, only);
        if let Some(line) = loaded.about {
            document.about(line);
        }
        let body = body(&found, only);
        let mut findings = loaded.findings;
        findings.extend(
            found
                .findings
                .into_iter()
                .filter(|finding| only.is_none_or(|name| finding.subject == name)),
        );
        let answer = Answer {
            command: "protect",
            document,
            body,
            text: Some(loaded.text),
            findings,
            assumed: found.assumed,
            sources: found.sources,
        };
        Ok(answer.into())
    }
}

fn body(study: &Study, only: Option<&str>) -> Object {
    let mut fuses = Object::new();
    for fuse in study
        .fuses
        .iter()
        .filter(|fuse| only.is_none_or(|name| fuse.name == name))
    {
        fuses = fuses.object(&fuse.name, report(fuse, only.is_some()));
    }
    let bare = study
        .bare
        .iter()
        .map(|(wire, found)| check(found).text("wire", wire));
    Object::new()
        .object("fuses", fuses)
        .objects("unprotected", bare)
}

fn report(fuse: &Report, with_chart: bool) -> Object {
    let object = Object::new()
        .text("family", fuse.family.word())
        .number("rating_a", fuse.rating.si())
        .number("effective_rating_a", fuse.effective.si())
        .number_or_null("fault_current_a", fuse.fault.map(Amps::si))
        .text("verdict", fuse.worst().word())
        .objects("checks", fuse.checks.iter().map(check));
    if with_chart {
        object.objects("curves", curves(&fuse.chart))
    } else {
        object
    }
}

fn check(check: &Check) -> Object {
    let mut object = Object::new()
        .text("check", check.kind.word())
        .text("verdict", check.verdict.word())
        .text_or_null("about", check.about.as_deref())
        .text("statement", &check.sentence);
    for (key, value) in &check.figures {
        object = object.number_or_null(key, *value);
    }
    if !check.rules.is_empty() {
        let rule = |(basis, limit): &(String, Option<f64>)| {
            Object::new()
                .text("basis", basis)
                .number_or_null("limit_a", *limit)
        };
        object = object.objects("rules", check.rules.iter().map(rule));
    }
    object.objects("sources", check.sources.iter().map(source))
}

fn curves(chart: &Chart) -> impl Iterator<Item = Object> {
    chart.curves.iter().map(|curve| {
        Object::new()
            .text("name", &curve.name)
            .numbers("current_a", curve.points.iter().map(|point| point.0))
            .numbers("time_s", curve.points.iter().map(|point| point.1))
    })
}
