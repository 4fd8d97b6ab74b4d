//! What happens when its time has come: relays on their way, shafts that jam,
//! shorts that are made.

use super::elements::Element;
use super::march::{LEAST_STEP_S, March};
use super::watch::What;
use crate::solving::Role;
use std::collections::BTreeSet;

impl March<'_> {
    /// When the next such thing happens, seconds.
    pub(super) fn next_due(&self) -> Option<f64> {
        let relays = self.relays.iter().filter_map(|relay| relay.due_s);
        let made = self.built.due.first().map(|due| due.at_s);
        relays.chain(made).min_by(f64::total_cmp)
    }

    /// Lets everything happen whose time has come.
    pub(super) fn let_due_happen(&mut self) {
        let now_s = self.time_s + LEAST_STEP_S;
        while self.built.due.first().is_some_and(|due| due.at_s <= now_s) {
            let due = self.built.due.remove(0);
            self.happened(due.what, due.subject, None);
            for (branch, element) in due.branches {
                if let Element::Motor(_) = element {
                    // What jams does so at once.
                    self.point.x[branch][1] = 0.0;
                }
                self.built.system.elements[branch] = element;
            }
        }
        self.flip_relays(now_s);
    }

    /// Moves every relay whose time has come and sets the contacts anew.
    fn flip_relays(&mut self, now_s: f64) {
        let mut moved = false;
        for at in 0..self.relays.len() {
            if self.relays[at].due_s.is_none_or(|due| due > now_s) {
                continue;
            }
            moved = true;
            self.relays[at].flip();
            let what = if self.relays[at].closed {
                What::PullsIn
            } else {
                What::LetsGo
            };
            let name = self.circuit.part(self.relays[at].part).name.clone();
            self.happened(what, name, None);
        }
        if moved {
            self.set_contacts();
        }
    }

    fn set_contacts(&mut self) {
        let closed = self.relays.iter().filter(|relay| relay.closed);
        let pulled_in: BTreeSet<_> = closed.map(|relay| relay.part).collect();
        let settings = self
            .workings
            .settings(self.circuit, &self.built.state, &pulled_in);
        for (branch, role) in self.workings.net.roles.iter().enumerate() {
            if matches!(role, Role::Make(_) | Role::Break(_)) {
                self.built.system.elements[branch] =
                    Element::Still(settings[branch].parameters, settings[branch].scale);
            }
        }
    }
}
