//! Whose current flows where: the share of each supply at each joint, and the
//! rule drop gathered on the way.
//!
//! Currents of the solved network are followed downstream from each supply's
//! plus post. Where streams meet they mix in proportion, and where they part
//! each branch takes the same mixture; so at every joint the drop is the mean
//! over all ways the current came, weighted by how much came each way. On a
//! feed without loops that is the plain sum of current times resistance along
//! the wires. The way back is followed upstream from the minus post in the
//! same manner.
//!
//! # Limits
//! Currents below a microampere are left out, so that rounding cannot close a
//! circle.
//!
//! # Source
//! Proportional sharing of flows is this project's choice for shared feeds
//! (judgement); with one way only it is exact.

/// A branch as the sharing sees it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stream {
    /// Node where the current enters when positive.
    pub from: usize,
    /// Node where it leaves.
    pub to: usize,
    /// Current from `from` to `to`, amperes.
    pub current_a: f64,
    /// Resistance the rule gives it, ohms; zero for all but wires.
    pub rule_ohm: f64,
}

/// A supply: its posts and what it delivers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Supplied {
    /// Node of the plus post.
    pub plus: usize,
    /// Node of the minus post.
    pub minus: usize,
    /// Current delivered at plus, amperes; at or below zero it feeds nothing.
    pub delivered_a: f64,
}

/// One supply's part in what passes a node.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Portion {
    /// Share of the node's throughput, 0 to 1.
    pub share: f64,
    /// Mean rule drop of that share, volts.
    pub drop_v: f64,
}

/// Shares at every node: `feed[supply][node]` came from that supply,
/// `back[supply][node]` returns to it.
#[derive(Debug, Clone)]
pub(super) struct Shares {
    /// Where the current at a node came from.
    pub feed: Vec<Vec<Portion>>,
    /// Where the current at a node returns to.
    pub back: Vec<Vec<Portion>>,
}

/// Smallest current followed, amperes.
const LEAST_A: f64 = 1e-6;

/// Follows the currents. `volts` are the node voltages, which order the nodes.
pub(super) fn follow(volts: &[f64], streams: &[Stream], supplies: &[Supplied]) -> Shares {
    let mut order: Vec<usize> = (0..volts.len()).collect();
    order.sort_by(|&a, &b| volts[b].total_cmp(&volts[a]).then(a.cmp(&b)));
    let directed: Vec<Stream> = streams
        .iter()
        .filter(|s| s.current_a.abs() > LEAST_A && s.from != s.to)
        .map(|s| {
            if s.current_a > 0.0 {
                *s
            } else {
                Stream {
                    from: s.to,
                    to: s.from,
                    current_a: -s.current_a,
                    ..*s
                }
            }
        })
        .collect();
    let backward: Vec<Stream> = directed
        .iter()
        .map(|s| Stream {
            from: s.to,
            to: s.from,
            ..*s
        })
        .collect();
    let feed = supplies.iter().map(|s| {
        one_way(
            volts.len(),
            &order,
            &directed,
            supplies,
            s.plus,
            s.delivered_a,
            true,
        )
    });
    let feed = feed.collect();
    order.reverse();
    let back = supplies.iter().map(|s| {
        one_way(
            volts.len(),
            &order,
            &backward,
            supplies,
            s.minus,
            s.delivered_a,
            false,
        )
    });
    Shares {
        feed,
        back: back.collect(),
    }
}

/// Spreads one supply's current from its post along `streams` in node order.
fn one_way(
    nodes: usize,
    order: &[usize],
    streams: &[Stream],
    supplies: &[Supplied],
    post: usize,
    delivered_a: f64,
    forward: bool,
) -> Vec<Portion> {
    let mut portions = vec![Portion::default(); nodes];
    if delivered_a <= LEAST_A {
        return portions;
    }
    let throughput = throughput(nodes, streams, supplies, forward);
    let mut from_node: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    for (index, stream) in streams.iter().enumerate() {
        from_node[stream.from].push(index);
    }
    // Amperes of this supply through each node, and amperes times their drop.
    let mut amps = vec![0.0; nodes];
    let mut mass = vec![0.0; nodes];
    amps[post] = delivered_a;
    for &node in order {
        if throughput[node] <= 0.0 || amps[node] <= 0.0 {
            continue;
        }
        for &index in &from_node[node] {
            let stream = streams[index];
            let part = stream.current_a / throughput[node];
            amps[stream.to] += part * amps[node];
            mass[stream.to] +=
                part * (mass[node] + amps[node] * stream.current_a * stream.rule_ohm);
        }
        portions[node] = Portion {
            share: (amps[node] / throughput[node]).min(1.0),
            drop_v: mass[node] / amps[node],
        };
    }
    portions
}

/// All current that enters each node, supplies included.
fn throughput(nodes: usize, streams: &[Stream], supplies: &[Supplied], forward: bool) -> Vec<f64> {
    let mut total = vec![0.0; nodes];
    for stream in streams {
        total[stream.to] += stream.current_a;
    }
    for supply in supplies {
        let (post, other) = if forward {
            (supply.plus, supply.minus)
        } else {
            (supply.minus, supply.plus)
        };
        if supply.delivered_a > 0.0 {
            total[post] += supply.delivered_a;
        } else {
            // A battery being charged passes current from its plus to its minus.
            total[other] -= supply.delivered_a;
        }
    }
    total
}

#[cfg(test)]
mod tests {
    use super::{Stream, Supplied, follow};

    #[test]
    fn a_feed_without_loops_sums_current_times_resistance() {
        // plus 0 - shared feed - 1 - two loads - 2 - shared return - minus 3
        let streams = [
            Stream {
                from: 0,
                to: 1,
                current_a: 5.0,
                rule_ohm: 0.02,
            },
            Stream {
                from: 1,
                to: 2,
                current_a: 3.0,
                rule_ohm: 0.0,
            },
            Stream {
                from: 2,
                to: 1,
                current_a: -2.0,
                rule_ohm: 0.0,
            },
            Stream {
                from: 2,
                to: 3,
                current_a: 5.0,
                rule_ohm: 0.01,
            },
        ];
        let supplies = [Supplied {
            plus: 0,
            minus: 3,
            delivered_a: 5.0,
        }];
        let shares = follow(&[12.0, 11.9, 0.05, 0.0], &streams, &supplies);
        assert!((shares.feed[0][1].drop_v - 0.1).abs() < 1e-12);
        assert!((shares.back[0][2].drop_v - 0.05).abs() < 1e-12);
        assert!((shares.feed[0][1].share - 1.0).abs() < 1e-12);
    }

    #[test]
    fn two_batteries_share_a_load_in_proportion() {
        let streams = [
            Stream {
                from: 0,
                to: 2,
                current_a: 6.0,
                rule_ohm: 0.01,
            },
            Stream {
                from: 1,
                to: 2,
                current_a: 2.0,
                rule_ohm: 0.05,
            },
            Stream {
                from: 2,
                to: 3,
                current_a: 8.0,
                rule_ohm: 0.0,
            },
        ];
        let supplies = [
            Supplied {
                plus: 0,
                minus: 3,
                delivered_a: 6.0,
            },
            Supplied {
                plus: 1,
                minus: 3,
                delivered_a: 2.0,
            },
        ];
        let shares = follow(&[12.6, 12.6, 12.5, 0.0], &streams, &supplies);
        assert!((shares.feed[0][2].share - 0.75).abs() < 1e-12);
        assert!((shares.feed[0][2].drop_v - 0.06).abs() < 1e-12);
        assert!((shares.feed[1][2].drop_v - 0.1).abs() < 1e-12);
    }
}
