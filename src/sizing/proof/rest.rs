//! All lighter choices that are left, in order of their copper.

use super::shave::{NOTHING, Priced};

/// Steps of one walk over the choices.
const MOST_STEPS: usize = 400_000;

/// Every choice below some copper that keeps the limits: its copper, and the
/// place of each wire's size; light to heavy.
pub(super) type Left = Vec<(f64, Vec<usize>)>;

struct Walk<'a> {
    priced: &'a Priced<'a>,
    /// Wires, those whose sizes differ most first.
    order: Vec<usize>,
    /// Options of each wire, the least priced first.
    ranked: Vec<Vec<usize>>,
    most_kg: f64,
    most: usize,
    steps: usize,
    volts: Vec<f64>,
    picks: Vec<usize>,
    left: Left,
}

/// All choices below `most_kg` that keep the limits; none where they are more
/// than `most`, or too many to walk over.
pub(super) fn lighter(priced: &Priced<'_>, most_kg: f64, most: usize) -> Option<Left> {
    let wires = priced.options.len();
    let spread = |wire: usize| priced.above_kg[wire].iter().copied().fold(0.0, f64::max);
    let mut order: Vec<usize> = (0..wires).collect();
    order.sort_by(|a, b| spread(*b).total_cmp(&spread(*a)).then(a.cmp(b)));
    let ranked = |wire: usize| {
        let mut all: Vec<usize> = (0..priced.options[wire].len()).collect();
        let above = &priced.above_kg[wire];
        all.sort_by(|a, b| above[*a].total_cmp(&above[*b]).then(a.cmp(b)));
        all
    };
    let mut walk = Walk {
        ranked: (0..wires).map(ranked).collect(),
        volts: priced.least_v(),
        picks: vec![0; wires],
        left: Vec::new(),
        steps: 0,
        priced,
        order,
        most_kg,
        most,
    };
    let whole = walk.descend(0, priced.bound_kg);
    walk.left
        .sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    whole.then_some(walk.left)
}

impl Walk<'_> {
    /// Decides the wires from a place in the order on; false where it gives up.
    fn descend(&mut self, at: usize, bound_kg: f64) -> bool {
        if at == self.order.len() {
            return self.take();
        }
        let wire = self.order[at];
        for rank in 0..self.ranked[wire].len() {
            let option = self.ranked[wire][rank];
            let bound_kg = bound_kg + self.priced.above_kg[wire][option];
            if bound_kg >= self.most_kg {
                return true;
            }
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return false;
            }
            self.picks[wire] = option;
            let fits = self.change(wire, option, 1.0);
            let goes_on = !fits || self.descend(at + 1, bound_kg);
            self.change(wire, option, -1.0);
            if !goes_on {
                return false;
            }
        }
        true
    }

    /// Puts a size in the place of the thickest, or takes it out again;
    /// whether the limits still allow the others their thickest.
    fn change(&mut self, wire: usize, option: usize, sign: f64) -> bool {
        let option = &self.priced.options[wire][option];
        let mut fits = true;
        for (at, amps) in &self.priced.columns[wire] {
            let limit = &self.priced.limits[*at];
            let more_ohm = option.ohm[limit.ohms as usize] - self.priced.least_ohm(wire, limit);
            self.volts[*at] += sign * amps * more_ohm;
            fits &= self.volts[*at] <= limit.most_v + NOTHING * limit.most_v.abs();
        }
        fits
    }

    fn take(&mut self) -> bool {
        let options = self.priced.options.iter().zip(&self.picks);
        let chosen: Vec<_> = options.map(|(of, pick)| of[*pick]).collect();
        let kg: f64 = chosen.iter().map(|option| option.kg).sum();
        if kg < self.most_kg {
            let places = chosen.iter().map(|option| option.choice).collect();
            self.left.push((kg, places));
        }
        self.left.len() <= self.most
    }
}
