//! A contact, fuse or pin under the load of a filament lamp on the rig.

use super::circuit_loop::{Load, specimens_through, typical};
use super::rig::{Rig, read};
use super::{Draws, Refused, SPECIMENS, chance};
use crate::network::Lamp;
use crate::quantities::{Amps, Band, Volts, Watts};
use crate::sources::Sourced;
use crate::tables::OutOfTable;
use crate::tables::readings::{TestLamp, test_lamp};

/// Volts at which a lamp has its watts.
const LAMP_V: f64 = 12.0;
/// Share of a fuse's rating a lamp may draw, so that its first surge opens nothing.
const SHARE: f64 = 0.5;

/// What a part reads with a lamp behind it.
pub(super) struct UnderLamp {
    /// The current, as the meter reads it.
    pub current: Band<f64>,
    /// Volts across the part, as the meter reads them.
    pub across: Band<f64>,
}

/// The largest lamp a fuse or contact of a rating bears, the smallest at least.
///
/// # Errors
/// When the table cannot be read.
pub fn lamp_for(rating: Amps) -> Result<Sourced<TestLamp>, OutOfTable> {
    test_lamp(Watts::new(SHARE * rating.si() * LAMP_V))
}

/// One specimen of a lamp, lit.
pub fn lit(lamp: &TestLamp, draws: &mut Draws) -> Load {
    of_watts(draws.quantity(&lamp.power))
}

fn of_watts(watts: f64) -> Load {
    Load::of(Lamp {
        v_nominal_v: LAMP_V,
        i_nominal_a: watts / LAMP_V,
    })
}

/// A lamp's typical current at its own volts.
pub(super) fn current_of(lamp: &TestLamp) -> Amps {
    Amps::new(lamp.power.typical.si() / LAMP_V)
}

/// What the part reads; `drop_v` gives the volts it loses at a current from
/// what `pick` takes of its ranges.
pub(super) fn across(
    rig: &Rig,
    lamp: &TestLamp,
    draws: &mut Draws,
    drop_v: impl Fn(&mut dyn FnMut(Band<f64>) -> f64, f64) -> f64,
) -> Result<UnderLamp, Refused> {
    // What the part loses is small beside the lamp: it enters as a resistance
    // at the lamp's own current.
    let nominal_a = current_of(lamp).si();
    let middle_v = drop_v(&mut |band| band.typical, nominal_a);
    let one = typical(rig, of_watts(lamp.power.typical.si()), middle_v / nominal_a)?;
    let mut lost_v = Vec::with_capacity(SPECIMENS);
    let many = specimens_through(rig, SPECIMENS, draws, |draws| {
        let watts = draws.quantity(&lamp.power);
        let volts = drop_v(&mut |band| draws.of(band), nominal_a);
        lost_v.push(volts);
        (of_watts(watts), volts / nominal_a)
    })?;
    let currents = many
        .iter()
        .map(|s| read(draws, &rig.amps_error, s.current_a));
    let current = chance::range(currents.collect(), one.current_a);
    let scaled = |volts: f64, current_a: f64| volts * current_a / nominal_a;
    let readings = many.iter().zip(&lost_v).map(|(settled, volts)| {
        let lost = scaled(*volts, settled.current_a);
        read(draws, &rig.millivolts_error, lost)
    });
    Ok(UnderLamp {
        across: chance::range(readings.collect(), scaled(middle_v, one.current_a)),
        current,
    })
}

/// Ends of a range of volts in words.
pub(super) fn volts_words(band: Band<f64>) -> String {
    format!(
        "{} to {}",
        Volts::new(band.low.max(0.0)),
        Volts::new(band.high)
    )
}
