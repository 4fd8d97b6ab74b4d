//! What was seen: the complaint, and whatever goes with it.

use crate::circuit::{PartId, TerminalId};
use crate::quantities::Band;

macro_rules! words {
    ($(#[$about:meta])* $name:ident { $($(#[$each:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $($(#[$each])* $variant),+
        }

        impl $name {
            /// All of them with the words logs use.
            pub const ALL: &'static [(Self, &'static str)] = &[$((Self::$variant, $word)),+];

            /// The word in logs and output.
            pub fn word(self) -> &'static str {
                Self::ALL.iter().find(|(one, _)| *one == self).map_or("", |(_, word)| word)
            }

            /// What a word means.
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().find(|(_, known)| *known == word).map(|(one, _)| *one)
            }
        }
    };
}

words! {
    /// What is complained of.
    Complaint {
        /// A fuse or breaker opens.
        FuseOpens = "fuse-opens",
        /// A load is dead.
        LoadDead = "load-dead",
        /// A load is weak.
        LoadWeak = "load-weak",
        /// The battery drains.
        Drain = "drain",
        /// Several things died together.
        DiedTogether = "died-together",
        /// The battery was connected backwards.
        Reversed = "reversed",
    }
}

words! {
    /// What goes with the trouble.
    When {
        /// As the battery is connected.
        BatteryConnected = "battery-connected",
        /// Key on.
        KeyOn = "key-on",
        /// At START.
        Start = "start",
        /// As the key springs back.
        KeyReleased = "key-released",
        /// Engine running.
        Running = "running",
        /// As one control is used.
        ControlUsed = "control-used",
        /// At high speed.
        HighSpeed = "high-speed",
        /// With movement: steering, trim, waves.
        Moving = "moving",
        /// When wet.
        Wet = "wet",
        /// When hot, after minutes.
        Hot = "hot",
        /// Now and then.
        Random = "random",
        /// As the engine is stopped.
        EngineStopped = "engine-stopped",
    }
}

words! {
    /// What went before.
    Before {
        /// Storage.
        Storage = "storage",
        /// Work on the boat.
        Work = "work",
        /// A battery connected backwards.
        Reversal = "reversal",
    }
}

words! {
    /// How the fuse's element looks.
    Element {
        /// A small clean gap.
        CleanGap = "clean-gap",
        /// Thinned or stretched.
        Thinned = "thinned",
        /// Sooted.
        Soot = "soot",
        /// All gone.
        Vanished = "vanished",
        /// Cracked without melting.
        Cracked = "cracked",
        /// Whole.
        Whole = "whole",
        /// Body melted.
        MeltedBody = "melted-body",
        /// Softened without a snap.
        Softened = "softened",
    }
}

words! {
    /// What was noticed of a part or wire.
    SignKind {
        /// Hot to the hand.
        Hot = "hot",
        /// Smoke.
        Smoke = "smoke",
        /// Melted.
        Melted = "melted",
        /// Corroded.
        Corroded = "corroded",
        /// Loose.
        Loose = "loose",
        /// Chafed.
        Chafed = "chafed",
        /// Pinched.
        Pinched = "pinched",
        /// Wet.
        Wet = "wet",
        /// Clicks.
        Clicks = "clicks",
        /// Makes no sound.
        Silent = "silent",
        /// Runs slowly.
        Slow = "slow",
        /// Glows where it should not, or weakly.
        Glows = "glows",
        /// Flickers.
        Flickers = "flickers",
    }
}

words! {
    /// What was read.
    Quantity {
        /// Volts.
        Volts = "volts",
        /// Amperes.
        Amps = "amps",
        /// Millivolts across a fuse.
        Millivolts = "millivolts",
        /// Ohms.
        Ohms = "ohms",
        /// Speed; it is kept and weighs nothing yet.
        Speed = "speed",
    }
}

words! {
    /// What was done.
    TestKind {
        /// A lamp in the fuse holder.
        Lamp = "lamp",
        /// A plug pulled.
        Unplug = "unplug",
        /// A relay swapped with a twin.
        Swap = "swap",
        /// Wiggled.
        Wiggle = "wiggle",
        /// Looked at.
        Look = "look",
        /// Relay bridged from 30 to 87.
        Bridge = "bridge",
        /// Part tested on the bench.
        Bench = "bench",
        /// Part put straight on a battery.
        Direct = "direct",
        /// A new fuse of the same rating.
        NewFuse = "new-fuse",
        /// Tugged.
        Tug = "tug",
        /// Cleaned or tightened.
        Clean = "clean",
        /// A feed or ground bridged with a lead.
        Jumper = "jumper",
        /// Beeper across it.
        Continuity = "continuity",
    }
}

