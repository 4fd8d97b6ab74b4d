//! Fuses and wires in time: how warm they get and when they give way.
//!
//! A fuse is a band: three instances of its family's thermal network, early,
//! middle and late ([`Protector`], [`Element`]), driven by a current that is
//! constant or falls exponentially ([`Course`]), in closed form. A wire is its
//! copper and its insulation wall ([`WireBody`]): the published ampacity at
//! long times, the IEC adiabatic formula at short ones. The winding of a motor
//! that stands warms by its own current ([`StandingWinding`]).
//!
//! # Limits
//! Gates and networks hold for genuine fuses. No heat flows along a wire into
//! its ends. Ripple is taken by its rms value.
//!
//! Used by `fusing`, `transients` and `protecting`.

mod course;
mod decays;
mod element;
mod fatigue;
mod fitted;
mod opening;
mod pace;
mod protector;
mod winding;
mod wire;
mod wire_limits;

pub use course::{Course, Duty};
pub use element::{Drive, Element, Heat, Passage};
pub use fatigue::{Life, starts_before_fatigue};
pub use fitted::{Fitted, fitted};
pub use opening::{HOLDS, OPENS_FROM, Opening, Zone, holds_to, opening};
pub use pace::{Clock, Pace};
pub use protector::{CLOSES_BELOW, Family, Outcome, Protector, Run};
pub use winding::{FedWinding, StandingWinding};
pub use wire::{WireBody, WireHeat};
pub use wire_limits::{ADIABATIC_S, WireLimits, end_temperature};
