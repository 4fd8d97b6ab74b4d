//! `transient`: what happens in time when a switch is turned, a shaft jams or
//! a wire shorts.

use super::figures::above_zero;
use super::save::save;
use super::{Answer, CircuitArgs, Failure, Loaded, Reply};
use crate::circuit::Circuit;
use crate::present::json::Object;
use crate::quantities::{Fraction, Ohms, Seconds, parse};
use crate::tables::fuses::Edge;
use crate::transients::{
    Column, Jam, Scenario, Short, Study, TransientError, csv, document, study,
};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  ampkeel transient boat.toml --state cruise --for 1s
  ampkeel transient boat.toml --state crank --from key-on --plot house.voltage_v
  ampkeel transient boat.toml --from cruise --state cruise --locked pump --for \"5 min\"
  ampkeel transient boat.toml --state cruise --short \"pump-fuse.out to pump.plus at 50 %\"
  ampkeel transient --example --state key-on --csv run.csv

Cold and dead means: relays let go, shafts and currents at rest, copper at the
temperature of the air, the battery rested.

Exit status: 0 no violation, 1 a wire passes what its insulation stands, 2 could
not run.";

/// Follow a circuit in time: inrush, stall, shorts, fuses, relays, heat
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    circuit: CircuitArgs,
    /// State whose switches stand from the first instant on
    #[arg(long, value_name = "STATE")]
    state: Option<String>,
    /// State the circuit rested in before; without it the one the file puts
    /// before, else cold and dead
    #[arg(long, value_name = "STATE")]
    from: Option<String>,
    /// Start cold and dead, relays let go, whatever the file puts before
    #[arg(long, conflicts_with = "from")]
    cold: bool,
    /// How long to follow it
    #[arg(long = "for", value_name = "TIME", value_parser = above_zero::<Seconds>, allow_hyphen_values = true, default_value = "10 s")]
    duration: Seconds,
    /// A pump or motor that jams; may be repeated
    #[arg(long, value_name = "PART")]
    locked: Vec<String>,
    /// When it jams; at the first instant without it
    #[arg(long, value_name = "TIME", value_parser = above_zero::<Seconds>, requires = "locked", allow_hyphen_values = true)]
    locked_after: Option<Seconds>,
    /// A short at a share of a wire's length: "NAME at 50 %" or "FROM to TO at 50 %"
    #[arg(long, value_name = "WIRE at SHARE")]
    short: Option<String>,
    /// Resistance of the short; a bolted one without it
    #[arg(long, value_name = "OHMS", value_parser = above_zero::<Ohms>, requires = "short", allow_hyphen_values = true, default_value = "1 mohm")]
    short_ohms: Ohms,
    /// Terminal the short lies on; the first battery's minus post without it
    #[arg(long, value_name = "TERMINAL", requires = "short")]
    short_to: Option<String>,
    /// When the short is made; at the first instant without it
    #[arg(long, value_name = "TIME", value_parser = above_zero::<Seconds>, requires = "short", allow_hyphen_values = true)]
    short_after: Option<Seconds>,
    /// Which instance of every fuse the run shows
    #[arg(long, value_name = "WHICH", default_value = "middle")]
    fuses: FusesWord,
    /// Write every quantity over time to this file
    #[arg(long, value_name = "PATH")]
    csv: Option<PathBuf>,
    /// Replace the CSV file if it is already there
    #[arg(long, requires = "csv")]
    force: bool,
    /// Draw one quantity, named as in the CSV; a part alone means its current
    #[arg(long, value_name = "QUANTITY")]
    plot: Option<String>,
    /// With --json, every quantity over time too
    #[arg(long)]
    traces: bool,
}

