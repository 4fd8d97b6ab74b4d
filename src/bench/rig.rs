//! The rig: battery, leads, inline fuse, meter.
//!
//! From options, else the file's `[bench]`, else usual figures that are listed
//! as assumed.

use super::aboard::Aboard;
use super::circuit_loop::Feed;
use super::steps::Jack;
use super::{Draws, Refused};
use crate::circuit::{
    Ambient, Battery, BenchMeter, BenchRig, Circuit, Device, Engine, Fuse, Given, Place,
};
use crate::devices::{BatteryModel, LinkModel, battery_alone, fuse_alone};
use crate::findings::{Assumed, Finding, code};
use crate::network::{HeatedLink, Supply};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band, Celsius, Fraction, Metres, Ohms, Volts, WireSize};
use crate::sources::{Source, Sourced, Standing};
use crate::span::Span;
use crate::tables::OutOfTable;
use crate::tables::ampacity::ampacity_at_most;
use crate::tables::conductors::{resistance_20c, resistance_at};
use crate::tables::contacts::{ContactKind, contact};
use crate::tables::fuses::FuseStyle;
use crate::tables::meters::{Accuracy, Meter, MeterReading, accuracy, burden};

/// What was asked for; everything else comes from `[bench]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Options {
    /// Volts of the battery at rest, as measured.
    pub battery_volts: Option<Band<Volts>>,
    /// Length of each lead.
    pub lead_length: Option<Band<Metres>>,
    /// Size of the leads.
    pub lead_size: Option<WireSize>,
    /// Rating of the blade fuse in the lead.
    pub inline_fuse: Option<Amps>,
    /// How the current is read.
    pub meter: Option<BenchMeter>,
    /// Series resistance of the meter in its ampere jack.
    pub meter_resistance: Option<Band<Ohms>>,
    /// Air on the bench, and the part in it.
    pub temperature: Option<Celsius>,
}

/// What a part's test takes where nothing is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usual {
    /// Blade fuse in the lead.
    pub fuse: Amps,
    /// Size of the leads.
    pub lead_size: WireSize,
    /// How its current is read.
    pub meter: BenchMeter,
    /// Whether it takes the heavy rig: jump cables, no fuse, a large clamp.
    pub heavy: bool,
}

/// A rig with all its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {
    /// Battery at rest.
    pub open_volts: Band<Volts>,
    /// Resistance of the battery within the first ten seconds.
    pub battery: Band<Ohms>,
    /// Both leads with their clips and the switch.
    pub leads: Band<Ohms>,
    /// Size of the leads.
    pub lead_size: WireSize,
    /// Inline fuse; on the heavy rig the contact that switches it.
    pub fuse: LinkModel,
    /// Whether that fuse was chosen for the part, none having been given.
    pub fuse_is_usual: bool,
    /// Where the meter goes to read the current.
    pub meter: Jack,
    /// Whether jump cables without a fuse feed the part.
    pub heavy: bool,
    /// Meter in the loop.
    pub burden: Band<Ohms>,
    /// Error of a current reading.
    pub amps_error: Accuracy,
    /// Error of a reading of volts.
    pub volts_error: Accuracy,
    /// Error of a reading of millivolts.
    pub millivolts_error: Accuracy,
    /// Error of an ohms reading: its fixed part is what leads not nulled add.
    pub ohms_error: Accuracy,
    /// Air on the bench.
    pub air: Celsius,
    /// The rig in words.
    pub words: String,
    /// Defaults that entered.
    pub assumed: Vec<Assumed>,
    /// The boat, where the part is read in its place.
    pub aboard: Option<Aboard>,
    /// What drives the boat, if its file says so.
    pub engine: Option<Engine>,
}

/// Length of a lead where none is given: the battery stands away from the fuel.
const LEAD_LENGTH: Metres = Metres::new(2.0);
/// Charge that a battery taken for charged may be down to.
const LEAST_CHARGE: f64 = 0.75;
/// Share of the slow resistance after one, five and ten seconds: 1 - exp(-t / 20 s).
const SLOW_SHARE: Band<f64> = Band {
    low: 0.049,
    typical: 0.221,
    high: 0.393,
};
/// Clips of the two leads.
const CLIPS: f64 = 4.0;

/// Air on the bench: as asked, else the circuit's, else the usual.
pub fn air(circuit: Option<&Circuit>, options: &Options) -> Celsius {
    let written = || circuit.map_or_else(Ambient::default, |circuit| circuit.ambient.clone());
    options
        .temperature
        .unwrap_or_else(|| written().at(Place::Bench))
}

