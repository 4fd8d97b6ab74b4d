//! Parts: one struct a kind, fields as written.

use super::{Given, Place, TerminalId};
use crate::quantities::{
    AmpHours, Amps, Band, Celsius, Fraction, Ohms, Pascals, RadiansPerSecond, Volts, Watts,
};
use crate::span::Span;
use crate::tables::batteries::Chemistry;
use crate::tables::fuses::FuseStyle;

/// The kinds of part a file may describe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartKind {
    /// Battery.
    Battery,
    /// Charger: stator with regulator.
    Charger,
    /// Fuse in its own holder.
    Fuse,
    /// Block of fuses on one feed.
    FuseBlock,
    /// Circuit breaker.
    Breaker,
    /// Switch, simple or selector.
    Switch,
    /// Relay.
    Relay,
    /// A module's switched outputs.
    Driver,
    /// Pump.
    Pump,
    /// Motor.
    Motor,
    /// Solenoid.
    Solenoid,
    /// Any other load.
    Load,
    /// Diode.
    Diode,
    /// Ground stud, bus bar or splice.
    Stud,
    /// Plug.
    Plug,
}

impl PartKind {
    /// All kinds with the words files use.
    pub const ALL: [(Self, &'static str); 15] = [
        (Self::Battery, "battery"),
        (Self::Charger, "charger"),
        (Self::Fuse, "fuse"),
        (Self::FuseBlock, "fuse-block"),
        (Self::Breaker, "breaker"),
        (Self::Switch, "switch"),
        (Self::Relay, "relay"),
        (Self::Driver, "driver"),
        (Self::Pump, "pump"),
        (Self::Motor, "motor"),
        (Self::Solenoid, "solenoid"),
        (Self::Load, "load"),
        (Self::Diode, "diode"),
        (Self::Stud, "stud"),
        (Self::Plug, "plug"),
    ];

    /// Whether it joins feed and return by itself: a load, a coil, a charger.
    pub const fn is_consumer_or_charger(self) -> bool {
        matches!(
            self,
            Self::Pump | Self::Motor | Self::Solenoid | Self::Load | Self::Relay | Self::Charger
        )
    }

    /// The word as files write it.
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(kind, _)| *kind == self)
            .map_or("", |(_, word)| word)
    }
}

/// A part with its name, place and terminals.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Unique name.
    pub name: String,
    /// Where it sits.
    pub place: Place,
    /// Whether the place was written for this part (else it is the default).
    pub place_given: bool,
    /// The key of its table in the file.
    pub span: Span,
    /// Its terminals: for two-terminal parts first the one a chain enters.
    /// Battery, charger, pump, motor, solenoid, load: plus, minus (two-field
    /// trim: up, down, common). Fuse, breaker, switch: in, out (selector: as
    /// listed). Relay: 85, 86, 30, 87, 87a. Diode: anode, cathode. Fuse block:
    /// feed, then the slots. Driver: channels, then out. Stud: one. Plug: each
    /// pin's `to` half then its `from` half.
    pub terminals: Vec<TerminalId>,
    /// What it is.
    pub device: Device,
}

impl Part {
    /// The part's kind.
    pub fn kind(&self) -> PartKind {
        match &self.device {
            Device::Battery(_) => PartKind::Battery,
            Device::Charger(_) => PartKind::Charger,
            Device::Fuse(_) => PartKind::Fuse,
            Device::FuseBlock(_) => PartKind::FuseBlock,
            Device::Breaker(_) => PartKind::Breaker,
            Device::Switch(_) => PartKind::Switch,
            Device::Relay(_) => PartKind::Relay,
            Device::Driver(_) => PartKind::Driver,
            Device::Pump(_) => PartKind::Pump,
            Device::Motor(_) => PartKind::Motor,
            Device::Solenoid(_) => PartKind::Solenoid,
            Device::Load(_) => PartKind::Load,
            Device::Diode(_) => PartKind::Diode,
            Device::Stud => PartKind::Stud,
            Device::Plug(_) => PartKind::Plug,
        }
    }
}

