//! Small circuits made at random, with shared feeds and returns, chargers and
//! ways side by side: every choice of sizes tried by the full solve and by
//! `protect`. `AMPKEEL_SIZED_CASES=500` tries more of them.

use super::{awg, circuit, copper_kg, sized};
use ampkeel::circuit::{Circuit, Device};
use ampkeel::findings::{Finding, Severity};
use ampkeel::protecting::study;
use ampkeel::quantities::WireSize;
use ampkeel::solving::{Solution, solve};
use ampkeel::tables::ampacity::ampacity;
use approx::assert_relative_eq;
use std::fmt::Write;

const SIZES: [i32; 4] = [16, 14, 10, 8];

/// Wires by the word they start with: returns are told from feeds by it.
fn wire(from: &str, to: &str, length_ft: f64) -> String {
    format!("[[wire]]\nfrom = \"{from}\"\nto = \"{to}\"\nlength = \"{length_ft:.1} ft\"\n")
}

fn load(random: &mut fastrand::Rng, number: usize) -> String {
    let figure = |random: &mut fastrand::Rng, least: f64, most: f64| {
        least + (most - least) * random.f64()
    };
    let law = match random.usize(0..5) {
        0 => format!("resistance = \"{:.2} ohm\"", figure(random, 2.0, 9.0)),
        1 => format!("lamp = \"{:.0} W\"", figure(random, 15.0, 60.0)),
        2 => format!("power = \"{:.0} W\"", figure(random, 15.0, 60.0)),
        3 => format!("current = \"{:.1} A\"", figure(random, 1.2, 6.0)),
        _ => return format!("[pump.load-{number}]\nclass = \"bilge pump 1100 gal/h\"\n"),
    };
    format!("[load.load-{number}]\n{law}\n")
}

/// A battery, a kept fuse, a feed that two loads share, a return that they may
/// share; perhaps a stator on the feed, perhaps two feeds side by side.
fn made(random: &mut fastrand::Rng) -> String {
    let mut text = String::from(
        "format = 1\n[battery.house]\nminus = \"ground\"\n[stud.ground]\n[stud.feed]\n\
         [fuse.main]\nstyle = \"blade\"\nrating = \"15 A\"\nkeep = true\nin = \"house.plus\"\n\
         [defaults.wire]\nsize = \"8 AWG\"\ninsulation = \"105 degC\"\n",
    );
    let feet = |random: &mut fastrand::Rng, most: f64| 2.0 + (most - 2.0) * random.f64();
    writeln!(text, "{}", wire("main.out", "feed", feet(random, 14.0))).expect("written");
    let beside = random.usize(0..5) == 0;
    if beside {
        writeln!(text, "{}", wire("main.out", "feed", feet(random, 14.0))).expect("written");
    }
    let shares = random.bool();
    let back = if shares { "bus" } else { "ground" };
    if shares {
        let back = wire("bus", "ground", feet(random, 14.0));
        writeln!(text, "[stud.bus]\n{back}").expect("written");
    }
    for number in 0..2 {
        let (load, feet) = (load(random, number), feet(random, 16.0));
        writeln!(
            text,
            "{load}minus = \"{back}\"\n[switch.switch-{number}]\nin = \"feed\"\n{}",
            wire(&format!("switch-{number}.out"), &format!("load-{number}.plus"), feet)
        )
        .expect("written");
    }
    let limit = 4 + random.usize(0..7);
    let critical = if random.bool() { "critical = [\"load-1\"]\n" } else { "" };
    let basis = ["abyc", "iso", "physical"][random.usize(0..3)];
    write!(
        text,
        "[limits]\ndrop-other = \"{limit} %\"\ndrop-basis = \"{basis}\"\n{critical}\
         [state.both]\nclosed = [\"switch-0\", \"switch-1\"]\n[state.one]\nclosed = [\"switch-1\"]\n"
    )
    .expect("written");
    if random.usize(0..3) == 0 {
        let output_a = 1 + random.usize(0..12);
        write!(
            text,
            "[charger.stator]\nminus = \"ground\"\nplus = \"feed\"\noutput = \"{output_a} A\"\n\
             [state.under-way]\nclosed = [\"switch-0\", \"switch-1\"]\ncharging = {{ stator = \"{output_a} A\" }}\n"
        )
        .expect("written");
    }
    text
}

