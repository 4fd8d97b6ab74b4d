//! The time-current chart of a fuse, out of what `protecting` says of it.
//!
//! All that is taken from that study stands here: its curves by their signs,
//! its figures by their keys.

use crate::document::Curve;
use crate::protecting::{Kind, Report, Study, Verdict};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Seconds};

/// A load of less that lies off the scale is no line, amperes: the words say that
/// nothing flows.
const NEXT_TO_NOTHING_A: f64 = 1e-3;

/// Whose band it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rank {
    /// The fuse itself.
    Own,
    /// The one before it.
    Above,
    /// One behind it.
    Below,
}

/// A fuse's times between its earliest and its latest opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// Whose it is.
    pub rank: Rank,
    /// Name, rating and family.
    pub name: String,
    /// Amperes and seconds of the earliest opening.
    pub early: Vec<(f64, f64)>,
    /// Amperes and seconds of the latest.
    pub late: Vec<(f64, f64)>,
}

/// A current that stands upright in the chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What it is, with its figure.
    pub name: String,
    /// Amperes; may lie left of the chart.
    pub at: f64,
    /// Lowest and highest, where it spreads.
    pub spread: Option<(f64, f64)>,
    /// How long it flows, seconds; to the top where it stays.
    pub lasts: Option<f64>,
}

/// A chart.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseChart {
    /// `NAME` or `BLOCK.SLOT`.
    pub name: String,
    /// Rating and family.
    pub what: String,
    /// Bands, its own last.
    pub bands: Vec<Band>,
    /// How long the thinnest wire stands a current, with its name.
    pub wire: Option<(String, Vec<(f64, f64)>)>,
    /// Currents.
    pub marks: Vec<Mark>,
    /// Amperes from and to.
    pub amps: (f64, f64),
    /// Seconds from and to.
    pub seconds: (f64, f64),
    /// The worst verdict.
    pub worst: Verdict,
    /// Each check in words, trouble first.
    pub verdicts: Vec<(Verdict, String)>,
}

/// The charts of all fuses.
pub(super) fn charts(study: &Study) -> Vec<FuseChart> {
    study.fuses.iter().map(|fuse| chart(study, fuse)).collect()
}

fn chart(study: &Study, fuse: &Report) -> FuseChart {
    let mut bands: Vec<Band> = Vec::new();
    for other in study
        .fuses
        .iter()
        .filter(|other| before(other) == Some(&fuse.name))
    {
        bands.extend(band(other, Rank::Below, 'e', 'L', &words(other)));
    }
    let above = before(fuse).and_then(|name| study.fuses.iter().find(|one| one.name == *name));
    if let Some(above) = above {
        bands.extend(band(fuse, Rank::Above, 'u', 'U', &words(above)));
    }
    bands.extend(band(fuse, Rank::Own, 'e', 'L', &words(fuse)));
    let wire = curve(fuse, 'w').map(|curve| {
        let name = curve.name.split('`').nth(1).unwrap_or(&curve.name);
        (name.to_owned(), curve.points.clone())
    });
    let mut marks = marks(fuse);
    let amps = range(fuse, &bands, &marks);
    marks.retain(|mark| mark.at >= amps.0 || mark.at >= NEXT_TO_NOTHING_A);
    let mut verdicts: Vec<(Verdict, String)> = fuse
        .checks
        .iter()
        .map(|check| {
            let mut words = format!("{}: {}", about(check.kind), check.sentence);
            for more in &check.more {
                words = format!("{words}. {more}");
            }
            (check.verdict, words)
        })
        .collect();
    verdicts.sort_by_key(|(verdict, _)| std::cmp::Reverse(*verdict));
    FuseChart {
        name: fuse.name.clone(),
        what: what(fuse),
        amps,
        seconds: (fuse.chart.y.from, fuse.chart.y.to),
        bands,
        wire,
        marks,
        worst: fuse.worst(),
        verdicts,
    }
}

/// What a check is about, in plain words.
fn about(kind: Kind) -> String {
    match kind {
        Kind::Hold => "where nothing is promised".to_owned(),
        Kind::Short => "short at the far end".to_owned(),
        _ => kind.word().replace('-', " "),
    }
}

/// The fuse before another.
fn before(fuse: &Report) -> Option<&String> {
    let mut checks = fuse.checks.iter();
    let found = checks.find(|check| check.kind == Kind::Selectivity)?;
    found.about.as_ref()
}

fn what(fuse: &Report) -> String {
    format!("{} {}", nominal(fuse.rating), fuse.family.word())
}

fn words(fuse: &Report) -> String {
    format!("{}, {}", fuse.name, what(fuse))
}

fn curve(fuse: &Report, sign: char) -> Option<&Curve> {
    let mut curves = fuse.chart.curves.iter();
    curves.find(|curve| curve.sign == sign && curve.points.len() > 1)
}

fn band(of: &Report, rank: Rank, early: char, late: char, name: &str) -> Option<Band> {
    Some(Band {
        rank,
        name: name.to_owned(),
        early: curve(of, early)?.points.clone(),
        late: curve(of, late)?.points.clone(),
    })
}

fn marks(fuse: &Report) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mark = |name: String, at: f64| Mark {
        name: format!("{name} {}", Amps::new(at)),
        at,
        spread: None,
        lasts: None,
    };
    let of = |name: &str, about: Option<&String>| match about {
        Some(part) => format!("{name} {part}"),
        None => name.to_owned(),
    };
    for check in &fuse.checks {
        let about = check.about.as_ref();
        match check.kind {
            Kind::Load => {
                let amps = check.value("current_a").filter(|amps| *amps > 0.0);
                marks.extend(amps.map(|amps| mark("load".into(), amps)));
            }
            Kind::Start => {
                if let Some(peak) = check.value("peak_a") {
                    let lasts = check.value("runs_s").or(check.value("settled_s"));
                    let time = lasts.map_or_else(String::new, |s| format!(", {}", Seconds::new(s)));
                    let one = mark(of("start of", about), peak);
                    marks.push(Mark {
                        name: one.name + &time,
                        lasts,
                        ..mark(String::new(), peak)
                    });
                }
            }
            Kind::Stall => {
                if let Some(cold) = check.value("stall_cold_a") {
                    let ends = [check.value("stall_low_a"), check.value("stall_high_a")];
                    marks.push(Mark {
                        spread: ends[0].zip(ends[1]),
                        ..mark(of("stall of", about), cold)
                    });
                }
            }
            Kind::Breaking => {
                let breaks = check.value("breaks_a");
                marks.extend(breaks.map(|amps| mark("breaks up to".into(), amps)));
            }
            _ => {}
        }
    }
    marks.extend(
        fuse.fault
            .map(|fault| mark("dead short".into(), fault.si())),
    );
    marks.retain(|mark| mark.at.is_finite() && mark.at > 0.0);
    marks
}

/// From below the least current to above the largest.
fn range(fuse: &Report, bands: &[Band], marks: &[Mark]) -> (f64, f64) {
    let all = || {
        let bands = bands
            .iter()
            .flat_map(|band| band.early.iter().map(|point| point.0));
        let spread = marks
            .iter()
            .flat_map(|mark| mark.spread.map_or([mark.at; 2], |s| [s.0, s.1]));
        bands
            .chain(spread)
            .chain(marks.iter().map(|mark| mark.at))
            .chain([fuse.rating.si()])
    };
    let low = all().fold(f64::INFINITY, f64::min);
    let high = all().fold(0.0, f64::max);
    // A load of milliamperes would push everything else into a corner.
    let low = low.max(fuse.rating.si() / 50.0);
    (low / 1.3, high * 1.3)
}