/// What a part is, with the fields of its kind.
#[derive(Debug, Clone, PartialEq)]
pub enum Device {
    /// A battery.
    Battery(Battery),
    /// A charger.
    Charger(Charger),
    /// A fuse.
    Fuse(Fuse),
    /// A fuse block.
    FuseBlock(FuseBlock),
    /// A breaker.
    Breaker(Breaker),
    /// A switch.
    Switch(Switch),
    /// A relay.
    Relay(Relay),
    /// A driver.
    Driver(Driver),
    /// A pump.
    Pump(MotorSpec),
    /// A motor.
    Motor(MotorSpec),
    /// A solenoid.
    Solenoid(Solenoid),
    /// A load.
    Load(Load),
    /// A diode.
    Diode(Diode),
    /// A stud.
    Stud,
    /// A plug.
    Plug(Plug),
}

/// `[battery.NAME]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Battery {
    /// Flooded, agm or gel.
    pub chemistry: Option<Given<Chemistry>>,
    /// Cold-cranking amperes (SAE, -18 degC).
    pub cold_cranking: Option<Given<Band<Amps>>>,
    /// Capacity.
    pub capacity: Option<Given<Band<AmpHours>>>,
    /// State of charge.
    pub charge: Option<Given<Band<Fraction>>>,
    /// Its own temperature.
    pub temperature: Option<Given<Band<Celsius>>>,
    /// Volts at rest, where the chemistry is none of the three (`open-volts`).
    pub open_volts: Option<Given<Band<Volts>>>,
    /// Internal resistance, where it was measured.
    pub resistance: Option<Given<Band<Ohms>>>,
}

/// How a stator winding lies to ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Winding {
    /// One end on ground.
    Grounded,
    /// Both ends free.
    Floating,
}

/// `[charger.NAME]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Charger {
    /// The most it gives.
    pub output: Option<Given<Band<Amps>>>,
    /// Voltage it regulates to.
    pub set_point: Option<Given<Band<Volts>>>,
    /// Winding against ground.
    pub winding: Option<Given<Winding>>,
    /// Whether it regulates at all.
    pub regulated: Option<Given<bool>>,
}

/// `[fuse.NAME]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Fuse {
    /// Family.
    pub style: Given<FuseStyle>,
    /// Fitted rating.
    pub rating: Given<Amps>,
    /// Rating printed on the cover.
    pub label: Option<Given<Amps>>,
    /// Held against sizing.
    pub keep: bool,
}

impl Fuse {
    /// A fuse that stands in no file.
    pub fn new(style: FuseStyle, rating: Amps) -> Self {
        Self {
            style: Given::new(style, Span::default()),
            rating: Given::new(rating, Span::default()),
            label: None,
            keep: false,
        }
    }
}

/// One fuse of a block.
#[derive(Debug, Clone, PartialEq)]
pub struct Slot {
    /// Slot's name; `BLOCK.SLOT` is how it is called.
    pub name: String,
    /// Where it is written.
    pub span: Span,
    /// The fuse in it.
    pub fuse: Fuse,
    /// Its load-side terminal.
    pub terminal: TerminalId,
}

/// `[fuse-block.NAME]`.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseBlock {
    /// Slots, sorted by name; the feed is the part's first terminal.
    pub slots: Vec<Slot>,
}

impl FuseBlock {
    /// Index of the slot with this load-side terminal; none for the feed.
    pub fn slot_at(&self, terminal: TerminalId) -> Option<usize> {
        self.slots.iter().position(|slot| slot.terminal == terminal)
    }
}

/// How a breaker comes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reset {
    /// By hand.
    Manual,
    /// By itself.
    Automatic,
    /// Stays open while power is on.
    Modified,
}

/// `[breaker.NAME]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Breaker {
    /// Rating.
    pub rating: Given<Amps>,
    /// Kind of reset.
    pub reset: Option<Given<Reset>>,
    /// Rating printed on the panel.
    pub label: Option<Given<Amps>>,
    /// Held against sizing.
    pub keep: bool,
}

/// Simple or selector.
#[derive(Debug, Clone, PartialEq)]
pub enum SwitchKind {
    /// Two terminals.
    Simple {
        /// Made when nothing acts on it.
        normally_closed: bool,
    },
    /// Several terminals, joined in pairs by position.
    Selector {
        /// Positions in file order: name, and pairs of indices into the part's terminals.
        positions: Vec<(String, Vec<(usize, usize)>)>,
    },
}

