//! Whether a replacement will suit the fuse and wire it is to live on.
//!
//! The circuit is solved and every fuse studied with the new part in the old
//! one's place. What is held: its start and its stall against the fuse right
//! before it and the wires behind that, its running against every fuse and wire
//! on its way and against the drop limit, the fuse against wire, label and maker.
//!
//! # Limits
//! As `solving` and `protecting`; figures of a class stay typical but for the
//! stall, which is told over the spread of its kind. Never is a larger fuse the
//! answer.

mod checks;
mod replacement;
mod screen;
mod way;

pub use replacement::{NotKnown, Replacement};
pub use screen::document;

use crate::bench::{Refused, Rig};
use crate::circuit::{Circuit, Device, MotorSpec, PartId};
use crate::devices::{Model, MotorModel, resolve};
use crate::findings::{Assumed, Finding, Severity, code};
use crate::protecting::{Figure, Kind, Report, Verdict, study};
use crate::solving::{SolveError, solve};
use crate::sources::Source;
use crate::tables::OutOfTable;
use crate::tables::cautions::{Caution, cautions};
use crate::tables::devices::USUAL_PUMP;
use checks::{drop, duty, held, maker, of_kind, run, wires};
use replacement::Fitting;
use way::{Way, twinned, with};

/// One thing the replacement is held against.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// `duty`, `start`, `run`, `drop`, `wire`, `stall`, `fuse-and-wire`, `label`, `maker`.
    pub check: &'static str,
    /// How it came out.
    pub verdict: Verdict,
    /// Its main figure, printed.
    pub figure: String,
    /// One plain sentence.
    pub sentence: String,
    /// Figures with their JSON keys.
    pub figures: Vec<Figure>,
    /// Citations.
    pub sources: Vec<Source>,
}

/// Whether the replacement suits.
#[derive(Debug, Clone, PartialEq)]
pub struct Suits {
    /// The part's name.
    pub part: String,
    /// The replacement in words.
    pub replacement: String,
    /// The worst verdict.
    pub verdict: Verdict,
    /// The answer in one sentence.
    pub statement: String,
    /// Everything it was held against.
    pub checks: Vec<Held>,
    /// Fuses on its way, nearest first.
    pub fuses: Vec<String>,
    /// Every caution that applies.
    pub cautions: Vec<Caution>,
    /// What was found on its way.
    pub findings: Vec<Finding>,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
    /// Citations.
    pub sources: Vec<Source>,
}

impl Held {
    /// The same with the worst of the findings on a part whose codes begin alike: what
    /// holds for the typical motor need not for all of its kind.
    fn with_findings(mut self, findings: &[Finding], code: &str, name: &str) -> Self {
        let name = format!("`{name}`");
        let of = findings
            .iter()
            .filter(|f| f.code.name().starts_with(code) && f.statement.contains(&name));
        let worst = of.map(|finding| verdict_of(finding.severity())).max();
        self.verdict = self.verdict.max(worst.unwrap_or(Verdict::Holds));
        self
    }
}

/// Why it cannot be said.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unsuitable {
    /// The part is no pump or motor that turns.
    #[error(
        "`{0}` is no pump or motor with a turning armature: only those are held against fuse and wire here"
    )]
    NoMotor(String),
    /// Nothing is known of the replacement.
    #[error(transparent)]
    NotKnown(#[from] NotKnown),
    /// The circuit cannot be solved.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// It never runs in any judged state of the file.
    #[error("`{0}` runs in no state of this file: add a state that switches it on")]
    NeverRuns(String),
}

impl From<OutOfTable> for Unsuitable {
    fn from(why: OutOfTable) -> Self {
        Self::Solve(why.into())
    }
}

impl From<Refused> for Unsuitable {
    fn from(why: Refused) -> Self {
        Self::NotKnown(why.into())
    }
}

