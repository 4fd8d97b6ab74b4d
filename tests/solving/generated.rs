//! Laws on circuit files made at random: a battery, a shared feed and return
//! in several stretches, and loads of every kind on wires of their own.

use std::fmt::Write;

use ampkeel::solving::{Solution, branches, solve};
use proptest::prelude::*;

use super::balance::balanced;
use super::{circuit, subject_of};

/// Gauges from thin to thick.
const GAUGES: [&str; 9] = [
    "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2 AWG",
];

#[derive(Debug, Clone)]
struct Wire {
    gauge: usize,
    length_ft: f64,
}

#[derive(Debug, Clone)]
struct Load {
    /// Its table in the file, without its wires.
    table: String,
    feed: Wire,
    back: Wire,
    /// Stretch of feed and return it hangs on.
    stretch: usize,
    is_on: bool,
}

#[derive(Debug, Clone)]
struct Boat {
    cold_cranking: f64,
    charging_a: Option<f64>,
    feeds: Vec<Wire>,
    returns: Vec<Wire>,
    loads: Vec<Load>,
}

fn wire() -> impl Strategy<Value = Wire> {
    (0..GAUGES.len(), 0.5..15.0).prop_map(|(gauge, length_ft)| Wire { gauge, length_ft })
}

fn table() -> impl Strategy<Value = String> {
    let of = |kind: &'static str, field: String| format!("[{kind}.NAME]\n{field}\n");
    prop_oneof![
        (1.0..100.0).prop_map(move |ohm| of("load", format!("resistance = \"{ohm:.2} ohm\""))),
        (1.0..40.0).prop_map(move |watt| of("load", format!("lamp = \"{watt:.1} W\""))),
        (1.0..40.0).prop_map(move |watt| of("load", format!("power = \"{watt:.1} W\""))),
        (0.1..4.0).prop_map(move |amp| of("load", format!("current = \"{amp:.2} A\""))),
        (2.0..20.0).prop_map(move |ohm| of("solenoid", format!("coil = \"{ohm:.1} ohm\""))),
        prop_oneof![
            Just("bilge pump 500 gal/h"),
            Just("rotary lift pump"),
            Just("high-pressure fuel pump"),
            Just("solenoid lift pump"),
            Just("washdown pump"),
        ]
        .prop_map(move |class| of("pump", format!("class = \"{class}\""))),
    ]
}

fn load(stretches: usize) -> impl Strategy<Value = Load> {
    let is_on = prop_oneof![4 => Just(true), 1 => Just(false)];
    (table(), wire(), wire(), 0..stretches, is_on).prop_map(
        |(table, feed, back, stretch, is_on)| Load {
            table,
            feed,
            back,
            stretch,
            is_on,
        },
    )
}

fn boat() -> impl Strategy<Value = Boat> {
    (1..4_usize).prop_flat_map(|stretches| {
        (
            200.0..900.0,
            proptest::option::of(1.0..25.0),
            proptest::collection::vec(wire(), stretches),
            proptest::collection::vec(wire(), stretches),
            proptest::collection::vec(load(stretches), 1..6),
        )
            .prop_map(|(cold_cranking, charging_a, feeds, returns, loads)| Boat {
                cold_cranking,
                charging_a,
                feeds,
                returns,
                loads,
            })
    })
}

