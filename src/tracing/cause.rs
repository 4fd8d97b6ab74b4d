//! The causes a fault may have: one fixed list.

/// What is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// A wire touches ground or a neighbour.
    ShortToGround,
    /// A load is shorted inside.
    ShortInLoad,
    /// A motor does not turn.
    LockedMotor,
    /// A motor turns against too much friction.
    DraggingMotor,
    /// A wire, or the winding of a load, is open.
    OpenWire,
    /// A joint on the feed side has ohms.
    HighResistanceJoint,
    /// A joint on the ground side has ohms, or is open.
    BadGround,
    /// A relay does not move: welded, or it does not pull in.
    RelayStuck,
    /// A relay pulls in and its contacts pass no current.
    RelayContactsBurnt,
    /// A relay's coil is shorted.
    RelayCoilShort,
    /// A diode across a coil, or in the circuit, is shorted or backwards.
    DiodeShort,
    /// A leg of the rectifier is shorted.
    RectifierShort,
    /// The fuse is smaller than the load needs.
    WrongFuse,
    /// The fuse is worn out.
    TiredFuse,
    /// The fuse's holder has ohms or no contact.
    FuseHolder,
    /// A load was added to the circuit.
    OverloadAdded,
    /// The battery was, or is, connected backwards.
    ReversedPolarity,
    /// Water between terminals.
    Water,
    /// Electronics are dead, shorted or stuck on.
    Module,
    /// The battery is weak.
    BatteryWeak,
    /// A switch is stuck or its contacts are burnt.
    SwitchFault,
    /// The stop line is bridged to plus, or to ground.
    StopLine,
    /// Current of a bad cable takes a way it was not meant to.
    SneakPath,
    /// Two of these at once.
    TwoFaults,
}

impl Cause {
    /// All causes with the words output uses.
    pub const ALL: [(Self, &'static str); 24] = [
        (Self::ShortToGround, "short-to-ground"),
        (Self::ShortInLoad, "short-in-load"),
        (Self::LockedMotor, "locked-motor"),
        (Self::DraggingMotor, "dragging-motor"),
        (Self::OpenWire, "open-wire"),
        (Self::HighResistanceJoint, "high-resistance-joint"),
        (Self::BadGround, "bad-ground"),
        (Self::RelayStuck, "relay-stuck"),
        (Self::RelayContactsBurnt, "relay-contacts-burnt"),
        (Self::RelayCoilShort, "relay-coil-short"),
        (Self::DiodeShort, "diode-short"),
        (Self::RectifierShort, "rectifier-short"),
        (Self::WrongFuse, "wrong-fuse"),
        (Self::TiredFuse, "tired-fuse"),
        (Self::FuseHolder, "fuse-holder"),
        (Self::OverloadAdded, "overload-added"),
        (Self::ReversedPolarity, "reversed-polarity"),
        (Self::Water, "water"),
        (Self::Module, "module"),
        (Self::BatteryWeak, "battery-weak"),
        (Self::SwitchFault, "switch-fault"),
        (Self::StopLine, "stop-line"),
        (Self::SneakPath, "sneak-path"),
        (Self::TwoFaults, "two-faults"),
    ];

    /// The word in output.
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(cause, _)| *cause == self)
            .map_or("", |(_, word)| word)
    }

    /// The cause of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        let found = Self::ALL.iter().find(|(_, known)| *known == word);
        found.map(|(cause, _)| *cause)
    }
}
