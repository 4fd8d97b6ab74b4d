//! Suspects gathered by cause and place, as a person would act on them.

use super::cause::Cause;
use super::scene::Scene;
use super::suspect::Site;
use crate::circuit::TerminalId;
use crate::circuit::zones::fuse_name;
use std::collections::BTreeMap;

/// A cause at a place with all its degrees.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    /// What is wrong.
    pub cause: Cause,
    /// Where.
    pub site: Site,
    /// Its suspects.
    pub members: Vec<usize>,
    /// Odds of all of them together.
    pub odds: f64,
}

/// What sets groups apart: cause, place, and the second fault where there are two.
type Kind = (Cause, Site, Option<(Cause, Site)>);

/// Groups, likeliest first.
pub(super) fn groups(scene: &Scene<'_>, odds: &[f64]) -> Vec<Group> {
    let mut all: BTreeMap<Kind, Group> = BTreeMap::new();
    for (at, suspect) in scene.suspects.iter().enumerate() {
        let group = all
            .entry((suspect.cause, suspect.site, suspect.second))
            .or_insert_with(|| Group {
                cause: suspect.cause,
                site: suspect.site,
                members: Vec::new(),
                odds: 0.0,
            });
        group.members.push(at);
        group.odds += odds[at];
    }
    let mut all: Vec<Group> = all.into_values().collect();
    all.sort_by(|a, b| b.odds.total_cmp(&a.odds));
    all
}

impl Group {
    /// Its likeliest suspect.
    pub(super) fn leader(&self, odds: &[f64]) -> usize {
        let best = self
            .members
            .iter()
            .max_by(|a, b| odds[**a].total_cmp(&odds[**b]));
        best.copied().unwrap_or(0)
    }

    /// The place as output names it: `NAME`, `BLOCK.SLOT` or `FROM to TO`.
    pub(super) fn subject(&self, scene: &Scene<'_>) -> String {
        let first = subject(scene, self.site);
        let second = self
            .members
            .first()
            .and_then(|at| scene.suspects[*at].second);
        match second {
            Some((_, site)) => format!("{first} and {}", subject(scene, site)),
            None => first,
        }
    }

    /// What and where, in words.
    pub(super) fn in_words(&self, scene: &Scene<'_>, odds: &[f64]) -> String {
        let leader = &scene.suspects[self.leader(odds)];
        let place = self.subject(scene);
        let what = match self.cause {
            Cause::ShortToGround => "short to ground or to a neighbour",
            Cause::ShortInLoad => "short inside",
            Cause::LockedMotor => "motor stuck",
            Cause::DraggingMotor => "motor drags",
            Cause::OpenWire => "open",
            Cause::HighResistanceJoint => "bad joint",
            Cause::BadGround => "bad ground",
            Cause::RelayStuck => "relay stuck",
            Cause::RelayContactsBurnt => "relay contacts burnt",
            Cause::RelayCoilShort => "relay coil shorted",
            Cause::DiodeShort => "diode shorted or backwards",
            Cause::RectifierShort => "rectifier shorted or leaking",
            Cause::WrongFuse => "fuse too small",
            Cause::TiredFuse => "fuse worn out",
            Cause::FuseHolder => "fuse holder",
            Cause::OverloadAdded => "a load was added",
            Cause::ReversedPolarity => "battery was, or is, backwards",
            Cause::Water => "water",
            Cause::Module => "electronics",
            Cause::BatteryWeak => "battery weak",
            Cause::SwitchFault => "switch",
            Cause::StopLine => "stop line",
            Cause::SneakPath => "bad heavy cable: its current takes another way",
            Cause::TwoFaults => "two faults",
        };
        let kind = match self.site {
            Site::Wire(_) => "wire ",
            _ => "",
        };
        if let Some((_, second)) = leader.second {
            return format!(
                "two faults: {} at `{}`, and {} at `{}`",
                leader.detail,
                subject(scene, self.site),
                leader.other,
                subject(scene, second)
            );
        }
        if leader.detail.is_empty() {
            format!("{what}, {kind}`{place}`")
        } else {
            format!("{what}, {kind}`{place}`: {}", leader.detail)
        }
    }
}

/// The name of a site.
pub(super) fn subject(scene: &Scene<'_>, site: Site) -> String {
    let circuit = scene.frame.circuit;
    match site {
        Site::Wire(wire) => circuit.wire_label(&circuit.wires[wire]),
        Site::Part(part) => circuit.part(part).name.clone(),
        Site::Fuse(fuse) => fuse_name(circuit, scene.frame.fuses[fuse]),
        Site::Terminal(end) => bolt_name(scene, end),
    }
}

fn bolt_name(scene: &Scene<'_>, end: TerminalId) -> String {
    let circuit = scene.frame.circuit;
    let label = &circuit.terminal(end).label;
    let join = circuit.joins.iter().find(|join| join.part == end);
    join.map_or_else(
        || label.clone(),
        |join| format!("{label} to {}", circuit.terminal(join.to).label),
    )
}