impl Boat {
    fn text(&self) -> String {
        let mut text = format!(
            "format = 1\n[battery.house]\ncold-cranking = \"{:.0} A\"\n\
             [fuse.main]\nstyle = \"strip\"\nrating = \"80 A\"\nin = \"house.plus\"\n",
            self.cold_cranking
        );
        let mut wires = String::new();
        let mut chain = |from: String, to: String, wire: &Wire| {
            writeln!(
                wires,
                "[[wire]]\nfrom = \"{from}\"\nto = \"{to}\"\nsize = \"{}\"\nlength = \"{:.2} ft\"",
                GAUGES[wire.gauge], wire.length_ft
            )
            .unwrap();
        };
        for (at, (feed, back)) in self.feeds.iter().zip(&self.returns).enumerate() {
            write!(text, "[stud.feed-{at}]\n[stud.back-{at}]\n").unwrap();
            let before = |name: &str, first: &str| match at {
                0 => first.to_owned(),
                _ => format!("{name}-{}", at - 1),
            };
            chain(before("feed", "main.out"), format!("feed-{at}"), feed);
            chain(format!("back-{at}"), before("back", "house.minus"), back);
        }
        for (at, load) in self.loads.iter().enumerate() {
            let stretch = load.stretch;
            text.push_str(&load.table.replace("NAME", &format!("load-{at}")));
            writeln!(text, "[switch.switch-{at}]\nout = \"load-{at}.plus\"").unwrap();
            chain(
                format!("feed-{stretch}"),
                format!("switch-{at}.in"),
                &load.feed,
            );
            chain(
                format!("load-{at}.minus"),
                format!("back-{stretch}"),
                &load.back,
            );
        }
        let on = (0..self.loads.len()).filter(|&at| self.loads[at].is_on);
        let on: Vec<String> = on.map(|at| format!("\"switch-{at}\"")).collect();
        let mut states = format!("[state.on]\nclosed = [{}]\n", on.join(", "));
        if let Some(charging_a) = self.charging_a {
            text.push_str("[charger.stator]\nminus = \"back-0\"\nplus = \"feed-0\"\n");
            writeln!(states, "charging = {{ stator = \"{charging_a:.1} A\" }}").unwrap();
        }
        text + &wires + &states
    }
}

/// Constant power may have no point, or fall below its cut-off: these cases
/// say nothing about wires.
fn is_starved(solution: &Solution) -> bool {
    let codes = ["supply-collapses", "solution-not-found"];
    codes
        .iter()
        .any(|code| subject_of(solution, code).is_some())
}

proptest! {
    #![proptest_config(crate::cases(200))]

    #[test]
    fn every_generated_circuit_balances(boat in boat()) {
        let circuit = circuit(&boat.text());
        let solution = solve(&circuit).unwrap();
        if solution.states.is_empty() {
            prop_assert!(boat.loads.iter().any(|load| load.table.contains("power")));
            prop_assert!(is_starved(&solution));
            return Ok(());
        }
        let state = &solution.states[0];
        prop_assert!(state.residual_a <= 1e-9, "{} A left over", state.residual_a);
        let listed = branches(&circuit).unwrap();
        balanced(&circuit, state, &listed[0]).map_err(TestCaseError::fail)?;
        for (at, load) in boat.loads.iter().enumerate() {
            let reading = &state.parts[&format!("load-{at}")];
            let flows = reading.current_a.is_some_and(|current_a| current_a.abs() > 1e-6);
            prop_assert_eq!(flows, load.is_on, "load-{}: {:?}", at, reading);
        }
    }

    #[test]
    fn a_thicker_wire_of_its_own_never_lowers_the_volts_of_a_load(
        boat in boat(),
        which in any::<proptest::sample::Index>(),
        thicker in 1..4_usize,
    ) {
        let at = which.index(boat.loads.len());
        let mut changed = boat.clone();
        changed.loads[at].feed.gauge = (boat.loads[at].feed.gauge + thicker).min(GAUGES.len() - 1);
        // Cables end in lugs: the joint changes with the kind of wire, and only for the better.
        let before = solve(&circuit(&boat.text())).unwrap();
        let after = solve(&circuit(&changed.text())).unwrap();
        prop_assume!(!is_starved(&before) && !is_starved(&after));
        let name = format!("load-{at}");
        let volts = |solution: &Solution| solution.states[0].parts[&name].voltage_v;
        let (Some(before), Some(after)) = (volts(&before), volts(&after)) else {
            // Not connected while its switch is open, either way.
            prop_assert_eq!(volts(&before), volts(&after));
            return Ok(());
        };
        prop_assert!(after >= before - 1e-9, "{before} V fell to {after} V");
    }
}
