//! Coils: relays and solenoids.
//!
//! Copper coils: R(T) = R20 (234.5 + T)/254.5. A relay closes at a fixed
//! current, so the volts it needs grow with its coil's resistance.
//!
//! # Limits
//! A coil is taken at the temperature of the air around it: one that has been
//! on for minutes runs 30 to 60 K hotter and needs up to a quarter more volts.

use super::battery::judged;
use super::shelf::{Shelf, in_words};
use crate::circuit::{Relay, Solenoid, Suppression};
use crate::quantities::{Amps, Band, Celsius, Ohms, Volts};
use crate::sources::Sourced;
use crate::tables::OutOfTable;
use crate::tables::devices::{SolenoidClass, relay_class, solenoid_class};

/// Electrical figures of a relay.
#[derive(Debug, Clone, PartialEq)]
pub struct RelayModel {
    /// Coil at 20 degC.
    pub coil: Band<Ohms>,
    /// Coil at the temperature of its place.
    pub coil_warm: Band<Ohms>,
    /// Volts to close, at 20 degC.
    pub pull_in: Band<Volts>,
    /// Volts at which it opens, at 20 degC.
    pub drop_out: Band<Volts>,
    /// Volts to close at its place: the most a sound one may need.
    pub pull_in_warm: Volts,
    /// Volts at which it opens at its place.
    pub drop_out_warm: Volts,
    /// Contact.
    pub contact: Band<Ohms>,
    /// Conductance of a resistor across the coil, siemens.
    pub suppressor_s: f64,
    /// Whether a diode sits across the coil.
    pub diode: bool,
    /// Second winding of a shift solenoid, 86 to 87.
    pub pull_winding: Option<Band<Ohms>>,
    /// Continuous current of its contact.
    pub continuous: Option<Sourced<Amps>>,
}

impl RelayModel {
    /// Whether it is the stud solenoid of a starter or shift: those work for
    /// seconds and have no continuous rating.
    pub fn is_solenoid(&self) -> bool {
        self.continuous.is_none()
    }
}

/// Electrical figures of a solenoid.
#[derive(Debug, Clone, PartialEq)]
pub struct SolenoidModel {
    /// Coil at 20 degC.
    pub coil: Band<Ohms>,
    /// Coil at the temperature of its place.
    pub coil_warm: Band<Ohms>,
    /// Current its driver holds it with, where the driver limits it.
    pub held: Option<Band<Amps>>,
    /// Current its driver pulls it in with.
    pub pulled: Option<Band<Amps>>,
}

/// Resistance of copper at a temperature over that at 20 degC.
pub(super) fn copper_factor(temperature: Celsius) -> f64 {
    (234.5 + temperature.si()) / 254.5
}

pub(super) fn resolve_relay(
    spec: &Relay,
    subject: &str,
    ambient: Celsius,
    shelf: &mut Shelf,
) -> Result<RelayModel, OutOfTable> {
    let class_name = spec
        .class
        .as_ref()
        .map_or("plug-in", |given| given.value.as_str());
    let class = relay_class(class_name)?;
    let coil = shelf.take(
        spec.coil.as_ref(),
        subject,
        "coil",
        class.clone().map(|c| c.coil),
    );
    let pull_in = shelf.take(
        spec.pull_in.as_ref(),
        subject,
        "pull-in",
        class.clone().map(|c| c.pull_in),
    );
    let drop_out = shelf.take(
        spec.drop_out.as_ref(),
        subject,
        "drop-out",
        class.clone().map(|c| c.drop_out),
    );
    let contact = shelf.take(
        spec.contact.as_ref(),
        subject,
        "contact",
        class.clone().map(|c| c.contact),
    );
    let warm = copper_factor(ambient);
    let resistor = match spec.suppression.map(|given| given.value) {
        Some(Suppression::Resistor) => Some(
            class
                .value
                .suppression
                .unwrap_or(Ohms::new(USUAL_SUPPRESSOR_OHM)),
        ),
        _ => None,
    };
    let pull_winding = class
        .value
        .pull_in_winding
        .map(|winding| winding.scaled(warm));
    if let Some(winding) = &pull_winding {
        shelf.note(
            subject,
            format!("pull-in winding {}", in_words(winding)),
            class.source.clone(),
        );
    }
    Ok(RelayModel {
        coil,
        coil_warm: coil.scaled(warm),
        pull_in,
        drop_out,
        pull_in_warm: pull_in.typical * warm,
        drop_out_warm: drop_out.typical * warm,
        contact,
        suppressor_s: resistor.map_or(0.0, |ohms| 1.0 / ohms.si()),
        diode: spec
            .suppression
            .is_some_and(|given| given.value == Suppression::Diode),
        pull_winding,
        // Solenoids of starters work for seconds: no continuous rating holds for them.
        continuous: (!class_name.ends_with("-solenoid")).then(|| class.map(|c| c.continuous)),
    })
}

/// Resistor across a coil where its class names none: read data say 680 ohm.
const USUAL_SUPPRESSOR_OHM: f64 = 680.0;

pub(super) fn resolve_solenoid(
    spec: &Solenoid,
    subject: &str,
    ambient: Celsius,
    shelf: &mut Shelf,
) -> Result<SolenoidModel, OutOfTable> {
    let usual = judged(
        SolenoidClass {
            coil: Band::exactly(Ohms::new(12.0)),
            hold: None,
            peak: None,
        },
        "a solenoid of about 1 A",
    );
    let class = match &spec.class {
        Some(given) => solenoid_class(&given.value)?,
        None => usual,
    };
    let coil = shelf.take(
        spec.coil.as_ref(),
        subject,
        "coil",
        class.clone().map(|c| c.coil),
    );
    let held = spec.hold.map(|given| given.value).or(class.value.hold);
    let pulled = spec
        .pull
        .map(|given| given.value)
        .or(class.value.peak.map(Band::exactly));
    Ok(SolenoidModel {
        coil,
        coil_warm: coil.scaled(copper_factor(ambient)),
        held,
        pulled,
    })
}
