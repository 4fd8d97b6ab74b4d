//! Topology: which law sits between which two nodes.

/// The kind of relation between a branch's voltage and its current.
///
/// A branch's voltage is that of `from` less that of `to`; its current is
/// counted from `from` through the branch to `to`. The parameters of each law
/// are the struct of the same name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Law {
    /// Constant conductance; zero is truly open.
    Conductor,
    /// Metal that heats with the square of its current, in series with a constant joint.
    HeatedConductor,
    /// Link whose resistance rises with the square of its current up to a cap.
    HeatedLink,
    /// Electromotive force behind a resistance for each direction of current.
    Supply,
    /// Limited current up to a set voltage; `from` is its plus.
    Charger,
    /// Winding, brushes and back-EMF against a torque that grows with speed squared.
    Motor,
    /// Filament: current grows less than the voltage.
    Lamp,
    /// Constant power above a cut-off voltage, linear below.
    ConstantPower,
    /// Constant current above a cut-off voltage, linear below.
    ConstantCurrent,
    /// Conducts from `from` to `to` above a forward drop.
    Diode,
}

impl Law {
    /// Every law, in the order in which branches are stored and evaluated.
    pub const ALL: [Self; 10] = [
        Self::Conductor,
        Self::HeatedConductor,
        Self::HeatedLink,
        Self::Supply,
        Self::Charger,
        Self::Motor,
        Self::Lamp,
        Self::ConstantPower,
        Self::ConstantCurrent,
        Self::Diode,
    ];
}

/// One two-terminal branch between two nodes.
///
/// `from == to` is allowed (it carries its law's current at 0 V and touches
/// nothing else), and so are parallel branches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Branch {
    /// What relates voltage and current.
    pub law: Law,
    /// Node at which positive current enters the branch.
    pub from: usize,
    /// Node at which positive current leaves the branch.
    pub to: usize,
}
