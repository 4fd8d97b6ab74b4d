//! How thin a wire may be whatever its load, and where a bundle counts.

use crate::circuit::Wire;
use crate::quantities::WireSize;

/// Wires that carry less than this are signal wires, amperes.
const SIGNAL_A: f64 = 1.0;
/// Loaded wires in a bundle from which the published factor is advised.
pub const BUNDLE_FROM: u32 = 4;
/// A pigtail shorter than this is excepted: 7 in, 33 CFR 183.425(g).
const PIGTAIL_M: f64 = 7.0 * 0.0254;

/// Whether the least size does not hold for a wire: a signal wire by the most
/// it carries in any state, amperes, or a pigtail.
pub fn excepted_from_least(wire: &Wire, most_a: f64) -> bool {
    most_a < SIGNAL_A || wire.length.value.typical.si() < PIGTAIL_M
}

/// The least size of the system where a size is below it; none where it is not.
///
/// # Source
/// 33 CFR 183.425 (d) and (e); ISO 10133:2012 clause 7.7.
pub fn least_above(size: WireSize, sheath: bool) -> Option<&'static str> {
    let (too_thin, least) = match (size, sheath) {
        (WireSize::Awg(number) | WireSize::Sae(number), false) => (number > 16, "16 AWG"),
        (WireSize::Awg(number) | WireSize::Sae(number), true) => {
            (number > 18, "18 AWG in a sheath")
        }
        (WireSize::Metric(mm2), false) => (mm2 < 1.0, "1 mm2"),
        (WireSize::Metric(mm2), true) => (mm2 < 0.75, "0.75 mm2 in a sheath"),
    };
    too_thin.then_some(least)
}
