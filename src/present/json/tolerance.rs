//! Ranges and three-valued verdicts as JSON.

use super::Object;
use crate::quantities::Dimension;
use crate::tolerance::{Measure, Range, Readings, Standing, Study, Unknown, Verdict};

/// The object under `tolerance`.
pub fn tolerance(study: &Study, only: Option<&str>) -> Object {
    let shown = |state: Option<&str>| only.is_none_or(|only| state.is_none_or(|s| s == only));
    let ranges = study.ranges.iter().filter(|r| shown(Some(&r.state)));
    let verdicts = study.verdicts.iter().filter(|v| shown(v.state.as_deref()));
    Object::new()
        .number("samples", study.options.samples as f64)
        .number("seed", study.options.seed as f64)
        .number("unsolved", study.unsolved as f64)
        .objects("readings", ranges.map(range))
        .objects("verdicts", verdicts.map(verdict))
        .objects("measure_next", study.next.iter().map(measure))
        .objects("unknowns", study.unknowns.iter().map(unknown))
        .object_or_null(
            "narrowed_by_readings",
            study.readings.as_ref().map(readings),
        )
}

fn readings(readings: &Readings) -> Object {
    let checked = readings.checked.iter().map(|checked| {
        let figure = |name: &str| key(name, Some(checked.dimension));
        Object::new()
            .text("at", &checked.at)
            .text("state", &checked.state)
            .number(&figure("value"), checked.value)
            .number(&figure("expected_low"), checked.expected.0)
            .number(&figure("expected_high"), checked.expected.1)
            .number("spreads_off", checked.off)
    });
    let narrowed = readings.narrowed.iter().map(|narrowed| {
        let figure = |name: &str| key(name, narrowed.dimension);
        Object::new()
            .text("subject", &narrowed.subject)
            .text("what", narrowed.what)
            .number(&figure("before_p5"), narrowed.before.0)
            .number(&figure("before_p95"), narrowed.before.1)
            .number(&figure("p5"), narrowed.after.0)
            .number(&figure("p50"), narrowed.after.1)
            .number(&figure("p95"), narrowed.after.2)
    });
    Object::new()
        .flag("contradict", readings.contradict)
        .number("boats_counting", readings.counting)
        .objects("readings", checked)
        .objects("unknowns", narrowed)
}

fn key(name: &str, dimension: Option<Dimension>) -> String {
    let suffix = match dimension {
        Some(Dimension::Voltage) => "_v",
        Some(Dimension::Current) => "_a",
        Some(Dimension::Resistance) => "_ohm",
        Some(Dimension::Power) => "_w",
        Some(Dimension::Length) => "_m",
        Some(Dimension::Area) => "_mm2",
        Some(Dimension::Temperature) => "_degc",
        Some(Dimension::Speed) => "_rad_s",
        _ => "",
    };
    format!("{name}{suffix}")
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

fn range(range: &Range) -> Object {
    let figure = |name: &str| key(name, Some(range.dimension));
    Object::new()
        .text("state", &range.state)
        .text("subject", &range.subject)
        .number_or_null(&figure("p5"), finite(range.p5))
        .number_or_null(&figure("p50"), finite(range.p50))
        .number_or_null(&figure("p95"), finite(range.p95))
}

fn verdict(verdict: &Verdict) -> Object {
    let figure = |name: &str| key(name, Some(verdict.dimension));
    let standing = match verdict.standing {
        Standing::Fails => "fails",
        Standing::Open => "cannot-tell-yet",
        Standing::Holds => "holds",
    };
    Object::new()
        .text("code", verdict.code.name())
        .text("subject", &verdict.subject)
        .text_or_null("state", verdict.state.as_deref())
        .text("verdict", standing)
        .number("probability_bad", verdict.share)
        .number_or_null(&figure("limit"), finite(verdict.limit))
        .number_or_null(&figure("typical"), finite(verdict.typical))
        .number_or_null(&figure("p5"), finite(verdict.p5))
        .number_or_null(&figure("p50"), finite(verdict.p50))
        .number_or_null(&figure("p95"), finite(verdict.p95))
        .number_or_null(&figure("worst"), finite(verdict.worst))
        .flag("holds_at_worst", verdict.holds_at_worst)
}

fn measure(measure: &Measure) -> Object {
    let settles = measure.settles.iter().map(|(verdict, chance)| {
        Object::new()
            .text("verdict", verdict)
            .number("probability", *chance)
    });
    Object::new()
        .text("subject", &measure.subject)
        .texts("what", &measure.what)
        .number("variance_share", measure.share)
        .objects("settles", settles)
}

fn unknown(unknown: &Unknown) -> Object {
    let figure = |name: &str| key(name, unknown.shown_in());
    let band = unknown.band;
    Object::new()
        .text("subject", &unknown.subject)
        .text("what", unknown.what)
        .number(&figure("low"), unknown.shown(band.low))
        .number(&figure("typical"), unknown.shown(band.typical))
        .number(&figure("high"), unknown.shown(band.high))
}
