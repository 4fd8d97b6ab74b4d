//! Parameters in, operating points out, for one or several samples side by side.

use std::sync::Arc;

use super::balance;
use super::branch::Law;
use super::connectivity::{self, Reach};
use super::newton::{self, Group, Status};
use super::outcome::Outcome;
use super::parameters::{Parameters, SetError, finite_not_negative};
use super::plan::{Layout, Plan};
use super::robust;
use super::small_signal::SmallSignal;
use super::start::{Settings, Start};

/// Holds the branch parameters of `W` lanes (samples, faults, candidates) on one
/// plan, and solves them together. `W` is 1 to 8; 8 is the fast one.
///
/// Every branch is out of circuit until its parameters are set. Lanes do not
/// influence each other: a lane's result has the same bits for every `W` and
/// whatever the other lanes hold. Nothing is allocated while solving, except
/// for a lane on which plain Newton fails.
#[derive(Debug)]
pub struct Solver<const W: usize> {
    layout: Arc<Layout>,
    group: Group<W>,
    reach: Reach,
    /// Parameters of each lane that go in together; none until some are staged.
    staged: [Vec<f64>; W],
}

impl<const W: usize> Solver<W> {
    const WIDTH_IS_ALLOWED: () = assert!(W >= 1 && W <= 8, "one to eight lanes");

    /// Makes a solver with every branch out of circuit.
    pub fn new(plan: &Plan) -> Self {
        let () = Self::WIDTH_IS_ALLOWED;
        let layout = Arc::clone(&plan.0);
        let mut group = Group::new(&layout);
        for (at, link) in layout.sorted.iter().enumerate() {
            let first = layout.parameters_at(at);
            Parameters::placeholder(link.law)
                .store(|slot, value| group.parameters[first + slot] = [value; W]);
        }
        Self {
            layout,
            group,
            reach: Reach::default(),
            staged: [const { Vec::new() }; W],
        }
    }

    /// Sets the parameters of `branch` in `lane` and puts it in circuit (scale 1).
    ///
    /// # Errors
    /// A parameter outside its law's range, no such branch or lane, or a branch
    /// planned with another law; nothing is changed then.
    pub fn set(
        &mut self,
        branch: usize,
        lane: usize,
        parameters: impl Into<Parameters>,
    ) -> Result<(), SetError> {
        if lane >= W {
            return Err(SetError::NoLane { lane });
        }
        self.put(branch, parameters.into(), |values, value| {
            values[lane] = value;
        })
    }

    /// Sets the parameters of `branch` in every lane and puts it in circuit (scale 1).
    ///
    /// # Errors
    /// As [`Solver::set`].
    pub fn set_all(
        &mut self,
        branch: usize,
        parameters: impl Into<Parameters>,
    ) -> Result<(), SetError> {
        self.put(branch, parameters.into(), |values, value| {
            *values = [value; W];
        })
    }

    /// Puts parameters and scale of `branch` aside for `lane`, until [`Solver::commit`].
    /// Where all lanes change this is the faster way: the lanes of a parameter lie side
    /// by side, and are then written at once.
    ///
    /// # Errors
    /// As [`Solver::set`] and [`Solver::set_scale`]; a branch out of circuit keeps its
    /// parameters, whatever is given.
    pub(crate) fn stage(
        &mut self,
        branch: usize,
        lane: usize,
        parameters: &Parameters,
        scale: f64,
    ) -> Result<(), SetError> {
        let at = self.sorted(branch)?;
        let law = self.layout.sorted[at].law;
        let first = self.layout.parameters_at(at);
        let staged = self.staged.get_mut(lane);
        let staged = staged.ok_or(SetError::NoLane { lane })?;
        if staged.is_empty() {
            staged.extend(self.group.parameters.iter().map(|values| values[lane]));
        }
        let staged = &mut staged[first..first + law.stored()];
        finite_not_negative("scale", scale)?;
        if scale > 0.0 {
            fits(branch, law, parameters)?;
            parameters.store(|slot, value| staged[slot] = value);
        }
        staged[0] = scale;
        Ok(())
    }

    /// Puts in what was staged, in every lane that has something.
    pub(crate) fn commit(&mut self) {
        for (at, values) in self.group.parameters.iter_mut().enumerate() {
            for (value, staged) in values.iter_mut().zip(&self.staged) {
                if let Some(staged) = staged.get(at) {
                    *value = *staged;
                }
            }
        }
    }

    /// Takes over what `other`, a solver of the same plan, holds of some branches, in
    /// every lane. What a solver holds was checked when it was set. Branches that the
    /// plan does not have are passed over.
    pub(crate) fn copy(&mut self, other: &Self, branches: &[usize]) {
        debug_assert!(Arc::ptr_eq(&self.layout, &other.layout), "one plan");
        for branch in branches {
            let Ok(at) = self.sorted(*branch) else {
                continue;
            };
            let first = self.layout.parameters_at(at);
            let stored = first..first + self.layout.sorted[at].law.stored();
            self.group.parameters[stored.clone()].copy_from_slice(&other.group.parameters[stored]);
        }
    }

    fn put(
        &mut self,
        branch: usize,
        parameters: Parameters,
        write: impl Fn(&mut [f64; W], f64),
    ) -> Result<(), SetError> {
        let at = self.sorted(branch)?;
        fits(branch, self.layout.sorted[at].law, &parameters)?;
        let first = self.layout.parameters_at(at);
        write(&mut self.group.parameters[first], 1.0);
        parameters.store(|slot, value| write(&mut self.group.parameters[first + slot], value));
        Ok(())
    }

