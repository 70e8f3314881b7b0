//! A reading from a line of text.

/// What a number in a stream stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReadingKind {
    /// Percent of full scale.
    Percent,
    /// Part of full scale, 0..1.
    Fraction,
    /// Counts from 0 to so many.
    Raw {
        /// The count at full scale.
        full: f64,
    },
}

impl ReadingKind {
    /// What its numbers are, such as `a percentage from 0 to 100`.
    #[must_use]
    pub fn in_words(self) -> String {
        match self {
            Self::Percent => "a percentage from 0 to 100".to_owned(),
            Self::Fraction => "a fraction from 0 to 1".to_owned(),
            Self::Raw { full } => format!("a count from 0 to {full}"),
        }
    }

    /// The reading 0..1 of a number; `None` of one that is not on the scale.
    #[must_use]
    pub fn reading(self, number: f64) -> Option<f64> {
        let reading = match self {
            Self::Percent => number / 100.0,
            Self::Fraction => number,
            Self::Raw { full } => number / full,
        };
        (0.0..=1.0).contains(&reading).then_some(reading)
    }
}

/// The last number of a line, such as of `t=12 p=0.53` or `0,53`; `None` of a line without one.
#[must_use]
pub fn text_reading(line: &str) -> Option<f64> {
    line.split(|c: char| c.is_whitespace() || ";=:\t".contains(c))
        .rev()
        .filter(|word| !word.is_empty())
        .find_map(|word| {
            let plain = word.trim_end_matches('%').replace(',', ".");
            plain
                .parse::<f64>()
                .ok()
                .filter(|number| number.is_finite())
        })
}
