//! Options on how results look, and the two streams they go to.

use crate::present::Look;
use anstream::{AutoStream, ColorChoice};
use clap::ValueEnum;
use std::io::{self, BufWriter, ErrorKind, IsTerminal, Write};

const HEADING: &str = "Output";
/// Lines longer than this are hard to read.
const WIDEST: usize = 100;
const PIPED: usize = 80;

/// Options every command takes, before or after its name.
#[derive(Debug, Clone, clap::Args)]
pub struct OutputArgs {
    /// Print one JSON object instead of text
    #[arg(long, global = true, help_heading = HEADING)]
    pub json: bool,
    /// Print Markdown instead of text
    #[arg(long, global = true, help_heading = HEADING, conflicts_with = "json")]
    pub markdown: bool,
    /// Use colour; auto heeds `NO_COLOR` and pipes
    #[arg(
        long,
        alias = "colour",
        global = true,
        help_heading = HEADING,
        value_name = "WHEN",
        default_value = "auto"
    )]
    pub color: When,
    /// Keep to ASCII: no box drawing, no degree signs
    #[arg(long, global = true, help_heading = HEADING)]
    pub ascii: bool,
    /// Columns to fill; the terminal's, at most 100, or 80 in a pipe
    #[arg(
        long,
        global = true,
        help_heading = HEADING,
        value_name = "COLUMNS",
        value_parser = clap::value_parser!(u16).range(40..=400)
    )]
    pub width: Option<u16>,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// Where the stream can show it and the environment does not object.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl OutputArgs {
    /// How results look on standard output.
    pub fn result_look(&self) -> Look {
        let stream = io::stdout();
        let colour = AutoStream::choice(&stream) != ColorChoice::Never;
        self.look(colour, stream.is_terminal())
    }

    /// How talk looks on standard error.
    pub fn talk_look(&self) -> Look {
        let stream = io::stderr();
        let colour = AutoStream::choice(&stream) != ColorChoice::Never;
        self.look(colour, stream.is_terminal())
    }

    fn look(&self, auto_colour: bool, is_terminal: bool) -> Look {
        Look {
            width: self.width.map_or_else(|| width(is_terminal), usize::from),
            colour: match self.color {
                When::Auto => auto_colour,
                When::Always => true,
                When::Never => false,
            },
            ascii: self.ascii,
        }
    }
}

fn width(is_terminal: bool) -> usize {
    if !is_terminal {
        return PIPED;
    }
    terminal_size::terminal_size().map_or(PIPED, |(columns, _)| {
        usize::from(columns.0).clamp(40, WIDEST)
    })
}

/// Writes a result to standard output; a reader that went away ends it quietly.
///
/// # Errors
/// Any other failure to write.
pub fn print(text: &str, look: &Look) -> io::Result<()> {
    let stream = io::stdout().lock();
    write(AutoStream::new(stream, choice(look)), text)
}

/// Writes talk to standard error; if even that fails there is nobody to tell.
pub fn talk(text: &str, look: &Look) {
    let stream = io::stderr().lock();
    drop(write(AutoStream::new(stream, choice(look)), text));
}

fn choice(look: &Look) -> ColorChoice {
    if look.colour {
        ColorChoice::Always
    } else {
        ColorChoice::Never
    }
}

fn write(stream: impl Write, text: &str) -> io::Result<()> {
    let mut writer = BufWriter::new(stream);
    let written = writer
        .write_all(text.as_bytes())
        .and_then(|()| writer.flush());
    match written {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}
