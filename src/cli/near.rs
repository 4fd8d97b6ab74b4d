//! Did you mean?

/// Returns the nearest of `known` to `given`, if it is near enough to be a
/// slip of the hand: one edit, and one more for every four letters.
pub(super) fn nearest<'a>(
    given: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let given = given.to_lowercase();
    let allowed = 1 + given.chars().count() / 4;
    known
        .into_iter()
        .map(|name| {
            (
                strsim::damerau_levenshtein(&given, &name.to_lowercase()),
                name,
            )
        })
        .filter(|(edits, _)| *edits <= allowed)
        .min()
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_is_mended_and_a_stranger_is_not() {
        assert_eq!(nearest("toml-sintax", ["toml-syntax"]), Some("toml-syntax"));
        assert_eq!(nearest("propeller", ["toml-syntax"]), None);
    }
}
