//! One circuit without a file: which gauge carries this load this far.
//!
//! [`study`] tries every size of a system: the volts the rule counts, the
//! volts a meter would show, the current the wire may carry where it lies, and
//! whether a standard fuse fits between the load and the wire.
//!
//! # Limits
//! One load at a steady current, feed and return of the same wire and length.
//! The drop of the rule counts conductors only.

mod in_place;
mod protectors;
mod screen;

pub use in_place::{InPlace, Lay, assumed_of, in_place};
pub use protectors::{Basis, Ceiling, ceilings, family_for, largest_at_most, least_for};
pub use screen::document;

use crate::circuit::Place;
use crate::devices::WireModel;
use crate::findings::{Assumed, Finding, code};
use crate::quantities::{Amps, Celsius, Fraction, Metres, SizeSystem, Volts, WireSize};
use crate::sources::{Source, Standing};
use crate::tables::conductors::{area, standard_sizes};
use crate::tables::contacts::{ContactKind, contact};
use crate::tables::drops::{DropBasis, rule_constant};
use crate::tables::fuses::FuseStyle;
use crate::tables::{OutOfTable, ampacity};

/// Area from which a cable ends in ring lugs on studs, mm2.
const LUG_MM2: f64 = 10.0;
/// Joints of feed and return: two ends each.
const JOINTS: f64 = 4.0;
/// Conductor temperature above which no steady figure is given, degC.
const NO_WIRE_DEGC: f64 = 300.0;

/// How much the circuit may lose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// A share of the nominal voltage.
    Share(Fraction),
    /// So many volts.
    Volts(Volts),
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Steady current of the load.
    pub current: Amps,
    /// Length one way; the return is as long.
    pub length: Metres,
    /// Largest drop.
    pub limit: Limit,
    /// Nominal voltage of the system.
    pub supply: Volts,
    /// Insulation class; `None` where it is not known.
    pub insulation: Option<Celsius>,
    /// Where the wire lies.
    pub place: Place,
    /// Loaded conductors in the bundle, with this one; 1 for none.
    pub bundle: u32,
    /// Sizes to choose from.
    pub sizes: SizeSystem,
    /// Whose constant the drop is counted with.
    pub basis: DropBasis,
    /// Current while the load starts.
    pub start: Option<Amps>,
}

impl Request {
    /// The limit in volts.
    pub fn limit_v(&self) -> f64 {
        match self.limit {
            Limit::Share(share) => share.si() * self.supply.si(),
            Limit::Volts(volts) => volts.si(),
        }
    }

    /// How the wire lies.
    pub fn lay(&self) -> Lay {
        Lay {
            insulation: self.insulation,
            place: self.place,
            bundle: self.bundle,
        }
    }

    /// Feed and return together, metres.
    fn loop_m(&self) -> f64 {
        2.0 * self.length.si()
    }
}

/// What decided the size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Binding {
    /// The next thinner size loses too many volts.
    Drop,
    /// The next thinner size may not carry the current.
    Ampacity,
    /// No standard fuse both carries the load and suits the next thinner size.
    Fuse,
    /// The next thinner size is below the least single conductor, or there is
    /// none.
    SmallestSize,
}

impl Binding {
    /// The word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Drop => "drop",
            Self::Ampacity => "ampacity",
            Self::Fuse => "fuse",
            Self::SmallestSize => "smallest size",
        }
    }
}

/// One size, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The size.
    pub size: WireSize,
    /// Volts the rule counts.
    pub rule_drop_v: f64,
    /// The same, percent of the nominal voltage.
    pub rule_drop_pct: f64,
    /// Volts a meter would show; none where the wire would burn.
    pub drop_v: Option<f64>,
    /// Volts of the rule at the starting current.
    pub start_drop_v: Option<f64>,
    /// Conductor temperature at the steady current.
    pub temperature: Celsius,
    /// What the wire may carry where it lies.
    pub lies: InPlace,
    /// What speaks against it, in the order of [`Binding`].
    pub against: Vec<Binding>,
}

