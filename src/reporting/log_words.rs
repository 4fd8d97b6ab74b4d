//! What a reading of a worksheet is called in a log.
//!
//! A log of `interpret` knows the measures of a part and the kind of run; one of
//! `trace` knows terminals of the circuit and its states. The bench step says
//! what each reading is; readings no log has a word for stay on the sheet.

use crate::bench::{Kind, Logged, Quantity, Reading, Run};
use crate::circuit::Circuit;
use crate::interpreting::Measure;

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
    fn new(at: &str, quantity: &str, state: &str) -> Self {
        Self {
            at: at.to_owned(),
            to: String::new(),
            quantity: quantity.to_owned(),
            state: state.to_owned(),
        }
    }
}

/// The entry of a part's reading in a log of `interpret`.
pub(super) fn of_part(kind: &Kind, reading: &Reading) -> Option<LogWords> {
    match (reading.logged.as_ref()?, kind) {
        // One fuse is interpreted at a time, never a block of them.
        (_, Kind::Fuses(fuses)) if fuses.len() != 1 => None,
        // A charger is judged without a bench battery. A motor turns free on the
        // bench and for `interpret` alike, but the sheet logs nothing of that run:
        // what else it reads stays on the sheet with it.
        (Logged::AtRest, Kind::Charger(_))
        | (Logged::OfPart(..), Kind::Drive(_))
        | (Logged::Lost { .. }, _) => None,
        (Logged::AtRest, _) => Some(LogWords::new("rest", "volts", "rest")),
        (Logged::OfPart(quantity, run), _) => {
            let run = run.map_or("", run_word);
            Some(LogWords::new("part", measure(*quantity).option(), run))
        }
    }
}

/// The measure of `interpret` that a bench reading is.
const fn measure(quantity: Quantity) -> Measure {
    match quantity {
        Quantity::Volts => Measure::Volts,
        Quantity::Amps => Measure::Amps,
        Quantity::Ohms => Measure::Ohms,
        Quantity::PullIn => Measure::PullIn,
        Quantity::Forward => Measure::Forward,
        Quantity::ToGround => Measure::ToGround,
        Quantity::PlusToGround => Measure::PlusToGround,
    }
}

const fn run_word(run: Run) -> &'static str {
    match run {
        Run::Wet => "wet",
        Run::On => "on",
    }
}

/// The entry of a harness reading in a log of `trace`: volts lost between a
/// load's terminal and the post of the battery that feeds it, in a state.
pub(super) fn of_harness(circuit: &Circuit, reading: &Reading) -> Option<LogWords> {
    let Logged::Lost { state, at, to } = reading.logged.as_ref()? else {
        return None;
    };
    Some(LogWords {
        at: circuit.terminal(*at).label.clone(),
        to: circuit.terminal(*to).label.clone(),
        quantity: "volts".to_owned(),
        state: state.clone(),
    })
}
