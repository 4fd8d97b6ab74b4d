//! Voltage ladders: for each load the state in which it loses most, and where
//! the volts go.

use crate::circuit::Circuit;
use crate::solving::{Rung, RungKind, Solution};

/// Steps that lose less than this share of the whole stand together.
const LEAST: f64 = 0.004;
/// A ladder that loses less than this share of its limit is not worth a picture.
const NEXT_TO_NOTHING: f64 = 0.01;
/// The same where no rule sets a limit, volts: no hand meter shows less.
const UNSEEN_V: f64 = 0.001;

/// One step of a ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What it is.
    pub what: String,
    /// Volts lost in it.
    pub drop_v: f64,
    /// Whether it lies on the way back.
    pub back: bool,
    /// Whether it is copper of a wire, of which alone the drop rule counts.
    pub is_copper: bool,
}

/// A ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct LadderChart {
    /// The load.
    pub load: String,
    /// The state.
    pub state: String,
    /// The supply it starts from.
    pub supply: String,
    /// Volts lost in all.
    pub lost_v: f64,
    /// The rule's drop and limit, volts, where a rule applies.
    pub rule: Option<(f64, f64)>,
    /// The steps, from plus to minus.
    pub steps: Vec<Step>,
}

impl LadderChart {
    /// Whether so little is lost that a sentence says all of it.
    pub fn is_next_to_nothing(&self) -> bool {
        let least = self.rule.map_or(UNSEEN_V, |rule| NEXT_TO_NOTHING * rule.1);
        self.lost_v.abs() < least
    }
}

/// The ladder of every load that draws current in a judged state, greatest
/// loss against its limit first.
pub(super) fn ladders(circuit: &Circuit, solution: &Solution) -> Vec<LadderChart> {
    let nominal_v = circuit.boat.nominal.si();
    let mut all: Vec<(f64, LadderChart)> = Vec::new();
    for part in &circuit.parts {
        let states = solution.states.iter().filter(|state| !state.what_if);
        let of_part = states.filter_map(|state| {
            let reading = state.parts.get(&part.name)?;
            let ladder = state.ladders.get(&part.name)?;
            let steps = steps(&ladder.feed, &ladder.back);
            let lost_v = steps.iter().map(|step| step.drop_v).sum();
            let rule = reading.rule_drop_v.zip(reading.limit_pct);
            let rule = rule.map(|(drop_v, pct)| (drop_v, pct / 100.0 * nominal_v));
            let rank = rule.map_or(lost_v / nominal_v, |(drop_v, limit_v)| drop_v / limit_v);
            let chart = LadderChart {
                load: part.name.clone(),
                state: state.name.clone(),
                supply: ladder.supply.clone(),
                lost_v,
                rule,
                steps,
            };
            Some((rank, chart))
        });
        all.extend(of_part.max_by(|a, b| a.0.total_cmp(&b.0)));
    }
    all.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.load.cmp(&b.1.load)));
    all.into_iter().map(|(_, chart)| chart).collect()
}

fn steps(feed: &[Rung], back: &[Rung]) -> Vec<Step> {
    let whole: f64 = feed.iter().chain(back).map(|rung| rung.drop_v.abs()).sum();
    let step = |rung: &Rung, back: bool| Step {
        what: rung.what.replace('`', ""),
        drop_v: rung.drop_v,
        back,
        is_copper: rung.kind == RungKind::Copper,
    };
    let mut all = Vec::new();
    for (rungs, back) in [(feed, false), (back, true)] {
        let is_copper = |rung: &Rung| rung.kind == RungKind::Copper;
        let is_small = |rung: &&Rung| rung.drop_v.abs() < LEAST * whole;
        let small: Vec<&Rung> = rungs.iter().filter(is_small).collect();
        let count = |copper| small.iter().filter(|r| is_copper(r) == copper).count();
        // A small step alone stays where it is.
        let stands = |rung: &&Rung| !is_small(rung) || count(is_copper(rung)) == 1;
        all.extend(rungs.iter().filter(stands).map(|rung| step(rung, back)));
        for copper in [true, false]
            .into_iter()
            .filter(|copper| count(*copper) > 1)
        {
            let those = small.iter().filter(|rung| is_copper(rung) == copper);
            all.push(Step {
                what: together(count(copper), copper),
                drop_v: those.map(|rung| rung.drop_v).sum(),
                back,
                is_copper: copper,
            });
        }
    }
    all
}

/// Small steps of one kind in one.
fn together(count: usize, is_copper: bool) -> String {
    let what = if is_copper {
        "wires"
    } else {
        "joints, fuses and contacts"
    };
    format!("{count} {what} that lose little, together")
}
