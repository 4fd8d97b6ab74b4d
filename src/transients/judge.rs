//! What a run shows to be wrong: a wire past what its insulation stands, a fuse
//! that opens unprovoked, a relay or electronics that drop out, a winding that
//! burns.
//!
//! All instances of the fuses are looked at. Where fuses are held whatever
//! flows, wires are not judged: no boat is like that. What follows from an
//! opened fuse is no finding of its own.

use super::scenario::Scenario;
use super::watch::What;
use super::{Event, Ready, Transient};
use crate::circuit::zones::{fuse_name, fuses};
use crate::circuit::{Circuit, PartId};
use crate::findings::{Finding, code};
use crate::quantities::{Seconds, Volts};
use crate::span::Span;
use crate::tables::fuses::Edge;
use std::collections::BTreeSet;

/// A run with the instance its fuses were; none where they were held.
pub(super) type Of<'a> = (Option<Edge>, &'a Transient);

/// Everything found in the runs of one scenario.
pub(super) fn judge(ready: &Ready<'_>, scenario: &Scenario, runs: &[Of<'_>]) -> Vec<Finding> {
    let judge = Judge {
        circuit: ready.circuit,
        steady: ready.pulled_in(&scenario.state),
        scenario,
        runs,
    };
    let mut found = judge.wires();
    found.extend(judge.unprovoked());
    found.extend(judge.windings());
    found.extend(judge.relays());
    found.extend(judge.electronics());
    found.extend(judge.breakers());
    found
        .into_iter()
        .map(|finding| finding.in_state(&scenario.state))
        .collect()
}

struct Judge<'a> {
    circuit: &'a Circuit,
    /// Relays that stay in once the state has settled.
    steady: BTreeSet<PartId>,
    scenario: &'a Scenario,
    runs: &'a [Of<'a>],
}

impl<'a> Judge<'a> {
    /// First time something happens to each subject in any run, with the
    /// instances it happens with.
    fn firsts(&self, what: What) -> Vec<(&'a Event, String)> {
        let mut subjects: BTreeSet<&str> = BTreeSet::new();
        let all = self.runs.iter().flat_map(|(_, run)| &run.events);
        let mut found = Vec::new();
        for event in all.filter(|event| event.what == what) {
            if subjects.insert(&event.subject) {
                found.push((event, self.with_which(what, &event.subject)));
            }
        }
        found
    }

    /// `, with late fuses`; nothing where it happens with all of them.
    fn with_which(&self, what: What, subject: &str) -> String {
        let happens = |(_, run): &&Of<'_>| run.first(what, subject).is_some();
        let with: Vec<&str> = self
            .runs
            .iter()
            .filter(happens)
            .filter_map(|(edge, _)| edge.map(word))
            .collect();
        if with.is_empty() || with.len() == self.runs.len() {
            String::new()
        } else {
            format!(", with {} fuses", with.join(" and "))
        }
    }

    /// Whether something is shorted or jammed by the scenario or the state.
    fn is_provoked(&self) -> bool {
        let mut states = self.circuit.states.iter();
        let state = states.find(|state| state.name == self.scenario.state);
        self.scenario.short.is_some()
            || !self.scenario.locked.is_empty()
            || state.is_some_and(crate::circuit::State::is_what_if)
    }

    fn wires(&self) -> Vec<Finding> {
        if self.scenario.fuses.is_none() {
            return Vec::new();
        }
        let finding = |(event, which): (&Event, String)| {
            let after = Seconds::new(event.time_s);
            let statement = format!(
                "after {after} `{}` has been hotter for longer than its insulation stands{which}",
                event.subject
            );
            let mut finding = Finding::new(code("insulation-fails"), &event.subject, statement)
                .with_hint("a smaller fuse that still carries the load, a thicker wire, or a fuse where there is none")
                .with_measure(event.time_s, None, "s");
            let mut wires = self.circuit.wires.iter();
            if let Some(wire) = wires.find(|wire| self.circuit.wire_label(wire) == event.subject) {
                finding = finding
                    .with_label(wire.span, "this wire")
                    .mendable(!wire.keep);
            }
            finding
        };
        self.firsts(What::InsulationFails)
            .into_iter()
            .map(finding)
            .collect()
    }

    fn unprovoked(&self) -> Vec<Finding> {
        if self.is_provoked() {
            return Vec::new();
        }
        let finding = |(event, which): (&Event, String)| {
            let statement = format!(
                "`{}` opens after {} though nothing is shorted or jammed{which}",
                event.subject,
                Seconds::new(event.time_s)
            );
            let finding = Finding::new(code("fuse-opens-in-use"), &event.subject, statement)
                .with_hint("measure what flows there first: a stiff motor or a bad joint draws a start out; never fit a larger fuse to stop one from opening")
                .with_measure(event.time_s, None, "s");
            match self.span_of_fuse(&event.subject) {
                Some(span) => finding.with_label(span, "this one"),
                None => finding,
            }
        };
        self.firsts(What::Opens).into_iter().map(finding).collect()
    }

