//! The known name a mistyped one most likely means.

/// The nearest of `known` by number of single-letter edits; the first one where several tie.
pub(crate) fn nearest_name<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    known
        .iter()
        .copied()
        .min_by_key(|candidate| edits(word, candidate))
}

/// Levenshtein's distance.
fn edits(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, &y) in b.iter().enumerate() {
            let change = diagonal + usize::from(x != y);
            diagonal = row[j + 1];
            row[j + 1] = change.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_single_edits() {
        assert_eq!(edits("kitten", "sitting"), 3);
        assert_eq!(edits("", "gap"), 3);
        assert_eq!(
            nearest_name("min-gap", &["kind", "min_gap", "ends"]),
            Some("min_gap")
        );
    }
}
