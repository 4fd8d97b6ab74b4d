//! Whether a suspect sits where somebody looked, tugged or swapped.

use super::cause::Cause as C;
use super::evidence::Spot;
use super::frame::Frame;
use super::suspect::{Site, Suspect};
use crate::circuit::PartId;

/// Whether a suspect sits at a spot: the same place, or the end of a wire that
/// is fastened there.
pub(super) fn sits_at(frame: &Frame<'_>, suspect: &Suspect, spot: Spot) -> bool {
    let circuit = frame.circuit;
    let ends = |wire: usize| [circuit.wires[wire].from, circuit.wires[wire].to];
    let part = match spot {
        Spot::Part(part) => Some(part),
        Spot::Terminal(end) => Some(circuit.terminal(end).part),
        Spot::Fuse(fuse) => Some(frame.fuses[fuse].part),
        Spot::Wire(_) => None,
    };
    match (suspect.site, spot) {
        (Site::Wire(own), Spot::Wire(other)) | (Site::Fuse(own), Spot::Fuse(other)) => own == other,
        (Site::Wire(_), Spot::Terminal(end)) => suspect.end == Some(end),
        (Site::Wire(_), _) => {
            let own = suspect.end.map(|end| circuit.terminal(end).part);
            own.is_some() && own == part
        }
        (Site::Fuse(own), Spot::Part(part)) => frame.fuses[own].part == part,
        (Site::Terminal(own), Spot::Terminal(other)) => own == other,
        (Site::Terminal(own), Spot::Part(part)) => circuit.terminal(own).part == part,
        (Site::Part(own), Spot::Wire(wire)) => suspect
            .end
            .is_some_and(|end| ends(wire).contains(&end) && circuit.terminal(end).part == own),
        (Site::Part(own), _) => part == Some(own),
        _ => false,
    }
}

/// Whether a suspect is a fault inside a part, so that another part in its
/// place would cure it.
pub(super) fn is_inside(suspect: &Suspect, part: PartId) -> bool {
    let outside = matches!(
        suspect.cause,
        C::ShortToGround | C::HighResistanceJoint | C::BadGround | C::SneakPath | C::StopLine
    );
    suspect.site == Site::Part(part) && !outside
}

/// The part that is changed if this suspect is the fault, where that mends it.
pub(super) fn part_to_change(suspect: &Suspect) -> Option<PartId> {
    let Site::Part(part) = suspect.site else {
        return None;
    };
    let stays = matches!(suspect.cause, C::ReversedPolarity | C::Water);
    (is_inside(suspect, part) && !stays && suspect.second.is_none()).then_some(part)
}
