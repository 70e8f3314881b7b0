//! Remarks of a table: `# key = value`.

use crate::clean::{clean, quoted};
use crate::fault::Fault;
use crate::names::{folded, nearly, words};
use crate::place::Place;

/// Which remarks a kind of table knows.
#[derive(Clone, Copy, Debug)]
pub struct RemarkSpec {
    /// The keys.
    pub keys: &'static [&'static str],
    /// Other words for keys: the word, the key.
    pub aliases: &'static [(&'static str, &'static str)],
    /// Keys of which each remark counts, such as lists and those that begin something.
    pub repeatable: &'static [&'static str],
    /// Words, or several with a space between, that would change what the samples mean, and what to write instead. A
    /// key that holds one is refused, and so is a remark that begins with one.
    pub refused: &'static [Refused],
}

/// Words that are refused, with what to write instead of all of them.
pub type Refused = (&'static [&'static str], &'static str);

/// A remark whose key is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// The key, as the specification has it.
    pub key: &'static str,
    /// The value, as written.
    pub value: String,
    /// Where it stands.
    pub place: Place,
}

/// What a remark turned out to be.
pub(crate) enum Understood {
    Known(Remark),
    Label(String, String),
    Comment,
    Wrong(Fault),
}

/// What has more words than this before a colon is a sentence, not a key.
const MOST_KEY_WORDS: usize = 4;
/// Shorter words, such as symbols of units, say little within a sentence.
const LEAST_LETTERS: usize = 4;

impl RemarkSpec {
    fn key(&self, name: &str) -> Option<&'static str> {
        let name = folded(name);
        let known = self.keys.iter().find(|key| folded(key) == name);
        let alias = || self.aliases.iter().find(|(word, _)| folded(word) == name);
        known.copied().or_else(|| alias().map(|(_, key)| *key))
    }

    /// The advice for the first word of a key, or of a comment, that is not taken in silence.
    fn refusal(&self, name: &str, only_first: bool) -> Option<&'static str> {
        let words = words(name);
        let starts = if only_first { 1 } else { words.len() };
        (0..starts.min(words.len())).find_map(|start| {
            let begins = |refused: &str| {
                let mut parts = refused.split(' ').zip(&words[start..]);
                let length = refused.split(' ').count();
                words.len() >= start + length && parts.all(|(part, word)| part == word)
            };
            let mut groups = self.refused.iter();
            let found = groups.find(|(refused, _)| refused.iter().any(|word| begins(word)));
            found.map(|(_, advice)| *advice)
        })
    }

    /// Whether a sentence begins with a word that is refused.
    #[must_use]
    pub fn refuses(&self, sentence: &str) -> bool {
        self.refusal(sentence, true).is_some()
    }

    /// The advice for a sentence that ends in figures behind a colon, where it holds a word that is refused.
    fn refused_sentence(&self, text: &str) -> Option<&'static str> {
        let (sentence, value) = text.split_once(['=', ':'])?;
        let is_figure = value.trim().starts_with(|c: char| c.is_ascii_digit());
        let mut words = words(sentence).into_iter();
        let word = words.find(|word| {
            word.len() >= LEAST_LETTERS
                && self
                    .refused
                    .iter()
                    .any(|(refused, _)| refused.contains(&word.as_str()))
        })?;
        self.refusal(&word, true).filter(|_| is_figure)
    }

    /// Whether a key can be a writer's own: one that a remark with it would not be taken for anything else.
    #[must_use]
    pub fn is_label(&self, key: &str) -> bool {
        let place = Place {
            line: 1,
            column: 1,
            span: None,
        };
        let found = self.understand(&format!("{key} = 1"), place, false);
        matches!(found, Understood::Label(name, value) if name == key && value == "1")
    }

    /// Takes what stands behind the `#`, or in a title line where `is_title`: there only known keys and words that
    /// are refused count.
    pub(crate) fn understand(&self, text: &str, place: Place, is_title: bool) -> Understood {
        let text = text.trim();
        let parts = text.split_once(['=', ':']).filter(|(key, _)| {
            let is_key =
                self.key(key).is_some() || (1..=MOST_KEY_WORDS).contains(&words(key).len());
            // 12:30 is a time, and http: begins an address.
            is_key && !key.trim_start().starts_with(|c: char| c.is_ascii_digit())
        });
        let Some((name, value)) = parts else {
            return match self
                .refusal(text, true)
                .or_else(|| self.refused_sentence(text))
            {
                Some(advice) if !is_title => Understood::Wrong(Fault::at(
                    place,
                    format!("the remark {}, which would change nothing", quoted(text)),
                    "",
                    advice,
                )),
                _ => Understood::Comment,
            };
        };
        let value = unquoted(value);
        if let Some(key) = self.key(name) {
            return Understood::Known(Remark {
                key,
                value: value.to_owned(),
                place,
            });
        }
        let name = name.trim();
        if let Some(advice) = self.refusal(name, false) {
            let found = format!("the remark {}, which would change nothing", quoted(text));
            return Understood::Wrong(Fault::at(place, found, "", advice));
        }
        let mut known = self.keys.to_vec();
        known.extend(self.aliases.iter().map(|(word, _)| *word));
        if let Some(near) = nearly(name, &known) {
            let near = self.key(near).unwrap_or(near);
            return Understood::Wrong(Fault::at(
                place,
                format!("the key {} in a remark", quoted(name)),
                "",
                format!("write # {near} = {}", clean(value)),
            ));
        }
        if is_title {
            return Understood::Comment;
        }
        Understood::Label(clean(name), clean(value))
    }

    /// Faults of keys that were given twice with different values.
    pub(crate) fn contradictions(&self, remarks: &[Remark], faults: &mut Vec<Fault>) {
        for (index, remark) in remarks.iter().enumerate() {
            if self.repeatable.contains(&remark.key) {
                continue;
            }
            let earlier = remarks[..index]
                .iter()
                .find(|other| other.key == remark.key);
            if let Some(first) = earlier.filter(|first| first.value != remark.value) {
                faults.push(Fault::at(
                    remark.place.clone(),
                    format!(
                        "{} = {} here and {} in line {}",
                        remark.key,
                        quoted(&remark.value),
                        quoted(&first.value),
                        first.place.line
                    ),
                    "",
                    "keep the one that is true",
                ));
            }
        }
    }
}

