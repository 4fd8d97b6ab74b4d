//! Network equations and their solution: which voltages and currents a set of
//! connected two-terminal branches settles to.
//!
//! Each node obeys the current law: the currents of its branches sum to zero.
//! Each branch obeys its [`Law`], reduced at every Newton step to a conductance
//! and a current. The linear system is eliminated in star-mesh form: a node with
//! conductances `c_i` to its neighbours and `g0` to the reference is replaced by
//! the conductances `c_i c_j / (g0 + sum c)` between them. Nothing is subtracted,
//! so open branches (exactly zero) and microhm joints live side by side.
//!
//! Use: make a [`Plan`] from the [`Branch`]es once; make a [`Solver`] for one or
//! eight lanes; set the parameters of each branch; solve; read the [`Outcome`].
//!
//! ```
//! use ampkeel::network::{Branch, Conductor, Law, Plan, Settings, Solver, Start, Supply};
//!
//! let branches = [
//!     Branch { law: Law::Supply, from: 1, to: 0 },
//!     Branch { law: Law::Conductor, from: 1, to: 0 },
//! ];
//! let plan = Plan::new(2, 0, &branches)?;
//! let mut solver = Solver::<1>::new(&plan);
//! solver.set_all(0, Supply { emf_v: 12.0, r_ohm: 0.01, r_charge_ohm: 0.01 })?;
//! solver.set_all(1, Conductor::from_resistance(1.99)?)?;
//! let outcome = solver.solve(&Start::flat(12.0), &Settings::report());
//! let point = outcome.point(0)?;
//! assert!((point.currents_a[1] - 6.0).abs() < 1e-12);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Limits
//! Direct current, steady state. Bare numbers with the unit in the name; this
//! module knows no device names and nothing else of the crate.
//!
//! # Source
//! Star-mesh transformation: textbook network theory. Newton's method with the
//! companion (Norton) model of each branch: textbook circuit simulation.
//! Called by the operating point of a circuit, by studies and by the transient.

#![allow(
    clippy::inline_always,
    reason = "what is not inlined into the lane-group function is not compiled for its targets"
)]
#![allow(
    clippy::needless_range_loop,
    reason = "lanes are counted so that every array in step is vectorised together"
)]
#![allow(
    clippy::neg_cmp_op_on_partial_ord,
    reason = "what is not a number must take the refusing side"
)]

mod balance;
mod branch;
mod connectivity;
mod elimination;
mod laws;
mod linear;
mod newton;
mod ordering;
mod outcome;
mod parameters;
mod plan;
mod robust;
mod small_signal;
mod solver;
mod stamping;
mod start;
mod symbolic;

pub use branch::{Branch, Law};
pub use laws::charger::Charger;
pub use laws::conductor::Conductor;
pub use laws::constant_current::ConstantCurrent;
pub use laws::constant_power::ConstantPower;
pub use laws::diode::Diode;
pub use laws::heated_conductor::HeatedConductor;
pub use laws::heated_link::HeatedLink;
pub use laws::lamp::Lamp;
pub use laws::motor::Motor;
pub use laws::supply::Supply;
pub use linear::Linear;
pub use outcome::{Failure, Outcome, Point};
pub use parameters::{ParameterError, Parameters, SetError};
pub use plan::{Plan, PlanError};
pub use small_signal::SmallSignal;
pub use solver::Solver;
pub use start::{Settings, Start};
