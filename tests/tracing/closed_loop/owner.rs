//! What the owner of such a boat tells: the complaint, and what goes with it.
//!
//! Only what can be seen without a tool. Some of it is left out, some rounded,
//! three in a hundred statements are wrong.

use super::dice::Dice;
use super::harm::{Harm, Hidden};
use super::shown::{Playing, Seen, noticed, work};
use ampkeel::circuit::{Circuit, Device, PartId};
use ampkeel::quantities::Band;
use ampkeel::tables::tracing::WeightColumn;
use ampkeel::tracing::{Before, Complaint, Element, Evidence, SignKind, Spot};

/// A statement that is wrong.
const SLIP: f64 = 0.03;
/// Someone who calls a load dead without a look at its fuse.
const UNLOOKED: f64 = 0.2;
/// Amperes from the battery that smoke and melt.
const MELTS_A: f64 = 200.0;
/// Temperature from which insulation smokes.
const SMOKES_DEGC: f64 = 150.0;
/// Amperes at rest that empty a battery.
const DRAINS_A: f64 = 0.07;
/// Work below which a load is dead, weak; above which it works.
const DEAD: f64 = 0.2;
const WEAK: f64 = 0.72;
const WORKS: f64 = 0.87;

/// What all states show, of the boat as it is and as it was.
pub(super) struct Walk {
    pub seen: Vec<Option<Seen>>,
    pub sound: Vec<Option<Seen>>,
}

/// Why a hidden fault is not a case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum NoCase {
    /// Nothing shows.
    Silent,
    /// It makes another complaint than the one drawn.
    Other,
    /// A state has no solution.
    Unsolved,
}

impl Walk {
    pub(super) fn of(now: &Playing, sound: &Playing) -> Self {
        let states = 0..sound.boat.circuit.states.len();
        Self {
            seen: states.clone().map(|state| now.see(state)).collect(),
            sound: states.map(|state| sound.see(state)).collect(),
        }
    }

    /// States that are real, not what-if.
    pub(super) fn real<'a>(&'a self, circuit: &'a Circuit) -> impl Iterator<Item = usize> + 'a {
        (0..self.seen.len()).filter(|state| !circuit.states[*state].is_what_if())
    }

    /// What a load does in a state.
    pub(super) fn work(&self, now: &Playing, state: usize, part: PartId) -> Option<f64> {
        let (seen, sound) = (self.seen[state].as_ref()?, self.sound[state].as_ref()?);
        let boat = &now.boat;
        let own = work(
            &boat.circuit,
            &boat.resolved.parts[part.0],
            part,
            &seen.end,
            &sound.end,
        )?;
        // A plunger that is stuck draws and does nothing.
        let stuck = boat.circuit.states[state].conditions.contains_key(&part)
            && matches!(
                boat.resolved.parts[part.0],
                ampkeel::devices::Model::PulsePump(_)
            );
        Some(if stuck { 0.0 } else { own })
    }

    fn opens(&self, state: usize) -> Option<(usize, f64)> {
        self.seen[state].as_ref()?.opened.first().copied()
    }
}

/// The owner tells.
pub(super) struct Owner<'a> {
    pub circuit: &'a Circuit,
    pub now: &'a Playing,
    pub walk: &'a Walk,
    pub hidden: &'a Hidden,
}

