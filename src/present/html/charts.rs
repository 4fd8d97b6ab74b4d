//! The charts of a report, each with its words.

use super::heading;
use super::steps;
use super::words::words;
use crate::markup::{Element, Node, element};
use crate::present::svg;
use crate::protecting::Verdict;
use crate::quantities::Volts;
use crate::reporting::{FuseChart, LadderChart, TraceChart};

/// A ladder a load; those that lose next to nothing are told in one sentence.
pub(super) fn ladders(all: &[LadderChart]) -> Vec<Node> {
    let lead = "For each load, in the state in which it comes nearest to its limit: every step on the way there and back, as a meter would show it; a step far longer than the others is where to look. The limit is the rule's. It counts copper alone, at the rule's own resistance, and of a wire that feeds several loads this load's share: so it is held against the bar at the foot, not against the steps.";
    let mut nodes = vec![element("p").text(lead).into()];
    let (little, shown): (Vec<_>, Vec<_>) = all
        .iter()
        .enumerate()
        .partition(|(_, chart)| chart.is_next_to_nothing());
    let figures = shown
        .into_iter()
        .map(|(number, chart)| figure(&caption(chart), svg::ladder(chart, number, false)));
    nodes.push(element("div").class("ladders").all(figures).into());
    if !little.is_empty() {
        let named: Vec<String> = little
            .iter()
            .map(|(_, chart)| format!("`{}` in `{}`", chart.load, chart.state))
            .collect();
        let sentence = format!(
            "Next to nothing, less than 1 % of the limit or less than 1 mV, is lost on the way to and from: {}.",
            named.join(", ")
        );
        nodes.push(element("p").all(words(&sentence)).into());
    }
    nodes
}

fn caption(chart: &LadderChart) -> String {
    let rule = chart.rule.map_or_else(String::new, |(drop_v, limit_v)| {
        format!(
            "; by the rule {} of {}",
            Volts::new(drop_v),
            Volts::new(limit_v)
        )
    });
    format!(
        "`{}` in `{}`: {} lost from `{}`{rule}",
        chart.load,
        chart.state,
        Volts::new(chart.lost_v),
        chart.supply
    )
}

fn figure(caption: &str, picture: Element) -> Element {
    element("figure")
        .class("chart")
        .with(element("figcaption").all(words(caption)))
        .with(picture)
}

/// A chart a fuse, its verdicts under it.
pub(super) fn fuses(all: &[FuseChart]) -> Vec<Node> {
    let mut nodes = Vec::new();
    for (number, chart) in all.iter().enumerate() {
        nodes.push(
            heading(3)
                .all(words(&format!("`{}`: {}", chart.name, chart.what)))
                .into(),
        );
        let caption = match chart.worst {
            Verdict::Holds | Verdict::Note => "does everything asked of it",
            Verdict::Caution => "look at it: see the cautions below",
            Verdict::Violation => "a rule is broken: see below",
        };
        nodes.push(figure(caption, svg::fuse_chart(chart, number, false)).into());
        let items = chart.verdicts.iter().map(|(verdict, sentence)| {
            let tone = match verdict {
                Verdict::Holds => "ok",
                Verdict::Note => "note",
                Verdict::Caution => "warn",
                Verdict::Violation => "bad",
            };
            element("li")
                .with(element("strong").class(tone).text(verdict.word()))
                .text(", ")
                .all(words(sentence))
        });
        nodes.push(element("ul").all(items).into());
    }
    nodes
}

/// Starts, stalls and cranking.
pub(super) fn traces(all: &[TraceChart]) -> Vec<Node> {
    if all.is_empty() {
        return vec![
            element("p")
                .text("No start, stall or cranking decides anything here.")
                .into(),
        ];
    }
    let lead = "This is reckoned, not tried: never make a short or hold a shaft to see it happen. Near petrol a spark or a hot wire is enough.";
    let mut nodes = vec![steps::caution(lead).into()];
    for (number, chart) in all.iter().enumerate() {
        nodes.push(figure(&chart.title, svg::trace(chart, number, false)).into());
        nodes.push(element("p").all(words(&chart.verdict)).into());
    }
    nodes
}
