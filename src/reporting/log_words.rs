//! What a reading of a worksheet is called in a log.
//!
//! A log of `interpret` knows the measures of a part and the kind of run; one of
//! `trace` knows terminals of the circuit and its states. Readings that a log
//! has no word for stay on the sheet.

use crate::bench::{Kind, Reading, Step, Unit};
use crate::circuit::{Circuit, Device};

/// The keys of a log's entry beside its value.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LogWords {
    /// `at`.
    pub at: String,
    /// `to`, in a log of `trace`.
    pub to: String,
    /// `quantity`.
    pub quantity: String,
    /// `state`.
    pub state: String,
}

impl LogWords {
    fn new((at, quantity, state): (&str, &str, &str)) -> Self {
        Self {
            at: at.to_owned(),
            to: String::new(),
            quantity: quantity.to_owned(),
            state: state.to_owned(),
        }
    }
}

/// `at`, `quantity` and `state`.
type Words = (&'static str, &'static str, &'static str);

/// The entry of a part's reading in a log of `interpret`.
pub(super) fn of_part(kind: &Kind, step: &Step, reading: &Reading) -> Option<LogWords> {
    let resting = step.action.contains("nothing connected");
    let found = words(kind, reading.quantity.as_str(), resting);
    found.map(LogWords::new)
}

fn words(kind: &Kind, what: &str, resting: bool) -> Option<Words> {
    match (kind, what) {
        (Kind::Charger(_), _) => charger(what),
        // One fuse is interpreted at a time, never a block of them.
        (Kind::Fuses(fuses), _) if fuses.len() != 1 => None,
        (_, "volts at rest") => Some(("rest", "volts", "rest")),
        (Kind::Battery(_), _) => None,
        (_, "volts at the posts") if resting => Some(("rest", "volts", "rest")),
        (Kind::Motor(_) | Kind::Pulse(_), _) => pump(what),
        (Kind::Relay(_), _) => relay(what),
        (Kind::Starter(_) | Kind::Solenoid(_) | Kind::Load(_), _) => plain(what),
        (Kind::Primary(_), "primary") => Some(("part", "ohms", "")),
        // The bench runs a trim motor free; `interpret` takes it at the working
        // point of the file, so its current and volts stay on the sheet as well.
        _ => None,
    }
}

fn plain(what: &str) -> Option<Words> {
    match what {
        "current" => Some(("part", "amps", "")),
        "volts at the starter" | "volts at its terminals" => Some(("part", "volts", "")),
        "ohms through the brushes" | "coil" => Some(("part", "ohms", "")),
        _ => None,
    }
}

fn pump(what: &str) -> Option<Words> {
    match what {
        "current" | "mean current" => Some(("part", "amps", "wet")),
        "volts at the pump" => Some(("part", "volts", "wet")),
        "lowest ohms of ten tries" | "coil" => Some(("part", "ohms", "")),
        _ => None,
    }
}

fn relay(what: &str) -> Option<Words> {
    match what {
        "coil" => Some(("part", "ohms", "")),
        "coil current" => Some(("part", "amps", "on")),
        "volts at the coil" => Some(("part", "volts", "on")),
        "closes at" => Some(("part", "pull-in", "")),
        _ => None,
    }
}

fn charger(what: &str) -> Option<Words> {
    match what {
        "between two coil leads" => Some(("part", "ohms", "")),
        "each diode, one way" => Some(("part", "diode", "")),
        "plus to ground, the higher way round" => Some(("part", "plus-to-ground", "")),
        "coil lead to block" => Some(("part", "ohms-to-ground", "")),
        _ => None,
    }
}

/// The entry of a harness reading in a log of `trace`: volts lost between a
/// load's terminal and the battery's post in a state.
pub(super) fn of_harness(circuit: &Circuit, step: &Step, reading: &Reading) -> Option<LogWords> {
    let name = |text: &str| text.split('`').nth(1).map(str::to_owned);
    let state = name(
        step.action
            .strip_prefix("Minus on last, fuses in. State ")?,
    )?;
    let part = name(&reading.quantity)?;
    let part = circuit.part(circuit.find(&part)?);
    let battery = circuit
        .parts
        .iter()
        .find(|part| matches!(part.device, Device::Battery(_)))?;
    let label = |part: &crate::circuit::Part, at: usize| {
        let terminal = part.terminals.get(at)?;
        Some(circuit.terminal(*terminal).label.clone())
    };
    let [at, to] = if reading.quantity.ends_with("plus post to its plus") {
        [label(battery, 0)?, label(part, 0)?]
    } else {
        [
            label(part, part.terminals.len().checked_sub(1)?)?,
            label(battery, 1)?,
        ]
    };
    debug_assert!(reading.unit == Unit::Volts);
    Some(LogWords {
        at,
        to,
        quantity: "volts".to_owned(),
        state,
    })
}
