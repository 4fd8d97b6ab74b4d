//! The page of a report: one file, nothing outside it.

use super::words::words;
use super::{blocks, findings, heading, listed, sheets as forms};
use crate::document::Document;
use crate::markup::{Element, Node, element};
use crate::present::{assumed, svg};
use crate::protecting::Verdict;
use crate::quantities::Volts;
use crate::reporting::{Diagram, FuseChart, LadderChart, Overlay, Report};
use crate::span::CircuitText;
use sha2::{Digest, Sha256};

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = include_str!("worksheet.js");

/// Nothing may be fetched, sent or framed, and no script run but our own,
/// whatever a file's names say.
fn policy() -> String {
    format!(
        "default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        base64(&Sha256::digest(SCRIPT.as_bytes()))
    )
}

/// Bytes in the letters of base 64.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let byte = |at: usize| u32::from(three.get(at).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for at in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * at) & 63) as usize];
            text.push(if at > three.len() { '=' } else { char::from(letter) });
        }
    }
    text
}


/// The page.
pub fn page(report: &Report, text: &CircuitText) -> String {
    let body = element("body")
        .with(element("a").class("skip").attr("href", "#start").text("To the report"))
        .with(header(report))
        .with(contents(report))
        .with(
            element("main")
                .attr("id", "start")
                .all(sections(report, text)),
        )
        .with(footer(report))
        .with(element("script").verbatim(SCRIPT));
    let page = element("html")
        .attr("lang", "en")
        .with(head(report))
        .with(body);
    format!("<!DOCTYPE html>\n{}\n", page.html())
}

fn head(report: &Report) -> Element {
    element("head")
        .with(element("meta").attr("charset", "utf-8"))
        .with(
            element("meta")
                .attr("http-equiv", "Content-Security-Policy")
                .attr("content", policy()),
        )
        .with(
            element("meta")
                .attr("name", "viewport")
                .attr("content", "width=device-width, initial-scale=1"),
        )
        .with(
            element("meta")
                .attr("name", "color-scheme")
                .attr("content", "light dark"),
        )
        .with(element("title").text(&report.title))
        .with(element("style").verbatim(STYLE).text(switching(&report.diagram)))
}

/// Rules that show the chosen state; plain names and numbers, nothing of the file's.
fn switching(diagram: &Diagram) -> String {
    let count = diagram.overlays.len();
    let mut rules = String::new();
    for shown in 0..count {
        let each: Vec<String> = (0..count)
            .map(|state| {
                let display = if state == shown { "inline" } else { "none" };
                format!("--s{state}:{display}")
            })
            .collect();
        rules.push_str(&format!("#st{shown}:checked~.stage{{{}}}\n", each.join(";")));
        rules.push_str(&format!(".s{shown}{{display:var(--s{shown})}}\n"));
    }
    rules
}

fn header(report: &Report) -> Element {
    let mut header = element("header");
    if let Some(about) = &report.about {
        header = header.with(element("p").class("about").all(words(about)));
    }
    let cautions = report.cautions.iter().map(|text| element("li").all(words(text)));
    header
        .with(element("h1").with(element("bdi").text(&report.title)))
        .with(
            element("div")
                .class("cautions")
                .attr("role", "region")
                .attr("aria-label", "Cautions")
                .with(element("h2").text("Caution"))
                .with(element("ul").all(cautions)),
        )
        .all(report.answers.iter().map(|text| element("p").class("answer").all(words(text))))
}

/// A section of the page.
struct Section {
    id: &'static str,
    title: &'static str,
    inside: Vec<Node>,
}

fn all_sections(report: &Report, text: &CircuitText) -> Vec<Section> {
    let of = |id, title, inside| Section { id, title, inside };
    let documents = |document: &Document| blocks(document, Some(text), 3);
    let mut all = vec![
        of(
            "findings",
            "What was found",
            vec![if report.findings.is_empty() {
                element("p").text("Nothing.").into()
            } else {
                findings::show(&report.findings, Some(text)).into()
            }],
        ),
        of("wiring", "Wiring diagram", wiring(&report.diagram)),
        of("states", "State by state", documents(&report.solved)),
        of("ladders", "Where the volts go", ladders(&report.ladders)),
        of("fuses", "Fuses and breakers", {
            let mut inside = documents(&report.protected);
            inside.extend(fuses(&report.fuses));
            inside
        }),
        of("bench", "Bench worksheets", bench(report)),
    ];
    let sources: Vec<String> = report.sources.iter().map(ToString::to_string).collect();
    all.push(of(
        "assumed",
        "Assumed",
        vec![listed(&assumed::gathered(&report.assumed)).into()],
    ));
    all.push(of("sources", "Sources", vec![listed(&sources).into()]));
    all
}

fn sections(report: &Report, text: &CircuitText) -> Vec<Element> {
    all_sections(report, text)
        .into_iter()
        .map(|section| {
            element("section")
                .attr("id", section.id)
                .attr("aria-labelledby", format!("{}-title", section.id))
                .with(
                    heading(2)
                        .attr("id", format!("{}-title", section.id))
                        .text(section.title),
                )
                .all(section.inside)
        })
        .collect()
}

