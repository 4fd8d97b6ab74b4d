//! All parts of the file by name, and what a reference to one means.

use super::codes;
use super::draft::Draft;
use super::nearest::{listed, nearest};
use super::sink::Sink;
use super::value::Named;
use crate::circuit::{PartId, PartKind, TerminalId};
use crate::findings::{Code, Finding};
use std::collections::{BTreeMap, BTreeSet};

/// Which half of a pin a reference means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Half {
    /// The half whose wires are written `to` the pin.
    To,
    /// The half whose wires are written `from` it.
    From,
}

/// Every part, sorted by name.
#[derive(Debug, Default)]
pub(super) struct Roster {
    /// The parts.
    pub(super) parts: Vec<Draft>,
    /// Index of each part's first terminal.
    pub(super) first: Vec<usize>,
    index: BTreeMap<String, usize>,
    /// Names that stand in the file but for no one part that could be read;
    /// what refers to them is not reported again.
    ghosts: BTreeSet<String>,
}

/// Why a reference means nothing: the finding, and the text that may be meant.
struct Refusal {
    code: Code,
    statement: String,
    hint: String,
    guess: Option<String>,
}

impl Roster {
    /// Takes the parts, already unique by name.
    pub(super) fn new(mut parts: Vec<Draft>, ghosts: BTreeSet<String>) -> Self {
        parts.sort_by(|a, b| a.name.text.cmp(&b.name.text));
        let index = parts
            .iter()
            .enumerate()
            .map(|(i, part)| (part.name.text.clone(), i))
            .collect();
        let mut first = Vec::with_capacity(parts.len());
        let mut next = 0;
        for part in &parts {
            first.push(next);
            next += part.ports.len();
        }
        Self {
            parts,
            first,
            index,
            ghosts,
        }
    }

    /// A part by its name.
    pub(super) fn find(&self, name: &str) -> Option<PartId> {
        self.index.get(name).copied().map(PartId)
    }

    /// The draft of a part.
    pub(super) fn draft(&self, part: PartId) -> &Draft {
        &self.parts[part.0]
    }

    /// A terminal of a part by its index.
    pub(super) fn terminal(&self, part: PartId, port: usize) -> TerminalId {
        TerminalId(self.first[part.0] + port)
    }

    /// The part a terminal belongs to, and its index there.
    pub(super) fn owner(&self, terminal: TerminalId) -> (PartId, usize) {
        let part = self.first.partition_point(|&first| first <= terminal.0) - 1;
        // Parts without terminals share their neighbour's first index.
        (PartId(part), terminal.0 - self.first[part])
    }

    /// How a terminal is called.
    pub(super) fn label(&self, terminal: TerminalId) -> &str {
        let (part, port) = self.owner(terminal);
        &self.parts[part.0].ports[port].label
    }

    /// Count of all terminals.
    pub(super) fn terminal_count(&self) -> usize {
        self.parts.iter().map(|part| part.ports.len()).sum()
    }

    /// Whether a name is known to stand for something unreadable.
    pub(super) fn is_ghost(&self, name: &str) -> bool {
        self.ghosts.contains(name)
    }

    /// The part a text names, or the one that is likely meant; what is wrong
    /// is reported.
    pub(super) fn part(&self, out: &mut Sink, name: &Named) -> Option<PartId> {
        if let Some(part) = self.find(&name.text) {
            return Some(part);
        }
        if self.is_ghost(&name.text) {
            return None;
        }
        let refusal = self.unknown_part(&name.text, "");
        let guess = refusal.guess.clone();
        out.push(report(refusal, name));
        guess.and_then(|guess| self.find(&guess))
    }

    /// The terminal a text names, or the one that is likely meant; what is
    /// wrong is reported.
    pub(super) fn reference(&self, out: &mut Sink, name: &Named, half: Half) -> Option<TerminalId> {
        let mut text = name.text.clone();
        // A guess may need a second one: both part and terminal misspelt.
        for _ in 0..3 {
            if self.is_ghost(text.split('.').next().unwrap_or_default()) {
                return None;
            }
            match self.lookup(&text, half) {
                Ok(terminal) => return Some(terminal),
                Err(refusal) => {
                    let guess = refusal.guess.clone();
                    out.push(report(refusal, name));
                    text = guess?;
                }
            }
        }
        None
    }

