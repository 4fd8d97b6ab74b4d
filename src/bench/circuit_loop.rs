//! The rig's loop solved, for one specimen or for thousands.
//!
//! Node 0 is the battery's minus post, 1 its plus post, 2 the part. Leads both
//! ways, clips, switch, holder and meter are one resistance before the part:
//! in a single loop it does not matter where it lies.

use super::bend::Bend;
use super::rig::Rig;
use super::{Draws, Refused};
use crate::network::{
    Branch, Conductor, HeatedLink, Law, Motor, Parameters, Plan, Settings, Solver, Start, Supply,
};

/// Specimens solved side by side.
const LANES: usize = 8;
/// Most times a current is followed to another stretch of a feed that bends.
const BENDS: usize = 8;

/// What one loop settles to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settled {
    /// Current, amperes.
    pub current_a: f64,
    /// Volts at the part.
    pub part_v: f64,
    /// Volts at the battery's posts.
    pub post_v: f64,
}

/// The part as one branch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Its law with its figures.
    pub parameters: Parameters,
    /// 1 in circuit, 0 open, between them a duty.
    pub scale: f64,
}

impl Load {
    /// A motor.
    pub fn motor(motor: Motor) -> Self {
        Self {
            parameters: motor.into(),
            scale: 1.0,
        }
    }

    /// Any branch of the network.
    pub fn of(parameters: impl Into<Parameters>) -> Self {
        Self {
            parameters: parameters.into(),
            scale: 1.0,
        }
    }

    /// A resistance, ohms above zero.
    pub fn resistance(ohms: f64) -> Self {
        let conductor = Conductor {
            conductance_s: 1.0 / ohms,
        };
        Self {
            parameters: conductor.into(),
            scale: 1.0,
        }
    }

    /// Scaled: 0 open, a duty between 0 and 1.
    #[must_use]
    pub fn scaled(self, scale: f64) -> Self {
        Self { scale, ..self }
    }
}

/// The rig's side of the loop, or the circuit's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// The battery.
    pub supply: Supply,
    /// Inline fuse, with everything else in the loop as its contacts.
    pub link: HeatedLink,
    /// Volts of the battery's posts over those before the link; on a bench none.
    pub posts_over_v: f64,
    /// How it bends, where a whole circuit feeds the part.
    pub bend: Option<Bend>,
}

impl Feed {
    /// A battery and a link alone.
    pub fn alone(supply: Supply, link: HeatedLink) -> Self {
        Self {
            supply,
            link,
            posts_over_v: 0.0,
            bend: None,
        }
    }
}

/// The typical loop, with `more_ohm` in a lead.
pub(super) fn typical(rig: &Rig, load: Load, more_ohm: f64) -> Result<Settled, Refused> {
    let mut feed = rig.typical();
    feed.link.r_contacts_ohm += more_ohm;
    Ok(settle::<1>(&[(feed, load)])?[0])
}

/// As many specimens of loop and part as asked for; `load` draws the part.
pub(super) fn specimens(
    rig: &Rig,
    count: usize,
    draws: &mut Draws,
    mut load: impl FnMut(&mut Draws) -> Load,
) -> Result<Vec<Settled>, Refused> {
    specimens_through(rig, count, draws, |draws| (load(draws), 0.0))
}

/// As [`specimens`], with a drawn resistance more in the lead.
pub(super) fn specimens_through(
    rig: &Rig,
    count: usize,
    draws: &mut Draws,
    mut drawn: impl FnMut(&mut Draws) -> (Load, f64),
) -> Result<Vec<Settled>, Refused> {
    let loops: Vec<(Feed, Load)> = (0..count)
        .map(|_| {
            let mut feed = rig.specimen(draws);
            let (load, more_ohm) = drawn(draws);
            feed.link.r_contacts_ohm += more_ohm;
            (feed, load)
        })
        .collect();
    settled(&loops)
}

/// What each of many loops settles to; all hold the same law of part.
///
/// # Errors
/// A figure out of its law's range, or a loop without an operating point.
pub fn settled(loops: &[(Feed, Load)]) -> Result<Vec<Settled>, Refused> {
    let mut found = settle::<LANES>(loops)?;
    let mut bent = moving(loops.iter().copied().enumerate(), &found);
    for _ in 0..BENDS {
        if bent.is_empty() {
            break;
        }
        let again: Vec<(Feed, Load)> = bent.iter().map(|(_, one)| *one).collect();
        for ((at, _), settled) in bent.iter().zip(settle::<LANES>(&again)?) {
            found[*at] = settled;
        }
        bent = moving(bent.into_iter(), &found);
    }
    Ok(found)
}

/// Loops whose current has left the stretch of its feed, on the one it is on now.
fn moving(
    loops: impl Iterator<Item = (usize, (Feed, Load))>,
    found: &[Settled],
) -> Vec<(usize, (Feed, Load))> {
    let on_it = |(at, (feed, load)): (usize, (Feed, Load))| {
        let feed = feed.on_stretch(found[at].current_a)?;
        Some((at, (feed, load)))
    };
    loops.filter_map(on_it).collect()
}

/// All loops hold the same law of part.
fn settle<const W: usize>(loops: &[(Feed, Load)]) -> Result<Vec<Settled>, Refused> {
    let of_part = loops
        .first()
        .map_or(Law::Conductor, |(_, load)| load.parameters.law());
    let branches = [
        (Law::Supply, 1, 0),
        (Law::HeatedLink, 1, 2),
        (of_part, 2, 0),
    ]
    .map(|(law, from, to)| Branch { law, from, to });
    let plan = Plan::new(3, 0, &branches).map_err(|why| Refused::Wiring(why.to_string()))?;
    let mut solver = Solver::<W>::new(&plan);
    let mut found = Vec::with_capacity(loops.len());
    for group in loops.chunks(W) {
        for lane in 0..W {
            // The last group repeats its last loop in the lanes left over.
            let (feed, load) = group[lane.min(group.len() - 1)];
            solver
                .set(0, lane, feed.supply)
                .and_then(|()| solver.set(1, lane, feed.link))
                .and_then(|()| solver.set(2, lane, load.parameters))
                .and_then(|()| solver.set_scale(2, lane, load.scale))?;
        }
        let outcome = solver.solve(&Start::flat(12.0), &Settings::report());
        let currents = outcome.currents_a(2);
        let (posts, parts) = (outcome.voltages_v(1), outcome.voltages_v(2));
        for (lane, (feed, _)) in group.iter().enumerate() {
            if let Some(failure) = outcome.failure(lane) {
                return Err(failure.into());
            }
            found.push(Settled {
                current_a: currents[lane],
                part_v: parts[lane],
                post_v: posts[lane] + feed.posts_over_v,
            });
        }
    }
    Ok(found)
}
