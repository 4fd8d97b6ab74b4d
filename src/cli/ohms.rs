//! `interpret --to-ground` and `--plugged-in`: ohms of the harness, judged.

use super::figures::one;
use super::interpret::told;
use super::interpret_aboard::{state_at, unknown_part};
use super::rig::RigArgs;
use super::{Failure, Loaded};
use crate::bench::{Options, Rig, Standing, Usual, ground};
use crate::circuit::zones::{Zones, fuse_name, fuses};
use crate::circuit::{BenchMeter, Circuit, Device, PartId, PartKind, TerminalId};
use crate::interpreting::{
    DIGIT_OHM, Evidence, Interpretation, Measure, OPEN_OHM, OhmsQuestion, Priors, interpret_ohms,
};
use crate::quantities::{Amps, Ohms, WireSize};
use crate::solving::solve;
use std::collections::BTreeSet;

/// Ohms read with things plugged in.
#[derive(Debug, clap::Args)]
pub(super) struct OhmsArgs {
    /// `--ohms` were read from here to the minus clamp, battery off: a fuse (from
    /// the load side of its holder, the fuse out) or a terminal; takes a file alone
    #[arg(long, value_name = "AT", conflicts_with_all = ["plugged_in", "class", "suits"], help_heading = HEADING)]
    to_ground: Option<String>,
    /// `--ohms` across the part were read with it plugged in, battery off
    #[arg(long, conflicts_with_all = ["class", "suits"], help_heading = HEADING)]
    plugged_in: bool,
    /// Parts and plugs that were pulled apart meanwhile, and fuses that were out
    #[arg(long, value_name = "NAMES", value_delimiter = ',', help_heading = HEADING)]
    unplugged: Vec<String>,
    /// What the meter shows with its leads pressed together; taken off the reading
    #[arg(long, value_name = "OHMS", value_parser = one::<Ohms>, allow_hyphen_values = true, help_heading = HEADING)]
    leads: Option<Ohms>,
}

const HEADING: &str = "Ohms of the harness";
/// Most that leads show, ohms.
const MOST_LEADS_OHM: f64 = 2.0;

/// A way of the harness that was measured.
struct Way<'a> {
    standing: Standing<'a>,
    between: (TerminalId, TerminalId),
    words: String,
}

impl OhmsArgs {
    pub(super) const fn is_asked(&self) -> bool {
        self.to_ground.is_some() || self.plugged_in
    }

    /// Refuses names that were pulled apart where nothing was plugged in.
    pub(super) fn sensible(&self) -> Result<(), Failure> {
        if let Some(leads) = self.leads
            && !(0.0..=MOST_LEADS_OHM).contains(&leads.si())
        {
            return Err(refused(format!(
                "`--leads {leads}` is no pair of leads: 0 to 2 ohm"
            )));
        }
        if self.is_asked() || self.unplugged.is_empty() {
            return Ok(());
        }
        Err(refused(
            "`--unplugged` goes with `--to-ground` or `--plugged-in`; a part off its harness is `--ohms` alone",
        ))
    }

    /// Ohms as read less those of the leads, where they were given; what is left of
    /// nulled leads is in the rig then.
    pub(super) fn less_leads(&self, read_ohm: f64, rig: &mut Rig) -> Result<f64, Failure> {
        let Some(leads) = self.leads else {
            return Ok(read_ohm);
        };
        if read_ohm < leads.si() {
            return Err(refused(format!(
                "`--ohms {}` is less than the leads alone show (`--leads {leads}`): press them together again, read once more, and give both as the meter shows them, the leads not taken off",
                Ohms::new(read_ohm)
            )));
        }
        rig.ohms_error.plus = DIGIT_OHM;
        if read_ohm >= OPEN_OHM {
            return Ok(read_ohm);
        }
        // Half a digit stands for what the leads add on the average.
        Ok(read_ohm - leads.si() + 0.5 * DIGIT_OHM)
    }

