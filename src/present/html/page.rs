//! The page of a report: one file, nothing outside it.

use super::charts::{fuses, ladders, traces};
use super::wiring::{switching, wiring};
use super::words::words;
use super::{blocks, findings, heading, listed, sheets as forms};
use crate::document::Document;
use crate::markup::{Element, Node, element};
use crate::present::assumed;
use crate::reporting::Report;
use crate::span::CircuitText;
use sha2::{Digest, Sha256};

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = concat!(include_str!("worksheet.js"), include_str!("pictures.js"));

/// File and page number at the foot of every sheet of paper; the file's hash,
/// digits and small letters alone, stands between the two.
const FOOT_BEFORE: &str = "@page{@bottom-left{content:\"circuit file SHA-256 ";
const FOOT_AFTER: &str = "\";font:6.5pt monospace}@bottom-right{content:counter(page) \" of \" counter(pages);font:8pt sans-serif}}\n";

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
            text.push(if at > three.len() {
                '='
            } else {
                char::from(letter)
            });
        }
    }
    text
}

/// The page.
pub fn page(report: &Report, text: &CircuitText) -> String {
    let body = element("body")
        .with(
            element("a")
                .class("skip")
                .attr("href", "#start")
                .text("To the report"),
        )
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
        .with(
            element("style")
                .verbatim(STYLE)
                .text(switching(&report.diagram))
                .verbatim(FOOT_BEFORE)
                .text(&report.hash)
                .verbatim(FOOT_AFTER),
        )
}

fn header(report: &Report) -> Element {
    let mut header = element("header");
    if let Some(about) = &report.about {
        header = header.with(element("p").class("about").all(words(about)));
    }
    let cautions = report
        .cautions
        .iter()
        .map(|text| element("li").all(words(text)));
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
        .all(
            report
                .answers
                .iter()
                .map(|text| element("p").class("answer").all(words(text))),
        )
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
        of(
            "wiring",
            "Wiring diagram",
            wiring(&report.diagram, &report.sheets),
        ),
        of("states", "State by state", documents(&report.solved)),
        of("ladders", "Where the volts go", ladders(&report.ladders)),
        of("fuses", "Fuses and breakers", {
            let mut inside = documents(&report.protected);
            inside.extend(fuses(&report.fuses));
            inside
        }),
        of("traces", "In time", traces(&report.traces)),
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

fn bench(report: &Report) -> Vec<Node> {
    let lead = "A form for each part and one for the wiring. What is typed is judged at once by the limits `ampkeel bench` prints; it is kept in the page's address alone. Printed are the forms that are open, or all of them where that is chosen, with lines for a pencil, each on a page of its own.";
    let mut nodes = vec![
        element("p").all(words(lead)).into(),
        element("p")
            .class("noprint")
            .with(
                element("input")
                    .attr("type", "checkbox")
                    .attr("id", "print-all"),
            )
            .with(
                element("label")
                    .attr("for", "print-all")
                    .text(" print all forms, also the closed ones"),
            )
            .into(),
    ];
    let all = report.worksheets.iter().enumerate();
    nodes.extend(all.map(|(number, sheet)| forms::show(sheet, number, &report.file).into()));
    nodes
}

fn footer(report: &Report) -> Element {
    let named = |what: &str, name: &str, hash: &str| {
        element("p")
            .text(what)
            .with(element("bdi").with(element("code").text(name)))
            .text(", SHA-256 ")
            .with(element("code").class("hash").text(hash))
    };
    let list = report.list.iter();
    element("footer")
        .with(
            named("Circuit file ", &report.file, &report.hash)
                .text(": page and file belong together as long as the file has this sum"),
        )
        .all(list.map(|(name, hash)| named("Wire list ", name, hash)))
        .with(element("p").text(format!(
            "Made by ampkeel {}. The same file gives the same page.",
            env!("CARGO_PKG_VERSION")
        )))
}