/// Holds a replacement against the circuit of the part it replaces; `rig` is
/// what it was read on.
///
/// # Errors
/// A part that does not turn, a replacement nothing is known of, a circuit
/// without a solution.
pub fn suits(
    circuit: &Circuit,
    part: PartId,
    replacement: &Replacement,
    rig: &Rig,
    seed: u64,
) -> Result<Suits, Unsuitable> {
    let name = circuit.part(part).name.clone();
    let (old, had, is_pump) = taken(circuit, part)?;
    let fitting = replacement.fitting(&old, &had, is_pump, rig, seed)?;
    let fitted = with(circuit, part, fitting.spec.clone(), is_pump);
    let before = solve(circuit)?;
    let after = solve(&twinned(&fitted, part))?;
    let found = study(&fitted)?;
    let way = Way::of(&fitted, part, &after)?;
    let on_way = |name: &str| way.fuses.iter().any(|fuse| fuse == name);
    let reports: Vec<&Report> = found.fuses.iter().filter(|r| on_way(&r.name)).collect();
    let nearest = way
        .fuses
        .first()
        .and_then(|fuse| reports.iter().find(|r| r.name == *fuse));
    let mut checks = Vec::new();
    if is_pump {
        checks.push(duty(class_of(&old), class_of(&fitting.spec)));
    }
    if let Some(nearest) = nearest {
        checks.extend(of_kind(nearest, Kind::Start, &name).map(|check| held(check, "start")));
    }
    checks.push(run(&way, &name, &before, &reports));
    checks.extend(drop(&fitted, &way, &name, &after)?);
    checks.extend(wires(&resolve(&fitted)?, &way, &after));
    if let Some(nearest) = nearest {
        let stall = of_kind(nearest, Kind::Stall, &name).map(|check| held(check, "stall"));
        checks.extend(stall.map(|stall| stall.with_findings(&found.findings, "stall-", &name)));
        let of = |kind, as_word| {
            nearest
                .checks
                .iter()
                .filter(move |c| c.kind == kind)
                .map(move |c| held(c, as_word))
        };
        checks.extend(of(Kind::Wire, "fuse-and-wire"));
        checks.extend(of(Kind::Label, "label"));
        checks.push(maker(&fitted, part, nearest, &found.findings));
    }
    let misused = checks.iter().filter(|check| is_misused(check));
    let misused: Vec<Finding> = misused
        .map(|check| Finding::new(code("pump-wrong-duty"), &name, check.sentence.clone()))
        .collect();
    let on_way = found.findings.into_iter().chain(after.findings);
    let findings = [misused, way.findings(&name, on_way)].concat();
    let worst = checks.iter().map(|check| check.verdict).max();
    let by_findings = findings
        .iter()
        .map(|finding| verdict_of(finding.severity()))
        .max();
    let verdict = worst.max(by_findings).unwrap_or(Verdict::Holds);
    let assumed = fitting
        .assumed
        .iter()
        .cloned()
        .chain(found.assumed)
        .collect();
    let sources = cited(&checks);
    Ok(Suits {
        statement: statement(&name, &fitting, verdict, &checks, nearest.copied()),
        part: name,
        replacement: fitting.words,
        verdict,
        checks,
        fuses: way.fuses,
        cautions: cautions_of(had.parameters.ap_per_pa.typical > 0.0),
        findings,
        assumed,
        sources,
    })
}

/// Whether it is made to pump something else.
fn is_misused(check: &Held) -> bool {
    check.check == "duty" && check.verdict == Verdict::Violation
}

/// The class a pump has, or that one without stands for.
fn class_of(pump: &MotorSpec) -> &str {
    let class = pump.class.as_ref();
    class.map_or(USUAL_PUMP, |given| given.value.as_str())
}

/// The part as the file has it, with its model.
fn taken(circuit: &Circuit, part: PartId) -> Result<(MotorSpec, MotorModel, bool), Unsuitable> {
    let resolved = resolve(circuit)?;
    match (&circuit.part(part).device, resolved.part(part)) {
        (Device::Pump(spec), Model::Motor(motor)) => Ok((spec.clone(), (**motor).clone(), true)),
        (Device::Motor(spec), Model::Motor(motor)) => Ok((spec.clone(), (**motor).clone(), false)),
        _ => Err(Unsuitable::NoMotor(circuit.part(part).name.clone())),
    }
}

const fn verdict_of(severity: Severity) -> Verdict {
    match severity {
        Severity::Mistake | Severity::Violation => Verdict::Violation,
        Severity::Caution => Verdict::Caution,
        Severity::Note => Verdict::Note,
    }
}

fn statement(
    name: &str,
    fitting: &Fitting,
    verdict: Verdict,
    checks: &[Held],
    nearest: Option<&Report>,
) -> String {
    let with = |of: Verdict| -> Vec<&str> {
        checks
            .iter()
            .filter(|c| c.verdict == of)
            .map(|c| c.check)
            .collect()
    };
    let on = nearest.map_or_else(
        || "no fuse before it".to_owned(),
        |fuse| format!("`{}`, {}", fuse.name, fuse.rating),
    );
    let what = format!("{} in place of `{name}` on {on}", fitting.words);
    match verdict {
        Verdict::Holds | Verdict::Note => format!("it suits: {what}"),
        Verdict::Caution => format!(
            "it suits with care: {what}; look at {}",
            listed(&with(Verdict::Caution))
        ),
        Verdict::Violation if checks.iter().any(is_misused) => {
            format!("it does not suit: {what}; it is made to pump something else")
        }
        Verdict::Violation => format!(
            "it does not suit as wired: {what}; {}. Take one that draws less, or write it into the file and let `ampkeel size` choose wire and fuse together; never a larger fuse alone",
            broken(&with(Verdict::Violation))
        ),
    }
}

fn broken(checks: &[&str]) -> String {
    if checks.is_empty() {
        "see what was found below".to_owned()
    } else {
        format!("a rule is broken in {}", listed(checks))
    }
}

fn listed(words: &[&str]) -> String {
    match words {
        [] => "what was found below".to_owned(),
        [one] => (*one).to_owned(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

fn cautions_of(pumps: bool) -> Vec<Caution> {
    let tags: &[&str] = if pumps {
        &["vapour", "relieve", "lock2", "ign-protected", "neg-first"]
    } else {
        &["vapour", "lock2", "ign-protected", "neg-first"]
    };
    let applies = |caution: &Caution| caution.applies(&[]) || tags.contains(&caution.tag.as_str());
    cautions().into_iter().filter(applies).collect()
}

fn cited(checks: &[Held]) -> Vec<Source> {
    let mut all: Vec<Source> = Vec::new();
    for source in checks.iter().flat_map(|check| &check.sources) {
        if !all.contains(source) {
            all.push(source.clone());
        }
    }
    all
}
