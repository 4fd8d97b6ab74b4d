//! `explain`: what a finding means, why it matters, what to do.

use super::{Answer, Failure, Reply};
use crate::document::{Cell, Document, Table};
use crate::findings::{Page, all_pages, page_of};
use crate::present::json::Object;

const EXAMPLES: &str = "\
Examples:
  ampkeel explain                list all codes
  ampkeel explain toml-syntax    one of them";

/// Say what a finding means, why it matters and what to do
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Code of the finding, as printed in brackets; without it all are listed
    #[arg(value_name = "CODE")]
    code: Option<String>,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let answer = match &self.code {
            Some(code) => one(find(code.trim())?),
            None => all(),
        };
        Ok(answer.into())
    }
}

fn find(code: &str) -> Result<&'static Page, Failure> {
    let codes = || all_pages().iter().map(|page| page.code);
    let list = "`ampkeel explain` lists all";
    page_of(code).ok_or_else(|| Failure::unknown("code", code, codes(), list))
}

fn one(page: &Page) -> Answer {
    let mut document = Document::new();
    document
        .answer(format!(
            "{}[{}]: {}",
            page.severity.word(),
            page.code,
            page.title
        ))
        .prose(page.text);
    Answer {
        command: "explain",
        document,
        body: heading(page).text("text", page.text),
        ..Answer::default()
    }
}

fn all() -> Answer {
    let mut table = Table::new("")
        .words("code")
        .words("severity")
        .words("title");
    for page in all_pages() {
        table.row([page.code, page.severity.word(), page.title].map(Cell::plain));
    }
    let mut document = Document::new();
    document.table(table);
    document.paragraph("`ampkeel explain CODE` says what it means, why it matters and what to do.");
    Answer {
        command: "explain",
        document,
        body: Object::new().objects("codes", all_pages().iter().map(heading)),
        ..Answer::default()
    }
}

fn heading(page: &Page) -> Object {
    Object::new()
        .text("code", page.code)
        .text("severity", page.severity.word())
        .text("title", page.title)
}
