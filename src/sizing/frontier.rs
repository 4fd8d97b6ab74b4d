//! Wires that carry the same current everywhere, taken together: only the sum
//! of their ohms counts, so of all combinations of sizes those that no other
//! beats in both copper and ohms are kept.

/// A size of one wire as the search sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Option3 {
    /// Place among the wire's sizes.
    pub choice: usize,
    /// Copper, kg.
    pub kg: f64,
    /// Ohms by the rule, and of the copper.
    pub ohm: [f64; 2],
}

/// One combination of sizes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Point {
    /// Copper, kg.
    pub kg: f64,
    /// Ohms by the rule, and of the copper.
    pub ohm: [f64; 2],
    /// Places of the sizes, in the order of the wires.
    pub picks: Vec<usize>,
}

/// Points beyond which the wires left are taken by themselves.
const MOST_POINTS: usize = 20_000;

/// The combinations of some wires that no other combination beats, light to
/// heavy, and how many of the wires went in. `counts` says which ohms count.
pub(super) fn frontier(wires: &[Vec<Option3>], counts: [bool; 2]) -> (Vec<Point>, usize) {
    let mut points = vec![Point {
        kg: 0.0,
        ohm: [0.0; 2],
        picks: Vec::new(),
    }];
    for (taken, wire) in wires.iter().enumerate() {
        if taken > 0 && points.len() * wire.len() > MOST_POINTS {
            return (points, taken);
        }
        let mut more = Vec::with_capacity(points.len() * wire.len());
        for point in &points {
            for option in wire {
                let mut picks = point.picks.clone();
                picks.push(option.choice);
                let ohm = |kind: usize| {
                    if counts[kind] {
                        point.ohm[kind] + option.ohm[kind]
                    } else {
                        0.0
                    }
                };
                more.push(Point {
                    kg: point.kg + option.kg,
                    ohm: [ohm(0), ohm(1)],
                    picks,
                });
            }
        }
        points = unbeaten(more);
    }
    (points, wires.len())
}

/// Points that no other beats, light to heavy.
fn unbeaten(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| {
        a.kg.total_cmp(&b.kg)
            .then(a.ohm[0].total_cmp(&b.ohm[0]))
            .then(a.ohm[1].total_cmp(&b.ohm[1]))
            .then(a.picks.cmp(&b.picks))
    });
    let mut kept: Vec<Point> = Vec::new();
    for point in points {
        let beaten = kept
            .iter()
            .rev()
            .any(|other| other.ohm[0] <= point.ohm[0] && other.ohm[1] <= point.ohm[1]);
        if !beaten {
            kept.push(point);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::{Option3, frontier};

    fn wire(sizes: &[(f64, f64)]) -> Vec<Option3> {
        let options = sizes.iter().enumerate();
        let option = |(choice, &(kg, ohm)): (usize, &(f64, f64))| Option3 {
            choice,
            kg,
            ohm: [ohm, 0.0],
        };
        options.map(option).collect()
    }

    #[test]
    fn a_combination_heavier_and_no_better_is_left_out() {
        let one = wire(&[(1.0, 8.0), (2.0, 4.0)]);
        let other = wire(&[(1.0, 8.0), (4.0, 7.0)]);
        let (points, taken) = frontier(&[one, other], [true, false]);
        let figures: Vec<(f64, f64)> = points.iter().map(|p| (p.kg, p.ohm[0])).collect();
        // (5 kg, 15 ohm) is beaten by (3 kg, 12 ohm).
        assert_eq!(figures, [(2.0, 16.0), (3.0, 12.0), (6.0, 11.0)]);
        assert_eq!(taken, 2);
    }
}
