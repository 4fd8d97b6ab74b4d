//! Speed of operating points on the two reference harnesses, alone and, where the
//! simulator `ngspice` is installed, against its `op` command in one process.
//!
//! Every figure is the median of several rounds in which all candidates take
//! turns, so that what else the machine does falls on all alike; ratios are what counts.
//! Run by `cargo bench`; `cargo bench -- 3` takes three rounds.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench prints its figures and may stop at a fault"
)]

use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

use ampkeel::network::{Branch, Conductor, Law, Settings, Solver, Start};

#[path = "../network/harness.rs"]
mod harness;

use harness::Harness;

/// Simulator decks, thermal and plain.
const DECKS: [[&str; 2]; 2] = [
    [
        include_str!("../cross_check/harness/h40.cir"),
        include_str!("../cross_check/harness/h40_cold.cir"),
    ],
    [
        include_str!("../cross_check/harness/h200.cir"),
        include_str!("../cross_check/harness/h200_cold.cir"),
    ],
];

/// Operating points the simulator solves in one run.
const SIMULATOR_POINTS: u32 = 200;

fn main() {
    let rounds = std::env::args()
        .find_map(|word| word.parse().ok())
        .unwrap_or(5);
    let has_simulator = Command::new("ngspice")
        .arg("-v")
        .output()
        .is_ok_and(|output| output.status.success());
    if !has_simulator {
        println!("ngspice not found: own times only, no ratios");
    }
    for (size, nodes) in [40, 200].into_iter().enumerate() {
        for (plain, kind) in ["thermal", "plain resistors"].into_iter().enumerate() {
            let is_thermal = plain == 0;
            let harness = if size == 0 {
                harness::forty(is_thermal)
            } else {
                harness::two_hundred(is_thermal)
            };
            let mut rows = Rows::new(&harness, has_simulator.then_some(DECKS[size][plain]));
            (0..rounds).for_each(|_| rows.round());
            println!(
                "\n{nodes} nodes, {kind}: {} entries, {} pivots a step",
                rows.entries, rows.pivots_per_step
            );
            rows.print(nodes, is_thermal);
        }
    }
}

/// What is timed on one harness.
struct Rows {
    entries: usize,
    pivots_per_step: usize,
    eight: Solver<8>,
    one: Solver<1>,
    linear_eight: Solver<8>,
    linear_one: Solver<1>,
    deck: Option<&'static str>,
    times_ns: [Vec<f64>; 6],
}

impl Rows {
    fn new(harness: &Harness, deck: Option<&'static str>) -> Self {
        let plan = harness.plan();
        let mut eight = Solver::<8>::new(&plan);
        harness.fill(&mut eight);
        let mut one = Solver::<1>::new(&plan);
        harness.fill(&mut one);
        let linear = linearised(harness, &mut one);
        let mut linear_eight = Solver::<8>::new(&linear.plan());
        linear.fill(&mut linear_eight);
        let mut linear_one = Solver::<1>::new(&linear.plan());
        linear.fill(&mut linear_one);
        let (entries, pivots_per_step) = (plan.entries(), plan.pivots_per_step());
        Self {
            entries,
            pivots_per_step,
            eight,
            one,
            linear_eight,
            linear_one,
            deck,
            times_ns: Default::default(),
        }
    }

    fn round(&mut self) {
        let (report, study) = (Settings::report(), Settings::study());
        self.times_ns[0].push(time_ns(&mut self.eight, &report));
        self.times_ns[1].push(time_ns(&mut self.one, &report));
        self.times_ns[2].push(time_ns(&mut self.linear_eight, &report));
        self.times_ns[3].push(time_ns(&mut self.linear_one, &report));
        self.times_ns[4].push(time_ns(&mut self.eight, &study));
        if let Some(deck) = self.deck {
            self.times_ns[5].push(simulator_ns(deck));
        }
    }

