//! What every procedure has in common: the usual inline fuse, the cautions,
//! the first look at the battery.

use super::rig::{Rig, Usual, added_ohms, read, read_ohms};
use super::steps::{Jack, Logged, Reading, Step, Unit};
use super::{Draws, Kind, SPECIMENS, Subject, chance};
use crate::circuit::BenchMeter;
use crate::devices::LoadShape;
use crate::heating::{Family, Protector};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Celsius, Ohms, Quantity, Volts, WireSize};
use crate::tables::OutOfTable;
use crate::tables::cautions::{Caution, caution};
use crate::tables::fuses::FuseStyle;
use crate::wiring::{largest_at_most, least_for};

/// Fuses of the test lead that the caution `fuse-lead` names, amperes.
const LEAD_FUSES: [(&str, f64); 6] = [
    ("high-pressure fuel pump", 15.0),
    ("rotary lift pump", 5.0),
    ("solenoid lift pump", 5.0),
    ("plug-in", 1.0),
    ("micro plug-in", 1.0),
    ("trim", 30.0),
];

/// Volts a test lead feeds a coil with, for choosing its fuse.
const LEAD_V: f64 = 12.6;

/// Current of the largest test lamp.
const LAMP: Amps = Amps::new(55.0 / 12.0);
/// Fuse from which a lead is of the thicker size.
const THICK_FROM_A: f64 = 15.0;

/// Current below which a clamp of 0.1 A error says nothing, amperes.
const TOO_SMALL_FOR_CLAMP_A: f64 = 1.0;

/// What the test of a part takes where nothing is given.
///
/// # Errors
/// A table that cannot be read.
pub fn usual(subject: &Subject) -> Result<Usual, OutOfTable> {
    let fuse = usual_fuse(subject)?;
    let is_small = usual_current(subject).si() < TOO_SMALL_FOR_CLAMP_A;
    Ok(Usual {
        fuse,
        lead_size: WireSize::Awg(if fuse.si() > THICK_FROM_A { 10 } else { 14 }),
        meter: if is_small {
            BenchMeter::Jack
        } else {
            BenchMeter::Clamp
        },
        heavy: matches!(subject.kind, Kind::Starter(_)),
    })
}

/// The fuse to put in the test lead of a part: what the cautions name, else
/// the least blade fuse that carries it; never above its maker's largest.
fn usual_fuse(subject: &Subject) -> Result<Amps, OutOfTable> {
    let of_class = match &subject.kind {
        Kind::Motor(motor) => motor.parameters.maker_fuse,
        Kind::Drive(drive) => drive.motor.parameters.maker_fuse,
        _ => None,
    };
    let of_maker = subject.max_fuse.or(of_class);
    let named = LEAD_FUSES.iter().find(|(class, _)| *class == subject.class);
    let wanted = match named {
        Some((_, rating_a)) => Some(Amps::new(*rating_a)),
        None => least_for(FuseStyle::Blade, usual_current(subject))?,
    };
    let within = match of_maker {
        Some(most) => largest_at_most(FuseStyle::Blade, most.si())?,
        None => None,
    };
    let least = |a: Amps, b: Amps| if a < b { a } else { b };
    Ok(match (wanted, within) {
        (Some(wanted), Some(within)) => least(wanted, within),
        (Some(rating), None) | (None, Some(rating)) => rating,
        (None, None) => Amps::new(40.0),
    })
}

/// Current to choose a fuse for, where no caution names one.
fn usual_current(subject: &Subject) -> Amps {
    match &subject.kind {
        Kind::Motor(motor) | Kind::Starter(motor) => motor.parameters.current_ref,
        Kind::Pulse(pump) => Amps::new(LEAD_V / pump.coil.typical.si()),
        Kind::Relay(relay) => Amps::new(LEAD_V / relay.coil.typical.si()),
        Kind::Drive(drive) => drive.motor.parameters.current_ref,
        Kind::Solenoid(part) => Amps::new(LEAD_V / part.model.coil.typical.si()),
        Kind::Load(load) => load_current(&load.shape),
        // A test lamp loads the lead.
        _ => LAMP,
    }
}

/// Current of a load at the lead's volts.
fn load_current(shape: &LoadShape) -> Amps {
    match shape {
        LoadShape::Power(power) => power.high / Volts::new(LEAD_V),
        LoadShape::Current(current) | LoadShape::Lamp { current, .. } => current.high,
        LoadShape::Resistance(ohms) => Volts::new(LEAD_V) / ohms.low,
    }
}

/// Cautions by their tags.
pub(super) fn tagged(tags: &[&str]) -> Result<Vec<Caution>, OutOfTable> {
    tags.iter().map(|tag| caution(tag)).collect()
}

/// What a meter bears in its ampere jack, amperes.
const JACK_A: f64 = 10.0;

/// The caution on the meter's ampere jack, where it stands in the lead of a part
/// that may draw more than it bears.
pub(super) fn jack_limit(rig: &Rig, most_a: f64) -> Result<Vec<Caution>, OutOfTable> {
    let is_over = rig.meter == Jack::TenAmps && most_a > JACK_A;
    tagged(if is_over { &["jack-limit"] } else { &[] })
}

