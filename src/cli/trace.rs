//! `trace`: why a fuse keeps opening, why a load is dead or weak.

use super::builtin::typical;
use super::output::talk;
use super::trace_sharpen::sharpening;
use super::trace_spots::Spots;
use super::{Answer, CircuitArgs, Failure, Loaded, OutputArgs, Reply, trace_log, trace_talk};
use crate::present::json::Object;
use crate::quantities::{Seconds, parse_band};
use crate::span::CircuitText;
use crate::tracing::{
    self, Before, Cause, CauseOdds, Complaint, Element, Evidence, NextTest, OutcomeView, When,
    trace_document, with_rest,
};
use std::io::{self, IsTerminal};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  ampkeel trace boat.toml --fuse main --state start
  ampkeel trace boat.toml --load bilge-pump --works cabin-light
  ampkeel trace boat.toml                 (asks, one question after the other)
  ampkeel trace boat.toml --log what-i-saw.toml
  ampkeel trace --typical \"injected outboard\" --fuse main --state key-on --element soot
  ampkeel trace boat.toml --drain
  ampkeel trace boat.toml --reversed --dead engine-control

States, parts, fuses and wires are named as in the file. Everything seen makes
the answer sharper; nothing is needed but the complaint.";

/// Trace a fault: causes with odds, and the next test that tells most
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    circuit: CircuitArgs,
    /// A fuse or breaker that opens (a block's as BLOCK.SLOT)
    #[arg(long, value_name = "NAME")]
    fuse: Option<String>,
    /// A load that is dead; repeat for several
    #[arg(long, value_name = "PART")]
    load: Vec<String>,
    /// A load that is weak
    #[arg(long, value_name = "PART", conflicts_with = "load")]
    weak: Vec<String>,
    /// The battery drains
    #[arg(long)]
    drain: bool,
    /// The battery was connected backwards
    #[arg(long)]
    reversed: bool,
    /// Evidence from a TOML log
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Own weights of the causes: a TOML file with lines like `locked-motor = 4`
    #[arg(long, value_name = "FILE")]
    priors: Option<PathBuf>,
    /// Ask one question after the other; the default on a terminal where no
    /// complaint is given
    #[arg(long)]
    ask: bool,
    /// Where a conversation keeps its log; a log that is there is gone on with
    #[arg(long, value_name = "FILE", default_value = "trace-log.toml")]
    keep: PathBuf,
    /// State of the file in which it shows; repeat for several
    #[arg(long, value_name = "STATE")]
    state: Vec<String>,
    /// State in which it does not show
    #[arg(long, value_name = "STATE")]
    fine: Vec<String>,
    /// What goes with it: moving, wet, hot, random, high-speed, ...
    #[arg(long, value_name = "WORD", value_parser = when)]
    when: Vec<When>,
    /// What went before: storage, work, reversal
    #[arg(long, value_name = "WORD", value_parser = before)]
    after: Vec<Before>,
    /// How long the fuse lasted
    #[arg(long, value_name = "TIME", value_parser = seconds)]
    opens_after: Option<crate::quantities::Band<Seconds>>,
    /// How its element looks: clean-gap, soot, vanished, cracked, whole, melted-body, ...
    #[arg(long, value_name = "WORD", value_parser = element)]
    element: Option<Element>,
    /// What else is dead
    #[arg(long, value_name = "PART")]
    dead: Vec<String>,
    /// What still works
    #[arg(long, value_name = "PART")]
    works: Vec<String>,
    /// What was last worked on: a part or `FROM to TO`
    #[arg(long, value_name = "PLACE")]
    altered: Vec<String>,
}

/// What is said of a state of rest that the file does not have.
const AT_REST: &str = "The file has no state `off`: it is taken with every switch open that is open in some state, every selector where it joins least, and nothing charging. A state `off` of your own says better what stays on.";

