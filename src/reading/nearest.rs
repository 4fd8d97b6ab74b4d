//! "Did you mean": the nearest known word.

/// Longer words than this are not compared: nobody mistypes by that much.
const LONGEST: usize = 64;

/// The nearest known word, if it is within `1 + length / 4` edits (an edit
/// adds, drops, changes a letter or swaps two neighbours).
pub(super) fn nearest<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let word = word.to_lowercase();
    let length = word.chars().count();
    if length == 0 || length > LONGEST {
        return None;
    }
    let allowed = 1 + length / 4;
    known
        .into_iter()
        .filter(|candidate| candidate.len().abs_diff(word.len()) <= 4 * (allowed + 1))
        .map(|candidate| {
            (
                strsim::damerau_levenshtein(&candidate.to_lowercase(), &word),
                candidate,
            )
        })
        .filter(|(edits, candidate)| *edits <= allowed && *edits < candidate.chars().count())
        .min()
        .map(|(_, candidate)| candidate)
}

/// A list in words: `` `a`, `b` and `c` ``, cut short when it is long.
pub(super) fn listed<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    const MOST: usize = 24;
    let mut quoted: Vec<String> = words.into_iter().map(|word| format!("`{word}`")).collect();
    if quoted.len() > MOST {
        let more = quoted.len() - MOST;
        quoted.truncate(MOST);
        return format!("{} and {more} more", quoted.join(", "));
    }
    match quoted.split_last() {
        None => "none".to_owned(),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

/// A hint that names the nearest known word and then all of them.
pub(super) fn did_you_mean(word: &str, known: &[&str], what: &str) -> String {
    let all = format!("{what}: {}", listed(known.iter().copied()));
    match nearest(word, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`? {all}"),
        None => all,
    }
}
