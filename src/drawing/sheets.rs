//! A large circuit in sheets that fit a page: one with the supply and the
//! returns that all share, then one for each fuse, block or breaker with what
//! it feeds.
//!
//! Every conductor stands on exactly one sheet. A symbol stands on each that
//! has one of its conductors, and each sheet says where else it is found. A
//! load belongs to the last fuse on the shortest way from a battery's plus to
//! it; what the ways of several fuses share goes with the supply.

use super::graph::{Edge, Graph};
use super::paper::Drawing;
use super::potential::is_load;
use super::symbol::{Glyph, Side, Symbol};
use super::{Prepared, lay_out};
use crate::circuit::Circuit;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Name of the fuse, block or breaker that feeds it; none for the supply.
    pub feeder: Option<String>,
    /// Parts that other sheets show as well, each with the numbers of those
    /// sheets, counted from 1.
    pub elsewhere: Vec<(String, Vec<usize>)>,
    /// The layout.
    pub drawing: Drawing,
}

/// Most sheets that a symbol lists by their numbers.
const LISTED: usize = 4;

/// On whose sheet a conductor stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Feeder {
    /// On that of the supply.
    Supply,
    /// On that of a fuse, block or breaker, by its symbol.
    Behind(usize),
}

/// The sheets of a circuit, the supply's first; none where one drawing holds
/// everything that would stand on them.
pub fn sheets(circuit: &Circuit) -> Vec<Sheet> {
    of(circuit, &Prepared::of(circuit))
}

/// The sheets of a circuit that was prepared.
pub(super) fn of(circuit: &Circuit, whole: &Prepared) -> Vec<Sheet> {
    let on = Shares::of(whole).assigned();
    let feeders: BTreeSet<Feeder> = on.iter().copied().collect();
    if feeders.len() < 2 {
        return Vec::new();
    }
    let graphs: Vec<Graph> = feeders
        .iter()
        .map(|feeder| part_of(&whole.graph, &on, *feeder))
        .collect();
    let mut graphs = graphs;
    say_where_else(&mut graphs);
    let shown: Vec<BTreeSet<usize>> = graphs
        .iter()
        .map(|graph| graph.symbols.iter().map(|symbol| symbol.part.0).collect())
        .collect();
    let feeder_name = |feeder: Feeder| match feeder {
        Feeder::Supply => None,
        Feeder::Behind(symbol) => {
            let part = whole.graph.symbols[symbol].part;
            Some(circuit.part(part).name.clone())
        }
    };
    feeders
        .iter()
        .zip(&graphs)
        .enumerate()
        .map(|(number, (feeder, graph))| Sheet {
            feeder: feeder_name(*feeder),
            elsewhere: elsewhere(circuit, &shown, number),
            drawing: lay_out(circuit, graph, &whole.potential),
        })
        .collect()
}

/// Writes under each symbol that stands on other sheets too where its lines go on.
fn say_where_else(graphs: &mut [Graph]) {
    let mut on: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for (number, graph) in (1..).zip(graphs.iter()) {
        for terminal in graph.symbols.iter().filter_map(first_terminal) {
            on.entry(terminal).or_default().insert(number);
        }
    }
    for (number, graph) in (1..).zip(graphs.iter_mut()) {
        for symbol in &mut graph.symbols {
            let sheets = first_terminal(symbol).and_then(|terminal| on.get(&terminal));
            let others = sheets.into_iter().flatten().filter(|on| **on != number);
            let others: Vec<String> = others.map(ToString::to_string).collect();
            symbol.elsewhere = match others.len() {
                0 => String::new(),
                1 => format!("to sheet {}", others[0]),
                2..=LISTED => format!("to sheets {}", others.join(", ")),
                many => format!("to {many} sheets"),
            };
        }
    }
}

/// What tells a symbol from all others.
fn first_terminal(symbol: &Symbol) -> Option<usize> {
    symbol.pins.first().map(|pin| pin.terminal.0)
}

