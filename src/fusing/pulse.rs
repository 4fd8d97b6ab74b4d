//! Pulses, stalls and repeated starts through one fuse.
//!
//! Currents come in steps, constant or falling; rounds of them start at equal
//! times. All three instances are run with their clocks matched to the gates;
//! beside each stands what the fitted (passive) network says.

use super::Request;
use crate::heating::{
    Course, Duty, Element, Family, Heat, Life, Protector, Run, starts_before_fatigue,
};
use crate::quantities::{Amps, Ohms, Seconds};
use crate::sources::{Source, Sourced};
use crate::tables::OutOfTable;
use crate::tables::fuses::Edge;

/// A current as asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Level {
    /// So many times the rating in its air.
    Multiple(f64),
    /// Amperes.
    Current(Amps),
}

impl Level {
    fn multiple(self, fuse: &Protector) -> f64 {
        match self {
            Self::Multiple(multiple) => multiple,
            Self::Current(current) => fuse.multiple(current.si()),
        }
    }
}

/// One step of a pulse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Current at its start.
    pub from: Level,
    /// What it falls to; none where it is constant.
    pub towards: Option<Level>,
    /// How long it lasts; of a falling current, the time in which 63 % of the
    /// way is gone. None for good.
    pub time: Option<Seconds>,
}

/// What the fuse is put through.
#[derive(Debug, Clone, PartialEq)]
pub struct Pulse {
    /// As it was asked for, in words.
    pub words: String,
    /// Its steps.
    pub steps: Vec<Step>,
    /// How many rounds; 1 where it is not repeated.
    pub rounds: u32,
    /// From the start of one round to that of the next.
    pub every: Option<Seconds>,
    /// Current between the rounds; none flows where it is not given.
    pub between: Option<Level>,
    /// Steady current for a long time before.
    pub warm: Option<Level>,
    /// Whether a new fuse was put into the holder this warmed.
    pub replaced: bool,
    /// Contact resistance of the holder beyond a sound one's.
    pub holder: Option<Ohms>,
}

/// What becomes of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// Every conforming fuse opens.
    Opens,
    /// Some do.
    MayOpen,
    /// None does.
    Holds,
}

impl Fate {
    /// The word in output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Opens => "opens",
            Self::MayOpen => "may open",
            Self::Holds => "holds",
        }
    }
}

/// One instance through the pulses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instance {
    /// Which one.
    pub edge: Edge,
    /// With its clock matched to the gates.
    pub matched: Run,
    /// As its network was fitted.
    pub passive: Run,
    /// From the start of the first round to the opening.
    pub opens: Option<Seconds>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Fared {
    /// What becomes of the fuse.
    pub fate: Fate,
    /// Early, middle, late.
    pub instances: [Instance; 3],
    /// How many such rounds wear an element out.
    pub life: Sourced<Life>,
    /// Where the networks come from.
    pub source: Source,
}

impl Fared {
    /// When an instance opens.
    pub fn opens(&self, edge: Edge) -> Option<Seconds> {
        let of = |instance: &&Instance| instance.edge == edge;
        self.instances.iter().find(of).and_then(|i| i.opens)
    }

    /// How many of these rounds wear a middle element out, by the chart of
    /// pulses: its first point, 100, stands for that and fewer; none beyond its
    /// last, 100 000.
    pub fn wears_out_after(&self) -> Option<f64> {
        match self.life.value {
            Life::Short => Some(100.0),
            Life::Starts(count) => Some(count),
            Life::Long => None,
        }
    }
}

/// A falling current that is followed by another has fallen for so many times
/// its own time: 99 % of the way.
const FALLS_FOR: f64 = 5.0;
/// Kelvin by the watt between a bad holder and the element, for the early, the
/// middle and the late instance; the element melts some 400 K above the air.
const HOLDER_K_PER_W: [f64; 3] = [40.0, 30.0, 20.0];
const MELTS_AT_K: f64 = 400.0;