fn word<T: Copy>(text: &str, all: &[(T, &'static str)]) -> Result<T, String> {
    let found = all.iter().find(|(_, word)| *word == text);
    found.map(|(one, _)| *one).ok_or_else(|| {
        let all: Vec<&str> = all.iter().map(|(_, word)| *word).collect();
        format!("it is one of {}", all.join(", "))
    })
}

fn when(text: &str) -> Result<When, String> {
    word(text, When::ALL)
}

fn before(text: &str) -> Result<Before, String> {
    word(text, Before::ALL)
}

fn element(text: &str) -> Result<Element, String> {
    word(text, Element::ALL)
}

fn seconds(text: &str) -> Result<crate::quantities::Band<Seconds>, String> {
    parse_band(text).map_err(|why| why.to_string())
}

impl Args {
    pub(super) fn run(&self, output: &OutputArgs) -> Result<Reply, Failure> {
        let mut loaded = self.circuit.load()?;
        let own_states = loaded.circuit.states.len();
        loaded.circuit = with_rest(loaded.circuit);
        if self.converses(output) {
            let start = if self.is_told() {
                Some(self.evidence(&loaded)?)
            } else {
                None
            };
            let look = output.result_look();
            if let Some(about) = &loaded.about {
                talk(&format!("{about}\n\n"), &output.talk_look());
            }
            trace_talk::on_terminal(&loaded.circuit, &self.keep, look, start)?;
            return Ok(Reply::Text(String::new()));
        }
        let evidence = self.evidence(&loaded)?;
        // Whoever neither asks for a drain nor speaks of it needs no state of rest.
        let is_taken = loaded.circuit.states.len() > own_states;
        let is_asked = evidence.complaint == Complaint::Drain || evidence.names(own_states);
        if is_taken && !is_asked {
            loaded.circuit.states.truncate(own_states);
        }
        let found = tracing::trace(&loaded.circuit, &evidence, &self.weights()?)
            .map_err(|why| Failure::Unsolved(why.to_string()))?;
        let mut document = trace_document(&found);
        if is_taken && is_asked {
            document.paragraph(AT_REST.to_owned());
        }
        let mut body = body(&found);
        if let Some(boat) = self.circuit.typical.as_deref().and_then(typical) {
            let sharper = sharpening(&loaded.circuit, &found);
            document.about(sharper.about(boat.kind));
            document.heading("what writing down would sharpen");
            document.bullets(sharper.in_words());
            body = body.object("sharpen", sharper.object());
        } else if let Some(line) = loaded.about {
            document.about(line);
        }
        let answer = Answer {
            command: "trace",
            document,
            body,
            text: Some(loaded.text),
            assumed: found.assumed,
            ..Answer::default()
        };
        Ok(answer.into())
    }

    fn evidence(&self, loaded: &Loaded) -> Result<Evidence, Failure> {
        let circuit = &loaded.circuit;
        let spots = Spots::of(circuit);
        let mut evidence = match &self.log {
            Some(path) => {
                let text = std::fs::read_to_string(path).map_err(|reason| Failure::Unreadable {
                    path: path.clone(),
                    reason,
                })?;
                let text = CircuitText::new(path.display().to_string(), text);
                trace_log::read(&text, circuit)
                    .map_err(|findings| Failure::Mistakes { text, findings })?
            }
            None => Evidence::of(self.complaint()?),
        };
        let told = |hint: String| Failure::Refused(hint);
        let named = |what: &str, name: &str, hint: String| {
            told(format!("the circuit has no {what} `{name}`; {hint}"))
        };
        if let Some(name) = &self.fuse {
            let fuse = spots.fuse(name).map_err(|hint| named("fuse", name, hint))?;
            evidence.fuse = Some(fuse);
        }
        for name in self.load.iter().chain(&self.weak) {
            let part = spots.part(name).map_err(|hint| named("part", name, hint))?;
            evidence.loads.push(part);
        }
        for (names, list) in [
            (&self.dead, &mut evidence.dead),
            (&self.works, &mut evidence.works),
        ] {
            for name in names {
                list.push(spots.part(name).map_err(|hint| named("part", name, hint))?);
            }
        }
        for (names, list) in [
            (&self.state, &mut evidence.states),
            (&self.fine, &mut evidence.fine),
        ] {
            for name in names {
                list.push(
                    spots
                        .state(name)
                        .map_err(|hint| named("state", name, hint))?,
                );
            }
        }
        for name in &self.altered {
            let spot = spots
                .spot(name)
                .map_err(|hint| named("place", name, hint))?;
            evidence.altered.push(spot);
        }
        evidence.when.extend(&self.when);
        evidence.after.extend(&self.after);
        evidence.element = self.element.or(evidence.element);
        evidence.opens_after = self
            .opens_after
            .map(|band| band.si())
            .or(evidence.opens_after);
        Ok(evidence)
    }

    /// Own weights of causes, in place of the table's.
    fn weights(&self) -> Result<Vec<(Cause, f64)>, Failure> {
        let Some(path) = &self.priors else {
            return Ok(Vec::new());
        };
        let text = std::fs::read_to_string(path).map_err(|reason| Failure::Unreadable {
            path: path.clone(),
            reason,
        })?;
        let told = |why: &str| Failure::Refused(format!("`{}`: {why}", path.display()));
        let table: toml::Table = text
            .parse()
            .map_err(|why: toml::de::Error| told(why.message()))?;
        let one = |(word, value): (&String, &toml::Value)| {
            let all = Cause::ALL.map(|(_, word)| word);
            let cause = Cause::from_word(word)
                .ok_or_else(|| Failure::unknown("cause", word, all, all.join(", ")))?;
            let number = value.as_float().or(value.as_integer().map(|n| n as f64));
            let weight = number.filter(|n| n.is_finite() && *n >= 0.0);
            let weight =
                weight.ok_or_else(|| told(&format!("`{word}` is no weight; write {word} = 4")))?;
            Ok((cause, weight))
        };
        table.iter().map(one).collect()
    }

    /// Whether anything was said beforehand.
    fn is_told(&self) -> bool {
        self.fuse.is_some()
            || !self.load.is_empty()
            || !self.weak.is_empty()
            || self.drain
            || self.reversed
            || self.log.is_some()
    }

    fn converses(&self, output: &OutputArgs) -> bool {
        let both = io::stdin().is_terminal() && io::stdout().is_terminal();
        !output.json && (self.ask || (both && !self.is_told()))
    }

    fn complaint(&self) -> Result<Complaint, Failure> {
        Ok(if self.drain {
            Complaint::Drain
        } else if self.reversed {
            Complaint::Reversed
        } else if !self.weak.is_empty() {
            Complaint::LoadWeak
        } else if self.load.len() > 1 {
            Complaint::DiedTogether
        } else if !self.load.is_empty() {
            Complaint::LoadDead
        } else if self.fuse.is_some() {
            Complaint::FuseOpens
        } else {
            return Err(Failure::Refused(
                "say what is wrong: --fuse NAME, --load PART, --weak PART, --drain, --reversed, or --log FILE".to_owned(),
            ));
        })
    }
}

fn body(found: &tracing::Answer) -> Object {
    Object::new()
        .text("statement", &found.statement)
        .objects("causes", found.causes.iter().map(cause))
        .objects("next_tests", found.next_tests.iter().map(test))
        .objects(
            "excluded",
            found
                .excluded
                .iter()
                .map(|(what, why)| Object::new().text("text", what).text("because", why)),
        )
        .text_or_null("why_this_fuse", found.why_this_fuse.as_deref())
        .text_or_null("distance", found.distance.as_deref())
        .object(
            "plan",
            Object::new()
                .number("tests", found.plan.tests)
                .number("minutes", found.plan.minutes)
                .number("settled", found.plan.settled)
                .texts("bring", &found.plan.bring),
        )
        .text("stop", &found.stop)
}

fn cause(cause: &CauseOdds) -> Object {
    Object::new()
        .text("cause", cause.cause.word())
        .text("text", &cause.text)
        .text("subject", &cause.subject)
        .number("probability", cause.probability)
        .text("because", &cause.because)
}

fn test(test: &NextTest) -> Object {
    Object::new()
        .text("test", test.test)
        .text("at", &test.at)
        .text("how", &test.how)
        .text_or_null("state", test.state.as_deref())
        .number("minutes", test.minutes)
        .count("risk", usize::from(test.risk))
        .text("tools", test.tools)
        .texts(
            "cautions",
            test.cautions.iter().map(|caution| &caution.text),
        )
        .number("bits", test.bits)
        .objects("outcomes", test.outcomes.iter().map(outcome))
}

fn outcome(view: &OutcomeView) -> Object {
    let leaves = view.leaves.iter().map(|(cause, subject, odds)| {
        Object::new()
            .text("cause", cause.word())
            .text("subject", subject)
            .number("probability", *odds)
    });
    Object::new()
        .text("outcome", &view.outcome)
        .number("probability", view.probability)
        .objects("leaves", leaves)
}
