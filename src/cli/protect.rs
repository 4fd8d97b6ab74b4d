//! `protect`: every fuse against everything it guards.

use super::figures::{above_zero, one};
use super::{Answer, CircuitArgs, Failure, Loaded, Reply};
use crate::circuit::Ambient;
use crate::document::Chart;
use crate::present::json::{Object, source};
use crate::protecting::{
    Check, Place, Report, Shown, Study, document, study, tried, tried_document,
};
use crate::quantities::{Amps, Celsius};

const EXAMPLES: &str = "\
Examples:
  ampkeel protect boat.toml
  ampkeel protect boat.toml --fuse engine-fuses.fuel
  ampkeel protect boat.toml --fuse engine-fuses.fuel --try 7.5A,10A,15A
  ampkeel protect boat.toml --air 20degC
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
    /// Show a row for every wire behind every fuse: what a short at its end does
    #[arg(long)]
    all: bool,
    /// What the one fuse would do with other ratings, a list like 7.5A,10A,15A
    #[arg(long = "try", value_name = "RATINGS", requires = "fuse", value_delimiter = ',', value_parser = above_zero::<Amps>)]
    ratings: Vec<Amps>,
    /// Air everywhere on the boat, instead of what the file says
    #[arg(long, value_name = "TEMPERATURE", value_parser = one::<Celsius>, allow_hyphen_values = true)]
    air: Option<Celsius>,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let mut loaded = self.circuit.load()?;
        if let Some(air) = self.air {
            loaded.circuit.ambient = Ambient::everywhere(air);
        }
        let found = study(&loaded.circuit).map_err(|why| Failure::Unsolved(why.to_string()))?;
        let only = self.fuse.as_deref();
        if let Some(asked) = only
            && !found.fuses.iter().any(|fuse| fuse.name == asked)
        {
            let known: Vec<&str> = found.fuses.iter().map(|fuse| fuse.name.as_str()).collect();
            let list = format!("the file has {}", known.join(", "));
            return Err(Failure::unknown("fuse", asked, known, &list));
        }
        if let (Some(name), false) = (only, self.ratings.is_empty()) {
            return self.tried(loaded, name);
        }
        let shown = Shown {
            only,
            all_wires: self.all,
        };
        let mut document = document(&loaded.circuit, &found, shown);
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

impl Args {
    fn tried(&self, loaded: Loaded, name: &str) -> Result<Reply, Failure> {
        let circuit = &loaded.circuit;
        let all =
            tried(circuit, name, &self.ratings).map_err(|why| Failure::Refused(why.to_string()))?;
        let mut document = tried_document(circuit, name, &all);
        if let Some(line) = loaded.about {
            document.about(line);
        }
        let each = all.iter().map(|one| {
            report(&one.report, false)
                .flag("above_fitted", one.above_fitted)
                .flag("above_label", one.above_label.is_some())
        });
        let answer = Answer {
            command: "protect",
            document,
            body: Object::new().text("fuse", name).objects("tried", each),
            text: Some(loaded.text),
            findings: loaded.findings,
            ..Answer::default()
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
    let chargers = study
        .chargers
        .iter()
        .map(|(name, found)| check(found).text("charger", name));
    Object::new()
        .object("fuses", fuses)
        .objects("unprotected", bare)
        .objects("chargers", chargers)
}

fn report(fuse: &Report, with_chart: bool) -> Object {
    let object = Object::new()
        .text("family", fuse.family.word())
        .number("rating_a", fuse.rating.si())
        .number("effective_rating_a", fuse.effective.si())
        .number_or_null("fault_current_a", fuse.fault.map(Amps::si))
        .text("verdict", fuse.worst().word())
        .objects("checks", fuse.checks.iter().map(check))
        .objects("places", fuse.places.iter().map(place));
    if with_chart {
        object.objects("curves", curves(&fuse.chart))
    } else {
        object
    }
}

/// A short at the end of one wire.
fn place(place: &Place) -> Object {
    let seconds = |seconds: f64| seconds.is_finite().then_some(seconds);
    let worst = &place.worst;
    let object = Object::new()
        .text("wire", &place.label)
        .text("verdict", worst.verdict.word())
        .number("least_a", place.least_a)
        .number("most_a", place.most_a)
        .number_or_null("opens_earliest_s", seconds(place.earliest_s))
        .number_or_null("opens_latest_s", seconds(place.latest_s))
        .number("worst_a", worst.fuse_a)
        .number_or_null("worst_opens_s", seconds(worst.opens_s))
        .number_or_null("worst_wire_stands_s", seconds(worst.stands_s))
        .number_or_null("worst_adiabatic_s", seconds(worst.adiabatic_s));
    match &place.first {
        Some(first) => object
            .text("opens_first", first.order.word())
            .text("before_it", &first.upstream)
            .flag("may_stay_whole", first.may_stay),
        None => object
            .text_or_null("opens_first", None)
            .text_or_null("before_it", None)
            .flag("may_stay_whole", place.latest_s.is_infinite()),
    }
}

fn check(check: &Check) -> Object {
    let mut object = Object::new()
        .text("check", check.kind.word())
        .text("verdict", check.verdict.word())
        .text_or_null("about", check.about.as_deref())
        .text("statement", &check.sentence)
        .texts("more", &check.more);
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
