//! What is watched in every drawn circuit: readings, and verdicts that a drawn
//! circuit may turn.
//!
//! A verdict is a value against a limit, by the same rules as `solve` holds them:
//! rule drop, ampacity, load of fuses, fuse against wire, coils that close, volts
//! at a starter. Of a subject's verdicts of one kind the state that comes nearest
//! its limit in the typical circuit is kept.
//!
//! # Limits
//! On a shared feed, how the drop is shared among wires is taken from the
//! typical circuit; the currents and lengths are those of each drawn one.

use super::batch::{Batch, LANES};
use super::gather::Gather;
use super::season::{Drawn, Season};
use super::unguarded::unguarded;
use crate::circuit::{DropBasis, PartId};
use crate::devices::{Model, Resolved};
use crate::findings::Code;
use crate::network::Outcome;
use crate::quantities::Dimension;
use crate::solving::{LEGAL_SHARE, SolveError, rule_ohm, survey};

/// What a column of the samples holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Probe {
    /// Volts between two nodes, whichever is higher.
    Volts(usize, usize),
    /// Current through a branch, either way.
    Amps(usize),
    /// Heating current of a branch: with ripple, A^2.
    Heating(usize, f64),
    /// The rule's drop: wires with their branches and the share of their own
    /// current that counts.
    RuleDrop(Vec<(usize, usize, f64)>),
    /// A figure that no state changes.
    Plain(f64),
    /// Metres of wire: those that are known, and the unknowns that add theirs.
    Metres(f64, Vec<usize>),
    /// What a season asks of a fuse, over what it stands.
    Season(Box<Season>),
}

/// What a verdict is held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Limit {
    /// A figure.
    Fixed(f64),
    /// What a wire may carry where it lies, times a factor.
    Ampacity(usize),
    /// 150 % of a wire's figure in its table.
    Legal(usize),
    /// A fuse's rating times a share, for the air around it.
    Loading(PartId, usize, f64),
}

/// Where a verdict turns bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Above its limit.
    Above,
    /// Below its limit.
    Below,
}

/// A verdict that is put to every drawn circuit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Question {
    /// The finding it would be.
    pub code: Code,
    /// Part, fuse or wire.
    pub subject: String,
    /// State; none where no state matters.
    pub state: Option<String>,
    /// Dimension of value and limit.
    pub dimension: Dimension,
    pub setup: usize,
    pub probe: Probe,
    pub limit: Limit,
    pub side: Side,
    /// Whether its limit was guessed by the very figure that is held against it, so
    /// that no share of drawn boats tells it.
    pub is_guessed: bool,
}

/// A reading whose range is told.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Watched {
    pub state: String,
    pub subject: String,
    pub dimension: Dimension,
    pub setup: usize,
    pub probe: Probe,
}

/// Everything that is read off each drawn circuit.
pub(super) struct Watch {
    pub readings: Vec<Watched>,
    pub questions: Vec<Question>,
    rules: Rules,
}

/// Figures of rules that hold for every drawn circuit.
struct Rules {
    /// Ohms times square millimetres per metre; none where the rule goes by the
    /// copper's own heat.
    rho: Option<f64>,
}

/// What limits and rules need of the wires and fuses of eight drawn circuits.
pub(super) struct Lanes {
    rule_ohm: Vec<[f64; LANES]>,
    heat_per_a2: Vec<[f64; LANES]>,
    corrected_a: Vec<[f64; LANES]>,
    table_a: Vec<[f64; LANES]>,
    air_factor: Vec<Vec<[f64; LANES]>>,
    /// What seasons of fuses need.
    pub season: Drawn,
}

impl Lanes {
    /// Room for the figures of a circuit's wires and fuses.
    pub(super) fn new(batch: &Batch<'_>) -> Self {
        let resolved = &batch.workings.resolved;
        let wires = resolved.wires.len();
        let links = |model: &Model| match model {
            Model::Links(links) => vec![[1.0; LANES]; links.len()],
            _ => Vec::new(),
        };
        Self {
            rule_ohm: vec![[0.0; LANES]; wires],
            heat_per_a2: vec![[0.0; LANES]; wires],
            corrected_a: vec![[f64::INFINITY; LANES]; wires],
            table_a: vec![[f64::INFINITY; LANES]; wires],
            air_factor: resolved.parts.iter().map(links).collect(),
            season: Drawn::new(resolved, batch.unknowns.len()),
        }
    }

    /// Share of its rating that a fuse has in its air.
    pub(super) fn air(&self, part: PartId, slot: usize) -> [f64; LANES] {
        self.air_factor[part.0][slot]
    }
}

impl Watch {
    pub(super) fn of(batch: &Batch<'_>) -> Result<Self, SolveError> {
        let circuit = batch.circuit;
        let found = survey(circuit)?;
        let gather = Gather {
            batch,
            circuit,
            found: &found,
        };
        let mut questions = gather.consumers();
        questions.extend(gather.wires());
        questions.extend(gather.fuses()?);
        questions.extend(gather.fuses_above_wires());
        questions.extend(gather.seasons(&questions)?);
        questions.extend(unguarded(&gather)?);
        Ok(Self {
            readings: gather.readings(),
            questions,
            rules: Rules::of(batch)?,
        })
    }

    /// Number of columns: the readings, then the value of each question, then
    /// by how much it misses its limit, as a share of it.
    pub(super) fn columns(&self) -> usize {
        self.readings.len() + 2 * self.questions.len()
    }

    /// Column of a question's value.
    pub(super) fn value(&self, question: usize) -> usize {
        self.readings.len() + question
    }