impl Owner<'_> {
    /// The evidence, where the fault makes a complaint of the column it was drawn from.
    pub(super) fn tells(&self, column: WeightColumn, dice: &mut Dice) -> Result<Evidence, NoCase> {
        if self
            .walk
            .real(self.circuit)
            .any(|state| self.walk.seen[state].is_none())
        {
            return Err(NoCase::Unsolved);
        }
        let first = self
            .walk
            .real(self.circuit)
            .find(|state| self.walk.opens(*state).is_some());
        let mut troubled = self.troubled();
        if column == WeightColumn::Reversed {
            return self.after_reversal(&troubled, dice);
        }
        if let Some(first) = first {
            let unlooked = !troubled.is_empty() && dice.chance(UNLOOKED);
            return match column {
                WeightColumn::FuseOpens => Ok(self.fuse_opens(first, dice)),
                WeightColumn::DeadOrWeak if unlooked => Ok(self.load_fails(&troubled, dice)),
                _ => Err(NoCase::Other),
            };
        }
        if let Some(state) = self
            .walk
            .real(self.circuit)
            .find(|state| self.melts(*state))
        {
            if column != WeightColumn::FuseOpens {
                return Err(NoCase::Other);
            }
            let mut evidence = Evidence::of(Complaint::FuseOpens);
            evidence.states = vec![state];
            let told = dice.chance(0.8);
            evidence.signs.extend(self.smoke(state).filter(|_| told));
            return Ok(evidence);
        }
        if !troubled.is_empty() {
            if column != WeightColumn::DeadOrWeak {
                return Err(NoCase::Other);
            }
            troubled.sort_by(|a, b| a.2.total_cmp(&b.2));
            return Ok(self.load_fails(&troubled, dice));
        }
        match (self.drains(), column) {
            (true, WeightColumn::Drain) => Ok(self.drain(dice)),
            (true, _) => Err(NoCase::Other),
            _ => Err(NoCase::Silent),
        }
    }

    /// Loads in trouble: state, load, work.
    fn troubled(&self) -> Vec<(usize, PartId, f64)> {
        let mut all = Vec::new();
        for state in self.walk.real(self.circuit) {
            for part in self.circuit.part_ids() {
                let (dead, weak) = noticed(self.circuit, part);
                if let Some(work) = self.walk.work(self.now, state, part)
                    && ((work < DEAD && dead) || (work < WEAK && weak))
                {
                    all.push((state, part, work));
                }
            }
        }
        all
    }

    fn melts(&self, state: usize) -> bool {
        let amps = |seen: &Option<Seen>| {
            seen.as_ref()
                .map_or(0.0, |seen| Playing::battery_a(&seen.whole))
        };
        amps(&self.walk.seen[state]) > amps(&self.walk.sound[state]) + MELTS_A
    }

    /// The wire that smokes, where one does.
    fn smoke(&self, state: usize) -> Option<(Spot, SignKind)> {
        let seen = self.walk.seen[state].as_ref()?;
        let wires = seen
            .whole
            .solution
            .wires
            .iter()
            .filter(|wire| wire.wire < self.circuit.wires.len());
        let hottest = wires.max_by(|a, b| a.temperature_degc.total_cmp(&b.temperature_degc))?;
        (hottest.temperature_degc > SMOKES_DEGC)
            .then_some((Spot::Wire(hottest.wire), SignKind::Smoke))
    }

    /// The state with everything off, where the file has one.
    fn off(&self) -> Option<usize> {
        let rest = |state: &usize| {
            let sound = self.walk.sound[*state].as_ref();
            sound.is_some_and(|seen| Playing::battery_a(&seen.end).abs() < 0.05)
        };
        self.walk.real(self.circuit).find(rest)
    }

    fn drains(&self) -> bool {
        let Some(off) = self.off() else { return false };
        self.walk.seen[off]
            .as_ref()
            .is_some_and(|seen| Playing::battery_a(&seen.end) > DRAINS_A)
    }

    fn fuse_opens(&self, first: usize, dice: &mut Dice) -> Evidence {
        let mut evidence = Evidence::of(Complaint::FuseOpens);
        let (fuse, after_s) = self.walk.opens(first).unwrap_or((0, 1.0));
        evidence.fuse = Some(fuse);
        evidence.states.push(first);
        for state in self.walk.real(self.circuit) {
            let opens = self.walk.opens(state).is_some_and(|(own, _)| own == fuse);
            let told = if state < first { 0.6 } else { 0.35 };
            if state == first || !dice.chance(told) {
                continue;
            }
            let told_opens = opens != dice.chance(SLIP);
            match (told_opens, self.walk.opens(state)) {
                (true, _) if evidence.states.len() < 3 => evidence.states.push(state),
                (false, None) => evidence.fine.push(state),
                _ => {}
            }
        }
        if dice.chance(0.7) {
            evidence.opens_after = Some(rounded(after_s * dice.factor(0.15)));
        }
        let amps = self.walk.seen[first]
            .as_ref()
            .map_or(0.0, |seen| seen.whole.fuse_a[fuse]);
        if dice.chance(0.35) {
            let multiple = self.now.boat.fuses[fuse].multiple(amps);
            evidence.element = Some(element(multiple, &self.hidden.harm, dice));
        }
        self.others(first, None, &mut evidence, dice);
        self.altered(&mut evidence, dice);
        evidence
    }

    fn load_fails(&self, troubled: &[(usize, PartId, f64)], dice: &mut Dice) -> Evidence {
        let dead: Vec<&(usize, PartId, f64)> = troubled.iter().filter(|one| one.2 < DEAD).collect();
        let among: Vec<&(usize, PartId, f64)> = if dead.is_empty() {
            troubled.iter().collect()
        } else {
            dead
        };
        let (state, main, work) = **dice.one(&among).expect("some trouble");
        let mut together: Vec<PartId> = among
            .iter()
            .filter(|one| one.0 == state)
            .map(|one| one.1)
            .collect();
        together.dedup();
        let complaint = if work >= DEAD {
            Complaint::LoadWeak
        } else if together.len() > 1 && dice.chance(0.4) {
            Complaint::DiedTogether
        } else {
            Complaint::LoadDead
        };
        let mut evidence = Evidence::of(complaint);
        evidence.loads = if complaint == Complaint::DiedTogether {
            together.iter().copied().take(3).collect()
        } else {
            vec![main]
        };
        if dice.chance(0.6) {
            evidence.states.push(state);
        }
        for other in self.walk.real(self.circuit).filter(|other| *other != state) {
            let fine = self
                .walk
                .work(self.now, other, main)
                .is_some_and(|work| work > WORKS);
            if fine && dice.chance(0.5) {
                evidence.fine.push(other);
            }
        }
        self.others(state, Some(main), &mut evidence, dice);
        self.clicks(state, &mut evidence, dice);
        self.altered(&mut evidence, dice);
        evidence
    }

    /// What else is dead or works in that state.
    fn others(&self, state: usize, main: Option<PartId>, evidence: &mut Evidence, dice: &mut Dice) {
        for part in self.circuit.part_ids() {
            let known = Some(part) == main || evidence.loads.contains(&part);
            if known || !noticed(self.circuit, part).0 || !dice.chance(0.4) {
                continue;
            }
            let Some(work) = self.walk.work(self.now, state, part) else {
                continue;
            };
            let slip = dice.chance(SLIP);
            if (work < DEAD) != slip && evidence.dead.len() < 3 && !(DEAD..=WORKS).contains(&work) {
                evidence.dead.push(part);
            } else if (work > WORKS) != slip
                && evidence.works.len() < 4
                && !(DEAD..=WORKS).contains(&work)
            {
                evidence.works.push(part);
            }
        }
    }

    /// A relay that is heard, or not.
    fn clicks(&self, state: usize, evidence: &mut Evidence, dice: &mut Dice) {
        for part in self.circuit.part_ids() {
            if !matches!(self.circuit.part(part).device, Device::Relay(_)) || !dice.chance(0.3) {
                continue;
            }
            let name = &self.circuit.part(part).name;
            let pulled = |seen: &Option<Seen>| {
                let relay = seen.as_ref()?.end.solution.relays.get(name)?;
                Some(relay.pulled_in != Some(false))
            };
            let (was, is) = (
                pulled(&self.walk.sound[state]),
                pulled(&self.walk.seen[state]),
            );
            // A mechanism that is stuck makes no sound, whatever its coil does.
            let stuck = self.hidden.cause == ampkeel::tracing::Cause::RelayStuck
                && self.hidden.seat.part == Some(part);
            if was == Some(true) {
                let heard = (is == Some(true) && !stuck) != dice.chance(SLIP);
                let sign = if heard {
                    SignKind::Clicks
                } else {
                    SignKind::Silent
                };
                evidence.signs.push((Spot::Part(part), sign));
            }
        }
    }

    /// One in ten had work done before; half of it where the fault is.
    fn altered(&self, evidence: &mut Evidence, dice: &mut Dice) {
        if !dice.chance(0.1) {
            return;
        }
        evidence.after.push(Before::Work);
        let seat = &self.hidden.seat;
        let there = seat
            .wire
            .map(Spot::Wire)
            .or(seat.part.map(Spot::Part))
            .or(seat.fuse.map(Spot::Fuse));
        let elsewhere = Spot::Wire(dice.below(self.circuit.wires.len()));
        let spot = if dice.chance(0.5) {
            there.unwrap_or(elsewhere)
        } else {
            elsewhere
        };
        evidence.altered.push(spot);
    }

    fn drain(&self, dice: &mut Dice) -> Evidence {
        let mut evidence = Evidence::of(Complaint::Drain);
        self.altered(&mut evidence, dice);
        evidence
    }

    fn after_reversal(
        &self,
        troubled: &[(usize, PartId, f64)],
        dice: &mut Dice,
    ) -> Result<Evidence, NoCase> {
        let mut evidence = Evidence::of(Complaint::Reversed);
        evidence.after.push(Before::Reversal);
        let dead: Vec<&(usize, PartId, f64)> = troubled.iter().filter(|one| one.2 < DEAD).collect();
        let Some((state, main, _)) = dice.one(&dead).copied() else {
            return Err(NoCase::Silent);
        };
        evidence.dead.push(*main);
        evidence.states.push(*state);
        let first = self
            .walk
            .real(self.circuit)
            .find_map(|state| self.walk.opens(state));
        if let Some((fuse, _)) = first
            && dice.chance(0.7)
        {
            evidence.fuse = Some(fuse);
        }
        self.others(*state, Some(*main), &mut evidence, dice);
        Ok(evidence)
    }
}

