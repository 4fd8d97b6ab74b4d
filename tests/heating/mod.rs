//! Fuses and wires in time, against independent integrators and published
//! figures.

mod duties;
mod gates;
mod integrator;
mod wires;