    fn lookup(&self, text: &str, half: Half) -> Result<TerminalId, Refusal> {
        let (part_name, port_name) = match text.split_once('.') {
            Some((part, port)) => (part, Some(port)),
            None => (text, None),
        };
        let Some(part) = self.find(part_name) else {
            return Err(self.unknown_part(part_name, port_name.unwrap_or_default()));
        };
        let draft = self.draft(part);
        match (draft.kind, port_name) {
            (PartKind::Stud, None) => Ok(self.terminal(part, 0)),
            (PartKind::Stud, Some(port)) => Err(Refusal {
                code: codes::STUD_TERMINAL,
                statement: format!("the stud `{part_name}` has no terminal `{}`", short(port)),
                hint: format!("a stud is one joint: write `{part_name}`"),
                guess: Some(part_name.to_owned()),
            }),
            (_, None) => Err(terminal_needed(draft)),
            (kind, Some(port)) => match draft.port(port) {
                Some(at) if kind == PartKind::Plug && half == Half::From => {
                    Ok(self.terminal(part, at + 1))
                }
                Some(at) => Ok(self.terminal(part, at)),
                None => Err(unknown_terminal(draft, port)),
            },
        }
    }

    fn unknown_part(&self, name: &str, port: &str) -> Refusal {
        let names: Vec<&str> = self
            .parts
            .iter()
            .map(|part| part.name.text.as_str())
            .collect();
        let near = nearest(name, names.iter().copied());
        let tail = if port.is_empty() {
            String::new()
        } else {
            format!(".{port}")
        };
        let hint = match near {
            Some(near) => format!(
                "did you mean `{near}{tail}`? parts: {}",
                listed(names.iter().copied())
            ),
            None if names.is_empty() => "the file describes no parts yet".to_owned(),
            None => format!(
                "add a part of that name, or use one of these: {}",
                listed(names.iter().copied())
            ),
        };
        Refusal {
            code: codes::UNKNOWN_PART,
            statement: format!("there is no part `{}`", short(name)),
            hint,
            guess: near.map(|near| format!("{near}{tail}")),
        }
    }
}

fn report(refusal: Refusal, name: &Named) -> Finding {
    Finding::new(refusal.code, "", refusal.statement)
        .with_label(name.span, "")
        .with_hint(refusal.hint)
}

/// A text cut to what a message can show.
pub(super) fn short(text: &str) -> String {
    text.chars().take(60).collect()
}

/// A bare name where a terminal is needed.
fn terminal_needed(draft: &Draft) -> Refusal {
    let name = &draft.name.text;
    let full: Vec<String> = draft
        .port_words()
        .iter()
        .map(|port| format!("{name}.{port}"))
        .collect();
    Refusal {
        code: codes::TERMINAL_NEEDED,
        statement: format!(
            "`{name}` is a {} with more than one terminal",
            draft.kind.word()
        ),
        hint: format!("say which: {}", listed(full.iter().map(String::as_str))),
        guess: None,
    }
}

fn unknown_terminal(draft: &Draft, port: &str) -> Refusal {
    let name = &draft.name.text;
    let words = draft.port_words();
    let near = nearest(port, words.iter().copied());
    let all = format!("terminals of `{name}`: {}", listed(words.iter().copied()));
    Refusal {
        code: codes::UNKNOWN_TERMINAL,
        statement: format!("`{name}` has no terminal `{}`", short(port)),
        hint: near.map_or(all.clone(), |near| {
            format!("did you mean `{name}.{near}`? {all}")
        }),
        guess: near.map(|near| format!("{name}.{near}")),
    }
}

/// The finding for a part of three or more terminals named without one.
pub(super) fn needs_terminal(draft: &Draft, name: &Named) -> Finding {
    report(terminal_needed(draft), name)
}
