//! Electrical bench-test and circuit-protection helper for small marine engines.
//!
//! Data flows one way, left to right, and the modules below stand in that order:
//! circuit file text -> reading -> circuit -> devices -> network equations ->
//! operating points -> studies -> document -> terminal, JSON, Markdown or a page.

pub mod markup;
pub mod network;
pub mod quantities;
pub mod span;

pub mod sources;

pub mod findings;
pub mod tables;

pub mod circuit;

pub mod devices;
pub mod reading;

pub mod document;
pub mod drawing;
pub mod heating;
pub mod solving;

pub mod fusing;
pub mod transients;
pub mod wiring;

pub mod bench;
pub mod protecting;
pub mod sizing;
pub mod tolerance;

pub mod interpreting;
pub mod tracing;

pub mod reporting;

pub mod present;

pub mod cli;
