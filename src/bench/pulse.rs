//! Steps for a pump worked by a pulsed coil.
//!
//! # Limits
//! The mean of the pulses, as a meter averages them; no stroke is followed.

use super::assembly::{Sheet, on_rig};
use super::circuit_loop::{Load, Settled, specimens, typical};
use super::preparation::{battery_step, jack_limit, lead_fuse_words, ohms_read, tagged};
use super::pump::{off_the_engine, setting_up};
use super::rig::{Rig, read};
use super::steps::{Jack, Logged, Procedure, Quantity, Reading, Run, Step, Unit};
use super::{Draws, Refused, SPECIMENS, Subject, chance};
use crate::devices::PulsePump;
use crate::quantities::{Amps, Band, Pascals};
use crate::tables::OutOfTable;

pub(super) fn procedure(
    subject: &Subject,
    pump: &PulsePump,
    rig: &Rig,
    draws: &mut Draws,
) -> Result<Procedure, Refused> {
    let current = mean_current(pump, rig, draws)?;
    let stuck = stuck_current(pump, rig, draws)?;
    let ohms = ohms_read(&pump.coil_warm, rig, draws);
    let steps = vec![
        battery_step(rig, draws)?,
        Step::new("Off the harness, measure ohms across its two leads, both ways round.")
            .cautions(off_the_engine(true)?)
            .meter(Jack::Ohms)
            .expect(
                Reading::computed("coil", ohms, Unit::Ohms)
                    .logged(Logged::OfPart(Quantity::Ohms, None)),
            )
            .outside("open both ways: coil or its contacts; electronic ones read open one way only")
            .outside("near zero: shorted; do not run it"),
        setting_up(rig, true, Pascals::new(0.0))?,
        running(rig, current, stuck)?,
        Step::new(
            "Switch off, clips off last, plug the ports. Judge pressure and flow by the maker's figures.",
        ),
    ];
    let sheet = Sheet {
        topics: &["fuel-pump"],
        answer: format!(
            "a sound one takes {} to {} in the mean, typically {}; stuck on it would draw {} to {}",
            Amps::new(current.low),
            Amps::new(current.high),
            Amps::new(current.typical),
            Amps::new(stuck.low),
            Amps::new(stuck.high),
        ),
        steps,
        ..Sheet::default()
    };
    Ok(on_rig(subject, rig, draws, sheet))
}

fn mean_current(pump: &PulsePump, rig: &Rig, draws: &mut Draws) -> Result<Band<f64>, Refused> {
    let pulsed = |ohms: f64, duty: f64| Load::resistance(ohms).scaled(duty);
    let one = pulsed(pump.coil_warm.typical.si(), pump.duty.typical.si());
    let many = specimens(rig, SPECIMENS, draws, |draws| {
        pulsed(draws.quantity(&pump.coil_warm), draws.quantity(&pump.duty))
    })?;
    let read = |s: &Settled| read(draws, &rig.amps_error, s.current_a);
    let sample = many.iter().map(read).collect();
    Ok(chance::range(sample, typical(rig, one, 0.0)?.current_a))
}

fn stuck_current(pump: &PulsePump, rig: &Rig, draws: &mut Draws) -> Result<Band<f64>, Refused> {
    let one = typical(rig, Load::resistance(pump.coil_warm.typical.si()), 0.0)?;
    let many = specimens(rig, SPECIMENS, draws, |draws| {
        Load::resistance(draws.quantity(&pump.coil_warm))
    })?;
    let sample = many.iter().map(|s| s.current_a).collect();
    Ok(chance::range(sample, one.current_a))
}

fn running(rig: &Rig, current: Band<f64>, stuck: Band<f64>) -> Result<Step, OutOfTable> {
    Ok(
        Step::new("Switch on for 10 s at most and read the current; it jumps with each stroke, take the middle.")
            .cautions(tagged(&["time10", "dry5"])?)
            .cautions(jack_limit(rig, stuck.high)?)
            .meter(rig.meter)
            .expect(Reading::computed("mean current", current, Unit::Amps).logged(Logged::OfPart(Quantity::Amps, Some(Run::Wet))))
            .sign("a steady ticking, liquid in pulses")
            .outside("no current, no ticking: contacts or coil open; a tap may wake it once more")
            .outside("it ticks but moves no liquid: valve or diaphragm, nothing electrical")
            .stop_if(format!(
                "it clicks once and stays: it then draws {} to {} all the time and gets hot, {}",
                Amps::new(stuck.low),
                Amps::new(stuck.high),
                lead_fuse_words(rig, stuck)?
            )),
    )
}
