//! A tracing as a conversation: one question at a time.
//!
//! The log is written after every answer, so that nothing is lost; a log that
//! is there already is gone on with. Words: `skip`, `back`, `why`, `other`,
//! `quit`.

use super::trace_spots::Spots;
use super::{Failure, save, trace_log, trace_write};
use crate::circuit::Circuit;
use crate::present::{Look, terminal};
use crate::quantities::{Amps, Band, Ohms, Volts, parse_band};
use crate::span::CircuitText;
use crate::tracing::{Answer, Evidence, Probe, Quantity, Tracer, trace_document};
use std::io::{self, BufRead, Write};
use std::path::Path;

/// What a person typed.
pub(super) enum Said {
    /// Something to understand.
    Text(String),
    Skip,
    Back,
    Why,
    Other,
    Quit,
}

/// A conversation about one circuit.
pub(super) struct Talk<'c, 'io> {
    pub(super) circuit: &'c Circuit,
    pub(super) spots: Spots<'c>,
    input: &'io mut dyn BufRead,
    output: &'io mut dyn Write,
    log: &'io Path,
    look: Look,
}

/// How a conversation ended, or did not.
type Talking<T> = Result<T, Failure>;

impl<'c, 'io> Talk<'c, 'io> {
    pub(super) fn new(
        circuit: &'c Circuit,
        input: &'io mut dyn BufRead,
        output: &'io mut dyn Write,
        log: &'io Path,
        look: Look,
    ) -> Self {
        Self {
            circuit,
            spots: Spots::of(circuit),
            input,
            output,
            log,
            look,
        }
    }

    /// Asks until the fault is found, or the person leaves.
    pub(super) fn run(&mut self, start: Option<Evidence>) -> Talking<()> {
        self.say("Answer with a number or a figure; `skip`, `back`, `why`, `other` and `quit` work at every question.")?;
        let mut history: Vec<Evidence> = Vec::new();
        let evidence = match start {
            Some(evidence) => evidence,
            None => match self.resumed()? {
                Some(evidence) => evidence,
                None => match self.opening(&mut history)? {
                    Some(evidence) => evidence,
                    None => return Ok(()),
                },
            },
        };
        self.keep(&evidence)?;
        self.search(evidence, history)
    }

    pub(super) fn say(&mut self, text: &str) -> Talking<()> {
        writeln!(self.output, "{text}").map_err(Failure::Output)?;
        self.output.flush().map_err(Failure::Output)
    }

    fn ask(&mut self, question: &str) -> Talking<Said> {
        write!(self.output, "{question}\n> ").map_err(Failure::Output)?;
        self.output.flush().map_err(Failure::Output)?;
        let mut line = String::new();
        let read = self.input.read_line(&mut line).map_err(Failure::Output)?;
        if read == 0 {
            return Ok(Said::Quit);
        }
        let text = line.trim();
        Ok(match text.to_lowercase().as_str() {
            "skip" | "" => Said::Skip,
            "back" => Said::Back,
            "why" => Said::Why,
            "other" => Said::Other,
            "quit" | "q" | "exit" => Said::Quit,
            _ => Said::Text(text.to_owned()),
        })
    }

    /// A log that is there already.
    fn resumed(&mut self) -> Talking<Option<Evidence>> {
        let Ok(text) = std::fs::read_to_string(self.log) else {
            return Ok(None);
        };
        let text = CircuitText::new(self.log.display().to_string(), text);
        let evidence = trace_log::read(&text, self.circuit)
            .map_err(|findings| Failure::Mistakes { text, findings })?;
        self.say(&format!("going on with `{}`", self.log.display()))?;
        Ok(Some(evidence))
    }

    pub(super) fn keep(&self, evidence: &Evidence) -> Talking<()> {
        let text = trace_write::text(self.circuit, evidence);
        save::save(self.log, &text, true)
    }

    /// One of a list by number or name.
    pub(super) fn choose(
        &mut self,
        question: &str,
        all: &[String],
    ) -> Talking<Result<usize, Said>> {
        let lines = all.iter().enumerate();
        let lines: Vec<String> = lines
            .map(|(at, one)| format!("  {} {one}", at + 1))
            .collect();
        loop {
            let said = self.ask(&format!("\n{question}\n{}", lines.join("\n")))?;
            let Said::Text(text) = said else {
                return Ok(Err(said));
            };
            let number = text.parse::<usize>().ok();
            let by_number = number.filter(|n| (1..=all.len()).contains(n));
            let by_name = all.iter().position(|one| *one == text);
            match by_number.map(|n| n - 1).or(by_name) {
                Some(at) => return Ok(Ok(at)),
                None => self.say(&format!("a number from 1 to {}, or `skip`", all.len()))?,
            }
        }
    }

    /// Several of a list: numbers with spaces or commas between.
    pub(super) fn several(
        &mut self,
        question: &str,
        all: &[String],
    ) -> Talking<Result<Vec<usize>, Said>> {
        let lines = all.iter().enumerate();
        let lines: Vec<String> = lines
            .map(|(at, one)| format!("  {} {one}", at + 1))
            .collect();
        loop {
            let said = self.ask(&format!(
                "\n{question} (several with spaces)\n{}",
                lines.join("\n")
            ))?;
            let Said::Text(text) = said else {
                return Ok(Err(said));
            };
            let words = text.split([' ', ',']).filter(|word| !word.is_empty());
            let found: Option<Vec<usize>> = words
                .map(|word| {
                    let number = word.parse::<usize>().ok();
                    let number = number.filter(|n| (1..=all.len()).contains(n));
                    number
                        .map(|n| n - 1)
                        .or_else(|| all.iter().position(|one| one == word))
                })
                .collect();
            match found {
                Some(found) => return Ok(Ok(found)),
                None => self.say(&format!("numbers from 1 to {}, or `skip`", all.len()))?,
            }
        }
    }

