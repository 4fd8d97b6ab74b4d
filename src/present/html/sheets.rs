//! Worksheets as forms: boxes that are judged as they are filled, and that can
//! be filled with a pencil as well.

use super::steps::{caution, labelled, stop};
use super::table;
use super::words::words;
use crate::markup::{Element, element};
use crate::reporting::{Field, Reader, SheetStep, Worksheet};

/// A worksheet, folded until it is wanted; on paper the open ones stand, or all.
pub(super) fn show(sheet: &Worksheet, number: usize, file: &str) -> Element {
    let title = element("summary").with(
        element("h3")
            .attr("id", format!("sheet{number}"))
            .all(words(&sheet.title)),
    );
    let cautions = sheet
        .cautions
        .iter()
        .map(|text| element("li").all(words(text)));
    let steps = sheet.steps.iter().map(step);
    let remarks = sheet.remarks.iter();
    let remarks = remarks.map(|text| element("p").class("fine").all(words(text)));
    element("details")
        .class("sheet")
        .attr("data-part", &sheet.part)
        .attr("data-reader", reader(sheet.reader))
        .with(title)
        .with(
            element("div")
                .class("cautions")
                .with(element("h4").text("Caution"))
                .with(element("ul").all(cautions)),
        )
        .with(element("p").class("answer").all(words(&sheet.answer)))
        .with(element("p").text("Rig: ").all(words(&sheet.rig)))
        // Before the steps: at the end they would stand alone on a sheet of paper.
        .all(remarks)
        .all(left_out(sheet))
        .with(element("ol").class("steps").all(steps))
        .all(sheet.signatures.iter().map(table::show))
        .all(log(sheet, number, file))
}

fn reader(reader: Reader) -> &'static str {
    match reader {
        Reader::Interpret => "interpret",
        Reader::Trace => "trace",
    }
}

fn step(sheet: &SheetStep) -> Element {
    let of = &sheet.step;
    let mut item = element("li").class("step");
    item = item.all(of.cautions.iter().map(|one| caution(&one.text)));
    item = item.with(element("p").all(words(&of.action)));
    if let Some(meter) = of.meter_words() {
        item = item.with(labelled("meter", &meter));
    }
    item = item.all(sheet.fields.iter().map(field));
    item = item.all(
        of.signs
            .iter()
            .map(|text| labelled("to see and hear", text)),
    );
    item = item.all(of.notes.iter().map(|text| labelled("note", text)));
    item = item.all(of.outside.iter().map(|text| labelled("if", text)));
    match &of.stop_if {
        Some(text) => item.with(stop(text)),
        None => item,
    }
}

fn field(field: &Field) -> Element {
    let expected = format!("{}-expect", field.id);
    let mut input = element("input")
        .attr("type", "text")
        .attr("inputmode", "decimal")
        .attr("autocomplete", "off")
        .attr("id", &field.id)
        .attr("aria-describedby", &expected)
        .attr("data-unit", &field.unit);
    for (name, value) in [("data-low", &field.low), ("data-high", &field.high)] {
        if let Some(value) = value {
            input = input.attr(name, value);
        }
    }
    input = input
        .flag("data-open", field.may_be_open)
        .flag("data-unproven", field.above_proves_nothing);
    if let Some(log) = &field.log {
        input = input
            .attr("data-at", &log.at)
            .attr("data-to", &log.to)
            .attr("data-quantity", &log.quantity)
            .attr("data-state", &log.state);
    }
    element("div")
        .class("reading")
        .with(
            element("label")
                .attr("for", &field.id)
                .all(words(&field.quantity)),
        )
        .with(
            element("span")
                .class("fine")
                .attr("id", expected)
                .text(format!("expect {}", field.range)),
        )
        .with(
            element("span")
                .class("box")
                .with(input)
                .with(element("span").text(format!(" {}", field.unit))),
        )
        .with(element("output").attr("for", &field.id))
}

/// The log of a sheet's readings; the script fills it in.
fn log(sheet: &Worksheet, number: usize, file: &str) -> Vec<Element> {
    let id = format!("log{number}");
    let command = match sheet.reader {
        Reader::Interpret => format!(
            "ampkeel interpret {file} {} --log readings.toml",
            sheet.part
        ),
        Reader::Trace => format!("ampkeel trace {file} --log readings.toml"),
    };
    let mut all = Vec::new();
    if sheet.reader == Reader::Trace {
        all.push(complaint(number));
    }
    all.push(
        element("div")
            .class("log noprint")
            .attr("hidden", "")
            .with(
                element("label")
                    .attr("for", &id)
                    .text("Log of these readings, for ")
                    .with(element("code").text(command)),
            )
            .with(
                element("textarea")
                    .attr("id", &id)
                    .attr("rows", "6")
                    .attr("readonly", "")
                    .attr("spellcheck", "false"),
            )
            .with(
                element("button")
                    .attr("type", "button")
                    .class("keep")
                    .text("Save as readings.toml"),
            ),
    );
    all
}

/// Which readings the log leaves out, so that nobody takes it for the whole sheet.
fn left_out(sheet: &Worksheet) -> Option<Element> {
    let fields = || sheet.steps.iter().flat_map(|step| &step.fields);
    let mut names: Vec<&str> = Vec::new();
    for field in fields().filter(|field| field.log.is_none()) {
        if !names.contains(&field.quantity.as_str()) {
            names.push(&field.quantity);
        }
    }
    let reader = reader(sheet.reader);
    let text = if names.is_empty() {
        return None;
    } else if fields().all(|field| field.log.is_none()) {
        format!("None of these readings has a place in a log of `{reader}`: write them down here.")
    } else {
        format!(
            "No place in a log of `{reader}`, write them down here: {}.",
            names.join("; ")
        )
    };
    Some(element("p").class("fine").all(words(&text)))
}

/// What is complained of, which a log of `trace` must say.
fn complaint(number: usize) -> Element {
    let id = format!("complaint{number}");
    let about = format!("about{number}");
    let choice = |value: &str, words: &str| element("option").attr("value", value).text(words);
    element("div")
        .class("complaint noprint")
        .with(element("label").attr("for", &id).text("What is wrong"))
        .with(
            element("select")
                .attr("id", &id)
                .with(choice("fuse-opens", "a fuse opens"))
                .with(choice("load-dead", "a load is dead"))
                .with(choice("load-weak", "a load is weak")),
        )
        .with(
            element("label")
                .attr("for", &about)
                .text("which fuse or load, as the file names it"),
        )
        .with(
            element("input")
                .attr("type", "text")
                .attr("id", &about)
                .attr("autocomplete", "off"),
        )
}
