//! What a test shows on the real boat, with a person's hands and a cheap meter.

use super::boat::{Boat, OPEN_OHM, Point};
use super::dice::Dice;
use super::harm::{Harm, Hidden};
use super::owner::Walk;
use super::shown::{Playing, work};
use ampkeel::circuit::zones::{fuse_terminals, fuses};
use ampkeel::circuit::{Circuit, Device, PartId, TerminalId};
use ampkeel::quantities::Band;
use ampkeel::tracing::{
    Cause, Complaint, Evidence, Figure, Probe, Quantity, Spot, TestKind, Trial,
};
use std::collections::BTreeSet;

/// Seconds that a reading takes.
const READS_S: f64 = 4.0;
/// Tests that are read wrong.
const SLIP: f64 = 0.03;

/// The boat on the slip, and who tests it.
pub(super) struct Bench<'a> {
    pub circuit: &'a Circuit,
    pub now: &'a Playing,
    pub sound: &'a Playing,
    pub walk: &'a Walk,
    pub hidden: &'a Hidden,
}

impl Bench<'_> {
    /// Does a test and adds what came of it.
    pub(super) fn perform(
        &self,
        probe: &Probe,
        evidence: &mut Evidence,
        dice: &mut Dice,
    ) -> String {
        match probe {
            Probe::Trial(trial) => {
                let outcome = self.outcome(trial, evidence, dice);
                probe.with_outcome(evidence, outcome);
                outcome.to_owned()
            }
            Probe::Reading(figure) => {
                let value = self.read(figure, evidence, dice);
                probe.with_value(evidence, value);
                format!("{:.3}", value.typical)
            }
        }
    }

    // ------------------------------------------------------------- readings

    fn read(&self, figure: &Figure, evidence: &Evidence, dice: &mut Dice) -> Band<f64> {
        let value = match figure.quantity {
            Quantity::Ohms => self.ohms(figure, dice),
            Quantity::Volts => {
                let volts = self
                    .point(figure, evidence)
                    .map_or(0.0, |point| self.volts(figure, &point));
                volts * (1.0 + 0.006 * dice.normal()) + 0.02 * dice.normal()
            }
            Quantity::Amps => {
                let amps = self
                    .point(figure, evidence)
                    .map_or(0.0, |point| amps(figure, &point));
                (amps * (1.0 + 0.025 * dice.normal()) + 0.03 * dice.normal()).max(0.0)
            }
            _ => 0.0,
        };
        Band {
            low: value - 0.01 * value.abs(),
            typical: value,
            high: value + 0.01 * value.abs(),
        }
    }

    fn ohms(&self, figure: &Figure, dice: &mut Dice) -> f64 {
        let Spot::Fuse(fuse) = figure.at else {
            return OPEN_OHM;
        };
        let ohm = self
            .now
            .boat
            .ohms_behind(fuse, figure.state, &figure.unplugged, dice);
        if ohm >= OPEN_OHM {
            return OPEN_OHM;
        }
        ohm * (1.0 + 0.01 * dice.normal()) + dice.between(0.1, 0.4)
    }

    /// The state as it is read: where a fuse opens too fast to read, after it.
    fn point(&self, figure: &Figure, evidence: &Evidence) -> Option<Point> {
        let state = figure
            .state
            .or(evidence.states.first().copied())
            .unwrap_or(0);
        if !figure.unplugged.is_empty() {
            let mut boat = self.now.boat.clone();
            for part in &figure.unplugged {
                boat.unplug(*part);
            }
            return Playing::new(boat).point(state, &BTreeSet::new());
        }
        let seen = self.walk.seen[state].as_ref()?;
        let slow = seen
            .opened
            .first()
            .is_none_or(|(_, after_s)| *after_s > READS_S);
        let opens = evidence.complaint == Complaint::FuseOpens;
        Some(if opens && slow {
            seen.whole.clone()
        } else {
            seen.end.clone()
        })
    }

    fn volts(&self, figure: &Figure, point: &Point) -> f64 {
        let at = |end: TerminalId| point.volts[end.0];
        let to = figure.to.map_or(0.0, at);
        match figure.at {
            Spot::Terminal(end) => at(end) - to,
            Spot::Part(part) => {
                let t = &self.circuit.part(part).terminals;
                at(t[0]) - figure.to.map_or_else(|| at(t[t.len() - 1]), at)
            }
            Spot::Fuse(fuse) => {
                let (_, far) = fuse_terminals(self.circuit, fuses(self.circuit)[fuse]);
                at(far) - to
            }
            Spot::Wire(wire) => {
                let wire = &self.circuit.wires[wire];
                at(wire.from) - at(wire.to)
            }
        }
    }

    // ---------------------------------------------------------------- tests

    fn outcome(&self, trial: &Trial, evidence: &Evidence, dice: &mut Dice) -> &'static str {
        let here = self.sits_at(trial.at);
        let inside = self.hidden.seat.inside
            && part_at(self.circuit, trial.at) == self.hidden.seat.part
            && self.hidden.seat.part.is_some();
        let slip = dice.chance(SLIP);
        match trial.test {
            TestKind::Look => {
                let found = if here {
                    dice.chance(self.seen_by_eye(trial.at))
                } else {
                    slip
                };
                if found { "burnt" } else { "good" }
            }
            TestKind::Tug => {
                let found = if here { dice.chance(self.felt()) } else { slip };
                if found { "loose" } else { "firm" }
            }
            TestKind::Wiggle => {
                let moves = here && dice.chance(self.moves());
                if moves || (slip && dice.chance(0.7)) {
                    "changes"
                } else {
                    "same"
                }
            }
            TestKind::Lamp => self.lamp(trial, slip),
            TestKind::Unplug => self.unplug(trial, evidence, slip),
            TestKind::Swap => yes("cured", "same", inside != slip),
            TestKind::Bench | TestKind::Direct => {
                let mild = matches!(self.hidden.cause, Cause::DraggingMotor) && dice.chance(0.2);
                yes("bad", "good", (inside && !mild) != slip)
            }
            TestKind::Bridge => yes("runs", "silent", self.bridged(trial, evidence) != slip),
            TestKind::NewFuse => self.new_fuse(trial, slip),
            TestKind::Continuity => yes("open", "beeps", self.fuse_is_open(trial) != slip),
            TestKind::Clean | TestKind::Jumper => "same",
        }
    }

    fn sits_at(&self, spot: Spot) -> bool {
        let seat = &self.hidden.seat;
        let end_part = seat.terminal.map(|end| self.circuit.terminal(end).part);
        match spot {
            Spot::Wire(wire) => seat.wire == Some(wire),
            Spot::Fuse(fuse) => seat.fuse == Some(fuse),
            Spot::Terminal(end) => seat.terminal == Some(end),
            Spot::Part(part) => {
                let fuse_part = seat.fuse.map(|fuse| fuses(self.circuit)[fuse].part);
                seat.part == Some(part) || end_part == Some(part) || fuse_part == Some(part)
            }
        }
    }

    /// How often the fault is seen where it sits.
    fn seen_by_eye(&self, spot: Spot) -> f64 {
        match self.hidden.cause {
            Cause::ShortToGround if matches!(spot, Spot::Wire(_)) => 0.55,
            Cause::ShortToGround | Cause::StopLine => 0.6,
            Cause::HighResistanceJoint | Cause::BadGround | Cause::SneakPath => 0.45,
            Cause::OpenWire if self.hidden.seat.wire.is_some() => 0.4,
            Cause::FuseHolder | Cause::Water | Cause::OverloadAdded => 0.7,
            Cause::WrongFuse | Cause::ReversedPolarity => 0.85,
            Cause::TiredFuse => 0.65,
            Cause::ShortInLoad | Cause::RectifierShort => 0.2,
            _ => 0.08,
        }
    }

    fn felt(&self) -> f64 {
        match self.hidden.harm {
            Harm::Joint { .. } | Harm::Bolt { .. } | Harm::Loose { .. } => 0.7,
            Harm::Weak { ohm, .. } if ohm > 0.0 => 0.5,
            Harm::Inside { .. } if !self.hidden.seat.inside => 0.55,
            Harm::Cut { .. } => 0.5,
            _ => 0.04,
        }
    }

    fn moves(&self) -> f64 {
        match self.hidden.harm {
            Harm::Leak { .. } | Harm::Joint { .. } | Harm::Cut { .. } | Harm::Bolt { .. } => 0.4,
            Harm::Inside { .. } if !self.hidden.seat.inside => 0.35,
            Harm::Weak { ohm, .. } if ohm > 0.0 => 0.3,
            _ => 0.02,
        }
    }

    fn lamp(&self, trial: &Trial, slip: bool) -> &'static str {
        if slip {
            return "dim";
        }
        let Spot::Fuse(fuse) = trial.at else {
            return "off";
        };
        brightness(lamp_v(&self.now.boat, fuse, trial.state, &[]))
    }

    fn unplug(&self, trial: &Trial, evidence: &Evidence, slip: bool) -> &'static str {
        let Some(part) = part_at(self.circuit, trial.at) else {
            return "stays";
        };
        let clears = match (evidence.complaint, evidence.fuse) {
            (Complaint::FuseOpens, Some(fuse)) => {
                let before = brightness(lamp_v(&self.now.boat, fuse, trial.state, &[]));
                let after = brightness(lamp_v(&self.now.boat, fuse, trial.state, &[part]));
                before == "bright" && after != "bright"
            }
            (Complaint::Drain, _) => {
                let mut boat = self.now.boat.clone();
                boat.unplug(part);
                let before = self.walk.seen[trial.state]
                    .as_ref()
                    .map_or(0.0, |seen| Playing::battery_a(&seen.end));
                let after = Playing::new(boat).see(trial.state);
                after.is_some_and(|seen| Playing::battery_a(&seen.end) < 0.4 * before)
            }
            _ => false,
        };
        yes("clears", "stays", clears != slip)
    }

    fn bridged(&self, trial: &Trial, evidence: &Evidence) -> bool {
        let (Some(relay), Some(load)) = (
            part_at(self.circuit, trial.at),
            evidence.loads.first().or(evidence.dead.first()),
        ) else {
            return false;
        };
        let t = &self.circuit.part(relay).terminals;
        let mut boat = self.now.boat.clone();
        boat.ohms(t[2], t[3], 0.02);
        let now = Playing::new(boat);
        let (Some(seen), Some(sound)) = (now.see(trial.state), self.sound.see(trial.state)) else {
            return false;
        };
        let model = &self.now.boat.resolved.parts[load.0];
        work(self.circuit, model, *load, &seen.end, &sound.end).is_some_and(|work| work > 0.5)
    }

    /// One new fuse of the printed rating: it cures, it opens again, or nothing
    /// changes.
    fn new_fuse(&self, trial: &Trial, slip: bool) -> &'static str {
        let Spot::Fuse(fuse) = trial.at else {
            return "same";
        };
        let own = self.hidden.seat.fuse == Some(fuse);
        let worn = matches!(
            self.hidden.cause,
            Cause::TiredFuse | Cause::ReversedPolarity | Cause::WrongFuse
        );
        if (own && worn) != slip {
            return "cured";
        }
        let opens = self.walk.seen[trial.state]
            .as_ref()
            .is_some_and(|seen| seen.opened.iter().any(|(own, _)| *own == fuse));
        yes("opens", "same", opens)
    }

    /// Whether a fuse that is pulled and beeped is open.
    fn fuse_is_open(&self, trial: &Trial) -> bool {
        let Spot::Fuse(fuse) = trial.at else {
            return false;
        };
        let burnt = matches!(self.hidden.harm, Harm::Burnt { fuse: own } if own == fuse);
        let opened = self.walk.seen[trial.state]
            .as_ref()
            .is_some_and(|seen| seen.opened.iter().any(|(own, _)| *own == fuse));
        burnt || opened
    }
}

