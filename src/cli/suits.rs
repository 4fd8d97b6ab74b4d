//! `interpret --suits`: will a replacement live on the fuse and wire it gets?

use super::figures::above_zero;
use super::interpret::told;
use super::interpret_aboard::unknown_part;
use super::rig::RigArgs;
use super::{Answer, Failure, Loaded, Reply};
use crate::bench::{Rig, Subject, air, usual};
use crate::interpreting::{Evidence, Held, Replacement, Suits, suits, suits_document};
use crate::present::json::{Object, source};
use crate::quantities::Amps;

/// What is asked of a replacement.
#[derive(Debug, clap::Args)]
pub(super) struct SuitsArgs {
    /// Will a replacement suit the fuse and wire this part lives on: `--class` says
    /// what it is, readings of it on the bench what it draws
    #[arg(long, conflicts_with = "state", help_heading = HEADING)]
    suits: bool,
    /// Current of the replacement with its shaft held for a second, on the bench
    #[arg(long, value_name = "AMPERES", requires = "suits", value_parser = above_zero::<Amps>, allow_hyphen_values = true, help_heading = HEADING)]
    locked: Option<Amps>,
    /// Largest fuse the replacement's maker allows
    #[arg(long, value_name = "AMPERES", requires = "suits", value_parser = above_zero::<Amps>, allow_hyphen_values = true, help_heading = HEADING)]
    max_fuse: Option<Amps>,
}

const HEADING: &str = "A replacement";

impl SuitsArgs {
    pub(super) const fn is_asked(&self) -> bool {
        self.suits
    }

    pub(super) fn run(&self, args: &RigArgs, evidence: Evidence) -> Result<Reply, Failure> {
        let (loaded, name) = args.part_of_file("interpret")?;
        let Loaded { circuit, .. } = &loaded;
        let id = circuit
            .find(&name)
            .ok_or_else(|| unknown_part(circuit, &name))?;
        let mut options = args.options();
        options.battery_volts = None;
        let subject = Subject::of_part(circuit, id, air(Some(circuit), &options)).map_err(told)?;
        let usual = usual(&subject).map_err(told)?;
        let rig = Rig::new(Some(circuit), &options, usual).map_err(told)?;
        let replacement = Replacement {
            class: args.class.clone(),
            evidence,
            locked: self.locked,
            max_fuse: self.max_fuse,
        };
        let found = suits(circuit, id, &replacement, &rig, args.seed).map_err(told)?;
        let mut document = suits_document(&found);
        if let Some(line) = &loaded.about {
            let about = document.about_line().unwrap_or_default().to_owned();
            document.about(format!("{line}; {about}"));
        }
        let answer = Answer {
            command: "interpret",
            document,
            body: body(&found),
            text: Some(loaded.text),
            findings: found.findings,
            assumed: found.assumed,
            sources: found.sources,
        };
        Ok(answer.into())
    }
}

fn body(found: &Suits) -> Object {
    Object::new()
        .text("part", &found.part)
        .text("replacement", &found.replacement)
        .text("statement", &found.statement)
        .text("verdict", found.verdict.word())
        .texts("fuses", &found.fuses)
        .objects("checks", found.checks.iter().map(held))
}

fn held(held: &Held) -> Object {
    let mut object = Object::new()
        .text("check", held.check)
        .text("verdict", held.verdict.word())
        .text("statement", &held.sentence);
    for (key, value) in &held.figures {
        object = object.number_or_null(key, *value);
    }
    object.objects("sources", held.sources.iter().map(source))
}