    /// What the ohms say; `state` sets switches and bridges relays.
    pub(super) fn run(
        &self,
        args: &RigArgs,
        evidence: &Evidence,
        state: Option<&str>,
        priors: Priors,
    ) -> Result<(Loaded, Interpretation), Failure> {
        let (loaded, part) = if self.to_ground.is_some() {
            (args.circuit_alone("interpret", "--to-ground")?, None)
        } else {
            let (loaded, part) = args.part_of_file("interpret")?;
            (loaded, Some(part))
        };
        let mut read_ohm = one_reading(evidence)?;
        let circuit = &loaded.circuit;
        let standing = self.standing(circuit, state)?;
        let is_apart = |id: PartId| standing.unplugged.contains(&id);
        if let Some(part) = part
            .as_deref()
            .filter(|part| circuit.find(part).is_some_and(is_apart))
        {
            return Err(refused(format!(
                "`{part}` cannot be read plugged in and be pulled apart: leave it out of `--unplugged`, or read it off its harness with `--ohms` alone"
            )));
        }
        let stood = stood(circuit, &standing);
        let way = match (&self.to_ground, part) {
            (Some(at), _) => to_ground(circuit, at, standing)?,
            (None, Some(part)) => across(circuit, &part, standing)?,
            (None, None) => return Err(refused("give a file and a part")),
        };
        let mut rig = Rig::new(Some(circuit), &Options::default(), METER).map_err(told)?;
        let said = match self.leads {
            Some(leads) if read_ohm < OPEN_OHM => {
                format!("{} with leads of {leads}", Measure::Ohms.print(read_ohm))
            }
            _ => match Measure::Ohms.print(read_ohm) {
                open if open == "open" => "an open reading".to_owned(),
                printed => printed,
            },
        };
        read_ohm = self.less_leads(read_ohm, &mut rig)?;
        let question = OhmsQuestion {
            circuit,
            standing: way.standing,
            between: way.between,
            way: way.words,
            stood,
            read_ohm,
            said,
            rig: &rig,
            priors,
            seed: args.seed,
        };
        let found = interpret_ohms(&question).map_err(told)?;
        Ok((loaded, found))
    }

    fn standing<'a>(
        &self,
        circuit: &'a Circuit,
        state: Option<&str>,
    ) -> Result<Standing<'a>, Failure> {
        let (mut unplugged, mut out) = (BTreeSet::new(), Vec::new());
        let all = fuses(circuit);
        for name in self.unplugged.iter().map(|name| name.trim()) {
            if let Some(fuse) = all.iter().find(|fuse| fuse_name(circuit, **fuse) == name) {
                out.push(*fuse);
                continue;
            }
            let id = circuit.find(name);
            unplugged.insert(id.ok_or_else(|| unknown_part(circuit, name))?);
        }
        let Some(asked) = state else {
            let rest = |name: &str| name == "off" || name == "rest";
            return Ok(Standing {
                state: circuit.states.iter().find(|state| rest(&state.name)),
                unplugged,
                out,
                ..Standing::default()
            });
        };
        let at = state_at(circuit, asked)?;
        let solved = solve(circuit).map_err(told)?;
        let of_state = solved.states.iter().find(|found| found.name == asked);
        let pulled_in = of_state.into_iter().flat_map(|found| {
            let closed = found
                .relays
                .iter()
                .filter(|(_, relay)| relay.pulled_in == Some(true));
            closed.filter_map(|(name, _)| circuit.find(name))
        });
        Ok(Standing {
            state: circuit.states.get(at),
            pulled_in: pulled_in.collect(),
            unplugged,
            out,
            ..Standing::default()
        })
    }
}

/// What the rig takes where only its meter counts.
const METER: Usual = Usual {
    fuse: Amps::new(10.0),
    lead_size: WireSize::Awg(14),
    meter: BenchMeter::Clamp,
    heavy: false,
};

fn one_reading(evidence: &Evidence) -> Result<f64, Failure> {
    let all: Vec<(usize, Measure, f64)> = evidence.readings().collect();
    match all.as_slice() {
        [(_, Measure::Ohms, ohms)] if evidence.rest_v.is_none() => Ok(*ohms),
        _ => Err(refused(
            "give one reading, the ohms: `--ohms 0.6ohm`, or `--ohms open`; the battery is off, so nothing else can be read",
        )),
    }
}

