//! The known name a mistyped one most likely means.

/// The nearest of `known` by number of single-letter edits; the first one where several tie.
pub(crate) fn nearest_name<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    known
        .iter()
        .copied()
        .min_by_key(|candidate| strsim::levenshtein(word, candidate))
}
