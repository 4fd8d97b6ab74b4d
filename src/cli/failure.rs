//! Why a command could not run. All of them end with exit status 2.

use super::{Answer, OutputArgs, Reply, nearest, output};
use crate::document::Document;
use crate::findings::Finding;
use crate::present::json::{NotFinite, Object};
use crate::present::{Look, Meaning, terminal};
use crate::span::CircuitText;
use std::io::{self, ErrorKind};
use std::path::PathBuf;

/// Exit status of everything that could not run.
const COULD_NOT_RUN: u8 = 2;

/// Why a command could not run.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// A file that cannot be read.
    #[error("cannot read `{}`: {}", path.display(), in_words(reason))]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: io::Error,
    },
    /// A file that is no text.
    #[error("`{name}` is no UTF-8 text: byte {byte} does not fit; save it as UTF-8")]
    NotText {
        /// The file.
        name: String,
        /// The first byte that does not fit, counted from 1.
        byte: usize,
    },
    /// `-` was given but nothing is piped in.
    #[error(
        "`-` reads the circuit from a pipe, but this is a terminal; \
         give a file, or `--example` for the built-in circuit"
    )]
    NothingPiped,
    /// A name that is not known.
    #[error("{what} `{given}` is not known{}; {list}", suggested(nearest.as_deref()))]
    Unknown {
        /// What kind of name: `code`, `table`, `kind of boat`.
        what: &'static str,
        /// What was given.
        given: String,
        /// The nearest known name.
        nearest: Option<String>,
        /// Where all names are listed: "`ampkeel explain` lists all codes".
        list: String,
    },
    /// The circuit file has mistakes, so the question cannot be answered.
    #[error("the circuit file has mistakes")]
    Mistakes {
        /// The circuit file.
        text: CircuitText,
        /// All findings of the reading.
        findings: Vec<Finding>,
    },
    /// The circuit is sound but cannot be solved.
    #[error("cannot be solved: {0}")]
    Unsolved(String),
    /// A question outside what can be answered; says what can.
    #[error("{0}")]
    Refused(String),
    /// A result that JSON cannot carry.
    #[error(transparent)]
    NotFinite(#[from] NotFinite),
    /// An output file that is already there.
    #[error("`{}` is already there; `--force` replaces it", path.display())]
    AlreadyThere {
        /// The file.
        path: PathBuf,
    },
    /// An output file that cannot be written.
    #[error("cannot write `{}`: {}", path.display(), in_words(reason))]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: io::Error,
    },
    /// Standard output that cannot be written.
    #[error("cannot write the result: {0}")]
    Output(io::Error),
}

/// What the system says, without its error number.
pub(super) fn in_words(reason: &io::Error) -> String {
    match reason.kind() {
        ErrorKind::NotFound => "there is no such file".to_owned(),
        ErrorKind::PermissionDenied => "permission denied".to_owned(),
        ErrorKind::IsADirectory => "it is a directory".to_owned(),
        _ => reason.to_string(),
    }
}

fn suggested(nearest: Option<&str>) -> String {
    nearest.map_or_else(String::new, |near| format!(", did you mean `{near}`?"))
}

impl Failure {
    /// A name that is none of `known`; `list` says where all are listed.
    pub fn unknown<'a>(
        what: &'static str,
        given: &str,
        known: impl IntoIterator<Item = &'a str>,
        list: impl Into<String>,
    ) -> Self {
        Self::Unknown {
            what,
            given: given.to_owned(),
            nearest: nearest(given, known).map(str::to_owned),
            list: list.into(),
        }
    }

    /// Says why, on standard error, and returns the exit status. Mistakes in
    /// the file are the result itself where JSON was asked for.
    pub(super) fn show(self, command: &'static str, options: &OutputArgs) -> u8 {
        match self {
            Self::Mistakes { text, findings } => mistakes(command, text, findings, options),
            other => {
                let words = other.to_string();
                if options.json {
                    refusal(command, &words, options);
                }
                say(&words, &options.talk_look());
                COULD_NOT_RUN
            }
        }
    }
}

/// The refusal for machines: the common keys and why.
fn refusal(command: &'static str, why: &str, options: &OutputArgs) {
    let answer = Answer {
        command,
        body: Object::new().text("error", why),
        ..Answer::default()
    };
    if let Err(failure) = Reply::from(answer).show(options) {
        say(&failure.to_string(), &options.talk_look());
    }
}

fn mistakes(
    command: &'static str,
    text: CircuitText,
    findings: Vec<Finding>,
    options: &OutputArgs,
) -> u8 {
    let look = options.talk_look();
    if options.json {
        let answer = Answer {
            command,
            text: Some(text),
            findings,
            ..Answer::default()
        };
        if let Err(failure) = Reply::from(answer).show(options) {
            say(&failure.to_string(), &look);
        }
        return COULD_NOT_RUN;
    }
    let mut document = Document::new();
    document.findings(findings);
    output::talk(&terminal::render(&document, Some(&text), &look), &look);
    say(
        &format!("`{command}` needs a file without mistakes; mend the marked places first"),
        &look,
    );
    COULD_NOT_RUN
}

fn say(words: &str, look: &Look) {
    let word = look.paint(Meaning::Bad, "error:");
    output::talk(&format!("{word} {}\n", look.text(words)), look);
}
