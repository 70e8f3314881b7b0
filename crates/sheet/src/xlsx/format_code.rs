//! Codes of number formats, such as `0.0%;[Red]-0.0%`.

use crate::condition::Condition;

/// What a number is shown as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shown {
    /// A number.
    Number,
    /// A percentage.
    Percent,
    /// A date, a time of day or both.
    Date,
    /// Hours, minutes and seconds that go on past a day.
    Duration,
}

/// A code: up to three sections for numbers.
#[derive(Debug)]
pub(crate) struct FormatCode {
    sections: Vec<Section>,
}

#[derive(Clone, Copy, Debug)]
struct Section {
    condition: Option<Condition>,
    shown: Shown,
    is_text: bool,
}

impl FormatCode {
    /// Reads a code; what is not understood shows numbers as they are.
    pub(crate) fn parse(code: &str) -> Self {
        let mut sections = Vec::new();
        let mut characters = code.chars();
        // A fourth is for text, and so is an earlier last one that says so.
        while sections.len() < 3
            && let Some(section) = Section::parse(&mut characters)
        {
            sections.push(section);
        }
        sections.pop_if(|last| last.is_text);
        Self { sections }
    }

    /// How a value is shown: by the section whose condition holds. Sections without one are for values
    /// above, below and at zero, where there are so many.
    pub(crate) fn shown(&self, value: f64) -> Shown {
        let count = self.sections.len();
        for (place, section) in self.sections.iter().enumerate() {
            let holds = match (section.condition, place, count) {
                (Some(condition), ..) => condition.holds(value),
                (None, 0, 2) => value >= 0.0,
                (None, 0, 3) => value > 0.0,
                (None, 1, 3) => value < 0.0,
                (None, ..) => true,
            };
            if holds {
                return section.shown;
            }
        }
        Shown::Number
    }
}

impl Section {
    /// Reads up to the next semicolon; none at the end.
    fn parse(characters: &mut std::str::Chars<'_>) -> Option<Self> {
        if characters.as_str().is_empty() {
            return None;
        }
        let mut section = Self {
            condition: None,
            shown: Shown::Number,
            is_text: false,
        };
        let mut has_percent = false;
        while let Some(character) = characters.next() {
            match character {
                ';' => break,
                '"' => {
                    characters.find(|c| *c == '"');
                }
                // The next character stands for itself, for a gap of its width, or is repeated.
                '\\' | '_' | '*' => {
                    characters.next();
                }
                '[' => {
                    let inside: String = characters.by_ref().take_while(|c| *c != ']').collect();
                    if let Some(condition) = Condition::parse(&inside, "<>") {
                        section.condition = Some(condition);
                    } else if is_elapsed(&inside) {
                        section.shown = Shown::Duration;
                    }
                }
                '%' => has_percent = true,
                '@' => section.is_text = true,
                'd' | 'D' | 'h' | 'H' | 'm' | 'M' | 's' | 'S' | 'y' | 'Y'
                    if section.shown == Shown::Number =>
                {
                    section.shown = Shown::Date;
                }
                _ => {}
            }
        }
        if has_percent && section.shown == Shown::Number {
            section.shown = Shown::Percent;
        }
        Some(section)
    }
}

/// Whether brackets hold hours, minutes or seconds that go on.
fn is_elapsed(inside: &str) -> bool {
    let lower = inside.to_ascii_lowercase();
    let first = lower.chars().next();
    first.is_some_and(|first| "hms".contains(first) && lower.chars().all(|c| c == first))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percent_counts_only_where_it_is_a_sign() {
        let cases = [
            ("0%", Shown::Percent),
            ("0.00%", Shown::Percent),
            ("#,##0.0 %", Shown::Percent),
            ("%0", Shown::Percent),
            ("0\"%\"", Shown::Number),
            ("0\\%", Shown::Number),
            ("0_%", Shown::Number),
            ("0*%", Shown::Number),
            ("[$%-409]0", Shown::Number),
            ("[Red]0%", Shown::Percent),
            ("0\"a%\"%", Shown::Percent),
            ("0\"%", Shown::Number),
            ("0[%", Shown::Number),
            ("General", Shown::Number),
            ("", Shown::Number),
            ("@", Shown::Number),
            ("0.00E+00", Shown::Number),
            ("0\\\\%", Shown::Percent),
        ];
        for (code, shown) in cases {
            assert_eq!(FormatCode::parse(code).shown(0.5), shown, "{code}");
        }
    }

    #[test]
    fn dates_and_durations_are_seen() {
        let cases = [
            ("yyyy-mm-dd", Shown::Date),
            ("DD/MM/YY", Shown::Date),
            ("h:mm AM/PM", Shown::Date),
            ("[$-409]d\\-mmm", Shown::Date),
            ("[h]:mm:ss", Shown::Duration),
            ("[SS].00", Shown::Duration),
            ("[Magenta]0", Shown::Number),
            ("0 \"days\"", Shown::Number),
            ("0.0\\m", Shown::Number),
            ("0% d", Shown::Date),
        ];
        for (code, shown) in cases {
            assert_eq!(FormatCode::parse(code).shown(0.5), shown, "{code}");
        }
    }

    #[test]
    fn the_section_that_applies_decides() {
        use Shown::{Number, Percent};
        // The code, then what is shown above, at and below zero.
        let cases = [
            ("0%", [Percent, Percent, Percent]),
            ("0%;-0.0", [Percent, Percent, Number]),
            ("0.0;-0%", [Number, Number, Percent]),
            ("0%;-0%;0.0", [Percent, Number, Percent]),
            ("0.0;-0.0;0%", [Number, Percent, Number]),
            ("0%;@", [Percent, Percent, Percent]),
            ("0.0;-0%;@", [Number, Number, Percent]),
            ("0.0;0.0;0.0;0%", [Number, Number, Number]),
            ("0%;-0%;0%;@", [Percent, Percent, Percent]),
            ("[<0.25]0.0;0%", [Percent, Number, Number]),
            ("[>0.25]0%;0.0", [Percent, Number, Number]),
            ("[>0.25]0%", [Percent, Number, Number]),
            ("[>9]0.0;[<-9]0.0;0%", [Percent, Percent, Percent]),
            ("[>9]0.0;0%;0.0", [Number, Number, Percent]),
            ("[=0]0%;0.0", [Number, Percent, Number]),
            ("[<>0]0%;0.0", [Percent, Number, Percent]),
            ("[<=0]0%;0.0", [Number, Percent, Percent]),
            ("[>=0]0%;0.0", [Percent, Percent, Number]),
            ("0%;", [Percent, Percent, Percent]),
            (";0%", [Number, Number, Percent]),
        ];
        for (code, [above, zero, below]) in cases {
            let code_read = FormatCode::parse(code);
            assert_eq!(code_read.shown(0.5), above, "{code} above");
            assert_eq!(code_read.shown(0.0), zero, "{code} at");
            assert_eq!(code_read.shown(-0.5), below, "{code} below");
        }
    }
}
