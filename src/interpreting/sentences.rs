//! The sentences of an interpretation: answer, slip, cautions.

use super::Measure;
use super::estimates::middle_nine;
use super::evidence::{Evidence, Run};
use super::family::{Bench, Family, Weighed};
use super::odds::{Compared, Odds};
use super::ranges::Range;
use super::{Question, ranges, slip, words};
use crate::bench::{self, Jack, Rig};
use crate::quantities::Band;
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
        None => "battery not read, taken for anything from run down to full".to_owned(),
    };
    let rest = question.rig.words.split_once(", ");
    format!("{battery}, {}", rest.map_or("", |(_, rest)| rest))
}

/// Why nothing can be said of these readings yet: of a kind of part, or of any that
/// nothing feeds.
fn unjudged(family: &dyn Family, weighed: &Weighed<'_>) -> Option<String> {
    let hidden = family.hidden(weighed);
    hidden.or_else(|| unfed(weighed.bench))
}

/// Volts under which nothing feeds a part, where it should be fed.
const DEAD_V: f64 = 0.5;

/// That nothing reaches a part in the boat: every fault before it looks the same.
fn unfed(bench: &Bench<'_>) -> Option<String> {
    bench.rig.aboard.as_ref()?;
    let mut runs = bench.evidence.runs.iter();
    let is_dead = |run: &Run| {
        let volts = run.get(Measure::Volts).filter(|_| !run.is_off());
        let amps = run.get(Measure::Amps).unwrap_or(0.0);
        let nothing = bench.kernel.as_nothing(Measure::Amps, amps) > 0.1;
        volts.is_some_and(|volts| volts < DEAD_V) && nothing
    };
    runs.any(is_dead).then(|| {
        "at its terminals is what anything shows that nothing feeds: its fuse, a relay, key or float that does not make, a broken wire or lost ground before it. Read the volts at its fuse and on both sides of its relay, or ask `ampkeel trace` with the file and `--load`".to_owned()
    })
}

/// Why the readings cannot be, where no condition explains them.
pub(super) fn impossible(
    family: &dyn Family,
    weighed: &Weighed<'_>,
    readings: &[Compared],
) -> Option<String> {
    if unjudged(family, weighed).is_some() {
        return None;
    }
    let (groups, odds) = (weighed.groups, weighed.odds);
    let kernel = weighed.bench.kernel;
    let best: f64 = groups
        .iter()
        .zip(&odds.taken)
        .map(|(group, taken)| group.prior * taken.likelihood)
        .sum();
    let read = words::readings(weighed.bench.evidence);
    let is_misfit = odds.misfit > 0.5;
    let slip = if is_misfit {
        slip::likeliest(groups, readings, kernel, best)
    } else {
        slip::contradicted(groups, readings, kernel, best)
    };
    let nowhere = if slip.is_none() {
        nowhere(weighed)
    } else {
        None
    };
    if !is_misfit && slip.is_none() && nowhere.is_none() {
        return None;
    }
    let part = family.noun();
    let evidence = weighed.bench.evidence;
    let (together, again) = if is_single(evidence) {
        ("", "Take it again")
    } else {
        (" together", "Take the readings again")
    };
    if let Some(other) = family.stands_for(evidence).filter(|_| is_misfit) {
        return Some(format!("{read} cannot come from such a {part}; {other}"));
    }
    let said = match (slip, nowhere) {
        // One fault at a time is weighed: a second one is not excluded.
        (Some(slip), _) if is_misfit && !is_single(evidence) => format!(
            "{read}{together} cannot come from one {part} with one fault on this rig: two faults at once, or a slip, the likeliest being: {slip}. {again}"
        ),
        (Some(slip), _) => format!(
            "{read}{together} cannot come from one {part} on this rig; the likeliest slip: {slip}. {again}"
        ),
        (None, Some(nearest)) => format!(
            "{read}: every condition of one {part} shows something else; the nearest has {nearest}. Was it read at that place, on that range? {again}"
        ),
        (None, None) => format!(
            "{read}{together} cannot come from one {part} with one fault on this rig, and no single slip of the meter explains it; two faults at once may. Check the rig. {again}"
        ),
    };
    Some(placed(weighed.bench.rig, &said))
}

/// Whether one reading is all there is.
fn is_single(evidence: &Evidence) -> bool {
    evidence.readings().count() + evidence.rest_v.iter().count() == 1
}

/// The answer in one sentence.
pub(super) fn statement(family: &dyn Family, weighed: &Weighed<'_>, is_impossible: bool) -> String {
    let evidence = weighed.bench.evidence;
    let read = words::readings(evidence);
    if let Some(why) = unjudged(family, weighed) {
        return format!("not to be judged yet: {read} {why}");
    }
    match weighed.likeliest() {
        Some(condition) if !is_impossible => {
            let (short, like) = family.words(condition);
            let at_rest = family.at_rest(condition);
            let like = at_rest.filter(|_| is_at_rest(evidence)).unwrap_or(like);
            let surely = words::surely(weighed.share(condition));
            let nothing = evidence.runs.iter().all(|run| run.readings.is_empty());
            if nothing && evidence.rest_v.is_none() {
                return "nothing was read yet: these are the odds before a test".to_owned();
            }
            let like = match excluded_by(weighed, condition) {
                None => placed(weighed.bench.rig, like),
                Some(against) => format!("is nearest to it, but it shows {against}"),
            };
            let but = family
                .but(weighed)
                .map_or_else(String::new, |but| format!("; but {but}"));
            format!("{surely}{short}: {read} {like}{but}")
        }
        None if !is_impossible => {
            let surely = words::surely(weighed.odds.none);
            let fits_none = format!(
                "{surely}none of these: {read} fits no one condition of this {} well on this rig",
                family.noun()
            );
            placed(weighed.bench.rig, &fits_none)
        }
        _ => {
            let refused = if is_single(evidence) {
                "this reading does not fit"
            } else {
                "these readings do not go together"
            };
            let fits_none = format!(
                "{refused}: {read} fits no one condition of this {} on this rig",
                family.noun()
            );
            placed(weighed.bench.rig, &fits_none)
        }
    }
}

/// Whether all was read without power.
fn is_at_rest(evidence: &Evidence) -> bool {
    let mut measures = evidence.readings().map(|(_, of, _)| of);
    evidence.rest_v.is_none() && measures.all(Measure::is_unpowered)
}

/// What a condition shows of a reading that its own range excludes.
fn excluded_by(weighed: &Weighed<'_>, condition: &str) -> Option<String> {
    let mut groups = weighed.groups.iter().zip(weighed.ranges);
    let (_, ranges) = groups.find(|(group, _)| group.condition == condition)?;
    let mut against = ranges.iter().filter(|range| range.excludes());
    against.next().map(Range::sentence)
}

/// That no condition takes all readings, each at least the range of one: what the
/// likeliest shows instead.
fn nowhere(weighed: &Weighed<'_>) -> Option<String> {
    let nearest = weighed.odds.nearest()?;
    let likeliest = excluded_by(weighed, weighed.groups[nearest].condition)?;
    ranges::is_nowhere(weighed.groups, weighed.ranges).then_some(likeliest)
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
    let drawn_a = sound_a(weighed).filter(|_| family.most_a(rig).is_some())?;
    let told = bench::small_fuse(rig, drawn_a.typical)?;
    Some(format!("The {told}."))
}

/// What sound ones draw in the first run.
fn sound_a(weighed: &Weighed<'_>) -> Option<Band<f64>> {
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
    let mut found = cautions();
    found.retain(|caution| applies(caution) && bench::fits_lead(caution, rig));
    found
}
