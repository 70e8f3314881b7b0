//! Names as people write them, and which known one a mistyped name most likely means.

use strsim::osa_distance;

/// A name without case, spaces and punctuation: `Force_GF`, `force gf` and `Force (gf)` are one. `%` counts as the
/// word percent.
#[must_use]
pub fn folded(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    for c in name.chars() {
        if c == '%' {
            folded.push_str("percent");
        } else if c.is_alphanumeric() {
            folded.extend(c.to_lowercase());
        }
    }
    folded
}

/// The words of a name, each without case: runs of letters and digits; `%` is the word percent.
#[must_use]
pub fn words(name: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    for c in name.chars() {
        let last = words.len() - 1;
        if c == '%' {
            words.push("percent".to_owned());
            words.push(String::new());
        } else if c.is_alphanumeric() {
            words[last].extend(c.to_lowercase());
        } else if !words[last].is_empty() {
            words.push(String::new());
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Edits (insert, remove, exchange, swap neighbours) up to which a name of this many letters counts as mistyped.
fn most_edits(letters: usize) -> usize {
    match letters {
        0..=3 => 0,
        4..=6 => 1,
        _ => 2,
    }
}

/// The known name that `name` nearly is, compared folded: a few edits away, or cut short (`tilt` for `tilt_deg`).
/// `None` where it is one of them, or like none.
#[must_use]
pub fn nearly<'k>(name: &str, known: &[&'k str]) -> Option<&'k str> {
    let name = folded(name);
    let letters = name.chars().count();
    let mut best: Option<(usize, &str)> = None;
    for candidate in known {
        let other = folded(candidate);
        if other == name {
            return None;
        }
        let least = letters.min(other.chars().count());
        let edits = osa_distance(&name, &other);
        let is_cut = letters >= 4 && other.starts_with(&name);
        let is_near = edits <= most_edits(least) || is_cut;
        if is_near && best.is_none_or(|(before, _)| edits < before) {
            best = Some((edits, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// The known name that a mistyped one may stand for where only known ones are allowed anyway: wider than [`nearly`],
/// since it is a hint and no verdict.
#[must_use]
pub fn hint<'k>(name: &str, known: &[&'k str]) -> Option<&'k str> {
    const MOST_EDITS: usize = 2;
    let name = folded(name);
    known
        .iter()
        .map(|candidate| (osa_distance(&name, &folded(candidate)), *candidate))
        .filter(|(edits, candidate)| {
            *edits <= MOST_EDITS && *edits < folded(candidate).chars().count()
        })
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_spaces_and_punctuation_do_not_count() {
        for name in ["force_gf", "Force (gf)", "FORCE-GF", " force  [gf] "] {
            assert_eq!(folded(name), "forcegf");
        }
        assert_eq!(words("Pressure %"), ["pressure", "percent"]);
        assert_eq!(words("Reading(%)"), ["reading", "percent"]);
        assert_eq!(words("Force_gf"), ["force", "gf"]);
        assert!(words(" -- ").is_empty());
    }

    #[test]
    fn mistyped_names_are_near_and_others_are_not() {
        let known = ["seating", "direction", "force_acts", "tilt_deg", "levels"];
        for (name, meant) in [
            ("seatng", "seating"),
            ("direktion", "direction"),
            ("force_act", "force_acts"),
            ("tilt", "tilt_deg"),
            ("Level", "levels"),
            ("lveels", "levels"),
        ] {
            assert_eq!(nearly(name, &known), Some(meant), "{name}");
        }
        assert_eq!(hint("tlt", &["tilt", "date"]), Some("tilt"));
        assert_eq!(hint("Force_Acts", &known), Some("force_acts"));
        assert_eq!(hint("operator", &known), None);
        for name in ["notes", "batch", "operator", "x", "Seating", "tilt deg"] {
            assert_eq!(nearly(name, &known), None, "{name}");
        }
    }
}
