//! What decided each size and rating, and what the next size down would break.

use super::against::{Against, Rules};
use super::choices::Choice;
use super::fuses::{FuseBinding, FuseCase, Rated};
use super::guard::{Guard, Outlasts};
use super::judge::{Judge, Worse};
use super::needs::{Row, RowKind};
use super::plan::Task;
use super::rounds::Settled;
use super::{SizedFuse, SizedWire};
use crate::circuit::PartId;
use crate::quantities::{Amps, Volts, print};
use crate::solving::SolveError;
use crate::tables::OutOfTable;

/// What decided the size of a wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WireBinding {
    /// The file holds it.
    Keep,
    /// No table says what other sizes may carry there.
    NoAmpacity,
    /// The next thinner size may not carry the current or gets too warm.
    Ampacity,
    /// The next thinner size loses too many volts for a load.
    Drop,
    /// The next thinner size is below the least single wire.
    Minimum,
    /// The next thinner size cannot stand the fuse before it.
    Fuse,
    /// A starter's volts.
    Starter,
    /// No fuse guards it, or it cranks a starter: never thinner than it is.
    Unguarded,
    /// A relay's coil would lose its volts.
    Coil,
    /// No judged state uses it: never thinner than it is.
    Unused,
    /// Thinner wires were ruled out.
    Fitted,
    /// The stock has nothing thinner.
    Stock,
    /// Nothing thinner is listed.
    Thinnest,
    /// A short at its end would not be ended in time.
    Short,
    /// An overload could outlast it.
    Overload,
    /// Sizes of several wires together, or what only the full solve shows.
    Together,
}

impl WireBinding {
    /// The word in JSON and tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Keep => "keep",
            Self::NoAmpacity => "no ampacity",
            Self::Ampacity => "ampacity",
            Self::Drop => "drop",
            Self::Minimum => "minimum",
            Self::Fuse => "fuse",
            Self::Starter => "starter",
            Self::Unguarded => "unguarded",
            Self::Coil => "relay",
            Self::Unused => "unused",
            Self::Fitted => "never thinner",
            Self::Stock => "stock",
            Self::Thinnest => "thinnest",
            Self::Short => "short",
            Self::Overload => "overload",
            Self::Together => "together",
        }
    }
}

/// Every wire with what decided it.
///
/// # Errors
/// When a table cannot be read.
pub(super) fn wires(task: &Task<'_>, settled: &Settled) -> Result<Vec<SizedWire>, SolveError> {
    let judge = Judge::of(task, settled)?;
    task.with_rules(&settled.needs, &settled.plan.targets, |rules| {
        (0..task.choices.len())
            .map(|wire| {
                let choice = task.choices[wire].at(settled.plan.sizes[wire]);
                let (binding, because) = Why {
                    task,
                    settled,
                    rules,
                    judge: &judge,
                }
                .of(wire)?;
                Ok(SizedWire {
                    wire,
                    size: choice.size,
                    was: task.choices[wire].was.size,
                    is_unread: task.circuit.wires[wire].unwritten.size.is_some(),
                    binding,
                    because,
                    kg: choice.kg,
                })
            })
            .collect()
    })
}

struct Why<'a> {
    task: &'a Task<'a>,
    settled: &'a Settled,
    rules: &'a Rules<'a>,
    judge: &'a Judge<'a>,
}

