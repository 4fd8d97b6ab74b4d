//! Suspects in fuses and holders, and loads added behind them.

use super::{Gathering, OPEN_OHM};
use crate::circuit::zones::fuse_name;
use crate::devices::Model;
use crate::network::HeatedLink;
use crate::solving::Setting;
use crate::tracing::cause::Cause;
use crate::tracing::frame::{Extra, ohms, whole};
use crate::tracing::opening::Guard;
use crate::tracing::suspect::{Site, Suspect};

/// Degrees of a bad holder, ohms, with their shares (judgement).
const HOLDERS: [(f64, f64); 10] = [
    (0.05, 0.12),
    (0.15, 0.1),
    (0.4, 0.12),
    (0.8, 0.1),
    (1.5, 0.1),
    (3.0, 0.08),
    (6.0, 0.07),
    (15.0, 0.06),
    (50.0, 0.05),
    (OPEN_OHM, 0.2),
];
/// What a hot holder leaves of a fuse's rating, with the share of such cases
/// (judgement). A fuse opens or holds within a narrow range of current: degrees lie
/// close; a holder that melts opens its fuse at next to none.
const HOT: [(f64, f64); 6] = [
    (0.1, 0.04),
    (0.25, 0.06),
    (0.42, 0.12),
    (0.6, 0.25),
    (0.7, 0.3),
    (0.82, 0.23),
];
/// What a tired fuse has left of its rating (judgement).
const TIRED: [f64; 4] = [0.42, 0.52, 0.63, 0.76];
/// Ohms of a fuse that beeps and carries no load (judgement).
const FILM: [f64; 4] = [0.3, 0.7, 1.6, 4.0];
/// What a smaller fuse has of the rating in the file, with shares (judgement): one size
/// down to half, seldom less.
const SMALLER: [(f64, f64); 5] = [
    (0.2, 0.12),
    (0.33, 0.16),
    (0.45, 0.2),
    (0.55, 0.24),
    (0.67, 0.28),
];
/// Loads that people add, over the fuse's rating (judgement).
const ADDED: [(f64, f64); 8] = [
    (0.4, 0.12),
    (0.6, 0.13),
    (0.8, 0.13),
    (1.0, 0.13),
    (1.25, 0.14),
    (1.6, 0.13),
    (2.0, 0.11),
    (2.5, 0.11),
];
/// Ohms of what drains a battery unseen, with shares (judgement).
const DRAINS: [(f64, f64); 3] = [(20.0, 0.3), (60.0, 0.4), (240.0, 0.3)];

pub(super) fn gather(all: &mut Gathering<'_, '_>) {
    for at in 0..all.frame.fuses.len() {
        holder(all, at);
        fuse_itself(all, at);
        added(all, at);
    }
}

/// The fuse with ohms added at its clips.
fn link(all: &Gathering<'_, '_>, at: usize, added_ohm: f64) -> Option<Setting> {
    let fuse = all.frame.fuses[at];
    let Model::Links(links) = all.frame.resolved.part(fuse.part) else {
        return None;
    };
    let model = &links[fuse.slot.unwrap_or(0)];
    Some(whole(HeatedLink {
        r_contacts_ohm: model.clips.typical.si() + added_ohm,
        r_cold_ohm: model.cold.typical.si(),
        beta_per_a2: model.rise_per_a2,
        extra_a2: 0.0,
        rise_cap: model.rise_cap,
    }))
}

fn holder(all: &mut Gathering<'_, '_>, at: usize) {
    let branch = Some(all.frame.links[at]);
    for (ohm, share) in HOLDERS {
        let Some(setting) = link(all, at, ohm) else {
            return;
        };
        let clips = Suspect::new(Cause::FuseHolder, Site::Fuse(at), share)
            .edit(branch, setting)
            .degree(ohm)
            .told("clips loose, corroded or burnt");
        if all.opens() && ohm < 1.0 {
            for (left, of_these) in HOT {
                let mut hot = clips.clone();
                hot.weight *= of_these;
                hot.derated = Some((at, left));
                all.push(hot);
            }
        } else {
            all.push(clips);
        }
        let wet = Suspect::new(Cause::Water, Site::Fuse(at), share * 0.5)
            .edit(branch, setting)
            .degree(ohm)
            .told("its holder is wet and corroded");
        all.push(wet);
    }
}

fn fuse_itself(all: &mut Gathering<'_, '_>, at: usize) {
    for (left, share) in SMALLER {
        let mut small = Suspect::new(Cause::WrongFuse, Site::Fuse(at), share)
            .told("fitted smaller than the file says");
        small.derated = Some((at, left));
        all.push(small);
    }
    if all.opens() {
        for left in TIRED {
            let mut tired = Suspect::new(Cause::TiredFuse, Site::Fuse(at), 1.0)
                .told("worn out by starts or shaking, without too much current");
            tired.derated = Some((at, left));
            all.push(tired);
        }
        return;
    }
    let mut open = Suspect::new(Cause::TiredFuse, Site::Fuse(at), 1.0).told("open");
    open.worn_out = Some(at);
    all.push(open);
    let mut opened = Suspect::new(Cause::ReversedPolarity, Site::Fuse(at), 1.0)
        .told("it opened when the battery was connected backwards");
    opened.worn_out = Some(at);
    all.push(opened);
    for ohm in FILM {
        let Some(setting) = link(all, at, ohm) else {
            return;
        };
        all.push(
            Suspect::new(Cause::TiredFuse, Site::Fuse(at), 0.5 / FILM.len() as f64)
                .edit(Some(all.frame.links[at]), setting)
                .degree(ohm)
                .told("it beeps and will not carry a load"),
        );
    }
}

fn added(all: &mut Gathering<'_, '_>, at: usize) {
    let branch = all.frame.extra(Extra::Added(at));
    let rating_a = Guard::of(all.frame.circuit, all.frame.fuses[at]).rating_a;
    let name = fuse_name(all.frame.circuit, all.frame.fuses[at]);
    let degrees: Vec<(f64, f64)> = if all.opens() {
        ADDED
            .iter()
            .map(|(times, share)| (12.0 / (times * rating_a), *share))
            .collect()
    } else {
        DRAINS.to_vec()
    };
    for (ohm, share) in degrees {
        all.push(
            Suspect::new(Cause::OverloadAdded, Site::Fuse(at), share)
                .edit(branch, ohms(ohm))
                .degree(ohm)
                .told(format!("about {:.1} A more hang on `{name}`", 12.0 / ohm)),
        );
    }
}
