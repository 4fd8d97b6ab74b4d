//! What a boat shows in its states, walked through one after the other: fuses
//! that open and when, what works, what the battery gives.

use super::boat::{Boat, Point};
use ampkeel::circuit::{Circuit, Device, LoadLaw, PartId};
use ampkeel::devices::{LoadShape, Model};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// Seconds that somebody cranks, holds a button, or watches.
const CRANKS_S: f64 = 7.0;
const HELD_S: f64 = 20.0;
const WATCHED_S: f64 = 900.0;
/// Fuses that open one after the other in a state.
const OPENINGS: usize = 3;

/// One state of a boat.
#[derive(Clone)]
pub(super) struct Seen {
    /// With every fuse whole.
    pub whole: Point,
    /// Fuses that open, with the seconds each takes.
    pub opened: Vec<(usize, f64)>,
    /// At the end.
    pub end: Point,
}

/// A boat with whatever is wrong, its states solved on demand.
pub(super) struct Playing {
    pub boat: Boat,
    solved: RefCell<BTreeMap<BTreeSet<usize>, Vec<Option<Point>>>>,
}

impl Playing {
    pub(super) fn new(boat: Boat) -> Self {
        Self {
            boat,
            solved: RefCell::new(BTreeMap::new()),
        }
    }

    /// A state with some fuses open.
    pub(super) fn point(&self, state: usize, open: &BTreeSet<usize>) -> Option<Point> {
        let mut solved = self.solved.borrow_mut();
        let found = solved.entry(open.clone()).or_insert_with(|| {
            let mut boat = self.boat.clone();
            for fuse in open {
                boat.open_fuse(*fuse);
            }
            boat.solve()
        });
        found.get(state).cloned().flatten()
    }

    /// A state as it goes; none where it has no solution.
    pub(super) fn see(&self, state: usize) -> Option<Seen> {
        let whole = self.point(state, &BTreeSet::new())?;
        let most_s = self.lasts_s(state, &whole);
        let mut open = BTreeSet::new();
        let mut opened = Vec::new();
        let mut end = whole.clone();
        while opened.len() < OPENINGS {
            let times = self.boat.fuses.iter().zip(&end.fuse_a).enumerate();
            let times = times.filter(|(at, _)| !open.contains(at));
            let times =
                times.filter_map(|(at, (fuse, amps))| Some((at, fuse.opens_after_s(*amps)?)));
            let first = times.min_by(|a, b| a.1.total_cmp(&b.1));
            let Some((fuse, after_s)) = first.filter(|first| first.1 < most_s) else {
                break;
            };
            open.insert(fuse);
            opened.push((fuse, after_s));
            end = self.point(state, &open)?;
        }
        Some(Seen { whole, opened, end })
    }

    /// How long a state lasts: nobody cranks for minutes.
    fn lasts_s(&self, state: usize, point: &Point) -> f64 {
        let circuit = &self.boat.circuit;
        let cranks = circuit.parts.iter().any(|part| {
            let starter = match &part.device {
                Device::Motor(spec) => spec
                    .class
                    .as_ref()
                    .is_some_and(|class| class.value.starts_with("starter")),
                _ => false,
            };
            let reading = point.solution.parts.get(&part.name);
            starter
                && reading
                    .and_then(|one| one.current_a)
                    .is_some_and(|amps| amps.abs() > 20.0)
        });
        let name = &circuit.states[state].name;
        if cranks || name == "start" {
            CRANKS_S
        } else if [
            "trim", "tilt", "horn", "prime", "glow", "key-on", "stopping",
        ]
        .iter()
        .any(|held| name.starts_with(held))
        {
            HELD_S
        } else {
            WATCHED_S
        }
    }

    /// Amperes the batteries give together.
    pub(super) fn battery_a(point: &Point) -> f64 {
        point
            .solution
            .batteries
            .values()
            .map(|one| one.current_a)
            .sum()
    }
}

/// What a load does, over what it should: 0 dead, 1 sound; none where it is off.
pub(super) fn work(
    circuit: &Circuit,
    model: &Model,
    part: PartId,
    now: &Point,
    sound: &Point,
) -> Option<f64> {
    let name = &circuit.part(part).name;
    let was = sound.solution.parts.get(name)?;
    let (was_v, was_a) = (was.voltage_v?.abs(), was.current_a?.abs());
    if was_v < 3.0 || was_a < 1e-3 {
        return None;
    }
    let Some(is) = now.solution.parts.get(name) else {
        return Some(0.0);
    };
    let volts = is.voltage_v.unwrap_or(0.0);
    let share = (volts / was.voltage_v?).max(0.0);
    let fed = is.current_a.unwrap_or(0.0).abs() > 0.02 * was_a;
    if !fed {
        return Some(0.0);
    }
    Some(match model {
        Model::Motor(_) => match (is.speed_rad_s, was.speed_rad_s) {
            (Some(is), Some(was)) if was.abs() > 1e-6 => (is / was).max(0.0),
            _ => share,
        },
        Model::Load(load) => match load.shape {
            LoadShape::Lamp { .. } => share.powi(3),
            LoadShape::Power(_) | LoadShape::Current(_) => {
                let cut = load.cut_off.typical.si();
                if volts > cut + 0.3 {
                    1.0
                } else if volts > cut {
                    0.5
                } else {
                    0.0
                }
            }
            LoadShape::Resistance(_) => share.powi(2),
        },
        _ => share.powi(2),
    })
}

/// Whether an owner can tell that a load is dead, and that it is weak.
pub(super) fn noticed(circuit: &Circuit, part: PartId) -> (bool, bool) {
    match &circuit.part(part).device {
        Device::Pump(_) | Device::Motor(_) => (true, true),
        Device::Solenoid(spec) => {
            let injector = spec
                .class
                .as_ref()
                .is_some_and(|class| class.value == "injector");
            (true, !injector)
        }
        Device::Load(load) => match &load.law.value {
            LoadLaw::Resistance(ohms) => (ohms.typical.si() < 100.0, ohms.typical.si() < 100.0),
            LoadLaw::Lamp(_) => (true, true),
            LoadLaw::Class(class) => (true, class.contains("light")),
            _ => (true, false),
        },
        _ => (false, false),
    }
}