/// The battery at rest.
pub(super) fn battery_step(rig: &Rig, draws: &mut Draws) -> Result<Step, OutOfTable> {
    let band = figures(&rig.open_volts, draws, |draws, volts| {
        read(draws, &rig.volts_error, volts)
    });
    Ok(
        Step::new("Measure the bench battery at its posts, nothing connected.")
            .cautions(tagged(&["eyes", "short"])?)
            .meter(Jack::Volts)
            .expect(
                Reading::computed("volts at the posts", band, Unit::Volts).logged(Logged::AtRest),
            )
            .outside("lower: charge it first, every later reading would come out low")
            .outside("higher: just charged; let it rest, or give `--battery-volts` as you read it"),
    )
}

/// When the fuse before the part would open at a range of its currents, in
/// words; none where no fuse stands there.
///
/// # Errors
/// A rating without gates.
pub fn fuse_words(rig: &Rig, current_a: Band<f64>) -> Result<Option<String>, OutOfTable> {
    if let Some(aboard) = &rig.aboard {
        let Some((fuse, beside)) = &aboard.fuse else {
            return Ok(None);
        };
        let in_air = if fuse.device.effective == fuse.device.rating {
            String::new()
        } else {
            format!(" ({} in the air there)", fuse.device.effective)
        };
        let beside = beside.si();
        let more = if beside.typical >= BESIDE_A {
            format!(", with {} of other loads", Amps::new(beside.typical))
        } else {
            String::new()
        };
        let what = format!(
            "`{}`, {} {}{in_air}{more}",
            fuse.name,
            nominal(fuse.device.rating),
            fuse.device.family.word()
        );
        return Ok(Some(opening_words(&fuse.device, current_a + beside, &what)));
    }
    lead_fuse_words(rig, current_a).map(Some)
}

/// When the lead's fuse would open at a range of currents, in words.
pub(super) fn lead_fuse_words(rig: &Rig, current_a: Band<f64>) -> Result<String, OutOfTable> {
    let rating = rig.fuse.rating;
    let lead = Protector::new(Family::Fuse(FuseStyle::Blade), rating, Some(rig.air))?;
    let what = format!("the lead's {} fuse", nominal(rating));
    Ok(opening_words(&lead, current_a, &what))
}

/// That the lead's fuse is smaller than what a sound part draws, without its article,
/// and what to do; none on jump cables or in the boat.
pub fn small_fuse(rig: &Rig, drawn_a: f64) -> Option<String> {
    let rating = rig.fuse.rating;
    let is_small = !rig.heavy && rig.aboard.is_none() && drawn_a > rating.si();
    is_small.then(|| {
        let instead = if rig.fuse_is_usual {
            "it is as large as its maker or its leads let it be, so test at less load, its outlet open"
        } else {
            "take the fuse that `bench` names without `--inline-fuse`, on leads that it guards"
        };
        format!(
            "lead's {} fuse is less than the {} a sound one draws on this rig and opens on a sound one: {instead}",
            nominal(rating),
            Amps::new(drawn_a)
        )
    })
}

/// When a fuse of a family would open at a range of currents, in words.
///
/// # Errors
/// A family that is not made in this rating, or air out of range.
pub fn fuse_opens(
    style: FuseStyle,
    rating: Amps,
    air: Celsius,
    current_a: Band<f64>,
) -> Result<String, OutOfTable> {
    let device = Protector::new(Family::Fuse(style), rating, Some(air))?;
    Ok(opening_words(&device, current_a, "this fuse"))
}

/// Current beside the part's own that is worth a word, amperes.
const BESIDE_A: f64 = 0.05;

fn opening_words(device: &Protector, current_a: Band<f64>, what: &str) -> String {
    let at = |current_a: f64| device.opening(Amps::new(current_a));
    let (least, most) = (at(current_a.low), at(current_a.high));
    let when = match (most.earliest, least.latest) {
        (None, _) => "it will not open".to_owned(),
        (Some(earliest), None) => format!("it may open after {earliest}, or not at all"),
        (Some(earliest), Some(latest)) => format!(
            "it opens between {earliest} and {latest}, within the recalled gates, for a genuine fuse at 23 \u{b0}C"
        ),
    };
    format!(
        "{:.1} to {:.1} times {what}: {when}",
        least.multiple, most.multiple
    )
}

/// The range of readings of one figure; `read` reads a drawn one.
pub(super) fn figures<Q: Quantity>(
    band: &Band<Q>,
    draws: &mut Draws,
    mut read: impl FnMut(&mut Draws, f64) -> f64,
) -> Band<f64> {
    let sample = (0..SPECIMENS)
        .map(|_| {
            let drawn = draws.quantity(band);
            read(draws, drawn)
        })
        .collect();
    chance::range(sample, band.typical.si())
}

/// The range of ohms a meter shows with its leads not nulled.
pub(super) fn ohms_read(band: &Band<Ohms>, rig: &Rig, draws: &mut Draws) -> Band<f64> {
    let error = &rig.ohms_error;
    let read = figures(band, draws, |draws, ohms| read_ohms(draws, error, ohms));
    Band {
        typical: read.typical + added_ohms(error),
        ..read
    }
}