    /// Column of by how much a question is missed.
    pub(super) fn miss(&self, question: usize) -> usize {
        self.readings.len() + self.questions.len() + question
    }

    /// Whether a column has by how much a question is missed.
    pub(super) fn is_miss(&self, column: usize) -> bool {
        column >= self.readings.len() + self.questions.len()
    }

    /// Takes what the limits need from the circuit just put into a lane.
    pub(super) fn note(&self, lanes: &mut Lanes, lane: usize, resolved: &Resolved, values: &[f64]) {
        lanes.season.note(lane, resolved, values);
        for (at, wire) in resolved.wires.iter().enumerate() {
            (lanes.rule_ohm[at][lane], lanes.heat_per_a2[at][lane]) = match self.rules.rho {
                Some(rho) => (rho * wire.length.typical.si() / wire.area_mm2, 0.0),
                None => (wire.copper_ohm(), wire.kappa_per_a2),
            };
            if let Ok(allowed) = &wire.allowed {
                lanes.corrected_a[at][lane] = allowed.corrected.si();
                lanes.table_a[at][lane] = allowed.table.value.si();
            }
        }
        for (factors, model) in lanes.air_factor.iter_mut().zip(&resolved.parts) {
            if let Model::Links(links) = model {
                for (factor, link) in factors.iter_mut().zip(links) {
                    factor[lane] = link.ambient_factor;
                }
            }
        }
    }

    /// Reads every column of one setup off its outcome.
    pub(super) fn read(
        &self,
        setup: usize,
        outcome: &Outcome<'_, LANES>,
        lanes: &Lanes,
        mut put: impl FnMut(usize, [f64; LANES]),
    ) {
        for (column, reading) in self.readings.iter().enumerate() {
            if reading.setup == setup {
                put(column, reading.probe.read(outcome, lanes));
            }
        }
        for (number, question) in self.questions.iter().enumerate() {
            if question.setup != setup {
                continue;
            }
            let value = question.probe.read(outcome, lanes);
            let limit = question.limit.of(lanes);
            put(self.value(number), value);
            let miss = std::array::from_fn(|lane| {
                let over = (value[lane] - limit[lane]) / limit[lane].abs().max(1e-12);
                match question.side {
                    Side::Above => over,
                    Side::Below => -over,
                }
            });
            put(self.miss(number), miss);
        }
    }
}

impl Rules {
    fn of(batch: &Batch<'_>) -> Result<Self, SolveError> {
        let basis = batch.circuit.limits.drop_basis;
        let wire = batch.workings.resolved.wires.first();
        let rho = match (basis, wire) {
            (DropBasis::Physical, _) | (_, None) => None,
            (_, Some(wire)) => {
                Some(rule_ohm(basis, wire, 0.0)? * wire.area_mm2 / wire.length.typical.si())
            }
        };
        Ok(Self { rho })
    }
}

impl Probe {
    pub(super) fn read(&self, outcome: &Outcome<'_, LANES>, lanes: &Lanes) -> [f64; LANES] {
        match self {
            Self::Volts(from, to) => {
                let (from, to) = (outcome.voltages_v(*from), outcome.voltages_v(*to));
                std::array::from_fn(|lane| (from[lane] - to[lane]).abs())
            }
            Self::Amps(branch) => outcome.currents_a(*branch).map(f64::abs),
            Self::Heating(branch, extra_a2) => {
                let amps = outcome.currents_a(*branch);
                amps.map(|amps| (amps * amps + extra_a2).sqrt())
            }
            Self::RuleDrop(terms) => {
                let mut sum = [0.0; LANES];
                for (wire, branch, share) in terms {
                    let amps = outcome.currents_a(*branch);
                    let (ohm, heat) = (&lanes.rule_ohm[*wire], &lanes.heat_per_a2[*wire]);
                    for lane in 0..LANES {
                        let room = (1.0 - heat[lane] * amps[lane] * amps[lane]).max(1e-6);
                        sum[lane] += share * amps[lane].abs() * ohm[lane] / room;
                    }
                }
                sum
            }
            Self::Plain(value) => [*value; LANES],
            Self::Metres(known, unknowns) => {
                let mut sum = [*known; LANES];
                for unknown in unknowns {
                    for (sum, more) in sum.iter_mut().zip(lanes.season.value(*unknown)) {
                        *sum += more;
                    }
                }
                sum
            }
            Self::Season(season) => season.read(outcome, lanes),
        }
    }
}

impl Limit {
    fn of(self, lanes: &Lanes) -> [f64; LANES] {
        match self {
            Self::Fixed(limit) => [limit; LANES],
            Self::Ampacity(wire) => lanes.corrected_a[wire],
            Self::Legal(wire) => lanes.table_a[wire].map(|amps| LEGAL_SHARE * amps),
            Self::Loading(part, slot, amps) => {
                lanes.air_factor[part.0][slot].map(|factor| factor * amps)
            }
        }
    }

    /// The limit of the typical circuit.
    pub(super) fn typical(self, resolved: &Resolved) -> f64 {
        let allowed = |wire: usize| resolved.wires[wire].allowed.as_ref().ok();
        match self {
            Self::Fixed(limit) => limit,
            Self::Ampacity(wire) => {
                allowed(wire).map_or(f64::INFINITY, |allowed| allowed.corrected.si())
            }
            Self::Legal(wire) => {
                LEGAL_SHARE * allowed(wire).map_or(f64::INFINITY, |a| a.table.value.si())
            }
            Self::Loading(part, slot, amps) => match resolved.part(part) {
                Model::Links(links) => amps * links[slot].ambient_factor,
                _ => amps,
            },
        }
    }
}
