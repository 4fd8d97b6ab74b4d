//! What a subcommand hands back, and how it reaches standard output.

use super::{Failure, OutputArgs, output};
use crate::document::Document;
use crate::findings::{Assumed, Finding, Severity};
use crate::present::findings::{sorted, summary, worst};
use crate::present::json::{self, Object};
use crate::present::{Look, markdown, terminal};
use crate::sources::Source;
use crate::span::CircuitText;

/// What a subcommand replies.
#[derive(Debug)]
pub enum Reply {
    /// An answer, shown as text or JSON.
    Answer(Box<Answer>),
    /// Text that is the result as it stands: a schema, a completion script.
    Text(String),
    /// Text that stands for itself, with the exit status its findings ask for.
    Judged(String, u8),
}

/// An answer in both forms. Findings, assumptions and sources are added to
/// both by [`Reply::show`]; the study leaves them out of document and body.
#[derive(Debug, Default)]
pub struct Answer {
    /// The command's name.
    pub command: &'static str,
    /// The answer for people; its cautions and first line enter the JSON too.
    pub document: Document,
    /// The command's own JSON keys.
    pub body: Object,
    /// The circuit file, if one was read.
    pub text: Option<CircuitText>,
    /// What was found; decides the exit status.
    pub findings: Vec<Finding>,
    /// Defaults that entered the result.
    pub assumed: Vec<Assumed>,
    /// Citations of the result.
    pub sources: Vec<Source>,
}

impl From<Answer> for Reply {
    fn from(answer: Answer) -> Self {
        Self::Answer(Box::new(answer))
    }
}

impl Reply {
    /// Shows the reply and returns the exit status.
    ///
    /// # Errors
    /// A number JSON cannot carry, or standard output that cannot be written.
    pub fn show(self, options: &OutputArgs) -> Result<u8, Failure> {
        let look = options.result_look();
        let (text, status) = match self {
            Self::Text(text) => (text, 0),
            Self::Judged(text, status) => (text, status),
            Self::Answer(answer) => {
                let status = status(&answer.findings);
                let text = if options.json {
                    answer.into_json()?
                } else if options.markdown {
                    answer.into_markdown()
                } else {
                    answer.into_text(&look)
                };
                (text, status)
            }
        };
        output::print(&text, &look).map_err(Failure::Output)?;
        Ok(status)
    }
}

impl Answer {
    fn into_json(self) -> Result<String, Failure> {
        let common = json::Envelope {
            command: self.command,
            about: self.document.about_line(),
            cautions: self.document.cautions(),
            findings: &self.findings,
            text: self.text.as_ref(),
            assumed: &self.assumed,
            sources: &self.sources,
        };
        Ok(json::envelope(&common, self.body)?)
    }

    fn into_text(self, look: &Look) -> String {
        let (document, text) = self.whole();
        terminal::render(&document, text.as_ref(), look)
    }

    fn into_markdown(self) -> String {
        let (document, text) = self.whole();
        markdown::render(&document, text.as_ref())
    }

    /// The document with findings, assumptions and sources at its end.
    fn whole(self) -> (Document, Option<CircuitText>) {
        let mut document = self.document;
        let last = closing(&self.findings);
        document
            .findings(self.findings)
            .assumed(self.assumed)
            .sources(self.sources);
        if let Some(last) = last {
            document.answer(last);
        }
        (document, self.text)
    }
}

/// The last line, where the eye rests when the output has scrolled by.
fn closing(findings: &[Finding]) -> Option<String> {
    let first = *sorted(findings).first()?;
    Some(format!(
        "{}; `ampkeel explain {}` says more",
        summary(findings),
        first.code.name()
    ))
}

/// 0 no violation, 1 at least one violation, 2 the file cannot be understood.
pub fn status(findings: &[Finding]) -> u8 {
    match worst(findings) {
        Some(Severity::Mistake) => 2,
        Some(Severity::Violation) => 1,
        Some(Severity::Caution | Severity::Note) | None => 0,
    }
}