impl Why<'_> {
    fn of(&self, wire: usize) -> Result<(WireBinding, String), SolveError> {
        let choices = &self.task.choices[wire];
        if self.task.circuit.wires[wire].keep {
            return Ok((WireBinding::Keep, "`keep` holds it".into()));
        }
        if choices.fixed {
            let why = "no table says what other sizes may carry there";
            return Ok((WireBinding::NoAmpacity, why.into()));
        }
        let place = self.settled.plan.sizes[wire].unwrap_or(0);
        let Some(thinner) = place.checked_sub(1).and_then(|at| choices.all.get(at)) else {
            return Ok(if self.task.stock.sizes.is_some() {
                (WireBinding::Stock, "the stock has nothing thinner".into())
            } else {
                (WireBinding::Thinnest, "nothing thinner is listed".into())
            });
        };
        if let Some(against) = self.rules.against(wire, choices, thinner)? {
            return Ok(self.own_rule(thinner, &against));
        }
        let rows = self.settled.needs.rows.iter();
        let mut worst: Option<(f64, &Row, f64)> = None;
        for row in rows.filter(|row| row.amps.iter().any(|(of, _)| *of == wire)) {
            let volts = self.volts(row, wire, thinner)?;
            let excess = (volts - row.limit_v) / row.limit_v.abs().max(1e-9);
            if excess > 0.0 && worst.is_none_or(|(most, ..)| excess > most) {
                worst = Some((excess, row, volts));
            }
        }
        match worst {
            Some((_, row, volts)) => Ok(self.volts_rule(thinner, row, volts)),
            None => self.by_trial(wire, place - 1),
        }
    }

    /// The next size down put to the full judge.
    fn by_trial(&self, wire: usize, place: usize) -> Result<(WireBinding, String), SolveError> {
        let size = self.task.choices[wire].all[place].size;
        let mut sizes = self.settled.plan.sizes.clone();
        sizes[wire] = Some(place);
        let circuit = self.task.applied(&sizes, &self.settled.plan.ratings);
        Ok(match self.judge.worse(&circuit)? {
            Some(Worse::Finding(finding)) => {
                let binding = match finding.code.name() {
                    "short-not-cleared" => WireBinding::Short,
                    "overload-outlasts-wire" => WireBinding::Overload,
                    "drop-above-limit" => WireBinding::Drop,
                    "starter-volts-low" | "cable-drop-high" => WireBinding::Starter,
                    _ => WireBinding::Together,
                };
                (binding, format!("with {size} {}", finding.statement))
            }
            Some(Worse::OtherWorking) => (
                WireBinding::Together,
                format!(
                    "with {size} a load would not be fed, a battery not charged, or a relay would stand otherwise"
                ),
            ),
            Some(Worse::Start(fuse)) => (
                WireBinding::Together,
                format!(
                    "with {size} a start might open `{}`",
                    self.task.fuses[fuse].name
                ),
            ),
            None => (
                WireBinding::Together,
                "nothing by itself: the search was cut short".to_owned(),
            ),
        })
    }

    /// Volts of a row were one wire of another size.
    fn volts(&self, row: &Row, wire: usize, other: &Choice) -> Result<f64, OutOfTable> {
        let basis = self.task.circuit.limits.drop_basis;
        let mut volts = 0.0;
        for (of, amps) in &row.amps {
            let choice = if *of == wire {
                other
            } else {
                self.task.choices[*of].at(self.settled.plan.sizes[*of])
            };
            let rms_a = self.settled.needs.wires[*of].heating_a;
            volts += amps * choice.ohm(row.ohms, basis, rms_a)?;
        }
        Ok(volts)
    }

    fn own_rule(&self, thinner: &Choice, against: &Against) -> (WireBinding, String) {
        let size = thinner.size;
        match against {
            Against::Ampacity {
                current_a,
                carries_a,
            } => (
                WireBinding::Ampacity,
                format!(
                    "{size} may carry {} there, and it has {}",
                    Amps::new(*carries_a),
                    Amps::new(*current_a)
                ),
            ),
            Against::Minimum { least } => (
                WireBinding::Minimum,
                format!("a single wire is at least {least}"),
            ),
            Against::Fuse { fuse, stands_a } => (
                WireBinding::Fuse,
                format!(
                    "{size} stands {} at most, and `{}` is sized {}",
                    Amps::new(*stands_a),
                    self.task.fuses[*fuse].name,
                    amps(self.settled.plan.targets[*fuse].rating_a)
                ),
            ),
            Against::Section { drop_v } => (
                WireBinding::Starter,
                format!("{size} would lose {} while cranking", Volts::new(*drop_v)),
            ),
            Against::Return { fuse, stands_a } => (
                WireBinding::Fuse,
                format!(
                    "{size} stands {} at most, and what `{}` of {} lets through comes back by it",
                    Amps::new(*stands_a),
                    self.task.fuses[*fuse].name,
                    amps(self.settled.plan.targets[*fuse].rating_a)
                ),
            ),
            Against::Unguarded => (
                WireBinding::Unguarded,
                "no fuse guards it, or it cranks a starter: never made thinner".into(),
            ),
            Against::Unused => (
                WireBinding::Unused,
                "no state uses it, so it is never made thinner".into(),
            ),
            Against::Thinner => (WireBinding::Fitted, "thinner wires were ruled out".into()),
            Against::Outlasts(floor) => {
                let fuse = &self.task.fuses[floor.fuse].name;
                match floor.outlasts {
                    Outlasts::Short => (
                        WireBinding::Short,
                        format!("with {size} `{fuse}` would not end a short at its end in time"),
                    ),
                    Outlasts::Overload => (
                        WireBinding::Overload,
                        format!("with {size} an overload of `{fuse}` could outlast it"),
                    ),
                }
            }
        }
    }

    fn volts_rule(&self, thinner: &Choice, row: &Row, volts: f64) -> (WireBinding, String) {
        let size = thinner.size;
        let name = self.name(row.part);
        let state = &row.state;
        match row.kind {
            RowKind::Drop => {
                let nominal_v = self.task.circuit.boat.nominal.si();
                (
                    WireBinding::Drop,
                    format!(
                        "with {size} `{name}` would lose {} in `{state}`, limit {}",
                        percent(volts / nominal_v, row.limit_v / nominal_v),
                        print::percent(row.limit_v / nominal_v)
                    ),
                )
            }
            RowKind::Starter => (
                WireBinding::Starter,
                format!("with {size} `{name}` would get too few volts in `{state}`"),
            ),
            RowKind::Coil => (
                WireBinding::Coil,
                format!("with {size} the coil of `{name}` would get too few volts in `{state}`"),
            ),
        }
    }

    fn name(&self, part: PartId) -> &str {
        &self.task.circuit.part(part).name
    }
}

