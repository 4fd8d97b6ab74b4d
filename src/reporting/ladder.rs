//! Voltage ladders: for each load the state in which it loses most, and where
//! the volts go.

use crate::circuit::Circuit;
use crate::solving::{Rung, Solution};

/// Steps that lose less than this share of the whole stand together.
const LEAST: f64 = 0.004;

/// One step of a ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What it is.
    pub what: String,
    /// Volts lost in it.
    pub drop_v: f64,
    /// Whether it lies on the way back.
    pub back: bool,
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
    let mut all = Vec::new();
    for (rungs, back) in [(feed, false), (back, true)] {
        let mut rest_v = 0.0;
        let mut small = 0;
        for rung in rungs {
            if rung.drop_v.abs() < LEAST * whole {
                rest_v += rung.drop_v;
                small += 1;
            } else {
                all.push(Step {
                    what: rung.what.replace('`', ""),
                    drop_v: rung.drop_v,
                    back,
                });
            }
        }
        if small > 0 {
            let which = if back { "return" } else { "feed" };
            all.push(Step {
                what: if small == 1 {
                    format!("1 small step of the {which}")
                } else {
                    format!("{small} small steps of the {which} together")
                },
                drop_v: rest_v,
                back,
            });
        }
    }
    all
}
