//! The JSON of a solved circuit.

use super::Object;
use crate::circuit::Circuit;
use crate::solving::{PartReading, Solution, StateSolution, WireReading};

/// `states[]` of `solve`; `only` picks one state by name.
pub fn states(circuit: &Circuit, solution: &Solution, only: Option<&str>) -> Object {
    let shown = solution
        .states
        .iter()
        .filter(|state| only.is_none_or(|name| state.name == name));
    Object::new().objects("states", shown.map(|one| state(circuit, one)))
}

fn state(circuit: &Circuit, state: &StateSolution) -> Object {
    let wire = |reading: &WireReading| wire(circuit, reading);
    Object::new()
        .text("name", &state.name)
        .flag("what_if", state.what_if)
        .object("terminals_v", terminals(state))
        .object("parts", keyed(&state.parts, part))
        .objects("wires", state.wires.iter().map(wire))
        .object("fuses", keyed(&state.fuses, fuse))
        .object("relays", keyed(&state.relays, relay))
        .object("batteries", keyed(&state.batteries, battery))
        .object(
            "chargers",
            keyed(&state.chargers, |current| {
                Object::new().number("current_a", *current)
            }),
        )
        .object("ladders", keyed(&state.ladders, ladder))
        .number("residual_a", state.residual_a)
}

fn keyed<T>(map: &std::collections::BTreeMap<String, T>, one: impl Fn(&T) -> Object) -> Object {
    map.iter().fold(Object::new(), |object, (name, value)| {
        object.object(name, one(value))
    })
}

fn terminals(state: &StateSolution) -> Object {
    let put = |object: Object, (label, volts): (&String, &Option<f64>)| {
        object.number_or_null(label, *volts)
    };
    state.terminals_v.iter().fold(Object::new(), put)
}

fn part(part: &PartReading) -> Object {
    Object::new()
        .text("kind", part.kind.word())
        .number_or_null("voltage_v", part.voltage_v)
        .number_or_null("current_a", part.current_a)
        .number_or_null("drop_v", part.drop_v)
        .number_or_null("rule_drop_v", part.rule_drop_v)
        .number_or_null("rule_drop_pct", part.rule_drop_pct)
        .number_or_null("limit_pct", part.limit_pct)
        .number_or_null(
            "speed_rpm",
            part.speed_rad_s.map(|w| w * 30.0 / std::f64::consts::PI),
        )
}

fn wire(circuit: &Circuit, wire: &WireReading) -> Object {
    let object = Object::new()
        .text_or_null("name", wire.name.as_deref())
        .text("from", &wire.from)
        .text("to", &wire.to)
        .text("size", &wire.size)
        .number("current_a", wire.current_a)
        .number("rms_a", wire.rms_a)
        .number("drop_v", wire.drop_v)
        .number("temperature_degc", wire.temperature_degc)
        .number_or_null("ampacity_a", wire.ampacity_a);
    with_columns(object, &circuit.wires[wire.wire].columns)
}

/// Adds the columns of the owner's own wire list, where it has any.
pub(crate) fn with_columns(object: Object, columns: &[(String, String)]) -> Object {
    if columns.is_empty() {
        return object;
    }
    let cells = columns.iter();
    let inner = cells.fold(Object::new(), |inner, (heading, cell)| {
        inner.text(heading, cell)
    });
    object.object("columns", inner)
}

fn fuse(fuse: &crate::solving::FuseReading) -> Object {
    Object::new()
        .number("current_a", fuse.current_a)
        .number("rating_a", fuse.rating_a)
        .number("load_pct", fuse.load_pct)
}

fn relay(relay: &crate::solving::RelayReading) -> Object {
    let object = Object::new().number_or_null("coil_v", relay.coil_v);
    let object = match relay.pulled_in {
        Some(pulled_in) => object.flag("pulled_in", pulled_in),
        None => object.text_or_null("pulled_in", None),
    };
    object
        .number("pull_in_v", relay.pull_in_v)
        .number("drop_out_v", relay.drop_out_v)
}

fn battery(battery: &crate::solving::BatteryReading) -> Object {
    Object::new()
        .number("voltage_v", battery.voltage_v)
        .number("current_a", battery.current_a)
}

fn ladder(ladder: &crate::solving::Ladder) -> Object {
    let rung = |rung: &crate::solving::Rung| {
        Object::new()
            .text("what", &rung.what)
            .number("drop_v", rung.drop_v)
            .number("current_a", rung.current_a)
    };
    Object::new()
        .text("supply", &ladder.supply)
        .objects("feed", ladder.feed.iter().map(rung))
        .objects("return", ladder.back.iter().map(rung))
}