impl Rig {
    /// Puts the rig together; `usual` is what the part takes where nothing is given.
    ///
    /// # Errors
    /// A figure no table has.
    pub fn new(
        circuit: Option<&Circuit>,
        options: &Options,
        usual: Usual,
    ) -> Result<Self, Refused> {
        if usual.heavy {
            return super::heavy::rig(circuit, options);
        }
        let none = BenchRig::default();
        let written = circuit.map_or(&none, |circuit| &circuit.bench);
        let air = air(circuit, options);
        let mut notes = Notes::default();
        let (open_volts, battery) = battery(circuit, options, air, &mut notes)?;
        let (leads, lead_size, leads_words) =
            leads(written, options, usual.lead_size, air, &mut notes)?;
        let fuse = inline_fuse(written, options, usual.fuse, air, &mut notes)?;
        let (burden, amps_error, meter_words, meter) =
            ammeter(written, options, usual.meter, &mut notes)?;
        let words = format!(
            "battery of {} at rest, {leads_words}, {} blade fuse in plus, {meter_words}, {air}",
            open_volts.typical,
            nominal(fuse.rating)
        );
        Ok(Self {
            fuse_is_usual: options
                .inline_fuse
                .or(written.inline_fuse.map(|given| given.value))
                .is_none(),
            open_volts,
            battery,
            leads,
            lead_size,
            fuse,
            meter,
            heavy: false,
            burden,
            amps_error,
            volts_error: notes.accuracy("volts", MeterReading::Volts)?,
            millivolts_error: notes.accuracy("millivolts", MeterReading::Millivolts)?,
            ohms_error: notes.accuracy("ohms", MeterReading::Ohms)?,
            air,
            words,
            assumed: notes.0,
            aboard: None,
            engine: circuit.and_then(|circuit| circuit.boat.drive()),
        })
    }

    /// What is wrong with the rig itself: a fuse above what its leads carry.
    pub(super) fn findings(&self) -> Vec<Finding> {
        // Jump cables carry a starter for seconds and have no fuse to judge.
        let Some(found) = ampacity_at_most(self.lead_size, None)
            .ok()
            .filter(|_| !self.heavy)
        else {
            return Vec::new();
        };
        let carries = found.value.current;
        if self.fuse.rating <= carries {
            return Vec::new();
        }
        let statement = format!(
            "the {} fuse is above the {} that leads of {} carry at most",
            nominal(self.fuse.rating),
            nominal(carries),
            self.lead_size
        );
        let finding = Finding::new(code("fuse-above-lead"), "leads", statement)
            .with_hint("thicker leads, or a smaller fuse if the part still starts on it")
            .with_measure(self.fuse.rating.si(), Some(carries.si()), "A")
            .with_source(found.source);
        vec![finding]
    }

    /// The rig at its typical figures.
    pub fn typical(&self) -> Feed {
        if let Some(aboard) = &self.aboard {
            return aboard.typical(self.burden.typical);
        }
        let mut typical = |band: Band<f64>| band.typical;
        self.picked(&mut typical)
    }

    /// One specimen of the rig.
    pub fn specimen(&self, draws: &mut Draws) -> Feed {
        if let Some(aboard) = &self.aboard {
            let burden_ohm = draws.quantity(&self.burden);
            return aboard.specimen(Ohms::new(burden_ohm), draws);
        }
        self.picked(&mut |band| draws.of(band))
    }

    fn picked(&self, pick: &mut impl FnMut(Band<f64>) -> f64) -> Feed {
        let mut ohms = |band: &Band<Ohms>| pick(band.si());
        let r_ohm = ohms(&self.battery);
        let link = HeatedLink {
            r_contacts_ohm: ohms(&self.leads) + ohms(&self.fuse.clips) + ohms(&self.burden),
            r_cold_ohm: ohms(&self.fuse.cold),
            beta_per_a2: self.fuse.rise_per_a2,
            extra_a2: 0.0,
            rise_cap: self.fuse.rise_cap,
        };
        let emf_v = pick(self.open_volts.si());
        let supply = Supply {
            emf_v,
            r_ohm,
            r_charge_ohm: r_ohm,
        };
        Feed::alone(supply, link)
    }
}

