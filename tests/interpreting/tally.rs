//! Figures of a series of blind recoveries.

use super::blind_truth::Lehmer;
use ampkeel::interpreting::{Interpretation, NONE_OF_THESE};
use ampkeel::tables::devices::prior_odds;
use std::collections::BTreeMap;

/// So many cases, or as many as were asked for.
pub(super) fn cases(usual: usize) -> usize {
    let asked = std::env::var("AMPKEEL_BLIND_CASES").ok();
    asked.and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// A meter's reading: off by at most its share and fixed part.
pub(super) fn read(value: f64, share: f64, plus: f64, draw: &mut Lehmer) -> f64 {
    (value + draw.between(-1.0, 1.0) * (share * value + plus)).max(0.0)
}

/// The conditions of a part with their odds, those that `can` be hidden here.
pub(super) fn drawn_from(part: &str, can: impl Fn(&str) -> bool) -> Vec<(&'static str, f64)> {
    prior_odds(part)
        .expect("priors")
        .value
        .into_iter()
        .filter(|(word, _)| *word != NONE_OF_THESE && can(word))
        .collect()
}

/// Figures of one series.
#[derive(Debug, Default)]
pub(super) struct Tally {
    pub cases: f64,
    pub first: f64,
    in_set: f64,
    claimed: f64,
    in_exact: f64,
    surest: f64,
    sound: f64,
    sound_called_bad: f64,
    impossible: f64,
    confused: BTreeMap<(String, String), u32>,
}

/// An open coil and worn brushes count as one.
fn merged(word: &str) -> &str {
    if word == "coil-open" {
        "worn-brush"
    } else {
        word
    }
}

impl Tally {
    pub(super) fn take(&mut self, truth: &str, found: &Interpretation) {
        self.cases += 1.0;
        let first = merged(found.conditions[0].condition);
        let is_right = first == merged(truth);
        self.first += f64::from(u8::from(is_right));
        self.surest += found.conditions[0].probability;
        let mut sum = 0.0;
        for verdict in &found.conditions {
            if sum >= 0.9 {
                break;
            }
            // The last one enters an exact 90 % set by its missing share alone.
            let missing = (0.9 - sum) / verdict.probability.max(1e-12);
            sum += verdict.probability;
            if verdict.condition == truth {
                self.in_set += 1.0;
                self.in_exact += missing.min(1.0);
            }
        }
        self.claimed += sum;
        if truth == "healthy" {
            self.sound += 1.0;
            self.sound_called_bad += f64::from(u8::from(!is_right));
        }
        self.impossible += f64::from(u8::from(found.impossible.is_some()));
        if !is_right {
            *self
                .confused
                .entry((truth.to_owned(), first.to_owned()))
                .or_default() += 1;
        }
    }

    #[allow(clippy::print_stdout, reason = "the figures of a run are its result")]
    pub(super) fn print(&self, title: &str) {
        let percent = |count: f64, of: f64| 100.0 * count / of.max(1.0);
        let mut confused: Vec<_> = self.confused.iter().collect();
        confused.sort_by(|a, b| b.1.cmp(a.1));
        confused.truncate(8);
        println!(
            "{title}: {} cases; first verdict right {:.1} % (its odds say {:.1} %), the truth among the likeliest that make up 90 % {:.1} % (their odds say {:.1} %), in an exact 90 % set {:.1} %, a sound one called bad {:.1} % of {}, called impossible {:.1} %; most confused {confused:?}",
            self.cases,
            percent(self.first, self.cases),
            percent(self.surest, self.cases),
            percent(self.in_set, self.cases),
            percent(self.claimed, self.cases),
            percent(self.in_exact, self.cases),
            percent(self.sound_called_bad, self.sound),
            self.sound,
            percent(self.impossible, self.cases),
        );
    }
}

impl Tally {
    /// An exact 90 % set, its last member entering by its missing share, holds the
    /// truth in about nine of ten: three standard deviations and 3 % to either side.
    pub(super) fn hold_coverage(&self) {
        let share = self.in_exact / self.cases;
        let slack = 3.0 * (0.9 * 0.1 / self.cases).sqrt() + 0.03;
        assert!((share - 0.9).abs() <= slack, "{share}: {self:?}");
    }
}
