//! Where a long run ends is where the steady state stands.

use crate::solving::examples;
use ampkeel::solving::{StateSolution, solve};
use ampkeel::transients::{Ready, Scenario, Transient, What};

/// Two hours: a slow fuse's last heat is then within 2 % of its own small share.
const LONG_S: f64 = 7200.0;

#[test]
fn after_two_hours_every_example_stands_where_its_steady_state_stands() {
    let mut compared = 0;
    for (name, circuit) in examples() {
        let solution = solve(&circuit).unwrap();
        let ready = Ready::new(&circuit).unwrap();
        for state in &solution.states {
            let written = circuit.states.iter().find(|one| one.name == state.name);
            let after = written.and_then(|one| one.after);
            let scenario = Scenario {
                from: after.map(|index| circuit.states[index].name.clone()),
                ..Scenario::new(&state.name, LONG_S)
            };
            let run = ready.run(&scenario).unwrap();
            if comparable(state, &run) {
                compared += 1;
                hold(&format!("{name}, {}", state.name), state, &run);
            }
        }
    }
    assert!(compared >= 40, "only {compared} states were compared");
}

/// What a steady state leaves out makes no comparison: fuses that open, relays
/// that stand otherwise or chatter, standing windings that heat, burnt wires,
/// lamps below the range of their law.
fn comparable(state: &StateSolution, run: &Transient) -> bool {
    let happened = |what: What| run.events.iter().any(|event| event.what == what);
    let stalled = run.columns.iter().any(|column| {
        column.quantity == "winding_degc" && column.values.last() > column.values.first()
    });
    let relays_agree = state.relays.iter().all(|(name, relay)| {
        let mut moves = run.events.iter().filter(|event| {
            event.subject == *name && matches!(event.what, What::PullsIn | What::LetsGo)
        });
        match moves.next_back() {
            Some(event) => relay.pulled_in == Some(event.what == What::PullsIn),
            None => true,
        }
    });
    let dim = state.parts.values().any(|part| {
        part.voltage_v
            .is_some_and(|v| v.abs() > 0.01 && v.abs() < 6.5)
    });
    !state.what_if
        && run.ended.is_none()
        && !happened(What::Opens)
        && !happened(What::BurnsThrough)
        && !stalled
        && relays_agree
        && !dim
}

fn hold(place: &str, state: &StateSolution, run: &Transient) {
    let mut ends = Vec::new();
    for (name, part) in &state.parts {
        ends.push((name, "current_a", part.current_a));
        ends.push((name, "voltage_v", part.voltage_v));
    }
    for (name, battery) in &state.batteries {
        ends.push((name, "current_a", Some(battery.current_a)));
        ends.push((name, "voltage_v", Some(battery.voltage_v)));
    }
    for (name, quantity, expected) in ends {
        let (Some(expected), Some(column)) = (expected, run.column(name, quantity)) else {
            continue;
        };
        let found = *column.values.last().unwrap();
        let off = (found - expected).abs();
        assert!(
            off <= 2e-4 * expected.abs() + 2e-4,
            "{place}: {name} {quantity} ends at {found}, steady {expected}"
        );
    }
    for wire in &state.wires {
        let label = format!("{} to {}", wire.from, wire.to);
        let column = run.column(&label, "temperature_degc").unwrap();
        let found = *column.values.last().unwrap();
        assert!(
            (found - wire.temperature_degc).abs() < 0.1,
            "{place}: {label} ends at {found} degC, steady {}",
            wire.temperature_degc
        );
    }
}