/// The words of `--fuses`.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum FusesWord {
    /// Open first
    Early,
    /// The middle of the band
    Middle,
    /// Open last
    Late,
    /// Hold whatever flows
    Hold,
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let loaded = self.circuit.load()?;
        let scenario = self.scenario(&loaded.circuit)?;
        let study =
            study(&loaded.circuit, &scenario).map_err(|why| failure(&loaded.circuit, &why))?;
        let plotted = match &self.plot {
            Some(asked) => Some(column(&study, asked)?),
            None => None,
        };
        let mut shown = document(&loaded.circuit.title, &study, plotted);
        if let Some(path) = &self.csv {
            save(path, &csv(&study.run), self.force)?;
            shown.paragraph(format!(
                "{} moments of {} quantities written to `{}`",
                study.run.times_s.len(),
                study.run.columns.len(),
                path.display()
            ));
        }
        let Loaded {
            about,
            text,
            findings,
            ..
        } = loaded;
        if let Some(line) = about {
            shown.about(line);
        }
        let body = self.body(&study);
        let answer = Answer {
            command: "transient",
            document: shown,
            body,
            text: Some(text),
            findings: findings.into_iter().chain(study.findings).collect(),
            assumed: study.run.assumed,
            ..Answer::default()
        };
        Ok(answer.into())
    }

    fn scenario(&self, circuit: &Circuit) -> Result<Scenario, Failure> {
        let state = match (&self.state, circuit.states.as_slice()) {
            (Some(asked), _) => asked.clone(),
            (None, [only]) => only.name.clone(),
            (None, _) => {
                let list = format!("`--state` chooses one: {}", states(circuit).join(", "));
                return Err(Failure::Refused(list));
            }
        };
        let short = match &self.short {
            Some(words) => Some(self.short_at(words)?),
            None => None,
        };
        Ok(Scenario {
            from: self.before(circuit, &state),
            locked: self.locked.iter().map(|part| self.jam(part)).collect(),
            short,
            fuses: match self.fuses {
                FusesWord::Early => Some(Edge::Early),
                FusesWord::Middle => Some(Edge::Nominal),
                FusesWord::Late => Some(Edge::Late),
                FusesWord::Hold => None,
            },
            ..Scenario::new(state, self.duration.si())
        })
    }

    /// The state it starts from.
    fn before(&self, circuit: &Circuit, state: &str) -> Option<String> {
        if self.cold {
            return None;
        }
        let named = circuit.states.iter().find(|one| one.name == state);
        let after = named.and_then(|one| one.after);
        let after = || after.map(|index| circuit.states[index].name.clone());
        self.from.clone().or_else(after)
    }

    fn jam(&self, part: &str) -> Jam {
        Jam {
            at_s: self.locked_after.map_or(0.0, Seconds::si),
            ..Jam::from(part)
        }
    }

    fn short_at(&self, words: &str) -> Result<Short, Failure> {
        let refused = |words: String| Failure::Refused(words);
        let (wire, share) = words.rsplit_once(" at ").unwrap_or((words, "50 %"));
        let share: Fraction = parse(share)
            .map_err(|why| refused(format!("`--short` ends in ` at 50 %`: {}", why.message)))?;
        Ok(Short {
            wire: wire.trim().to_owned(),
            share: share.si(),
            ohm: self.short_ohms.si(),
            to: self.short_to.clone(),
            at_s: self.short_after.map_or(0.0, Seconds::si),
        })
    }

    fn body(&self, study: &Study) -> Object {
        let run = &study.run;
        let asked = &study.scenario;
        let events = run.events.iter().map(|event| {
            Object::new()
                .number("time_s", event.time_s)
                .text("what", event.what.word())
                .text("subject", &event.subject)
                .number_or_null("current_a", event.current_a)
                .number("arc_j", event.arc_j)
        });
        let mut fuses = Object::new();
        for (name, times) in &study.openings {
            let object = Object::new()
                .number_or_null("opens_earliest_s", times.earliest_s)
                .number_or_null("opens_middle_s", times.middle_s)
                .number_or_null("opens_latest_s", times.latest_s);
            fuses = fuses.object(name, object);
        }
        let ends = run.columns.iter().map(|column| {
            let (time_s, peak) = column.peak(&run.times_s);
            Object::new()
                .text("subject", &column.subject)
                .text("quantity", column.quantity)
                .number("peak", peak)
                .number("peak_time_s", time_s)
                .number_or_null("end", column.values.last().copied())
        });
        let body = Object::new()
            .text("state", &asked.state)
            .text_or_null("from", asked.from.as_deref())
            .number("reached_s", run.reached_s)
            .text_or_null("ended", run.ended.as_deref())
            .objects("events", events)
            .object("fuses", fuses)
            .objects("quantities", ends);
        if !self.traces {
            return body;
        }
        let traces = run.columns.iter().map(|column| {
            Object::new()
                .text("subject", &column.subject)
                .text("quantity", column.quantity)
                .numbers("values", column.values.iter().copied())
        });
        body.numbers("times_s", run.times_s.iter().copied())
            .objects("traces", traces)
    }
}

fn states(circuit: &Circuit) -> Vec<&str> {
    circuit
        .states
        .iter()
        .map(|state| state.name.as_str())
        .collect()
}

/// The column asked for; a bare part means its current.
fn column<'a>(study: &'a Study, asked: &str) -> Result<&'a Column, Failure> {
    let mut columns = study.run.columns.iter();
    let wanted = format!("{asked}.current_a");
    let found = columns.find(|column| column.key() == asked || column.key() == wanted);
    found.ok_or_else(|| {
        let keys: Vec<String> = study.run.columns.iter().map(Column::key).collect();
        let list = "the keys of `--csv` can be drawn, and a part for its current";
        Failure::unknown("quantity", asked, keys.iter().map(String::as_str), list)
    })
}

fn failure(circuit: &Circuit, why: &TransientError) -> Failure {
    let TransientError::Unknown { kind, name } = why else {
        return match why {
            TransientError::Unbalanced { .. } | TransientError::Solve(_) => {
                Failure::Unsolved(why.to_string())
            }
            _ => Failure::Refused(why.to_string()),
        };
    };
    let known: Vec<String> = match *kind {
        "state" => states(circuit).into_iter().map(str::to_owned).collect(),
        "wire" => circuit
            .wires
            .iter()
            .map(|wire| circuit.wire_label(wire))
            .collect(),
        "terminal" => circuit.terminals.iter().map(|t| t.label.clone()).collect(),
        _ => circuit.parts.iter().map(|part| part.name.clone()).collect(),
    };
    let list = if known.len() <= 12 {
        format!("the file has {}", known.join(", "))
    } else {
        format!("the file has {} of them", known.len())
    };
    Failure::unknown(kind, name, known.iter().map(String::as_str), list)
}
