//! Resistance of joints, contacts and switches.
//!
//! Low, typical and the most that is still sound; beyond it a contact is poor.
//! No limit table was found in print, so most of this is common practice.
//!
//! Used by every part that has terminals or contacts.

use super::{OutOfTable, figure, need, row_named};
use crate::quantities::{Band, Ohms};
use crate::sources::Sourced;

/// Kinds of joint and contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ContactKind {
    /// Crimped ring on a clean stud.
    RingOnStud,
    /// Clamp on a battery post.
    PostClamp,
    /// A 6.3 mm blade and its receptacle.
    BladePair,
    /// A sealed pin and its socket.
    SealedPin,
    /// Both clips of a blade fuse, without the fuse.
    FuseClips,
    /// Contact of a plug-in relay.
    RelayContact,
    /// Main contact of a starter solenoid.
    StarterSolenoid,
    /// Rocker or toggle switch.
    RockerSwitch,
    /// Ignition switch.
    IgnitionSwitch,
    /// Battery master switch.
    MasterSwitch,
    /// Bullet or butt splice.
    Splice,
    /// Two lugs bolted together, or a part bolted straight on.
    BoltedJoint,
    /// Spring clip of a test lead on a post or terminal.
    TestClip,
    /// Jaw of a jump cable on a post or stud.
    JumpClamp,
}

impl ContactKind {
    /// Every kind.
    pub const ALL: [Self; 14] = [
        Self::RingOnStud,
        Self::PostClamp,
        Self::BladePair,
        Self::SealedPin,
        Self::FuseClips,
        Self::RelayContact,
        Self::StarterSolenoid,
        Self::RockerSwitch,
        Self::IgnitionSwitch,
        Self::MasterSwitch,
        Self::Splice,
        Self::BoltedJoint,
        Self::TestClip,
        Self::JumpClamp,
    ];

    /// The name of its row.
    pub const fn name(self) -> &'static str {
        match self {
            Self::RingOnStud => "ring on a stud",
            Self::PostClamp => "post clamp",
            Self::BladePair => "blade pair",
            Self::SealedPin => "sealed pin pair",
            Self::FuseClips => "fuse clips, both",
            Self::RelayContact => "relay contact",
            Self::StarterSolenoid => "starter-solenoid contact",
            Self::RockerSwitch => "rocker switch",
            Self::IgnitionSwitch => "ignition switch",
            Self::MasterSwitch => "master switch",
            Self::Splice => "splice or bullet, old",
            Self::BoltedJoint => "bolted joint",
            Self::TestClip => "test clip",
            Self::JumpClamp => "jump-cable clamp",
        }
    }
}

/// Resistance of a sound contact.
///
/// # Errors
/// When the table cannot be read.
pub fn contact(kind: ContactKind) -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    let table = need("contact-resistance")?;
    let row = row_named(table, "contact", kind.name(), "contact")?;
    let ohms = |column: &str| figure(table, row, column).map(|mohm| Ohms::new(mohm / 1000.0));
    Ok(Sourced::new(
        Band::new(ohms("low_mohm")?, ohms("typical_mohm")?, ohms("high_mohm")?),
        table.row_source(row),
    ))
}

/// Resistance at which a contact is surely bad.
///
/// # Errors
/// When the table cannot be read.
pub fn faulty(kind: ContactKind) -> Result<Sourced<Ohms>, OutOfTable> {
    let table = need("contact-resistance")?;
    let row = row_named(table, "contact", kind.name(), "contact")?;
    Ok(Sourced::new(
        Ohms::new(figure(table, row, "faulty_mohm")? / 1000.0),
        table.row_source(row),
    ))
}

/// Resistance of a green-corroded terminal, with no upper end: low, typical and
/// a bad one.
///
/// # Errors
/// When the table cannot be read.
pub fn corroded() -> Result<Sourced<Band<Ohms>>, OutOfTable> {
    let table = need("contact-resistance")?;
    let row = row_named(table, "contact", "corroded terminal", "contact")?;
    let ohms = |column: &str| figure(table, row, column).map(|mohm| Ohms::new(mohm / 1000.0));
    Ok(Sourced::new(
        Band::new(
            ohms("low_mohm")?,
            ohms("typical_mohm")?,
            ohms("faulty_mohm")?,
        ),
        table.row_source(row),
    ))
}
