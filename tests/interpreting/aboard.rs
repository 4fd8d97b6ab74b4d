//! Readings taken in the boat: the feed against the whole circuit, solved anew
//! with a plain resistance in the part's place, and what readings say there.

use super::{first, run};
use ampkeel::bench::{Draws, Kind, Load, Options, Refused, Rig, Subject, settled, usual};
use ampkeel::circuit::{Circuit, PartId};
use ampkeel::interpreting::{
    Evidence, Examined, Interpretation, Measure, Priors, Question, Run, RunKind, interpret,
};
use ampkeel::reading::read;
use ampkeel::solving::{PartReading, Solution, solve};
use ampkeel::span::CircuitText;

const GABBRO: &str = include_str!("../../circuits/gabbro-injected-outboard.toml");

fn circuit(text: &str) -> Circuit {
    let reading = read(&CircuitText::new("boat.toml", text));
    assert!(reading.circuit.is_some(), "{:?}", reading.findings);
    reading.circuit.expect("a circuit")
}

fn subject(circuit: &Circuit, id: PartId) -> Subject {
    let air = circuit.ambient.at(circuit.part(id).place);
    Subject::of_part(circuit, id, air).expect("subject")
}

fn aboard(circuit: &Circuit, part: &str, state: &str) -> Result<Rig, Refused> {
    let id = circuit.find(part).expect("a part");
    let at = circuit.states.iter().position(|s| s.name == state).expect("a state");
    let usual = usual(&subject(circuit, id)).expect("usual");
    let mut draws = Draws::seeded(1);
    Rig::aboard(circuit, id, at, &Options::default(), usual, &mut draws)
}

fn part<'a>(solution: &'a Solution, state: &str, part: &str) -> &'a PartReading {
    let state = solution.states.iter().find(|found| found.name == state).expect("a state");
    &state.parts[part]
}

/// The pump of the example, a plain resistance in its place.
fn with_resistance(text: &str, ohm: f64) -> Circuit {
    let from = text.find("[pump.high-pressure]").expect("the pump");
    let to = text[from..].find("[relay.fuel-relay]").expect("its end") + from;
    let load = format!(
        "[load.high-pressure]\nresistance = \"{ohm} ohm\"\nplace = \"engine-space\"\n\n"
    );
    let text = format!("{}{load}{}", &text[..from], &text[to..]);
    circuit(&text.replace("condition = { high-pressure = \"locked\" }", ""))
}

/// Thevenin against the whole circuit: two loads and more, from a trickle to a
/// stalled pump, on the battery alone, while cranking, and while the battery is
/// charged until the load turns it round.
#[test]
fn the_feed_gives_the_volts_of_the_whole_circuit_at_any_load() {
    let boat = circuit(GABBRO);
    let mut worst = 0.0_f64;
    for state in ["key-on", "start", "idle", "cruise"] {
        let rig = aboard(&boat, "high-pressure", state).expect("fed");
        for ohm in [40.0, 6.0, 3.0, 2.0, 1.2, 0.8, 0.5] {
            let whole = solve(&with_resistance(GABBRO, ohm)).expect("solved");
            let wanted = part(&whole, state, "high-pressure");
            let found = settled(&[(rig.typical(), Load::resistance(ohm))]).expect("settled")[0];
            let off = (found.part_v - wanted.voltage_v.expect("volts")).abs();
            let posts = whole.states.iter().find(|s| s.name == state).expect("state").batteries
                ["cranking"]
                .voltage_v;
            let posts_off = (found.post_v - posts).abs();
            worst = worst.max(off).max(posts_off);
            assert!(off < 0.02, "{state} {ohm} ohm: off by {off} V");
            assert!(posts_off < 0.02, "{state} {ohm} ohm: posts off by {posts_off} V");
        }
    }
    assert!(worst > 0.0);
}