impl Candidate {
    /// Whether it meets everything.
    pub fn ok(&self) -> bool {
        self.against.is_empty()
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// Every size, thin to thick.
    pub candidates: Vec<Candidate>,
    /// Position of the thinnest that meets everything.
    pub choice: Option<usize>,
    /// What decided it; for no choice, what the thickest fails.
    pub binding: Binding,
    /// Family the fuse ratings are taken from.
    pub family: FuseStyle,
    /// Least standard rating for the load; none above the family.
    pub least_fuse: Option<Amps>,
    /// Largest standard fuse of the chosen size under each basis.
    pub ceilings: Vec<Ceiling>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
    /// Citations.
    pub sources: Vec<Source>,
}

impl Study {
    /// The chosen candidate.
    pub fn chosen(&self) -> Option<&Candidate> {
        self.candidates.get(self.choice?)
    }
}

/// Tries every size.
///
/// # Errors
/// When the insulation, the bundle or the place is in no table.
pub fn study(request: &Request) -> Result<Study, OutOfTable> {
    let (family, least_fuse) = family_for(request.current)?;
    let mut candidates = Vec::new();
    for size in standard_sizes(request.sizes)? {
        candidates.push(candidate(request, size, least_fuse, family)?);
    }
    let choice = candidates.iter().position(Candidate::ok);
    let binding = binding(&candidates, choice);
    let ceilings = match choice.and_then(|at| candidates.get(at)) {
        Some(chosen) => ceilings(&chosen.lies, family)?,
        None => Vec::new(),
    };
    let mut study = Study {
        candidates,
        choice,
        binding,
        family,
        least_fuse,
        ceilings,
        findings: Vec::new(),
        assumed: assumed(request)?,
        sources: sources(request)?,
    };
    study.findings = findings(request, &study);
    Ok(study)
}

fn candidate(
    request: &Request,
    size: WireSize,
    least_fuse: Option<Amps>,
    family: FuseStyle,
) -> Result<Candidate, OutOfTable> {
    let lies = in_place(size, request.length, &request.lay())?;
    let current_a = request.current.si();
    let rho = rule_constant(request.basis)?.value.rho_ohm_mm2_per_m;
    let rule_ohm = rho * request.loop_m() / area(size)?.value.si();
    let rule_drop_v = rule_ohm * current_a;
    let temperature = lies.model.temperature(current_a);
    let drop_v = (temperature.si() <= NO_WIRE_DEGC)
        .then(|| meter_drop(&lies.model, current_a))
        .transpose()?;
    let mut against = Vec::new();
    if rule_drop_v > request.limit_v() * (1.0 + 1e-9) {
        against.push(Binding::Drop);
    }
    let carries_a = lies.carries.si();
    if current_a > carries_a * (1.0 + 1e-9) {
        against.push(Binding::Ampacity);
    } else if let Some(least) = least_fuse
        && largest_at_most(family, carries_a)?.is_none_or(|most| most.si() < least.si())
    {
        against.push(Binding::Fuse);
    }
    if request.place != Place::Bench && is_too_thin(size) {
        against.push(Binding::SmallestSize);
    }
    Ok(Candidate {
        size,
        rule_drop_v,
        rule_drop_pct: 100.0 * rule_drop_v / request.supply.si(),
        drop_v,
        start_drop_v: request.start.map(|start| rule_ohm * start.si()),
        temperature,
        lies,
        against,
    })
}

/// Copper at its own temperature out and back, and sound joints at all ends.
fn meter_drop(model: &WireModel, current_a: f64) -> Result<f64, OutOfTable> {
    let joint_ohm = contact(joint_kind(model.area_mm2))?.value.typical.si();
    Ok(current_a * (2.0 * model.copper_at(current_a) + JOINTS * joint_ohm))
}

/// How a wire of this area usually ends.
fn joint_kind(area_mm2: f64) -> ContactKind {
    if area_mm2 >= LUG_MM2 {
        ContactKind::RingOnStud
    } else {
        ContactKind::BladePair
    }
}

/// Below 16 AWG or 1 mm2, the least single conductor.
fn is_too_thin(size: WireSize) -> bool {
    match size {
        WireSize::Awg(number) | WireSize::Sae(number) => number > 16,
        WireSize::Metric(mm2) => mm2 < 1.0,
    }
}

/// The check whose own thinnest size is the thickest; drop before ampacity.
fn binding(candidates: &[Candidate], choice: Option<usize>) -> Binding {
    const ALL: [Binding; 4] = [
        Binding::Drop,
        Binding::Ampacity,
        Binding::Fuse,
        Binding::SmallestSize,
    ];
    let before = match choice {
        Some(0) => None,
        Some(at) => candidates.get(at - 1),
        None => candidates.last(),
    };
    let fails = |candidate: &Candidate, check| candidate.against.contains(&check);
    before.map_or(Binding::SmallestSize, |before| {
        ALL.into_iter()
            .find(|check| fails(before, *check))
            .unwrap_or(Binding::SmallestSize)
    })
}

fn findings(request: &Request, study: &Study) -> Vec<Finding> {
    let limit_v = request.limit_v();
    let source = rule_constant(request.basis).ok().map(|found| found.source);
    let Some(chosen) = study.chosen() else {
        let statement = screen::none_fits(request, study);
        let finding = Finding::new(code("no-size-fits"), "circuit", statement).with_hint(
            "shorten the run, split the load over two circuits, or raise the system voltage",
        );
        return vec![match source {
            Some(source) => finding.with_source(source),
            None => finding,
        }];
    };
    let mut found = Vec::new();
    if let Some(drop_v) = chosen.drop_v
        && drop_v > limit_v
    {
        found.push(
            Finding::new(
                code("drop-verdicts-differ"),
                chosen.size.to_string(),
                format!(
                    "{} loses {} by the rule, within {}, but a meter would show about {}",
                    chosen.size,
                    Volts::new(chosen.rule_drop_v),
                    Volts::new(limit_v),
                    Volts::new(drop_v)
                ),
            )
            .with_hint("take the next thicker size if the load must have its volts")
            .with_measure(drop_v, Some(limit_v), "V")
            .mendable(true),
        );
    }
    found
}

fn assumed(request: &Request) -> Result<Vec<Assumed>, OutOfTable> {
    let mut assumed = assumed_of(request.sizes, &request.lay());
    for kind in [ContactKind::BladePair, ContactKind::RingOnStud] {
        let found = contact(kind)?;
        let where_used = match kind {
            ContactKind::BladePair => "wire under 10 mm2",
            _ => "cable from 10 mm2",
        };
        assumed.push(Assumed {
            subject: "wire ends".into(),
            what: format!(
                "{where_used}: 4 sound joints ({}), {} each",
                kind.name(),
                found.value.typical
            ),
            source: found.source,
        });
    }
    Ok(assumed)
}

fn sources(request: &Request) -> Result<Vec<Source>, OutOfTable> {
    let mut sources = vec![rule_constant(request.basis)?.source];
    let thickest = standard_sizes(request.sizes)?;
    if let Some(size) = thickest.last() {
        sources.push(ampacity::ampacity(*size, request.insulation)?.source);
    }
    if request.place == Place::EngineSpace {
        sources.push(ampacity::engine_space_factor(request.sizes, request.insulation)?.source);
    }
    if request.bundle > 1 {
        sources.push(ampacity::bundle_factor(request.bundle)?.source);
    }
    if request.place != Place::Bench {
        sources.push(Source::new(
            match request.sizes {
                SizeSystem::Metric => "ISO 10133:2012",
                SizeSystem::Awg | SizeSystem::Sae => "33 CFR 183.425; ABYC E-11",
            },
            "least single conductor",
            Standing::Published,
        ));
    }
    Ok(sources)
}