/// `[switch.NAME]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Switch {
    /// Simple or selector.
    pub kind: SwitchKind,
    /// Contact resistance.
    pub contact: Option<Given<Band<Ohms>>>,
}

/// What quenches a coil's spark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suppression {
    /// Nothing.
    None,
    /// A resistor across the coil.
    Resistor,
    /// A diode across the coil; 86 is plus.
    Diode,
}

/// `[relay.NAME]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Relay {
    /// plug-in, starter-solenoid, shift-solenoid.
    pub class: Option<Given<String>>,
    /// Coil resistance at 20 degC.
    pub coil: Option<Given<Band<Ohms>>>,
    /// Volts at which it closes, at 20 degC.
    pub pull_in: Option<Given<Band<Volts>>>,
    /// Volts at which it opens, at 20 degC.
    pub drop_out: Option<Given<Band<Volts>>>,
    /// Contact resistance.
    pub contact: Option<Given<Band<Ohms>>>,
    /// Suppression.
    pub suppression: Option<Given<Suppression>>,
}

/// `[driver.NAME]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Driver {
    /// Channel names in file order.
    pub channels: Vec<String>,
    /// Volts lost in a conducting channel, at its working current.
    pub drop: Option<Given<Band<Volts>>>,
}

/// A known working point of a motor or pump: `at = { ... }`.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkingPoint {
    /// Volts at its terminals.
    pub voltage: Given<Band<Volts>>,
    /// Its current there.
    pub current: Given<Band<Amps>>,
    /// Its pressure there.
    pub pressure: Option<Given<Band<Pascals>>>,
    /// Its speed there.
    pub speed: Option<Given<Band<RadiansPerSecond>>>,
}

/// `[pump.NAME]` and `[motor.NAME]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MotorSpec {
    /// Class name, checked to exist.
    pub class: Option<Given<String>>,
    /// Known working point.
    pub at: Option<WorkingPoint>,
    /// Current with the rotor held.
    pub locked: Option<Given<Band<Amps>>>,
    /// Current running dry.
    pub dry: Option<Given<Band<Amps>>>,
    /// Winding resistance.
    pub resistance: Option<Given<Band<Ohms>>>,
    /// Commutator bars.
    pub bars: Option<Given<u32>>,
    /// Largest fuse its maker allows.
    pub max_fuse: Option<Given<Amps>>,
}

/// `[solenoid.NAME]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Solenoid {
    /// Class name, checked to exist.
    pub class: Option<Given<String>>,
    /// Coil resistance at 20 degC.
    pub coil: Option<Given<Band<Ohms>>>,
    /// Current while pulling in, for peak-and-hold parts.
    pub pull: Option<Given<Band<Amps>>>,
    /// Current while holding.
    pub hold: Option<Given<Band<Amps>>>,
}

/// What a load is: exactly one answer.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadLaw {
    /// A class by name, checked to exist.
    Class(String),
    /// Constant power.
    Power(Band<Watts>),
    /// Constant current.
    Current(Band<Amps>),
    /// A resistance.
    Resistance(Band<Ohms>),
    /// A filament lamp by its watts at nominal voltage.
    Lamp(Band<Watts>),
}

/// `[load.NAME]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// What it is.
    pub law: Given<LoadLaw>,
    /// First current.
    pub inrush: Option<Given<Band<Amps>>>,
    /// Volts below which electronics give up and act as a resistance.
    pub cut_off: Option<Given<Band<Volts>>>,
    /// Largest fuse its maker allows.
    pub max_fuse: Option<Given<Amps>>,
}

/// `[diode.NAME]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Diode {
    /// Forward drop.
    pub drop: Option<Given<Band<Volts>>>,
}

/// `[plug.NAME]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Plug {
    /// Pin names in file order.
    pub pins: Vec<String>,
    /// Contact resistance of a pin.
    pub contact: Option<Given<Band<Ohms>>>,
    /// Pulled apart.
    pub unplugged: bool,
}