    /// Test after test.
    fn search(&mut self, mut evidence: Evidence, mut history: Vec<Evidence>) -> Talking<()> {
        let refused = |why: crate::tracing::TraceError| Failure::Unsolved(why.to_string());
        let mut tracer = Tracer::new(self.circuit, evidence.complaint, &[]).map_err(refused)?;
        let mut alternative = 0;
        let mut answer = tracer.answer(&evidence).map_err(refused)?;
        self.warn(&answer)?;
        loop {
            self.show(&answer)?;
            if answer
                .causes
                .first()
                .is_some_and(|first| first.probability >= FOUND)
                || answer.next_tests.is_empty()
            {
                self.say(&answer.stop)?;
                return self.say(&format!("the log is `{}`", self.log.display()));
            }
            let next = &answer.next_tests[alternative % answer.next_tests.len()];
            let before = evidence.clone();
            let said = self.result(&mut evidence, next)?;
            match said {
                None => {
                    history.push(before);
                    alternative = 0;
                    self.keep(&evidence)?;
                }
                Some(Said::Quit) => {
                    return self.say(&format!("the log is `{}`", self.log.display()));
                }
                Some(Said::Back) => {
                    if let Some(earlier) = history.pop() {
                        evidence = earlier;
                        self.keep(&evidence)?;
                    } else {
                        self.say("there is nothing before this")?;
                    }
                    if evidence.complaint != before.complaint {
                        tracer =
                            Tracer::new(self.circuit, evidence.complaint, &[]).map_err(refused)?;
                    }
                }
                Some(Said::Why) => {
                    let page = terminal::render(&trace_document(&answer), None, &self.look);
                    self.say(&page)?;
                }
                _ => alternative += 1,
            }
            answer = tracer.answer(&evidence).map_err(refused)?;
        }
    }

    /// Cautions of the whole job, once, before anything is to be done.
    fn warn(&mut self, answer: &Answer) -> Talking<()> {
        self.say("\nCAUTION")?;
        for caution in &answer.cautions {
            self.say(&format!("  ! {}", caution.text))?;
        }
        Ok(())
    }

    fn show(&mut self, answer: &Answer) -> Talking<()> {
        self.say(&format!("\n{}", answer.statement))?;
        for cause in answer.causes.iter().take(SHOWN) {
            let odds = crate::quantities::print::percent(cause.probability);
            self.say(&format!("  {odds:>6}  {}", cause.text))?;
        }
        Ok(())
    }

    /// Asks for the result of a test; what was said where it was none.
    fn result(
        &mut self,
        evidence: &mut Evidence,
        next: &crate::tracing::NextTest,
    ) -> Talking<Option<Said>> {
        for caution in &next.cautions {
            self.say(&format!("  ! {}", caution.text))?;
        }
        let question = format!(
            "Next: {} ({:.0} min; {})",
            next.how, next.minutes, next.tools
        );
        match &next.probe {
            Probe::Trial(trial) => {
                let mut words: Vec<String> = Vec::new();
                for word in trial.test.outcomes() {
                    words.push((*word).to_owned());
                }
                match self.choose(&question, &words)? {
                    Ok(at) => {
                        next.probe.with_outcome(evidence, &words[at]);
                        Ok(None)
                    }
                    Err(said) => Ok(Some(said)),
                }
            }
            Probe::Reading(figure) => loop {
                let said = self.ask(&format!("\n{question}: what does the meter show?"))?;
                let Said::Text(text) = said else {
                    return Ok(Some(said));
                };
                match value(figure.quantity, &text) {
                    Ok(band) => {
                        next.probe.with_value(evidence, band);
                        return Ok(None);
                    }
                    Err(hint) => self.say(&hint)?,
                }
            },
        }
    }
}

/// Odds at which the search ends.
const FOUND: f64 = 0.9;
/// Causes shown after each answer.
const SHOWN: usize = 4;

/// A figure with its unit; the usual unit where none is given.
fn value(quantity: Quantity, text: &str) -> Result<Band<f64>, String> {
    let bare = text.parse::<f64>().is_ok();
    let with = |unit: &str| {
        if bare {
            format!("{text} {unit}")
        } else {
            text.to_owned()
        }
    };
    let told = |why: crate::quantities::QuantityError| why.to_string();
    if quantity == Quantity::Ohms && ["open", "OL", "ol"].contains(&text) {
        return Ok(Band::exactly(Ohms::new(1e7)).si());
    }
    match quantity {
        Quantity::Volts => parse_band::<Volts>(&with("V"))
            .map(|band| band.si())
            .map_err(told),
        Quantity::Millivolts => parse_band::<Volts>(&with("mV"))
            .map(|band| band.si())
            .map_err(told),
        Quantity::Amps => parse_band::<Amps>(&with("A"))
            .map(|band| band.si())
            .map_err(told),
        _ => parse_band::<Ohms>(&with("ohm"))
            .map(|band| band.si())
            .map_err(told),
    }
}

/// Standard input and output of a terminal.
pub(super) fn on_terminal(
    circuit: &Circuit,
    log: &Path,
    look: Look,
    start: Option<Evidence>,
) -> Talking<()> {
    let mut input = io::stdin().lock();
    let mut output = io::stdout().lock();
    Talk::new(circuit, &mut input, &mut output, log, look).run(start)
}