impl TestKind {
    /// Outcomes a log may give.
    pub const fn outcomes(self) -> &'static [&'static str] {
        match self {
            Self::Lamp => &["bright", "dim", "off"],
            Self::Unplug => &["clears", "stays"],
            Self::Wiggle => &["changes", "same"],
            Self::Look => &[
                "good", "melted", "corroded", "loose", "chafed", "burnt", "touching",
            ],
            Self::Tug => &["loose", "firm"],
            Self::Bench | Self::Direct => &["good", "bad", "runs", "silent"],
            Self::NewFuse => &["holds", "opens", "cured", "same"],
            Self::Swap | Self::Bridge | Self::Clean | Self::Jumper => {
                &["cured", "same", "runs", "silent"]
            }
            Self::Continuity => &["beeps", "open"],
        }
    }
}

/// What evidence points at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// A terminal.
    Terminal(TerminalId),
    /// A part.
    Part(PartId),
    /// A fuse or breaker, by its place in `circuit::zones::fuses`.
    Fuse(usize),
    /// A wire, by index in the circuit.
    Wire(usize),
}

/// A figure somebody read.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Where.
    pub at: Spot,
    /// The other probe; the battery's minus post where none is named.
    pub to: Option<TerminalId>,
    /// What.
    pub quantity: Quantity,
    /// Value in SI; a range where it wandered.
    pub value: Band<f64>,
    /// State it was read in; none for everything off.
    pub state: Option<usize>,
    /// Parts that were unplugged.
    pub unplugged: Vec<PartId>,
}

impl Figure {
    /// Whether another reading is of the same thing, from the same place, in the
    /// same state with the same parts unplugged; its second probe aside.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        self.at == other.at
            && self.quantity == other.quantity
            && self.state == other.state
            && self.unplugged == other.unplugged
    }
}

/// Something somebody did, and what came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// What.
    pub test: TestKind,
    /// On what.
    pub at: Spot,
    /// In which state; where it matters and none is named, where the trouble shows.
    pub state: Option<usize>,
    /// The outcome's word.
    pub outcome: String,
}

/// All that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// What is complained of.
    pub complaint: Complaint,
    /// The fuse that opens, by its place in `circuit::zones::fuses`.
    pub fuse: Option<usize>,
    /// Loads that are dead or weak.
    pub loads: Vec<PartId>,
    /// States in which the trouble shows.
    pub states: Vec<usize>,
    /// States in which it does not.
    pub fine: Vec<usize>,
    /// What goes with it.
    pub when: Vec<When>,
    /// What went before.
    pub after: Vec<Before>,
    /// Seconds the fuse lasted.
    pub opens_after: Option<Band<f64>>,
    /// Seconds it was watched and held.
    pub holds_for: Option<f64>,
    /// How its element looks.
    pub element: Option<Element>,
    /// Fuses opened so far.
    pub so_far: Option<u32>,
    /// What else is dead.
    pub dead: Vec<PartId>,
    /// What still works.
    pub works: Vec<PartId>,
    /// Parts and wires last worked on.
    pub altered: Vec<Spot>,
    /// What was noticed.
    pub signs: Vec<(Spot, SignKind)>,
    /// What was read.
    pub figures: Vec<Figure>,
    /// What was done.
    pub tests: Vec<Done>,
}

impl Evidence {
    /// Whether anything was said of a state.
    pub fn names(&self, state: usize) -> bool {
        let told = self.states.iter().chain(&self.fine).copied();
        let figures = self.figures.iter().filter_map(|figure| figure.state);
        let tests = self.tests.iter().filter_map(|done| done.state);
        told.chain(figures).chain(tests).any(|at| at == state)
    }

    /// Nothing but a complaint.
    pub fn of(complaint: Complaint) -> Self {
        Self {
            complaint,
            fuse: None,
            loads: Vec::new(),
            states: Vec::new(),
            fine: Vec::new(),
            when: Vec::new(),
            after: Vec::new(),
            opens_after: None,
            holds_for: None,
            element: None,
            so_far: None,
            dead: Vec::new(),
            works: Vec::new(),
            altered: Vec::new(),
            signs: Vec::new(),
            figures: Vec::new(),
            tests: Vec::new(),
        }
    }

    /// The same with every part and state named once: who says it twice has
    /// seen it once.
    pub(super) fn once_each(&self) -> Self {
        fn once<T: PartialEq + Copy>(all: &[T]) -> Vec<T> {
            let mut once = Vec::new();
            for one in all {
                if !once.contains(one) {
                    once.push(*one);
                }
            }
            once
        }
        Self {
            loads: once(&self.loads),
            states: once(&self.states),
            fine: once(&self.fine),
            when: once(&self.when),
            after: once(&self.after),
            dead: once(&self.dead),
            works: once(&self.works),
            altered: once(&self.altered),
            signs: once(&self.signs),
            ..self.clone()
        }
    }
}