/// One reading of `true_value`, with the meter's error drawn.
pub(super) fn read(draws: &mut Draws, error: &Accuracy, true_value: f64) -> f64 {
    let reach = error.share.si() * true_value.abs() + error.plus;
    draws.between(true_value - reach, true_value + reach)
}

/// What leads that are not nulled add to ohms, on the average.
pub(super) fn added_ohms(error: &Accuracy) -> f64 {
    0.5 * error.plus
}

/// One reading of ohms: leads that are not nulled only add.
pub(super) fn read_ohms(draws: &mut Draws, error: &Accuracy, true_value: f64) -> f64 {
    let reach = error.share.si() * true_value.abs();
    draws.between(true_value - reach, true_value + reach + error.plus)
}

pub(super) fn battery(
    circuit: Option<&Circuit>,
    options: &Options,
    air: Celsius,
    notes: &mut Notes,
) -> Result<(Band<Volts>, Band<Ohms>), Refused> {
    let named = circuit.and_then(|circuit| {
        let part = circuit.part(circuit.bench.battery?.value);
        match &part.device {
            Device::Battery(spec) => Some((part.name.clone(), spec.clone())),
            _ => None,
        }
    });
    let (name, spec) = named.unwrap_or_else(|| ("battery".to_owned(), Battery::default()));
    battery_of(&name, &spec, options.battery_volts, air, notes)
}

/// Volts at rest and inside resistance of a battery; its charge is taken as
/// between three quarters and full where nothing says otherwise.
pub(super) fn battery_of(
    name: &str,
    spec: &Battery,
    measured: Option<Band<Volts>>,
    air: Celsius,
    notes: &mut Notes,
) -> Result<(Band<Volts>, Band<Ohms>), Refused> {
    let full = notes.battery(name, spec, air)?;
    let is_known = spec.charge.is_some() || spec.open_volts.is_some();
    let open_volts = match measured {
        Some(measured) => measured,
        None if is_known => full.open_volts,
        None => {
            let least = Fraction::new(LEAST_CHARGE);
            notes.judged(name, format!("charged to between {least} and full"));
            let charge = Some(Given::new(Band::exactly(least), Span::default()));
            let emptier = Battery {
                charge,
                ..spec.clone()
            };
            let (low, _) = battery_alone(&emptier, name, air)?;
            Band::new(
                low.open_volts.low,
                full.open_volts.typical,
                full.open_volts.high,
            )
        }
    };
    let inside = |fast: Ohms, slow: Ohms, share: f64| fast + slow * share;
    let ohms = Band::new(
        inside(full.fast.low, full.slow.low, SLOW_SHARE.low),
        inside(full.fast.typical, full.slow.typical, SLOW_SHARE.typical),
        inside(full.fast.high, full.slow.high, SLOW_SHARE.high),
    );
    Ok((open_volts, ohms))
}

fn leads(
    written: &BenchRig,
    options: &Options,
    usual: WireSize,
    air: Celsius,
    notes: &mut Notes,
) -> Result<(Band<Ohms>, WireSize, String), OutOfTable> {
    let length = options
        .lead_length
        .or(written.lead_length.map(|given| given.value))
        .unwrap_or_else(|| {
            notes.judged("leads", format!("two leads of {}", nominal(LEAD_LENGTH)));
            Band::exactly(LEAD_LENGTH)
        });
    let size = options
        .lead_size
        .or(written.lead_size.map(|given| given.value))
        .unwrap_or_else(|| {
            notes.judged("leads", format!("size {usual}"));
            usual
        });
    let per_metre_ohm = resistance_at(resistance_20c(size, false)?.value, air)?;
    let clip = notes.take("leads", "each clip", contact(ContactKind::TestClip)?);
    let switch = notes.take("leads", "their switch", contact(ContactKind::RockerSwitch)?);
    let total = |length: Metres, clip: Ohms, switch: Ohms| {
        Ohms::new(2.0 * per_metre_ohm * length.si()) + clip * CLIPS + switch
    };
    let band = Band::new(
        total(length.low, clip.low, switch.low),
        total(length.typical, clip.typical, switch.typical),
        total(length.high, clip.high, switch.high),
    );
    let words = format!("two {} leads of {size}", nominal(length.typical));
    Ok((band, size, words))
}

