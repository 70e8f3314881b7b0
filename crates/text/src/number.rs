//! Numbers as people write them.

/// Which mark stands before the decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalMark {
    /// A point.
    Point,
    /// A comma.
    Comma,
}

impl DecimalMark {
    /// Its name.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Point => "point",
            Self::Comma => "comma",
        }
    }
}

/// A number with what stood behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Written<'t> {
    /// Its value, finite.
    pub value: f64,
    /// The mark before its decimals, if it had one.
    pub mark: Option<DecimalMark>,
    /// Whether its mark could also stand before thousands: one to three digits, the mark, and exactly three.
    pub could_be_thousands: bool,
    /// What follows the number, such as `%` or `gf`; empty as a rule.
    pub suffix: &'t str,
}

/// Why a text is no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoNumber {
    /// There is nothing.
    Empty,
    /// A comma and a point, or several of one kind: thousands marks.
    SeveralMarks,
    /// A decimal comma where commas stand between cells.
    Comma,
    /// Digits with a space between.
    SpacedDigits,
    /// NaN, infinity, or too large for a number.
    NotFinite,
    /// Something else.
    NotANumber,
}

/// Spaces that programs put between or around figures.
fn is_space(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\u{a0}' | '\u{2007}' | '\u{202f}')
}

/// Reads a finite number, perhaps with a unit behind it: `12.5`, `1e3`, `−5`, `5 %`, `150 gf`; a decimal comma only
/// where `comma_allowed`. No-break spaces and U+2212 (minus sign) are taken as written by spreadsheets.
///
/// # Errors
/// Why it is no number.
pub fn written_number(text: &str, comma_allowed: bool) -> Result<Written<'_>, NoNumber> {
    match plain_number(text) {
        Some(written) => Ok(written),
        None => any_number(text, comma_allowed),
    }
}

/// Most cells of a long table are digits, perhaps with a sign and a point: these are read without a second look.
fn plain_number(text: &str) -> Option<Written<'_>> {
    let unsigned = text.strip_prefix('-').unwrap_or(text);
    let points = unsigned.bytes().filter(|byte| *byte == b'.').count();
    let is_plain = points <= 1
        && unsigned.len() > points
        && unsigned
            .bytes()
            .all(|byte| byte.is_ascii_digit() || byte == b'.');
    let value = if is_plain {
        text.parse::<f64>()
    } else {
        return None;
    };
    let value = value.ok().filter(|value| value.is_finite())?;
    Some(Written {
        value,
        mark: (points == 1).then_some(DecimalMark::Point),
        could_be_thousands: points == 1 && could_be_thousands(unsigned),
        suffix: "",
    })
}

fn any_number(text: &str, comma_allowed: bool) -> Result<Written<'_>, NoNumber> {
    let text = text.trim_matches(is_space);
    if text.is_empty() {
        return Err(NoNumber::Empty);
    }
    let end = number_end(text);
    let (figure, suffix) = text.split_at(end);
    let suffix = suffix.trim_matches(is_space);
    if suffix.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(NoNumber::SpacedDigits);
    }
    if !figure.contains(|c: char| c.is_ascii_digit()) {
        let lower = text
            .trim_start_matches(['+', '-', '\u{2212}'])
            .to_ascii_lowercase();
        let is_infinite = ["nan", "inf", "infinity"].contains(&lower.as_str());
        return Err(if is_infinite {
            NoNumber::NotFinite
        } else {
            NoNumber::NotANumber
        });
    }
    // What would belong to a number does not begin a unit.
    if suffix.starts_with(['.', ',', '+', '-', '\u{2212}', '\'']) {
        return Err(NoNumber::NotANumber);
    }
    let (commas, points) = (figure.matches(',').count(), figure.matches('.').count());
    let mark = match (points, commas) {
        (0, 0) => None,
        (1, 0) => Some(DecimalMark::Point),
        (0, 1) if comma_allowed => Some(DecimalMark::Comma),
        (0, 1) => return Err(NoNumber::Comma),
        _ => return Err(NoNumber::SeveralMarks),
    };
    let plain = figure.replace('\u{2212}', "-").replace(',', ".");
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Written {
            value,
            mark,
            could_be_thousands: could_be_thousands(&plain),
            suffix,
        }),
        Ok(_) => Err(NoNumber::NotFinite),
        Err(_) => Err(NoNumber::NotANumber),
    }
}

