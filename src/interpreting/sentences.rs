//! The sentences of an interpretation: answer, slip, cautions.

use super::Measure;
use super::estimates::middle_nine;
use super::family::{Family, Weighed};
use super::odds::{Compared, Odds};
use super::{Question, slip, words};
use crate::bench::{Jack, Rig};
use crate::quantities::print::nominal;
use crate::quantities::{Amps, Band};
use crate::tables::cautions::{Caution, cautions};

/// The rig, with the battery as it was read.
pub(super) fn rig_in_words(family: &dyn Family, question: &Question) -> String {
    let rest_v = question.evidence.rest_v;
    if let Some(aboard) = &question.rig.aboard {
        let battery = match rest_v {
            Some(rest) => format!("at rest it was read as {}", Measure::PostVolts.print(rest)),
            None => "not read at rest".to_owned(),
        };
        return format!("{}; {}, {battery}", aboard.in_words(rest_v), aboard.battery);
    }
    if !family.is_fed() {
        return format!("hand meter, {}", question.rig.air);
    }
    let battery = match rest_v {
        Some(rest) => format!("battery read as {} at rest", Measure::PostVolts.print(rest)),
        None => "battery taken for charged, not read".to_owned(),
    };
    let rest = question.rig.words.split_once(", ");
    format!("{battery}, {}", rest.map_or("", |(_, rest)| rest))
}

/// Why the readings cannot be, where no condition explains them.
pub(super) fn impossible(
    family: &dyn Family,
    weighed: &Weighed<'_>,
    readings: &[Compared],
) -> Option<String> {
    let (groups, odds) = (weighed.groups, weighed.odds);
    let kernel = weighed.bench.kernel;
    let best: f64 = groups
        .iter()
        .zip(&odds.taken)
        .map(|(group, taken)| group.prior * taken.likelihood)
        .sum();
    let read = words::readings(weighed.bench.evidence);
    let slip = if odds.misfit > 0.5 {
        slip::likeliest(groups, readings, kernel, best)
    } else {
        Some(slip::contradicted(groups, readings, kernel, best)?)
    };
    let part = family.noun();
    let said = match slip {
        Some(slip) => format!(
            "{read} together cannot come from one {part} on this rig; the likeliest slip: {slip}. Take the readings again"
        ),
        None => format!(
            "{read} together cannot come from one {part} with one fault on this rig, and no single slip of the meter explains it; check the rig and take all readings again"
        ),
    };
    Some(placed(weighed.bench.rig, &said))
}

/// The answer in one sentence.
pub(super) fn statement(family: &dyn Family, weighed: &Weighed<'_>, is_impossible: bool) -> String {
    let evidence = weighed.bench.evidence;
    let read = words::readings(evidence);
    match weighed.likeliest() {
        Some(condition) if !is_impossible => {
            let (short, like) = family.words(condition);
            let surely = words::surely(weighed.share(condition));
            let nothing = evidence.runs.iter().all(|run| run.readings.is_empty());
            if nothing && evidence.rest_v.is_none() {
                return "nothing was read yet: these are the odds before a test".to_owned();
            }
            let like = placed(weighed.bench.rig, like);
            let but = family
                .but(weighed)
                .map_or_else(String::new, |but| format!("; but {but}"));
            format!("{surely}{short}: {read} {like}{but}")
        }
        _ => {
            let fits_none = format!(
                "these readings do not go together: {read} fits no one condition of this {} on this rig",
                family.noun()
            );
            placed(weighed.bench.rig, &fits_none)
        }
    }
}

/// Words of the bench as they are in the boat.
fn placed(rig: &Rig, words: &str) -> String {
    if rig.aboard.is_none() {
        return words.to_owned();
    }
    let feed = "on this feed";
    words
        .replace("on this rig", feed)
        .replace("on these leads", feed)
}

/// That the readings were taken more loosely than their meter allows.
pub(super) fn blunt(odds: &Odds) -> Option<String> {
    (odds.wider > 1.0).then(|| {
        format!(
            "Few specimens come near all these readings; each was taken {} times as loosely as its meter allows, so the odds are a little blunt.",
            odds.wider
        )
    })
}

/// That the lead's fuse is smaller than what a sound one draws.
pub(super) fn small_fuse(family: &dyn Family, weighed: &Weighed<'_>) -> Option<String> {
    let rig = weighed.bench.rig;
    let is_fused = family.most_a(rig).is_some() && !rig.heavy && rig.aboard.is_none();
    let drawn_a = sound_a(weighed).filter(|_| is_fused)?;
    let rating = rig.fuse.rating;
    (drawn_a.typical > rating.si()).then(|| {
        format!(
            "The lead's {} fuse is less than the {} a sound one draws on this rig: it opens on a sound one. Take the fuse that `bench` names for it, on leads that it guards.",
            nominal(rating),
            Amps::new(drawn_a.typical)
        )
    })
}

/// What sound ones draw in the first run.
pub(super) fn sound_a(weighed: &Weighed<'_>) -> Option<Band<f64>> {
    let mut groups = weighed.groups.iter();
    let sound = groups.find(|group| group.condition == "healthy")?;
    let drawn = sound.specimens.iter().map(|one| {
        let amps = one.runs.first().map(|seen| seen.get(Measure::Amps));
        (amps.unwrap_or(f64::NAN), 1.0)
    });
    middle_nine(drawn.filter(|(amps, _)| amps.is_finite()).collect())
}

/// What a meter bears in its ampere jack, amperes.
const JACK_A: f64 = 10.0;

/// Cautions of the part's topics, and of the rig or the boat's state.
pub(super) fn cautions_of(family: &dyn Family, rig: &Rig, may_be_shorted: bool) -> Vec<Caution> {
    let (topics, tags) = if let Some(aboard) = &rig.aboard {
        let tags = [&aboard.tags[..], &["eyes", "short", "lock2"]].concat();
        (&["metering"][..], tags)
    } else {
        let (topics, tags) = family.cautions();
        (topics, tags.to_vec())
    };
    let over_jack =
        rig.meter == Jack::TenAmps && family.most_a(rig).is_some_and(|most| most > JACK_A);
    let applies = |caution: &Caution| {
        caution.applies(topics)
            || tags.contains(&caution.tag.as_str())
            || over_jack && caution.tag == "jack-limit"
            || may_be_shorted && caution.tag == "shorted-part"
    };
    cautions().into_iter().filter(applies).collect()
}
