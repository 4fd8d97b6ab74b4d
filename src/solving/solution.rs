//! What a solved circuit shows, by the names its owner uses.

use crate::circuit::PartKind;
use crate::findings::{Assumed, Finding};
use std::collections::BTreeMap;

/// All states solved and judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// States in file order.
    pub states: Vec<StateSolution>,
    /// Everything found, over all states.
    pub findings: Vec<Finding>,
    /// Defaults that entered the result.
    pub assumed: Vec<Assumed>,
}

impl Solution {
    /// The judged state in which a part draws most, by its name; none where it
    /// nowhere draws more than `least_a` amperes.
    pub fn drawing_most(&self, part: &str, least_a: f64) -> Option<&StateSolution> {
        let judged = self.states.iter().filter(|state| !state.what_if);
        judged
            .filter(|state| state.drawn_a(part) > least_a)
            .max_by(|a, b| a.drawn_a(part).total_cmp(&b.drawn_a(part)))
    }
}

impl StateSolution {
    /// What a part draws in this state either way, amperes; nothing where it
    /// has no current.
    pub fn drawn_a(&self, part: &str) -> f64 {
        let reading = self.parts.get(part).and_then(|part| part.current_a);
        reading.unwrap_or(0.0).abs()
    }
}

/// One operating state. Keys are names as the owner writes them.
#[derive(Debug, Clone, PartialEq)]
pub struct StateSolution {
    /// State's name.
    pub name: String,
    /// Whether it is a what-if state, which is not judged by load and drop rules.
    pub what_if: bool,
    /// Volts of every terminal against the minus post of the battery of its
    /// island; none where nothing connects it to a supply.
    pub terminals_v: BTreeMap<String, Option<f64>>,
    /// Loads, and the feeds of fuse blocks.
    pub parts: BTreeMap<String, PartReading>,
    /// Wires, sorted as in the circuit.
    pub wires: Vec<WireReading>,
    /// Current through each bolted joint, amperes, in the circuit's order.
    pub joins_a: Vec<f64>,
    /// Fuses and breakers.
    pub fuses: BTreeMap<String, FuseReading>,
    /// Relays.
    pub relays: BTreeMap<String, RelayReading>,
    /// Batteries.
    pub batteries: BTreeMap<String, BatteryReading>,
    /// Chargers: what each gives, amperes.
    pub chargers: BTreeMap<String, f64>,
    /// Largest current left over at a joint, amperes.
    pub residual_a: f64,
    /// Where the volts go, for each load that carries current.
    pub ladders: BTreeMap<String, Ladder>,
}

/// What a load gets.
#[derive(Debug, Clone, PartialEq)]
pub struct PartReading {
    /// Kind of part.
    pub kind: PartKind,
    /// Volts across its terminals, plus less minus; none where not connected.
    pub voltage_v: Option<f64>,
    /// Current through it, amperes, positive from plus to minus.
    pub current_a: Option<f64>,
    /// Volts at the supply's posts less the volts at the load: what a meter
    /// should show. None where it carries no current.
    pub drop_v: Option<f64>,
    /// The rule's drop, volts.
    pub rule_drop_v: Option<f64>,
    /// The rule's drop, percent of the nominal voltage.
    pub rule_drop_pct: Option<f64>,
    /// Limit it is held against, percent; none where no drop rule applies.
    pub limit_pct: Option<f64>,
    /// Speed of a motor, rad/s.
    pub speed_rad_s: Option<f64>,
}

/// What a wire carries.
#[derive(Debug, Clone, PartialEq)]
pub struct WireReading {
    /// Index in the circuit.
    pub wire: usize,
    /// The owner's name for it.
    pub name: Option<String>,
    /// Label of its first end.
    pub from: String,
    /// Label of its second end.
    pub to: String,
    /// Size as written.
    pub size: String,
    /// Current from first to second end, amperes.
    pub current_a: f64,
    /// Heating current: with the ripple of pulsed loads, amperes.
    pub rms_a: f64,
    /// Volts lost in it, joints included.
    pub drop_v: f64,
    /// Conductor temperature, degC.
    pub temperature_degc: f64,
    /// Ampacity where it lies; none where no table has its size.
    pub ampacity_a: Option<f64>,
    /// Whether it carries mostly a starter's current, which the ampacity rule
    /// excepts.
    pub cranking: bool,
}

/// What a fuse carries.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseReading {
    /// Heating current, amperes.
    pub current_a: f64,
    /// Fitted rating, amperes.
    pub rating_a: f64,
    /// Current over rating, percent.
    pub load_pct: f64,
}

/// How a relay stands.
#[derive(Debug, Clone, PartialEq)]
pub struct RelayReading {
    /// Volts across its coil, 86 less 85; none where not connected.
    pub coil_v: Option<f64>,
    /// Whether it has pulled in; none for a relay that chatters.
    pub pulled_in: Option<bool>,
    /// Volts it needs to close, at its own temperature.
    pub pull_in_v: f64,
    /// Volts at which it lets go, at its own temperature.
    pub drop_out_v: f64,
}

/// How a battery stands.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryReading {
    /// Volts at its posts.
    pub voltage_v: f64,
    /// Current it gives, amperes; negative while it is charged.
    pub current_a: f64,
}

/// Where the volts go between the supply's posts and a load.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ladder {
    /// The supply it starts from.
    pub supply: String,
    /// From the plus post to the load, in order.
    pub feed: Vec<Rung>,
    /// From the load to the minus post, in order.
    pub back: Vec<Rung>,
}

/// What a step of the ladder is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RungKind {
    /// Copper of a wire, of which alone the drop rule counts.
    Copper,
    /// The joints at both ends of a wire.
    WireEnds,
    /// A fuse with its clips, or a breaker.
    Fuse,
    /// A switch, a contact, an output, a pin, a diode, a bolted joint.
    Contact,
    /// Another load or supply on the way.
    Through,
}

/// One step of the ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Rung {
    /// What kind of step it is.
    pub kind: RungKind,
    /// What it is, in words: a wire, its joints, a fuse, a contact.
    pub what: String,
    /// Volts lost in it.
    pub drop_v: f64,
    /// Current through it, amperes.
    pub current_a: f64,
}