/// Seconds as people say them.
fn rounded(seconds: f64) -> Band<f64> {
    const SAID: [f64; 12] = [
        0.3, 1.0, 2.0, 3.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 900.0,
    ];
    let nearest = SAID.iter().min_by(|a, b| {
        (**a / seconds)
            .ln()
            .abs()
            .total_cmp(&(**b / seconds).ln().abs())
    });
    let typical = nearest.copied().unwrap_or(1.0);
    Band {
        low: 0.6 * typical,
        typical,
        high: 1.6 * typical,
    }
}

/// How its element looks.
fn element(multiple: f64, harm: &Harm, dice: &mut Dice) -> Element {
    if let Harm::Weak { ohm, .. } = harm {
        let odd = if *ohm > 0.0 {
            Element::MeltedBody
        } else {
            Element::Cracked
        };
        if dice.chance(0.5) {
            return odd;
        }
    }
    let (clean, thin, soot) = match multiple {
        m if m < 1.5 => (0.5, 0.45, 0.05),
        m if m < 4.0 => (0.6, 0.2, 0.2),
        m if m < 9.0 => (0.3, 0.05, 0.5),
        _ => (0.1, 0.0, 0.5),
    };
    match dice.share() {
        s if s < clean => Element::CleanGap,
        s if s < clean + thin => Element::Thinned,
        s if s < clean + thin + soot => Element::Soot,
        _ => Element::Vanished,
    }
}