/// Where the number at the beginning of a text ends, in bytes.
fn number_end(text: &str) -> usize {
    let sign = |c: char| matches!(c, '+' | '-' | '\u{2212}');
    let mut end = 0;
    let mut characters = text.char_indices().peekable();
    while let Some((at, c)) = characters.next() {
        let is_exponent = matches!(c, 'e' | 'E')
            && text[..at].ends_with(|c: char| c.is_ascii_digit() || c == '.')
            && {
                let mut rest = text[at + 1..].chars();
                match rest.next() {
                    Some(next) if sign(next) => rest.next().is_some_and(|c| c.is_ascii_digit()),
                    Some(next) => next.is_ascii_digit(),
                    None => false,
                }
            };
        if is_exponent {
            // The exponent's sign belongs to it.
            characters.next_if(|(_, next)| sign(*next));
            end = characters.peek().map_or(text.len(), |(at, _)| *at);
        } else if c.is_ascii_digit() || c == '.' || c == ',' || (at == 0 && sign(c)) {
            end = at + c.len_utf8();
        } else {
            break;
        }
    }
    end
}

/// One to three digits that do not begin with 0, a mark, and exactly three digits.
fn could_be_thousands(plain: &str) -> bool {
    let Some((whole, decimals)) = plain.trim_start_matches(['+', '-']).split_once('.') else {
        return false;
    };
    let is_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    (1..=3).contains(&whole.len())
        && decimals.len() == 3
        && is_digits(whole)
        && is_digits(decimals)
        && !whole.starts_with('0')
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn value(text: &str) -> (f64, &str) {
        let written =
            written_number(text, true).unwrap_or_else(|error| panic!("{text}: {error:?}"));
        (written.value, written.suffix)
    }

    #[test]
    fn numbers_with_and_without_a_unit() {
        for (text, expected, suffix) in [
            ("12.5", 12.5, ""),
            ("12,5", 12.5, ""),
            ("+7", 7.0, ""),
            ("-7.", -7.0, ""),
            (".5", 0.5, ""),
            ("\u{2212}5", -5.0, ""),
            ("1e3", 1000.0, ""),
            ("1.5E-2", 0.015, ""),
            ("1e\u{2212}2", 0.01, ""),
            ("5%", 5.0, "%"),
            ("5\u{a0}%", 5.0, "%"),
            ("\u{a0}150 gf ", 150.0, "gf"),
            ("150gf", 150.0, "gf"),
            ("1.8 N", 1.8, "N"),
            ("3 e", 3.0, "e"),
            ("3em", 3.0, "em"),
        ] {
            assert_eq!(value(text), (expected, suffix), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_says_why() {
        for (text, why) in [
            ("", NoNumber::Empty),
            ("\u{a0}", NoNumber::Empty),
            ("1,234.5", NoNumber::SeveralMarks),
            ("1.234.567", NoNumber::SeveralMarks),
            ("1 234", NoNumber::SpacedDigits),
            ("1\u{202f}234", NoNumber::SpacedDigits),
            ("NaN", NoNumber::NotFinite),
            ("-inf", NoNumber::NotFinite),
            ("1e999", NoNumber::NotFinite),
            ("two", NoNumber::NotANumber),
            ("1'234", NoNumber::NotANumber),
            ("5-7", NoNumber::NotANumber),
            ("--5", NoNumber::NotANumber),
            (".", NoNumber::NotANumber),
            ("°", NoNumber::NotANumber),
        ] {
            assert_eq!(written_number(text, true), Err(why), "{text}");
        }
        assert_eq!(written_number("1,5", false), Err(NoNumber::Comma));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn digits_are_read_as_any_number_is(text in "-?[0-9]{0,5}\\.?[0-9]{0,5}\\.?") {
            prop_assert_eq!(written_number(&text, true), any_number(&text, true));
        }
    }

    #[test]
    fn thousands_are_suspected_by_their_digits_alone() {
        for (text, could) in [
            ("1.050", true),
            ("950", false),
            ("12,345", true),
            ("0.125", false),
            ("1.05", false),
            ("1234.567", false),
        ] {
            assert_eq!(
                written_number(text, true).unwrap().could_be_thousands,
                could,
                "{text}"
            );
        }
    }
}