    fn windings(&self) -> Vec<Finding> {
        let finding = |(event, which): (&Event, String)| {
            let statement = format!(
                "the winding of `{}` is too hot after {}{which}",
                event.subject,
                Seconds::new(event.time_s)
            );
            let finding = Finding::new(code("winding-overheats"), &event.subject, statement)
                .with_hint("a fuse guards the wire, not the motor: watch its current when it starts, or fit a motor with a thermal cut-out")
                .with_measure(event.time_s, None, "s");
            self.at_part(finding, &event.subject, "this motor")
        };
        self.firsts(What::WindingHot)
            .into_iter()
            .map(finding)
            .collect()
    }

    fn relays(&self) -> Vec<Finding> {
        let mut found = Vec::new();
        for &part in &self.steady {
            let name = &self.circuit.part(part).name;
            let dropped = |(_, run): &&Of<'_>| before_any_opening(run, What::LetsGo, name);
            let Some((_, run)) = self.runs.iter().find(dropped) else {
                continue;
            };
            let time_s = run.first(What::LetsGo, name).unwrap_or_default();
            let coil = run.column(name, "coil_v");
            let least = coil.map_or(0.0, |coil| {
                let values = run.times_s.iter().zip(&coil.values);
                let until = values.filter(|(at, _)| **at <= time_s);
                until.map(|(_, volts)| *volts).fold(f64::INFINITY, f64::min)
            });
            let back = run
                .events
                .iter()
                .find(|event| {
                    event.what == What::PullsIn && event.subject == *name && event.time_s > time_s
                })
                .map_or_else(
                    || "does not come back".to_owned(),
                    |event| format!("closes again after {}", Seconds::new(event.time_s)),
                );
            let statement = format!(
                "`{name}` lets go after {} with {} across its coil, and {back}",
                Seconds::new(time_s),
                Volts::new(least)
            );
            let finding = Finding::new(code("relay-drops-out"), name, statement)
                .with_hint("charge the battery, clean its posts and lugs, and measure the coil's volts while cranking")
                .with_measure(least, None, "V");
            found.push(self.at_part(finding, name, "this relay"));
        }
        found
    }

    fn electronics(&self) -> Vec<Finding> {
        let mut found = Vec::new();
        for (event, which) in self.firsts(What::CutsOff) {
            let name = &event.subject;
            let dipped = |(_, run): &&Of<'_>| before_any_opening(run, What::CutsOff, name);
            if self.runs.iter().find(dipped).is_none() {
                continue;
            }
            let statement = format!(
                "`{name}` has too few volts after {}{which}",
                Seconds::new(event.time_s)
            );
            let finding = Finding::new(code("electronics-cut-off"), name, statement)
                .with_hint(
                    "charge the battery, clean its posts and lugs, or give it a feed of its own",
                )
                .with_measure(event.time_s, None, "s");
            found.push(self.at_part(finding, name, "this load"));
        }
        found
    }

    fn breakers(&self) -> Vec<Finding> {
        let finding = |(event, which): (&Event, String)| {
            let statement = format!(
                "`{}` closes again by itself after {}{which}",
                event.subject,
                Seconds::new(event.time_s)
            );
            let finding = Finding::new(code("breaker-cycles"), &event.subject, statement)
                .with_hint(
                    "switch the circuit off before looking for the fault: it will be fed again",
                )
                .with_measure(event.time_s, None, "s");
            self.at_part(finding, &event.subject, "this breaker")
        };
        self.firsts(What::ClosesAgain)
            .into_iter()
            .map(finding)
            .collect()
    }

    fn at_part(&self, finding: Finding, name: &str, text: &str) -> Finding {
        match self.circuit.find(name) {
            Some(part) => finding.with_label(self.circuit.part(part).span, text),
            None => finding,
        }
    }

    fn span_of_fuse(&self, name: &str) -> Option<Span> {
        let mut all = fuses(self.circuit).into_iter();
        let id = all.find(|id| fuse_name(self.circuit, *id) == name)?;
        Some(self.circuit.part(id.part).span)
    }
}

/// Whether something happens in a run while every fuse is still whole.
fn before_any_opening(run: &Transient, what: What, subject: &str) -> bool {
    let opened = run.events.iter().find(|event| event.what == What::Opens);
    let opened_s = opened.map_or(f64::INFINITY, |event| event.time_s);
    run.first(what, subject).is_some_and(|at_s| at_s < opened_s)
}

const fn word(edge: Edge) -> &'static str {
    match edge {
        Edge::Early => "early",
        Edge::Nominal => "middle",
        Edge::Late => "late",
    }
}
