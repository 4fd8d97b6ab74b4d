//! The second winding of a shift solenoid: it pulls in through the motor.

use super::assembly::positive;
use super::circuit_loop::{Load, specimens, typical};
use super::preparation::{ohms_read, tagged};
use super::rig::{Rig, read};
use super::steps::{Jack, Reading, Step, Unit};
use super::{Draws, Refused, SPECIMENS, chance, heavy};
use crate::devices::RelayModel;
use crate::quantities::{Amps, Band, Ohms};

/// Steps for the pull winding; none for a relay with one winding.
pub(super) fn pull_winding(
    relay: &RelayModel,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Vec<Step>, Refused> {
    let Some(winding) = relay.pull_winding else {
        return Ok(Vec::new());
    };
    let ohms = ohms_read(&winding, rig, draws);
    let cables = heavy::beside(rig)?;
    let both = both_windings(&relay.coil_warm, &winding, &cables, draws)?;
    let alone = Step::new("Pull winding, motor cable off: ohms from its small stud (86) to the motor's large stud (87).")
        .meter(Jack::Ohms)
        .expect(Reading::computed("pull winding", ohms, Unit::Ohms))
        .outside("open: it clicks faintly or not at all, though its hold winding is sound")
        .outside(
            "the leads' own ohms are as large: null them, or go by the amperes of the next step",
        );
    let together = Step::new("Both windings, too much for the thin lead: jump cables and a second starter solenoid as the switch, plus to its small stud (86), minus to its case or other small stud (85) and to the motor's large stud (87). Switch on for 3 s, never over 15 s.")
        .cautions(tagged(&["starter-time", "no-bridge", "eyes", "short", "studs"])?)
        .meter(cables.meter)
        .expect(Reading::computed(
            "current of both windings",
            positive(both),
            Unit::Amps,
        ))
        .sign("the plunger shoots in at once and stays")
        .outside("hold winding's current alone: the pull winding is open")
        .outside("it chatters: weak hold winding, or the battery sags")
        .stop_if(format!(
            "it draws well over {}, or smells; let it cool two minutes between tries",
            Amps::new(both.high)
        ));
    Ok(vec![alone, together])
}

fn both_windings(
    hold: &Band<Ohms>,
    pull: &Band<Ohms>,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Band<f64>, Refused> {
    let together =
        |hold_ohm: f64, pull_ohm: f64| Load::resistance(1.0 / (1.0 / hold_ohm + 1.0 / pull_ohm));
    let one = typical(rig, together(hold.typical.si(), pull.typical.si()), 0.0)?;
    let many = specimens(rig, SPECIMENS, draws, |draws| {
        together(draws.quantity(hold), draws.quantity(pull))
    })?;
    let currents = many
        .iter()
        .map(|s| read(draws, &rig.amps_error, s.current_a));
    Ok(chance::range(currents.collect(), one.current_a))
}