/// States in which a battery takes charge.
fn charged(solution: &Solution) -> Vec<String> {
    let takes = |state: &&ampkeel::solving::StateSolution| {
        state.batteries.values().any(|b| b.current_a < -1e-3)
    };
    let states = solution.states.iter().filter(takes);
    states.map(|state| state.name.clone()).collect()
}

/// The judge of this test: nothing that sizing could mend by the full solve, no
/// violation at all, none by `protect`; what a charger charges goes on being
/// charged; returns stand the fuse of their loads.
fn is_good(circuit: &Circuit, charged_before: &[String]) -> bool {
    let solution = solve(circuit).unwrap();
    let breaks = |finding: &Finding| {
        finding.sizing_can_mend || finding.severity() == Severity::Violation
    };
    let still = charged(&solution);
    if solution.findings.iter().any(breaks) || !charged_before.iter().all(|s| still.contains(s)) {
        return false;
    }
    let returns = circuit
        .wires
        .iter()
        .filter(|wire| circuit.terminal(wire.from).label == "bus");
    let stands = returns.into_iter().all(|wire| {
        let found = ampacity(wire.size.value, wire.insulation.map(|given| given.value)).unwrap();
        found.value.current.si() >= 15.0
    });
    let open = |finding: &Finding| {
        finding.sizing_can_mend && finding.severity() == Severity::Violation
    };
    stands && !study(circuit).unwrap().findings.iter().any(open)
}

fn with(circuit: &Circuit, number: usize) -> Circuit {
    let mut other = circuit.clone();
    for (at, wire) in other.wires.iter_mut().enumerate() {
        let size = number / SIZES.len().pow(at as u32) % SIZES.len();
        wire.size.value = WireSize::Awg(SIZES[size]);
    }
    other
}

/// The lightest good choice, by trying all, light to heavy.
fn lightest(circuit: &Circuit) -> Option<f64> {
    let charged = charged(&solve(circuit).unwrap());
    let choices = SIZES.len().pow(circuit.wires.len() as u32);
    let mut all: Vec<(f64, usize)> = (0..choices)
        .map(|number| (copper_kg(&with(circuit, number)), number))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut good = all
        .into_iter()
        .filter(|(_, number)| is_good(&with(circuit, *number), &charged));
    good.next().map(|(kg, _)| kg)
}

#[test]
fn every_choice_of_small_random_circuits_is_heavier_or_breaks_a_rule() {
    let cases = std::env::var("AMPKEEL_SIZED_CASES").ok();
    let cases: u64 = cases.and_then(|given| given.parse().ok()).unwrap_or(24);
    let (mut had, mut proven) = (0, 0);
    for seed in 0..cases {
        let text = made(&mut fastrand::Rng::with_seed(seed));
        let given = circuit(&text);
        let found = sized(&text, &awg(&SIZES));
        let Some(best_kg) = lightest(&given) else {
            // Rules collide there, and the answer has to say so.
            let open = found.solution.findings.iter().chain(&found.protection);
            let breaks = open.into_iter().any(|f| f.severity() == Severity::Violation);
            assert!(breaks || !found.collisions.is_empty(), "seed {seed}\n{text}");
            continue;
        };
        had += 1;
        let kept = given.parts.iter().all(|part| match &part.device {
            Device::Fuse(fuse) => fuse.keep,
            _ => true,
        });
        assert!(kept, "the judge knows one rating only");
        let before = charged(&solve(&given).unwrap());
        assert!(
            is_good(&found.circuit, &before),
            "seed {seed}: {:?}\n{text}",
            found.solution.findings
        );
        assert!(
            found.bound_kg <= best_kg * (1.0 + 1e-9),
            "seed {seed}: bound {} above {best_kg}\n{text}",
            found.bound_kg
        );
        assert_relative_eq!(found.copper_kg, best_kg, max_relative = 1e-9);
        proven += u64::from(found.bound_kg >= best_kg * (1.0 - 1e-9));
    }
    assert!(had >= cases / 2, "{had} of {cases} say something");
    assert!(proven >= had * 9 / 10, "{proven} of {had} proven");
}
