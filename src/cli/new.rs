//! `new`: a starter circuit file, to be corrected where the boat differs.

use super::builtin::{BuiltIn, TYPICAL, typical};
use super::input::{kinds, new_like};
use super::save::save_all;
use super::{Answer, Failure, OutputArgs, Reply, output};
use crate::document::Document;
use crate::present::json::Object;
use crate::present::terminal;
use crate::reading::schema;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  ampkeel new --like \"injected outboard\" -o boat.toml
  ampkeel new --like \"console boat\" | less

The file is typical, not yours: correct it where your boat differs. What it
leaves out is carried as a range until you write it down.";

/// The name that the first line of every starter file asks for.
const SCHEMA: &str = "ampkeel.schema.json";

/// Start a circuit file from a typical boat, with its schema for editors
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The kind of boat it is most like
    #[arg(long, value_name = "KIND", value_parser = kinds(), ignore_case = true)]
    like: Option<String>,
    /// Write the file here and its schema beside it, instead of printing
    #[arg(short, long = "output", value_name = "FILE")]
    output: Option<PathBuf>,
    /// Replace files that are already there
    #[arg(long, requires = "output")]
    force: bool,
}

impl Args {
    pub(super) fn run(&self, output: &OutputArgs) -> Result<Reply, Failure> {
        let Some(boat) = self.like.as_deref().and_then(typical) else {
            let kinds: Vec<String> = TYPICAL
                .iter()
                .map(|boat| format!("\"{}\"", boat.kind))
                .collect();
            return Err(Failure::Refused(format!(
                "say what your boat is most like: `--like` one of {}",
                kinds.join(", ")
            )));
        };
        match &self.output {
            Some(path) if path.as_os_str() != "-" => self.write(boat, path),
            _ if output.json => Ok(printed(boat).into()),
            _ => {
                let look = output.talk_look();
                let talk = terminal::render(&printed(boat).document, None, &look);
                output::talk(&talk, &look);
                Ok(Reply::Text(boat.text.to_owned()))
            }
        }
    }

    fn write(&self, boat: &BuiltIn, path: &Path) -> Result<Reply, Failure> {
        if path.file_name().is_some_and(|name| name == SCHEMA) {
            let why = format!("`{SCHEMA}` is the schema's name; name the circuit file boat.toml");
            return Err(Failure::Refused(why));
        }
        let schema = format!("{:#}\n", schema());
        let beside = path.with_file_name(SCHEMA);
        let there = std::fs::read_to_string(&beside).ok();
        let is_same = there.as_deref() == Some(schema.as_str());
        let is_kept = beside.symlink_metadata().is_ok() && !is_same && !self.force;
        let mut files = vec![(path, boat.text)];
        if !is_same && !is_kept {
            files.push((&beside, &schema));
        }
        save_all(&files, self.force)?;
        let mut document = about(boat);
        let file = path.display();
        document.answer(if is_kept {
            format!(
                "`{file}` is written; `{}` was there and differs: `--force` replaces both",
                beside.display()
            )
        } else {
            format!(
                "`{file}` is written, and `{}` beside it, by which editors help",
                beside.display()
            )
        });
        next(&mut document, boat, &file.to_string());
        Ok(Answer {
            command: "new",
            document,
            body: Object::new()
                .text("kind", boat.kind)
                .text("file", &file.to_string())
                .text("schema", &beside.display().to_string())
                .flag("schema_is_current", !is_kept),
            ..Answer::default()
        }
        .into())
    }
}

fn about(boat: &BuiltIn) -> Document {
    let mut document = Document::new();
    document.about(format!(
        "the figures are those of a typical {}, not of your boat",
        boat.kind
    ));
    document
}

/// The file itself, where it is not written.
fn printed(boat: &BuiltIn) -> Answer {
    let mut document = about(boat);
    document.heading("try next");
    document.bullets([format!(
        "`{}` writes it, with its schema beside it",
        new_like(boat.kind)
    )]);
    Answer {
        command: "new",
        document,
        body: Object::new()
            .text("kind", boat.kind)
            .text("text", boat.text),
        ..Answer::default()
    }
}

fn next(document: &mut Document, boat: &BuiltIn, file: &str) {
    document.heading("try next");
    document.bullets([
        format!("open `{file}` and correct it from the top, most telling first"),
        format!(
            "`ampkeel solve {file} --tolerance` says what holds already, and what to measure next"
        ),
        format!("`ampkeel protect {file}` holds every fuse against start, stall and short"),
        format!(
            "`ampkeel trace {file} --fuse {}` traces why that fuse opens",
            boat.fuse
        ),
    ]);
}
