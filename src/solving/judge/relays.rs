//! Relays that chatter, do not close, barely hold, or sit the wrong way round.

use super::{Case, worst};
use crate::devices::Model;
use crate::findings::{Finding, code};
use crate::quantities::{Amps, Volts};

/// Coil volts below which a relay counts as not asked for.
const ASKED_V: f64 = 1.0;

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for reported in case.judged() {
        for id in case.circuit.part_ids() {
            let part = case.circuit.part(id);
            let Some(relay) = reported.state.relays.get(&part.name) else {
                continue;
            };
            let coil_v = relay.coil_v.unwrap_or(0.0).abs();
            let name = &part.name;
            let says = format!(
                "its coil gets {}, pull-in is {}",
                Volts::new(coil_v),
                Volts::new(relay.pull_in_v)
            );
            let finding = match relay.pulled_in {
                None => Finding::new(code("relay-chatters"), name, format!("`{name}` finds no rest: closed, its coil loses its volts; open, it gets them back"))
                    .with_hint("if its coil hangs on its own contact, that is the drawing; else give the coil a feed of its own, mend the weak joint before it, or charge the battery"),
                Some(false) if coil_v > ASKED_V => {
                    Finding::new(code("relay-not-pulled-in"), name, format!("`{name}` is fed but stays open: {says}"))
                        .with_measure(coil_v, Some(relay.pull_in_v), "V")
                        .with_hint("measure 86 and 85 against the battery while it is commanded")
                }
                Some(true) if coil_v < relay.pull_in_v => {
                    Finding::new(code("relay-holds-only"), name, format!("`{name}` stays in but could not close again: {says}"))
                        .with_measure(coil_v, Some(relay.pull_in_v), "V")
                        .with_hint("find what takes the coil's volts in this state")
                }
                _ => continue,
            };
            found.push((
                relay.pull_in_v - coil_v,
                finding
                    .in_state(&reported.state.name)
                    .with_label(part.span, "this relay"),
            ));
        }
        for id in &reported.reversed_coils {
            let part = case.circuit.part(*id);
            let statement = format!("the diode of `{}` conducts: 86 has to be plus", part.name);
            let finding = Finding::new(code("relay-coil-reversed"), &part.name, statement)
                .with_hint("swap the wires on 85 and 86")
                .in_state(&reported.state.name)
                .with_label(part.span, "this relay");
            found.push((0.0, finding));
        }
        for (id, current_a) in &reported.contact_a {
            let Model::Relay(relay) = case.resolved.part(*id) else {
                continue;
            };
            let part = case.circuit.part(*id);
            let Some(most) = relay
                .continuous
                .as_ref()
                .filter(|most| *current_a > most.value.si())
            else {
                continue;
            };
            let statement = format!(
                "contacts of `{}` carry {}, rated {}",
                part.name,
                Amps::new(*current_a),
                most.value
            );
            let finding = Finding::new(code("contact-overloaded"), &part.name, statement)
                .with_measure(*current_a, Some(most.value.si()), "A")
                .with_hint("use a relay rated for the load, or share it")
                .in_state(&reported.state.name)
                .with_label(part.span, "this relay")
                .with_source(most.source.clone());
            found.push((*current_a, finding));
        }
    }
    worst(found)
}