fn contents(report: &Report) -> Element {
    let empty = CircuitText::new("", "");
    let items = all_sections(report, &empty).into_iter().map(|section| {
        let link = element("a").attr("href", format!("#{}", section.id));
        element("li").with(link.text(section.title))
    });
    element("nav")
        .attr("aria-label", "Contents")
        .with(element("ul").all(items))
}

fn ladders(all: &[LadderChart]) -> Vec<Node> {
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

fn fuses(all: &[FuseChart]) -> Vec<Node> {
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

fn bench(report: &Report) -> Vec<Node> {
    let lead = "A form for each part and one for the wiring. What is typed is judged at once by the limits `ampkeel bench` prints; it is kept in the page's address alone. Forms that are open are printed, with boxes for a pencil.";
    let mut nodes = vec![element("p").all(words(lead)).into()];
    let all = report.worksheets.iter().enumerate();
    nodes.extend(all.map(|(number, sheet)| forms::show(sheet, number, &report.file).into()));
    nodes
}

/// The diagram with a choice of states; without script, the choice is the
/// style sheet's.
fn wiring(diagram: &Diagram) -> Vec<Node> {
    let legend = "Thick line: carries current. Thin dark line: live, no current. Grey: neither. Thick broken line with ! or !!: look at it, beyond a limit. Dotted over it: hot. Under a wire: its current, and the volts lost in it or its temperature. Lines that cross do not meet; they meet at dots.";
    let shown = shown_first(&diagram.overlays);
    let mut field = element("fieldset")
        .class("choice")
        .with(element("legend").text("State shown"));
    for (number, overlay) in diagram.overlays.iter().enumerate() {
        let id = format!("st{number}");
        let what_if = if overlay.what_if { " (what if)" } else { "" };
        field = field
            .with(
                element("input")
                    .attr("type", "radio")
                    .attr("name", "state")
                    .attr("id", &id)
                    .flag("checked", number == shown),
            )
            .with(
                element("label")
                    .attr("for", &id)
                    .text(format!("{}{what_if}", overlay.state)),
            );
    }
    let sentences = diagram.overlays.iter().enumerate().map(|(number, overlay)| {
        element("span")
            .class(format!("s s{number}"))
            .all(words(&overlay.sentence))
    });
    let stage = element("div")
        .class("stage")
        .with(element("p").attr("aria-live", "polite").all(sentences))
        .with(
            element("div")
                .class("scroll")
                .attr("tabindex", "0")
                .attr("role", "region")
                .attr("aria-label", "Wiring diagram, scrolls sideways")
                .with(svg::diagram(diagram)),
        )
        .with(sheets(diagram));
    vec![
        field.with(stage).into(),
        element("p").class("fine").text(legend).into(),
    ]
}

/// The state shown first: the judged one in which most wires carry.
fn shown_first(overlays: &[Overlay]) -> usize {
    let carrying = |overlay: &Overlay| {
        let all = overlay.conductors.iter();
        all.filter(|one| one.flow == crate::reporting::Flow::Carries).count()
    };
    let judged = overlays.iter().enumerate().filter(|(_, o)| !o.what_if);
    judged
        .max_by_key(|(at, overlay)| (carrying(overlay), std::cmp::Reverse(*at)))
        .map_or(0, |(at, _)| at)
}

/// Largest piece of the diagram on one sheet of paper, lying.
const SHEET: (f64, f64) = (1300.0, 860.0);

/// The diagram in pieces that can be read on paper; shown in print alone.
fn sheets(diagram: &Diagram) -> Element {
    let (w, h) = (diagram.drawing.width, diagram.drawing.height);
    let across = (w / SHEET.0).ceil().max(1.0) as usize;
    let down = (h / SHEET.1).ceil().max(1.0) as usize;
    let (wide, high) = (w / across as f64, h / down as f64);
    let mut all = element("div").class("sheets");
    for row in 0..down {
        for column in 0..across {
            let number = row * across + column + 1;
            let caption = if across * down == 1 {
                "Wiring diagram".to_owned()
            } else {
                format!(
                    "Wiring diagram, sheet {number} of {}: row {} of {down}, column {} of {across}",
                    across * down,
                    row + 1,
                    column + 1
                )
            };
            let piece = element("svg")
                .attr("viewBox", {
                    let [x, y, w, h] =
                        [column as f64 * wide, row as f64 * high, wide, high].map(|v| v.round());
                    format!("{x} {y} {w} {h}")
                })
                .attr("aria-hidden", "true")
                .with(element("use").attr("href", "#diagram"));
            all = all.with(
                element("figure")
                    .with(element("figcaption").text(caption))
                    .with(piece),
            );
        }
    }
    all
}

fn footer(report: &Report) -> Element {
    element("footer")
        .with(
            element("p")
                .text("Circuit file ")
                .with(element("bdi").with(element("code").text(&report.file)))
                .text(", SHA-256 ")
                .with(element("code").class("hash").text(&report.hash))
                .text(": page and file belong together while "),
        )
        .with(element("p").text(format!(
            "Made by ampkeel {}. The same file gives the same page.",
            env!("CARGO_PKG_VERSION")
        )))
}