    /// Scales the current of `branch` in `lane`: 0 takes it out of circuit, 1 is
    /// whole, a duty between them the mean current of a load switched on and off.
    ///
    /// # Errors
    /// `scale` negative, infinite or not a number; no such branch or lane.
    pub fn set_scale(&mut self, branch: usize, lane: usize, scale: f64) -> Result<(), SetError> {
        if lane >= W {
            return Err(SetError::NoLane { lane });
        }
        finite_not_negative("scale", scale)?;
        let at = self.sorted(branch)?;
        self.group.parameters[self.layout.parameters_at(at)][lane] = scale;
        Ok(())
    }

    /// Scales the current of `branch` in every lane.
    ///
    /// # Errors
    /// As [`Solver::set_scale`].
    pub fn set_scale_all(&mut self, branch: usize, scale: f64) -> Result<(), SetError> {
        (0..W).try_for_each(|lane| self.set_scale(branch, lane, scale))
    }

    fn sorted(&self, branch: usize) -> Result<usize, SetError> {
        self.layout
            .sorted_at
            .get(branch)
            .copied()
            .ok_or(SetError::NoBranch { branch })
    }

    /// Finds the operating point of every lane.
    ///
    /// Plain Newton first; a lane it does not settle goes to a damped method that
    /// converges from anywhere. Whether a lane was solved is told per lane by the
    /// outcome: a point whose currents do not balance is a failure, not a number.
    pub fn solve(&mut self, start: &Start, settings: &Settings) -> Outcome<'_, W> {
        let flat = self.group.begin(&self.layout, start);
        newton::run(&self.layout, &mut self.group, flat, settings);
        for lane in 0..W {
            if self.group.status[lane] == Status::Solved
                && (!self.balances(lane, settings) || self.may_have_upper_point(lane))
            {
                self.group.status[lane] = Status::Stuck;
            }
        }
        let is_stuck = self.group.status.contains(&Status::Stuck);
        let is_joined = !is_stuck && self.group.lowest.iter().all(|&sum| sum > 0.0);
        if !is_joined {
            self.reach = connectivity::follow(&self.layout, &self.group.parameters);
        }
        if is_stuck {
            self.rescue(start, settings);
        }
        let reach = if is_joined { None } else { Some(&self.reach) };
        Outcome {
            layout: &self.layout,
            group: &self.group,
            reach,
        }
    }

    /// Linearises the network at the point the last solve found.
    pub fn small_signal(&mut self) -> SmallSignal<'_, W> {
        newton::linearise(&self.layout, &mut self.group);
        SmallSignal {
            layout: &self.layout,
            group: &self.group,
        }
    }

    fn balances(&self, lane: usize, settings: &Settings) -> bool {
        self.group.residual_a[lane] <= settings.residual_a
            || balance::worst(&self.layout, &self.group, lane, settings.residual_a).excess_a <= 0.0
    }

    /// True if a constant-power branch stands so little below its cut-off that a
    /// point above it may exist too.
    ///
    /// Derived: with open-circuit voltage `e` times the cut-off, both points exist
    /// only if the lower stands above `a` times the cut-off, `e = 2 (1 + sqrt(1 - a^2)) / a`:
    /// at half the cut-off that needs 7.4 times the cut-off as open-circuit voltage.
    fn may_have_upper_point(&self, lane: usize) -> bool {
        let range = self.layout.of_law[Law::ConstantPower as usize].clone();
        range
            .zip(self.layout.links(Law::ConstantPower))
            .any(|(at, link)| {
                let first = self.layout.parameters_at(at);
                let drawn =
                    self.group.parameters[first][lane] * self.group.parameters[first + 1][lane];
                let cut = self.group.parameters[first + 2][lane];
                let v = self.group.voltages[link.from as usize][lane]
                    - self.group.voltages[link.to as usize][lane];
                drawn > 0.0 && v.abs() < cut && v.abs() > 0.5 * cut
            })
    }

    /// Solves the stuck lanes one by one with the damped method.
    fn rescue(&mut self, start: &Start, settings: &Settings) {
        let mut single = Group::<1>::new(&self.layout);
        let stuck: Vec<usize> = (0..W)
            .filter(|&lane| self.group.status[lane] == Status::Stuck)
            .collect();
        for &lane in &stuck {
            for (one, all) in single.parameters.iter_mut().zip(&self.group.parameters) {
                one[0] = all[lane];
            }
            single.begin(&self.layout, start);
            let reach = Reach {
                joined: Vec::new(),
                is_root: self
                    .reach
                    .is_root
                    .iter()
                    .map(|mask| mask >> lane & 1)
                    .collect(),
            };
            self.group.status[lane] =
                robust::solve(&self.layout, &mut single, &reach, settings.residual_a);
            self.group.steps[lane] += single.steps[0];
            for (all, one) in self.group.voltages.iter_mut().zip(&single.voltages) {
                all[lane] = one[0];
            }
            for (all, one) in self.group.states.iter_mut().zip(&single.states) {
                all.conductance[lane] = one.conductance[0];
                all.i0[lane] = one.i0[0];
            }
        }
        newton::settle(&self.layout, &mut self.group);
        for &lane in &stuck {
            if self.group.status[lane] == Status::Solved && !self.balances(lane, settings) {
                let position =
                    balance::worst(&self.layout, &self.group, lane, settings.residual_a).position;
                self.group.status[lane] = Status::NotConverged { position };
            }
        }
    }
}

/// Whether parameters are those of a law, and what it allows.
fn fits(branch: usize, planned: Law, parameters: &Parameters) -> Result<(), SetError> {
    if parameters.law() != planned {
        return Err(SetError::OtherLaw {
            branch,
            planned,
            given: parameters.law(),
        });
    }
    Ok(parameters.check()?)
}