/// The conductors of one feeder with the symbols they end on.
fn part_of(graph: &Graph, on: &[Feeder], feeder: Feeder) -> Graph {
    let own: Vec<&Edge> = graph
        .edges
        .iter()
        .zip(on)
        .filter(|(_, of)| **of == feeder)
        .map(|(edge, _)| edge)
        .collect();
    let used: BTreeSet<usize> = own
        .iter()
        .flat_map(|edge| edge.ends.map(|(symbol, _)| symbol))
        .collect();
    let place: BTreeMap<usize, usize> = used.iter().copied().zip(0..).collect();
    Graph {
        symbols: used.iter().map(|at| graph.symbols[*at].clone()).collect(),
        edges: own
            .into_iter()
            .map(|edge| Edge {
                conductor: edge.conductor,
                ends: edge.ends.map(|(symbol, pin)| (place[&symbol], pin)),
            })
            .collect(),
    }
}

fn elsewhere(
    circuit: &Circuit,
    shown: &[BTreeSet<usize>],
    number: usize,
) -> Vec<(String, Vec<usize>)> {
    let others = |part: &usize| {
        let on = (1..).zip(shown).filter(|(at, _)| at - 1 != number);
        on.filter(|(_, parts)| parts.contains(part))
            .map(|(at, _)| at)
            .collect::<Vec<usize>>()
    };
    shown[number]
        .iter()
        .map(|part| (circuit.parts[*part].name.clone(), others(part)))
        .filter(|(_, sheets)| !sheets.is_empty())
        .collect()
}

/// A step between two terminals.
#[derive(Debug, Clone, Copy)]
enum Step {
    /// Along a conductor, by its edge.
    Along(usize),
    /// Through a closed contact or a fuse, by its symbol.
    Through(usize),
}

/// Which feeders use each conductor.
struct Shares<'g> {
    graph: &'g Graph,
    /// One entry a conductor.
    uses: Vec<BTreeSet<Feeder>>,
}

/// For each terminal the step and the terminal that lead nearer to a post.
type Ways = BTreeMap<usize, (Step, usize)>;

impl<'g> Shares<'g> {
    fn of(whole: &'g Prepared) -> Self {
        let graph = &whole.graph;
        let mut all = Self {
            graph,
            uses: vec![BTreeSet::new(); graph.edges.len()],
        };
        let feeds = ways(graph, Side::Right);
        let returns = ways(graph, Side::Left);
        for symbol in graph.symbols.iter().filter(|s| is_load(s.glyph)) {
            for &(a, b) in &symbol.ways {
                let [a, b] = [a, b].map(|pin| symbol.pins[pin].terminal.0);
                let upright = whole.potential[a] >= whole.potential[b];
                let (high, low) = if upright { (a, b) } else { (b, a) };
                all.add(&feeds, &returns, high, low);
            }
        }
        all
    }

    /// The ways to and from one load.
    fn add(&mut self, feeds: &Ways, returns: &Ways, high: usize, low: usize) {
        let mut feeder = Feeder::Supply;
        let mut behind = Vec::new();
        let mut before = Vec::new();
        for step in steps(feeds, high) {
            match step {
                Step::Through(symbol) if guards(self.graph, symbol) => {
                    if feeder == Feeder::Supply {
                        feeder = Feeder::Behind(symbol);
                    }
                }
                Step::Along(edge) if feeder == Feeder::Supply => behind.push(edge),
                Step::Along(edge) => before.push(edge),
                Step::Through(_) => {}
            }
        }
        for edge in before {
            self.uses[edge].insert(Feeder::Supply);
        }
        let back = steps(returns, low).into_iter();
        let back = back.filter_map(|step| match step {
            Step::Along(edge) => Some(edge),
            Step::Through(_) => None,
        });
        for edge in behind.into_iter().chain(back) {
            self.uses[edge].insert(feeder);
        }
    }

