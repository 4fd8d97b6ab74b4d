//! What each wire costs each consumer adds up to the rule's own drop.

use super::{circuit, sixty};
use crate::solving::examples;
use ampkeel::circuit::Circuit;
use ampkeel::devices::resolve;
use ampkeel::solving::{Demand, rule_ohm, survey};

fn adds_up(name: &str, circuit: &Circuit) -> usize {
    let resolved = resolve(circuit).unwrap();
    let found = survey(circuit).unwrap();
    let mut held = 0;
    for (state, solved) in found
        .contributions
        .iter()
        .zip(found.solution.states.iter().filter(|state| !state.what_if))
    {
        assert_eq!(state.state, solved.name);
        for consumer in &state.consumers {
            let Demand::Drop { rule_drop_v, .. } = consumer.demand else {
                continue;
            };
            let part = &circuit.part(consumer.part).name;
            let shown_v = solved.parts[part].rule_drop_v.expect("a drop");
            let volts = consumer.amps.iter().map(|(wire, amps)| {
                let reading = solved
                    .wires
                    .iter()
                    .find(|r| r.wire == *wire)
                    .expect("a wire");
                let ohm = rule_ohm(
                    circuit.limits.drop_basis,
                    &resolved.wires[*wire],
                    reading.rms_a,
                );
                amps * ohm.unwrap()
            });
            let sum_v: f64 = volts.sum();
            assert!(
                (sum_v - shown_v).abs() <= 1e-12 + 1e-9 * shown_v && rule_drop_v == shown_v,
                "{name}, {part} in {}: {sum_v} against {shown_v}",
                state.state
            );
            held += 1;
        }
    }
    held
}

#[test]
fn amperes_times_ohms_give_the_rule_drop_of_every_load_in_every_example() {
    let held: usize = examples()
        .iter()
        .map(|(name, circuit)| adds_up(name, circuit))
        .sum();
    assert!(held > 100, "{held}");
    assert_eq!(adds_up("sixty", &circuit(&sixty::text())), 18 + 9 + 6);
}
