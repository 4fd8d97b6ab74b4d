//! Two faults at once, where one cannot explain what was seen.

use super::cause::Cause;
use super::suspect::Suspect;
use super::weighing::{Item, Weighed};

/// Odds, as a logarithm, below which a piece of evidence is unexplained.
const UNEXPLAINED: f64 = -3.0;
/// Pieces that the best suspect leaves unexplained before two are tried.
const PIECES: usize = 2;
/// Suspects of each side.
const SIDE: usize = 10;
/// Weight of two independent faults over one (judgement).
const TWO: f64 = 0.04;

/// Pairs worth a look: the likeliest suspects, each with the likeliest for what
/// the best one leaves unexplained. Empty where one fault explains enough.
pub(super) fn pairs(suspects: &[Suspect], weighed: &Weighed) -> Vec<Suspect> {
    let first = weighed.odds.iter().enumerate();
    let Some((best, _)) = first.max_by(|a, b| a.1.total_cmp(b.1)) else {
        return Vec::new();
    };
    let (left, explained): (Vec<&Item>, Vec<&Item>) = weighed
        .items
        .iter()
        .partition(|item| item.ln[best] < UNEXPLAINED);
    if left.len() < PIECES {
        return Vec::new();
    }
    let firsts = likeliest(suspects, &explained);
    let seconds = likeliest(suspects, &left);
    let mut all = Vec::new();
    for one in &firsts {
        for other in &seconds {
            if suspects[*one].site != suspects[*other].site {
                all.push(pair(&suspects[*one], &suspects[*other]));
            }
        }
    }
    let total: f64 = all.iter().map(|pair| pair.weight).sum();
    for pair in &mut all {
        pair.weight *= TWO / total.max(f64::MIN_POSITIVE);
    }
    all
}

/// The likeliest suspects by some of the evidence, one a place.
fn likeliest(suspects: &[Suspect], items: &[&Item]) -> Vec<usize> {
    let score =
        |at: &usize| suspects[*at].weight.ln() + items.iter().map(|item| item.ln[*at]).sum::<f64>();
    let mut order: Vec<usize> = (0..suspects.len()).collect();
    order.sort_by(|a, b| score(b).total_cmp(&score(a)));
    let mut once: Vec<usize> = Vec::new();
    for at in order {
        if once.len() == SIDE {
            break;
        }
        if !once
            .iter()
            .any(|known| suspects[*known].is_like(&suspects[at]))
        {
            once.push(at);
        }
    }
    once
}

fn pair(one: &Suspect, other: &Suspect) -> Suspect {
    let mut both = Suspect::new(Cause::TwoFaults, one.site, one.weight * other.weight);
    both.edits = [one.edits.clone(), other.edits.clone()].concat();
    both.dulled = [one.dulled.clone(), other.dulled.clone()].concat();
    both.derated = one.derated.or(other.derated);
    both.worn_out = one.worn_out.or(other.worn_out);
    both.second = Some((other.cause, other.site));
    both.end = one.end;
    both.detail = format!("{} ({})", one.cause.word(), one.detail);
    both.other = format!("{} ({})", other.cause.word(), other.detail);
    both
}