/// A value without the spaces and quotes around it.
fn unquoted(value: &str) -> &str {
    let value = value.trim();
    value
        .strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"'))
        .unwrap_or(value)
        .trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SPEC: RemarkSpec = RemarkSpec {
        keys: &["model", "notes", "tilt_deg", "force_acts", "exclude"],
        aliases: &[("note", "notes")],
        repeatable: &["exclude"],
        refused: &[
            (&["skip", "left out"], "write # exclude = 5"),
            (&["tilt"], "write # tilt_deg = 30"),
        ],
    };

    fn understood(text: &str) -> Understood {
        SPEC.understand(text, Place::of(text, 0..text.len()), false)
    }

    #[test]
    fn known_keys_are_compared_without_case_and_punctuation() {
        for (text, key, value) in [
            (" model = Dunlin", "model", "Dunlin"),
            ("Force acts: on-surface", "force_acts", "on-surface"),
            ("FORCE-ACTS=on-surface", "force_acts", "on-surface"),
            ("note: \"a, b\"", "notes", "a, b"),
        ] {
            let Understood::Known(remark) = understood(text) else {
                panic!("{text}");
            };
            assert_eq!((remark.key, remark.value.as_str()), (key, value));
        }
    }

    #[test]
    fn what_would_change_the_samples_is_refused() {
        for text in [
            "force_act = on-surface",
            "skip = 5",
            "skip line 5",
            "Tilt angle: 30",
            "lines left out: 5",
            "left out 5",
            "the samples that I would skip: 5, 7",
            "modell = x",
        ] {
            assert!(matches!(understood(text), Understood::Wrong(_)), "{text}");
        }
    }

    #[test]
    fn a_label_is_what_comes_back_as_one() {
        assert!(SPEC.is_label("batch") && SPEC.is_label("Größe 2"));
        for key in ["model", "skip", "a = b", " batch", "12", "tilt", "mode"] {
            assert!(!SPEC.is_label(key), "{key}");
        }
    }

    #[test]
    fn other_keys_are_labels_and_sentences_comments() {
        let Understood::Label(key, value) = understood("batch = 2025") else {
            panic!("a label");
        };
        assert_eq!((key.as_str(), value.as_str()), ("batch", "2025"));
        for text in [
            "measured on a rainy day",
            "12:30 first sample",
            "left hand, seated",
            "see what was said of it in the other file: nothing",
            "its lightest stylus of all: full at a touch",
            "the tilt of it was what it was: small",
            "",
        ] {
            assert!(matches!(understood(text), Understood::Comment), "{text}");
        }
    }

    #[test]
    fn the_same_key_twice_with_other_values_is_refused() {
        let remark = |value: &str| Remark {
            key: "model",
            value: value.to_owned(),
            place: Place::of("", 0..0),
        };
        for (values, count) in [(["a", "b"], 1), (["a", "a"], 0)] {
            let mut faults = Vec::new();
            SPEC.contradictions(&values.map(remark), &mut faults);
            assert_eq!(faults.len(), count);
        }
    }
}
