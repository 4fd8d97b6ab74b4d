//! Node voltages that balance the currents, the states held; and what becomes
//! of a current that an opened contact leaves no way.
//!
//! Every branch stands in for itself as it is at this instant; a motor's
//! current is held by its inductance over an instant. Where a way is left the
//! current stays; where none is, the volts rise until it has gone, as an arc
//! would have it, and the energy that went is told.

use super::elements::{Element, MOST};
use super::system::{Point, System};
use crate::network::{
    Branch, Conductor, Failure, Law, Parameters, Plan, PlanError, Settings, Solver, Start, Supply,
};

/// How long an inductance is asked to hold its current, seconds. Longer than
/// the instant of the voltages: a current without a way makes as many more volts
/// as this is shorter, and too many of them leave no digits.
const HOLD_S: f64 = 1e-7;
/// How long voltages are balanced over, seconds.
const INSTANT_S: f64 = 1e-9;
/// A change of current beyond this share is one that had no way.
const LOST: f64 = 0.02;
/// Smallest such change, amperes.
const LEAST_A: f64 = 0.05;

/// Solves for node voltages by the robust method of the operating point.
#[derive(Debug)]
pub(super) struct Balance {
    solver: Solver<1>,
}

/// Why there are no balancing voltages.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(super) enum Unbalanced {
    /// A figure no law can hold.
    #[error(transparent)]
    Figure(#[from] crate::network::SetError),
    /// No balance.
    #[error(transparent)]
    Failure(#[from] Failure),
}

impl Balance {
    /// Plans the network of the stand-ins.
    ///
    /// # Errors
    /// A branch that ends nowhere.
    pub(super) fn new(system: &System, reference: usize) -> Result<Self, PlanError> {
        let law = |element: &Element| match element {
            Element::Still(parameters, _) => parameters.law(),
            Element::Battery(_) | Element::Motor(_) | Element::Capacitor(_) => Law::Supply,
            _ => Law::Conductor,
        };
        let branches: Vec<Branch> = system
            .elements
            .iter()
            .zip(&system.ends)
            .map(|(element, &(from, to))| Branch {
                law: law(element),
                from,
                to,
            })
            .collect();
        Ok(Self {
            solver: Solver::new(&Plan::new(system.nodes, reference, &branches)?),
        })
    }

    /// Puts balancing voltages into `point`; currents of motors that have no
    /// way left go to what the rest allows. Returns the energy lost so, joules.
    ///
    /// # Errors
    /// No balance was found.
    pub(super) fn settle(&mut self, system: &System, point: &mut Point) -> Result<f64, Unbalanced> {
        let mut lost_j = 0.0;
        if carries(system, point) {
            self.solve(system, point, HOLD_S)?;
            lost_j = let_go(system, point);
        }
        self.solve(system, point, INSTANT_S)?;
        Ok(lost_j)
    }

    /// Puts balancing voltages into `point`, every state as it is; false where none were found.
    pub(super) fn afresh(&mut self, system: &System, point: &mut Point) -> bool {
        self.solve(system, point, INSTANT_S).is_ok()
    }

    fn solve(&mut self, system: &System, point: &mut Point, held_s: f64) -> Result<(), Unbalanced> {
        for (branch, element) in system.elements.iter().enumerate() {
            let (parameters, scale) = stand_in(element, &point.x[branch], held_s);
            if scale > 0.0 {
                self.solver.set(branch, 0, parameters)?;
            }
            self.solver.set_scale(branch, 0, scale)?;
        }
        let start = Start::flat(12.0);
        let found = self.solver.solve(&start, &Settings::report()).point(0)?;
        point.v = found.voltages_v;
        Ok(())
    }
}

/// Whether any motor carries current.
fn carries(system: &System, point: &Point) -> bool {
    let mut motors = system.elements.iter().zip(&point.x);
    motors.any(|(element, x)| matches!(element, Element::Motor(_)) && x[0].abs() > LEAST_A)
}

/// Lets currents that had no way go to what the voltages allow; returns the
/// energy that went, joules.
fn let_go(system: &System, point: &mut Point) -> f64 {
    let mut lost_j = 0.0;
    for (branch, element) in system.elements.iter().enumerate() {
        let Element::Motor(motor) = element else {
            continue;
        };
        let (behind_v, ohm) = motor.held(&point.x[branch], HOLD_S);
        let before = point.x[branch][0];
        let after = (system.across(branch, &point.v) - behind_v) / ohm;
        if (after - before).abs() > LEAST_A.max(LOST * before.abs()) {
            lost_j += 0.5 * motor.l_h * (before * before - after * after);
            point.x[branch][0] = if after.abs() < LEAST_A { 0.0 } else { after };
        }
    }
    lost_j
}

/// What a branch is at this instant.
fn stand_in(element: &Element, x: &[f64; MOST], held_s: f64) -> (Parameters, f64) {
    let supply = |emf_v: f64, r_ohm: f64| {
        let law = Supply {
            emf_v,
            r_ohm,
            r_charge_ohm: r_ohm,
        };
        (law.into(), 1.0)
    };
    let conductor = |conductance_s: f64| (Conductor { conductance_s }.into(), 1.0);
    match element {
        Element::Still(parameters, scale) => (*parameters, *scale),
        Element::Wire(_) | Element::Link(_) => conductor(element.value(x, 1.0).0),
        Element::Battery(battery) => {
            let (emf_v, ohm) = battery.behind(x);
            supply(emf_v, ohm)
        }
        Element::Motor(motor) => {
            let (emf_v, ohm) = motor.held(x, held_s);
            supply(emf_v, ohm)
        }
        Element::Filament(lamp) => conductor(lamp.siemens(x)),
        Element::Warming(heater) => conductor(heater.siemens(x)),
        Element::Capacitor(capacitor) => supply(x[0], capacitor.ohm),
    }
}
