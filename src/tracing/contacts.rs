//! What changes what conducts while a suspect is shown: relays and outputs of modules.

use super::frame::whole;
use crate::circuit::PartId;
use crate::devices::{Model, Resolved};
use crate::network::Conductor;
use crate::solving::{Net, Role, Setting};

/// Everything that moves, found once for a circuit.
#[derive(Debug)]
pub(super) struct Moving {
    /// Contacts of the relays.
    pub contacts: Vec<Contact>,
    /// Coils of the relays.
    pub coils: Vec<Coil>,
    /// Branches of the outputs of modules.
    pub channels: Vec<usize>,
}

/// A contact of a relay.
#[derive(Debug)]
pub(super) struct Contact {
    /// Its branch.
    pub branch: usize,
    /// The relay.
    pub part: PartId,
    /// How it stands while the relay has pulled in.
    pub pulled_in: Setting,
}

/// A coil that moves contacts.
#[derive(Debug)]
pub(super) struct Coil {
    /// Its branch.
    pub branch: usize,
    /// The relay.
    pub part: PartId,
    /// Branch of a second winding that undoes it once steady.
    pub pull_winding: Option<usize>,
}

impl Moving {
    pub(super) fn of(net: &Net, resolved: &Resolved) -> Self {
        Self {
            contacts: contacts(net, resolved),
            coils: coils(net, resolved),
            channels: channels(net),
        }
    }
}

fn contacts(net: &Net, resolved: &Resolved) -> Vec<Contact> {
    let contact = |(branch, role): (usize, &Role)| {
        let (part, conducts) = match *role {
            Role::Make(part) => (part, true),
            Role::Break(part) => (part, false),
            _ => return None,
        };
        let Model::Relay(relay) = resolved.part(part) else {
            return None;
        };
        let made_s = 1.0 / relay.contact.typical.si();
        let conductance_s = if conducts { made_s } else { 0.0 };
        Some(Contact {
            branch,
            part,
            pulled_in: whole(Conductor { conductance_s }),
        })
    };
    net.roles.iter().enumerate().filter_map(contact).collect()
}

fn coils(net: &Net, resolved: &Resolved) -> Vec<Coil> {
    let of = |sought: Role| net.roles.iter().position(|role| *role == sought);
    let coil = |(branch, role): (usize, &Role)| match *role {
        Role::Coil(part) if matches!(resolved.part(part), Model::Relay(_)) => Some(Coil {
            branch,
            part,
            pull_winding: of(Role::PullWinding(part)),
        }),
        _ => None,
    };
    net.roles.iter().enumerate().filter_map(coil).collect()
}

fn channels(net: &Net) -> Vec<usize> {
    let roles = net.roles.iter().enumerate();
    let channels = roles.filter(|(_, role)| matches!(role, Role::Channel { .. }));
    channels.map(|(branch, _)| branch).collect()
}
