//! Fuses and wires in time, against independent integrators and published
//! figures.

pub(crate) mod by_hand;
mod duties;
mod gates;
mod integrator;
mod wires;