/// From the load side of a fuse, or a terminal, to the minus clamp.
fn to_ground<'a>(
    circuit: &Circuit,
    at: &str,
    mut standing: Standing<'a>,
) -> Result<Way<'a>, Failure> {
    let all = fuses(circuit);
    if let Some(id) = all.iter().find(|id| fuse_name(circuit, **id) == at) {
        let from = Zones::of(circuit).load_side(circuit, *id);
        standing.out.push(*id);
        return Ok(Way {
            standing,
            between: (from, ground(circuit)),
            words: format!("ohms from the load side of `{at}`, this fuse out, to the minus clamp"),
        });
    }
    let terminal = circuit
        .terminals
        .iter()
        .position(|terminal| terminal.label == at);
    let Some(terminal) = terminal else {
        let names: Vec<String> = all.iter().map(|id| fuse_name(circuit, *id)).collect();
        let labels = circuit
            .terminals
            .iter()
            .map(|terminal| terminal.label.as_str());
        let known: Vec<&str> = names.iter().map(String::as_str).chain(labels).collect();
        let list = format!(
            "give a fuse, {}, or a terminal as `pump.plus`",
            names.join(", ")
        );
        return Err(Failure::unknown("place", at, known, list));
    };
    Ok(Way {
        standing,
        between: (TerminalId(terminal), ground(circuit)),
        words: format!("ohms from `{at}` to the minus clamp"),
    })
}

/// Across a part's own terminals, a relay's coil.
fn across<'a>(circuit: &Circuit, name: &str, standing: Standing<'a>) -> Result<Way<'a>, Failure> {
    let id = circuit
        .find(name)
        .ok_or_else(|| unknown_part(circuit, name))?;
    let part = circuit.part(id);
    let t = &part.terminals;
    let between = match part.kind() {
        PartKind::Relay => (t[1], t[0]),
        PartKind::Pump | PartKind::Motor | PartKind::Solenoid | PartKind::Load => {
            (t[0], t[t.len() - 1])
        }
        kind => {
            return Err(refused(format!(
                "`--plugged-in` is for pumps, motors, solenoids, loads and relay coils; `{name}` is a {}",
                kind.word()
            )));
        }
    };
    let what = if part.kind() == PartKind::Relay {
        "the coil of "
    } else {
        ""
    };
    Ok(Way {
        standing,
        between,
        words: format!("ohms across {what}`{name}`, plugged in"),
    })
}

/// How everything stood, in words.
fn stood(circuit: &Circuit, standing: &Standing<'_>) -> String {
    let names = |ids: &BTreeSet<PartId>| {
        let names: Vec<&str> = ids
            .iter()
            .map(|id| circuit.part(*id).name.as_str())
            .collect();
        names.join(", ")
    };
    let switches = match standing.state {
        Some(state) if standing.pulled_in.is_empty() => {
            format!("switches as in `{}`", state.name)
        }
        Some(state) => format!(
            "switches as in `{}`, relays bridged 30 to 87: {}",
            state.name,
            names(&standing.pulled_in)
        ),
        None => "every switch at rest".to_owned(),
    };
    let plugs = circuit
        .part_ids()
        .filter(|id| matches!(&circuit.part(*id).device, Device::Plug(plug) if plug.unplugged));
    let apart: BTreeSet<PartId> = standing.unplugged.iter().copied().chain(plugs).collect();
    let fuses = standing.out.iter().map(|fuse| fuse_name(circuit, *fuse));
    let fuses: Vec<String> = fuses.collect();
    let mut pulled: Vec<String> = Vec::new();
    if !apart.is_empty() {
        pulled.push(format!("pulled apart: {}", names(&apart)));
    }
    if !fuses.is_empty() {
        pulled.push(format!("out: {}", fuses.join(", ")));
    }
    let apart = if pulled.is_empty() {
        "everything plugged in".to_owned()
    } else {
        pulled.join(", ")
    };
    format!("battery off, {switches}, {apart}")
}

fn refused(why: impl Into<String>) -> Failure {
    Failure::Refused(why.into())
}