    /// One feeder for each conductor. What no load's way uses goes with the
    /// symbol it ends on, where all of that symbol's others agree.
    fn assigned(&self) -> Vec<Feeder> {
        let mut known: Vec<Option<Feeder>> = self
            .uses
            .iter()
            .map(|feeders| match feeders.len() {
                0 => None,
                1 => feeders.first().copied(),
                _ => Some(Feeder::Supply),
            })
            .collect();
        // Each round settles one at least, or is the last.
        loop {
            let found = (0..known.len())
                .filter(|edge| known[*edge].is_none())
                .find_map(|edge| Some((edge, self.neighbour(&known, edge)?)));
            match found {
                Some((edge, feeder)) => known[edge] = Some(feeder),
                None => break,
            }
        }
        let rest = |feeder: Option<Feeder>| feeder.unwrap_or(Feeder::Supply);
        known.into_iter().map(rest).collect()
    }

    fn neighbour(&self, known: &[Option<Feeder>], edge: usize) -> Option<Feeder> {
        let own = self.graph.edges[edge].ends;
        own.into_iter().find_map(|(symbol, _)| {
            let glyph = self.graph.symbols[symbol].glyph;
            if matches!(glyph, Glyph::Stud | Glyph::Battery) {
                return None;
            }
            let touching = self.graph.edges.iter().zip(known);
            let feeders: BTreeSet<Feeder> = touching
                .filter(|(other, _)| other.ends.iter().any(|(at, _)| *at == symbol))
                .filter_map(|(_, feeder)| *feeder)
                .collect();
            match feeders.len() {
                // That of the supply is what is left over anyway.
                1 => feeders.first().copied().filter(|of| *of != Feeder::Supply),
                _ => None,
            }
        })
    }
}

/// Whether a symbol opens by itself when too much flows.
fn guards(graph: &Graph, symbol: usize) -> bool {
    matches!(
        graph.symbols[symbol].glyph,
        Glyph::Fuse | Glyph::Block | Glyph::Breaker
    )
}

/// The steps from a terminal to the post.
fn steps(ways: &Ways, from: usize) -> Vec<Step> {
    let mut all = Vec::new();
    let mut at = from;
    while let Some((step, next)) = ways.get(&at) {
        all.push(*step);
        at = *next;
    }
    all
}

/// Shortest ways to the batteries' posts that look to one side, with every
/// contact closed and through no load.
fn ways(graph: &Graph, post: Side) -> Ways {
    let mut next: BTreeMap<usize, Vec<(Step, usize)>> = BTreeMap::new();
    let mut link = |a: usize, b: usize, step: Step| {
        next.entry(a).or_default().push((step, b));
        next.entry(b).or_default().push((step, a));
    };
    for (number, edge) in graph.edges.iter().enumerate() {
        let [a, b] = edge
            .ends
            .map(|(symbol, pin)| graph.symbols[symbol].pins[pin].terminal.0);
        link(a, b, Step::Along(number));
    }
    let (mut open, mut reached) = (VecDeque::new(), BTreeSet::new());
    for (number, symbol) in graph.symbols.iter().enumerate() {
        if symbol.glyph == Glyph::Battery {
            let posts = symbol.pins.iter().filter(|pin| pin.side == Some(post));
            open.extend(posts.map(|pin| pin.terminal.0));
            // Never across a battery: its other post is no way on.
            reached.extend(symbol.pins.iter().map(|pin| pin.terminal.0));
        } else if !is_load(symbol.glyph) {
            for &(a, b) in &symbol.ways {
                let [a, b] = [a, b].map(|pin| symbol.pins[pin].terminal.0);
                link(a, b, Step::Through(number));
            }
        }
    }
    let mut ways = Ways::new();
    while let Some(at) = open.pop_front() {
        for &(step, to) in next.get(&at).into_iter().flatten() {
            if reached.insert(to) {
                ways.insert(to, (step, at));
                open.push_back(to);
            }
        }
    }
    ways
}