/// Runs the pulses of a request through its fuse.
///
/// # Errors
/// When the family is not made in this rating.
pub(super) fn fare(request: &Request, pulse: &Pulse) -> Result<Fared, OutOfTable> {
    let family = Family::Fuse(request.style);
    let fuse = Protector::new(family, request.rating, request.ambient)?;
    let duty = duty(&fuse, pulse);
    let round_s = pulse.every.map_or(0.0, Seconds::si);
    let mut at = 0;
    let instances = Edge::ALL.map(|edge| {
        let bad = pulse.holder.map_or(0.0, |ohms| {
            let watts = fuse.rating.si() * fuse.rating.si() * ohms.si();
            watts * HOLDER_K_PER_W[at] / MELTS_AT_K
        });
        at += 1;
        let run = |element: Element| {
            let element = element.in_bad_holder(bad);
            let heat = start(&fuse, pulse, &element);
            element.run(heat, &duty)
        };
        let matched = run(fuse.element(edge));
        let opens = |(seconds, round): (f64, u32)| seconds + f64::from(round - 1) * round_s;
        Instance {
            edge,
            matched,
            passive: run(fuse.passive(edge)),
            opens: matched.opens.map(|at| Seconds::new(opens(at))),
        }
    });
    let fate = match (instances[0].opens, instances[2].opens) {
        (_, Some(_)) => Fate::Opens,
        (Some(_), None) => Fate::MayOpen,
        (None, None) => Fate::Holds,
    };
    Ok(Fared {
        life: starts_before_fatigue(instances[1].matched.peak)?,
        fate,
        instances,
        source: fuse.network_source,
    })
}

fn start(fuse: &Protector, pulse: &Pulse, element: &Element) -> Heat {
    let settled = pulse.warm.map_or_else(
        || element.cold(),
        |level| element.settled(level.multiple(fuse)),
    );
    if pulse.replaced {
        element.replaced(&settled)
    } else {
        settled
    }
}

fn duty(fuse: &Protector, pulse: &Pulse) -> Duty {
    let mut courses: Vec<Course> = Vec::new();
    let mut used_s = 0.0;
    let round_s = pulse.every.map_or(f64::INFINITY, Seconds::si);
    for (at, step) in pulse.steps.iter().enumerate() {
        let is_last = at + 1 == pulse.steps.len();
        let from = step.from.multiple(fuse);
        let course = match (step.towards, step.time) {
            (Some(towards), Some(decay)) => {
                let lasts_s = if is_last {
                    round_s - used_s
                } else {
                    FALLS_FOR * decay.si()
                };
                Course::falling(from, towards.multiple(fuse), decay.si(), lasts_s)
            }
            (_, Some(time)) => Course::constant(from, time.si()),
            (_, None) => Course::constant(from, round_s - used_s),
        };
        used_s += course.lasts_s;
        courses.push(course);
    }
    let rest_s = round_s - used_s;
    if rest_s > 0.0 && used_s.is_finite() {
        let between = pulse.between.map_or(0.0, |level| level.multiple(fuse));
        courses.push(Course::constant(between, rest_s));
    }
    Duty {
        courses,
        rounds: pulse.rounds,
    }
}

impl Pulse {
    /// Why it cannot be run: rounds that do not fit their interval.
    pub fn trouble(&self) -> Option<String> {
        let lasts = |(at, step): (usize, &Step)| match (step.towards, step.time) {
            (Some(_), Some(_)) if at + 1 == self.steps.len() => 0.0,
            (Some(_), Some(decay)) => FALLS_FOR * decay.si(),
            (None, Some(time)) => time.si(),
            (_, None) => 0.0,
        };
        let used_s: f64 = self.steps.iter().enumerate().map(lasts).sum();
        let endless = self.steps.iter().rposition(|step| step.time.is_none());
        if endless.is_some_and(|at| at + 1 < self.steps.len()) {
            return Some("only the last step may go without `for TIME`".into());
        }
        match self.every {
            None if self.rounds > 1 => {
                Some("`--repeat` needs `--every`, the time from start to start".into())
            }
            Some(every) if used_s > every.si() * (1.0 + 1e-9) => Some(format!(
                "one round takes {}, longer than `--every {every}`",
                Seconds::new(used_s)
            )),
            _ => None,
        }
    }
}