/// A share above its limit, with a digit more where it would look the same.
fn percent(share: f64, limit: f64) -> String {
    let shown = print::percent(share);
    if shown == print::percent(limit) {
        format!("{} %", print::plain(100.0 * share, 2))
    } else {
        shown
    }
}

/// A rating without idle zeros.
pub(super) fn amps(rating_a: f64) -> String {
    print::nominal(Amps::new(rating_a))
}

/// Every fuse with what decided it.
pub(super) fn fuses(task: &Task<'_>, settled: &Settled, guard: &Guard) -> Vec<SizedFuse> {
    let one = |(at, (case, rated)): (usize, (&FuseCase, &Rated))| SizedFuse {
        id: case.id,
        name: case.name.clone(),
        style: case.style,
        rating_a: rated.rating_a,
        was_a: case.was_a,
        binding: rated.binding,
        because: because(settled, case, *rated, guard.starts.contains(&at)),
        checks: Vec::new(),
    };
    task.fuses
        .iter()
        .zip(&settled.plan.ratings)
        .enumerate()
        .map(one)
        .collect()
}

fn because(settled: &Settled, case: &FuseCase, rated: Rated, start_opens: bool) -> String {
    let load_a = settled.needs.fuses.get(&case.id).map_or(0.0, |n| n.load_a);
    let load = format!(
        "it carries {}, which asks for {} or more",
        Amps::new(load_a),
        Amps::new(case.needed_a(&settled.needs))
    );
    let why = match rated.binding {
        FuseBinding::Keep => "`keep` holds it".into(),
        FuseBinding::Label => "the rating on its label".into(),
        FuseBinding::Load => load,
        FuseBinding::Start => format!("{load}; the least that rides out the starts behind it"),
        FuseBinding::Short => format!("{load}; the most that ends a short behind it in time"),
        FuseBinding::Selectivity => {
            format!(
                "{load}; larger, so that the fuses behind it open first: every wire behind it stands that"
            )
        }
        FuseBinding::Fitted => format!("{load}; the fitted one does"),
        FuseBinding::Unused => "no state loads it".into(),
        FuseBinding::Ceiling => format!("{load}, and nothing that large may be fitted"),
    };
    if start_opens {
        format!("{why}; a start may open it, and nothing larger may be fitted")
    } else {
        why
    }
}
