//! `report`: one page that goes to the boat.

use super::answer::status;
use super::save::save;
use super::{Answer, CircuitArgs, Failure, Loaded, Reply};
use crate::document::Document;
use crate::present::html::page;
use crate::present::json::Object;
use crate::present::svg;
use crate::reporting::{Report, report};
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  ampkeel report boat.toml -o boat.html
  ampkeel report --example -o example.html
  ampkeel report boat.toml --svg pictures

The page needs no network and no other file. Without -o it is printed.
Exit status: 0 no violation, 1 at least one violation, 2 could not run.";

/// Write one self-contained page: wiring diagram, charts, bench forms, sources
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    circuit: CircuitArgs,
    /// Write the page to this file instead of printing it
    #[arg(short, long = "output", value_name = "PAGE")]
    output: Option<PathBuf>,
    /// Write every picture as a file of its own into this folder
    #[arg(long, value_name = "FOLDER")]
    svg: Option<PathBuf>,
    /// Replace files that are already there
    #[arg(long)]
    force: bool,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let Loaded {
            text,
            about,
            circuit,
            findings,
        } = self.circuit.load()?;
        let found = report(&circuit, &text, about, findings)
            .map_err(|why| Failure::Unsolved(why.to_string()))?;
        let to_file = self.output.as_ref().filter(|path| path.as_os_str() != "-");
        if to_file.is_none() && (self.svg.is_none() || self.output.is_some()) {
            return Ok(Reply::Judged(page(&found, &text), status(&found.findings)));
        }
        let mut document = Document::new();
        if let Some(line) = &found.about {
            document.about(line);
        }
        for caution in &found.cautions {
            document.caution(caution);
        }
        let mut body = Object::new().text("sha256", &found.hash);
        if let Some(path) = to_file {
            save(path, &page(&found, &text), self.force)?;
            document.answer(format!(
                "{}: page written to `{}`",
                found.title,
                path.display()
            ));
            body = body.text("page", &path.display().to_string());
        }
        if let Some(folder) = &self.svg {
            let names = self.pictures(&found, folder)?;
            document.answer(format!(
                "{}: {} pictures written to `{}`",
                found.title,
                names.len(),
                folder.display()
            ));
            body = body.texts("pictures", &names);
        }
        let answer = Answer {
            command: "report",
            document,
            body,
            text: Some(text),
            findings: found.findings,
            ..Answer::default()
        };
        Ok(answer.into())
    }

    /// Writes the pictures and returns their names.
    fn pictures(&self, found: &Report, folder: &Path) -> Result<Vec<String>, Failure> {
        std::fs::create_dir_all(folder).map_err(|reason| Failure::Unwritable {
            path: folder.to_owned(),
            reason,
        })?;
        let mut all = Vec::new();
        for overlay in &found.diagram.overlays {
            let picture = svg::diagram_alone(&found.diagram, overlay);
            all.push((format!("diagram-{}", overlay.state), picture));
        }
        for (number, sheet) in (1..).zip(&found.sheets) {
            for overlay in &sheet.diagram.overlays {
                let picture = svg::diagram_alone(&sheet.diagram, overlay);
                all.push((format!("sheet-{number}-{}", overlay.state), picture));
            }
        }
        for (at, chart) in found.fuses.iter().enumerate() {
            all.push((
                format!("fuse-{}", chart.name),
                svg::fuse_chart(chart, at, true),
            ));
        }
        for (at, chart) in found.ladders.iter().enumerate() {
            all.push((
                format!("ladder-{}", chart.load),
                svg::ladder(chart, at, true),
            ));
        }
        for (at, chart) in found.traces.iter().enumerate() {
            all.push((format!("trace-{}", at + 1), svg::trace(chart, at, true)));
        }
        let mut names = Vec::new();
        for (name, picture) in all {
            let name = format!("{name}.svg");
            save(&folder.join(&name), &(picture.xml() + "\n"), self.force)?;
            names.push(name);
        }
        Ok(names)
    }
}