fn inline_fuse(
    written: &BenchRig,
    options: &Options,
    usual: Amps,
    air: Celsius,
    notes: &mut Notes,
) -> Result<LinkModel, OutOfTable> {
    let rating = options
        .inline_fuse
        .or(written.inline_fuse.map(|given| given.value))
        .unwrap_or_else(|| {
            notes.judged("inline fuse", format!("blade fuse of {}", nominal(usual)));
            usual
        });
    let fuse = Fuse::new(FuseStyle::Blade, rating);
    let (model, assumed) = fuse_alone(&fuse, "inline fuse", air)?;
    notes.0.extend(assumed);
    Ok(model)
}

/// Resistance of the ammeter in the loop, its error, its words, its jack.
pub(super) fn ammeter(
    written: &BenchRig,
    options: &Options,
    usual: BenchMeter,
    notes: &mut Notes,
) -> Result<(Band<Ohms>, Accuracy, String, Jack), Refused> {
    let meter = options
        .meter
        .or(written.meter.map(|given| given.value))
        .unwrap_or_else(|| {
            let words = match usual {
                BenchMeter::Clamp => "a clamp around the lead",
                BenchMeter::Jack => "its ampere jack: a clamp is too coarse for so small a current",
            };
            notes.judged("meter", words);
            usual
        });
    if meter == BenchMeter::Clamp && options.meter_resistance.is_some() {
        return Err(Refused::ClampResistance);
    }
    let own = options
        .meter_resistance
        .or(written.meter_resistance.map(|given| given.value));
    if meter == BenchMeter::Clamp && own.is_some() {
        notes.judged("meter", "its resistance left out: a clamp adds none");
    }
    let (table, reading, jack) = match meter {
        BenchMeter::Clamp => (Meter::Clamp, MeterReading::ClampAmps, Jack::Clamp),
        BenchMeter::Jack => (Meter::Jack, MeterReading::JackAmps, Jack::TenAmps),
    };
    let in_lead = match own {
        Some(ohms) if meter == BenchMeter::Jack => ohms,
        _ => notes.take("meter", "in the lead", burden(table)?),
    };
    let mut error = notes.accuracy("amperes", reading)?;
    if let Some(share) = written.meter_error {
        error.share = share.value;
    }
    let words = match meter {
        BenchMeter::Clamp => "clamp meter".to_owned(),
        BenchMeter::Jack => format!("meter's ampere jack of {}", in_lead.typical),
    };
    Ok((in_lead, error, words, jack))
}

/// Collects what was assumed.
#[derive(Debug, Default)]
pub(super) struct Notes(pub(super) Vec<Assumed>);

impl Notes {
    fn note(&mut self, assumed: Assumed) {
        if !self.0.contains(&assumed) {
            self.0.push(assumed);
        }
    }

    fn words(&mut self, subject: &str, what: impl Into<String>, source: Source) {
        self.note(Assumed {
            subject: subject.to_owned(),
            what: what.into(),
            source,
        });
    }

    pub(super) fn judged(&mut self, subject: &str, what: impl Into<String>) {
        self.words(
            subject,
            what,
            Source::new("a usual rig", "", Standing::Judgement),
        );
    }

    pub(super) fn take(
        &mut self,
        subject: &str,
        what: &str,
        found: Sourced<Band<Ohms>>,
    ) -> Band<Ohms> {
        let band = found.value;
        if band.high.si() > 0.0 {
            let figures = format!("{} ({} to {})", band.typical, band.low, band.high);
            self.words(subject, format!("{what} {figures}"), found.source);
        }
        band
    }

    pub(super) fn accuracy(
        &mut self,
        what: &str,
        reading: MeterReading,
    ) -> Result<Accuracy, OutOfTable> {
        let found = accuracy(reading)?;
        let error = found.value;
        let plus = match reading {
            MeterReading::Volts | MeterReading::Millivolts => nominal(Volts::new(error.plus)),
            MeterReading::Ohms => nominal(Ohms::new(error.plus)),
            _ => nominal(Amps::new(error.plus)),
        };
        self.words(
            "meter",
            format!("{what} within {} and {plus}", error.share),
            found.source,
        );
        Ok(error)
    }

    fn battery(
        &mut self,
        name: &str,
        spec: &Battery,
        air: Celsius,
    ) -> Result<BatteryModel, OutOfTable> {
        let (model, assumed) = battery_alone(spec, name, air)?;
        // The charge is told as a range of its own.
        for assumed in assumed
            .into_iter()
            .filter(|a| !a.what.starts_with("charge"))
        {
            self.note(assumed);
        }
        Ok(model)
    }
}
