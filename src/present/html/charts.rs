//! The charts of a report, each with its words.

use super::heading;
use super::steps;
use super::words::words;
use crate::markup::{Element, Node, element};
use crate::present::svg;
use crate::protecting::Verdict;
use crate::quantities::Volts;
use crate::reporting::{FuseChart, LadderChart, TraceChart};

/// A ladder a load.
pub(super) fn ladders(all: &[LadderChart]) -> Vec<Node> {
    let lead = "For each load, in the state in which it comes nearest to its limit: every step on the way there and back, as a meter would show it. The limit is the rule's, which counts copper alone; a step far longer than the others is where to look.";
    let mut nodes = vec![element("p").text(lead).into()];
    for (number, chart) in all.iter().enumerate() {
        let rule = chart.rule.map_or_else(String::new, |(drop_v, limit_v)| {
            format!(
                "; by the rule {} of {}",
                Volts::new(drop_v),
                Volts::new(limit_v)
            )
        });
        let caption = format!(
            "`{}` in `{}`: {} lost from `{}`{rule}",
            chart.load,
            chart.state,
            Volts::new(chart.lost_v),
            chart.supply
        );
        nodes.push(figure(&caption, svg::ladder(chart, number, false)).into());
    }
    nodes
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
