//! Results stored from a general circuit simulator.

mod boats;