    fn print(&self, nodes: usize, is_thermal: bool) {
        let [eight, one, linear_eight, linear_one, study, simulator] =
            self.times_ns.each_ref().map(|t| median(t));
        println!("  8 lanes, step below 1e-9 V       {eight:9.0} ns a point");
        println!("  1 lane,  step below 1e-9 V       {one:9.0} ns a point");
        println!("  8 lanes, step below 1e-5 V       {study:9.0} ns a point");
        println!(
            "  8 lanes, linear: factor + solve  {linear_eight:9.0} ns (stamps and balance check included)"
        );
        println!(
            "  1 lane,  linear: factor + solve  {linear_one:9.0} ns (stamps and balance check included)"
        );
        if self.deck.is_some() {
            println!("  simulator, op in a loop          {simulator:9.0} ns a point");
            let goals: &[(&str, f64, f64)] = match (is_thermal, nodes) {
                (true, _) => &[("8 lanes", 300.0, eight), ("1 lane", 60.0, one)],
                (false, 200) => &[("8 lanes", 80.0, eight)],
                (false, _) => &[],
            };
            for (what, goal, own) in goals {
                println!(
                    "  simulator / own, {what}: goal {goal:.0}, floor {:.0}, measured {:.0}",
                    goal / 2.0,
                    simulator / own
                );
            }
            if !is_thermal {
                println!(
                    "  simulator / own: 8 lanes {:.0}, 1 lane {:.0}",
                    simulator / eight,
                    simulator / one
                );
            }
        }
    }
}

/// The harness with every branch but supplies replaced by its conductance at the operating point.
fn linearised(harness: &Harness, solver: &mut Solver<1>) -> Harness {
    let point = solver
        .solve(&Start::flat(12.0), &Settings::report())
        .point(0)
        .expect("the harness has a point");
    let mut linear = Harness {
        nodes: harness.nodes,
        branches: Vec::new(),
        parameters: Vec::new(),
    };
    for (at, branch) in harness.branches.iter().enumerate() {
        let v = point.voltages_v[branch.from] - point.voltages_v[branch.to];
        let (law, parameters) = if matches!(branch.law, Law::Supply | Law::Conductor) {
            (branch.law, harness.parameters[at])
        } else {
            let conductance_s = if v == 0.0 {
                0.0
            } else {
                point.currents_a[at] / v
            };
            (Law::Conductor, Conductor { conductance_s }.into())
        };
        linear.branches.push(Branch { law, ..*branch });
        linear.parameters.push(parameters);
    }
    linear
}

/// Time of one operating point from a flat start, nanoseconds a lane.
fn time_ns<const W: usize>(solver: &mut Solver<W>, settings: &Settings) -> f64 {
    let start = Start::flat(12.0);
    let repeats = 1000;
    let mut best = f64::INFINITY;
    // The shortest of a few bursts: on a shared machine a burst can be interrupted.
    for _ in 0..5 {
        let begun = Instant::now();
        for _ in 0..repeats {
            black_box(
                black_box(&mut *solver)
                    .solve(black_box(&start), settings)
                    .is_solved(),
            );
        }
        best = best.min(begun.elapsed().as_secs_f64());
    }
    best * 1e9 / f64::from(repeats) / W as f64
}

/// Time of one operating point of the simulator in a loop, its start and reading deducted.
fn simulator_ns(deck: &str) -> f64 {
    let many = (0..3)
        .map(|_| simulator_run_s(deck, SIMULATOR_POINTS + 1))
        .fold(f64::INFINITY, f64::min);
    let single = (0..3)
        .map(|_| simulator_run_s(deck, 1))
        .fold(f64::INFINITY, f64::min);
    (many - single) * 1e9 / f64::from(SIMULATOR_POINTS)
}

fn simulator_run_s(deck: &str, points: u32) -> f64 {
    let control = format!(".control\nrepeat {points}\nop\nend\nquit 0\n.endc\n.end\n");
    let path = std::env::temp_dir().join(format!("operating_point_{}.cir", std::process::id()));
    std::fs::write(&path, deck.replace(".end\n", &control)).expect("the deck can be written");
    let begun = Instant::now();
    let output = Command::new("ngspice")
        .arg("-b")
        .arg(&path)
        .output()
        .expect("the simulator runs");
    let elapsed = begun.elapsed().as_secs_f64();
    assert!(
        output.status.success(),
        "the simulator failed: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    let _ = std::fs::remove_file(&path);
    elapsed
}

fn median(times: &[f64]) -> f64 {
    let mut sorted = times.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(f64::NAN)
}