fn amps(figure: &Figure, point: &Point) -> f64 {
    match figure.at {
        Spot::Fuse(fuse) => point.fuse_a[fuse].abs(),
        _ => 0.0,
    }
}

fn yes(yes: &'static str, no: &'static str, is: bool) -> &'static str {
    if is { yes } else { no }
}

fn part_at(circuit: &Circuit, spot: Spot) -> Option<PartId> {
    match spot {
        Spot::Part(part) => Some(part),
        Spot::Terminal(end) => Some(circuit.terminal(end).part),
        Spot::Fuse(_) | Spot::Wire(_) => None,
    }
}

/// Volts across a headlamp in a fuse's holder, with parts unplugged.
pub(super) fn lamp_v(boat: &Boat, fuse: usize, state: usize, unplugged: &[PartId]) -> f64 {
    lit(boat, fuse, state, unplugged).map_or(0.0, |(volts, _)| volts)
}

/// The same with everything the lamp's current shows.
pub(super) fn lit(
    boat: &Boat,
    fuse: usize,
    state: usize,
    unplugged: &[PartId],
) -> Option<(f64, Point)> {
    let mut boat = boat.only(state);
    for part in unplugged {
        boat.unplug(*part);
    }
    let (from, to) = boat.lamp_in(fuse);
    let point = boat.solve().pop().flatten()?;
    let at = |end: TerminalId| {
        let label = &boat.circuit.terminals[end.0].label;
        point.solution.terminals_v.get(label).copied().flatten()
    };
    let volts = at(from)
        .zip(at(to))
        .map_or(0.0, |(from, to)| (from - to).abs());
    Some((volts, point))
}

fn brightness(volts: f64) -> &'static str {
    match volts {
        v if v > 8.7 => "bright",
        v if v > 2.2 => "dim",
        _ => "off",
    }
}

/// Parts that have a plug or a socket.
pub(super) fn unpluggable(circuit: &Circuit) -> Vec<PartId> {
    let plugs = |part: &PartId| {
        matches!(
            circuit.part(*part).device,
            Device::Pump(_)
                | Device::Motor(_)
                | Device::Solenoid(_)
                | Device::Load(_)
                | Device::Plug(_)
                | Device::Relay(_)
                | Device::Charger(_)
        )
    };
    circuit.part_ids().filter(plugs).collect()
}
