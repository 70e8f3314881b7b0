//! A part or a probability as it is typed: `5%` or `0.05`.

use std::fmt;
use std::ops::Bound::{self, Excluded, Included};
use std::ops::RangeBounds as _;
use std::str::FromStr;

/// A fraction 0..1 from the command line. `5%` and `0.05` are the same; a bare number of 1 or more could mean
/// either and is refused.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Fraction(f64);

/// What is wrong with a typed fraction, and what to write instead.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum FractionError {
    NotANumber,
    Negative,
    /// A bare number of 1 or more, as typed.
    Bare(String),
    AboveFull,
    /// Outside the limits of the option: what they are, and a value within them.
    Outside(&'static str),
}

impl fmt::Display for FractionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber => {
                f.write_str("expected a percentage or a fraction; write for example 5% or 0.05")
            }
            Self::Negative => f.write_str("below 0; write for example 5% or 0.05"),
            Self::Bare(typed) => match typed.parse::<f64>() {
                // 1 may be meant as 1 percent or as all of it.
                Ok(number) if number > 1.0 && number <= 100.0 => {
                    write!(f, "a number without % must be below 1; write {typed}%")
                }
                _ => f.write_str("a number without % must be below 1; write 1% or 100%"),
            },
            Self::AboveFull => f.write_str("above 100 %; write 100% or less"),
            Self::Outside(limits) => f.write_str(limits),
        }
    }
}

impl std::error::Error for FractionError {}

impl FromStr for Fraction {
    type Err = FractionError;

    fn from_str(text: &str) -> Result<Self, FractionError> {
        let text = text.trim();
        let number = |text: &str| match text.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(number),
            _ => Err(FractionError::NotANumber),
        };
        // An exponent divides without rounding twice: 0.7% and 0.007 are the same number.
        let percent = text.strip_suffix('%').map(str::trim_end);
        let value = match percent {
            Some(percent) => number(&format!("{percent}e-2"))?,
            None => number(text)?,
        };
        if value < 0.0 {
            return Err(FractionError::Negative);
        }
        match percent {
            None if value >= 1.0 => Err(FractionError::Bare(text.to_owned())),
            Some(_) if value > 1.0 => Err(FractionError::AboveFull),
            // The sum turns -0 into 0.
            _ => Ok(Self(value + 0.0)),
        }
    }
}

impl Fraction {
    /// The fraction, 0..1.
    pub(crate) const fn value(self) -> f64 {
        self.0
    }

    /// A part of something or a probability that can be neither 0 nor 1.
    pub(crate) fn inside(text: &str) -> Result<Self, FractionError> {
        Self::within(
            text,
            (Excluded(0.0), Excluded(1.0)),
            "must be above 0 % and below 100 %; write for example 95% or 0.95",
        )
    }

    /// A reading to find the force of. The response reads 0 from no force up to the onset.
    pub(crate) fn reading(text: &str) -> Result<Self, FractionError> {
        Self::within(
            text,
            (Excluded(0.0), Included(1.0)),
            "must be above 0 %, where the force is the onset; write for example 1% or 0.01",
        )
    }

    /// A part of full scale that leaves room above it.
    pub(crate) fn below_95_percent(text: &str) -> Result<Self, FractionError> {
        Self::within(
            text,
            (Included(0.0), Excluded(0.95)),
            "must be below 95 %; write for example 5% or 0.05",
        )
    }

    fn within(
        text: &str,
        limits: (Bound<f64>, Bound<f64>),
        otherwise: &'static str,
    ) -> Result<Self, FractionError> {
        let found: Self = text.parse()?;
        if limits.contains(&found.0) {
            Ok(found)
        } else {
            Err(FractionError::Outside(otherwise))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentage_and_fraction_are_the_same_number() {
        // Every tenth of a percent below 100 %, typed both ways; bits and all.
        for tenths in 0..1000_u32 {
            let percent = format!("{}.{}%", tenths / 10, tenths % 10);
            let fraction = format!("0.{tenths:03}");
            let [a, b] = [&percent, &fraction].map(|text| text.parse::<Fraction>().unwrap());
            assert_eq!(
                a.value().to_bits(),
                b.value().to_bits(),
                "{percent} {fraction}"
            );
            assert!(
                (a.value() - f64::from(tenths) / 1000.0).abs() < 1e-15,
                "{percent}"
            );
        }
        for (text, value) in [
            ("5%", 0.05),
            (" 5 % ", 0.05),
            ("5\u{a0}%", 0.05),
            ("100%", 1.0),
            ("0", 0.0),
            ("0%", 0.0),
            ("+0.5", 0.5),
            (".25", 0.25),
        ] {
            assert_eq!(text.parse(), Ok(Fraction(value)), "{text}");
        }
        for negative_zero in ["-0", "-0%"] {
            let found: Fraction = negative_zero.parse().unwrap();
            assert!(found.value().is_sign_positive(), "{negative_zero}");
        }
    }

    #[test]
    fn bare_number_of_one_or_more_is_refused_with_what_to_write() {
        for (text, advice) in [
            ("1", "write 1% or 100%"),
            ("1.0", "write 1% or 100%"),
            ("2", "write 2%"),
            ("95", "write 95%"),
            ("99.5", "write 99.5%"),
            ("100", "write 100%"),
            ("150", "write 1% or 100%"),
        ] {
            let error = text.parse::<Fraction>().unwrap_err();
            assert_eq!(error, FractionError::Bare(text.to_owned()));
            assert!(error.to_string().ends_with(advice), "{text}: {error}");
        }
    }

    #[test]
    fn what_is_not_a_fraction_is_refused_by_its_fault() {
        use FractionError::{AboveFull, Negative, NotANumber};
        for (text, fault) in [
            ("", NotANumber),
            ("%", NotANumber),
            ("five", NotANumber),
            ("5%%", NotANumber),
            ("5 percent", NotANumber),
            ("2,5%", NotANumber),
            ("NaN", NotANumber),
            ("nan%", NotANumber),
            ("inf", NotANumber),
            ("-inf%", NotANumber),
            ("1e999", NotANumber),
            ("--json", NotANumber),
            ("-5%", Negative),
            ("-0.05", Negative),
            ("-1", Negative),
            ("100.1%", AboveFull),
            ("1000%", AboveFull),
        ] {
            let error = text.parse::<Fraction>().unwrap_err();
            assert_eq!(error, fault, "{text}");
            assert!(error.to_string().contains("; write "), "{text}: {error}");
        }
    }

    #[test]
    fn limits_of_an_option_hold_at_their_ends() {
        let ends = |parse: fn(&str) -> Result<Fraction, FractionError>| {
            ["0", "0.1%", "94.9%", "95%", "99.9%", "100%"].map(|text| parse(text).is_ok())
        };
        assert_eq!(
            ends(Fraction::inside),
            [false, true, true, true, true, false]
        );
        assert_eq!(
            ends(Fraction::reading),
            [false, true, true, true, true, true]
        );
        assert_eq!(
            ends(Fraction::below_95_percent),
            [true, true, true, false, false, false]
        );
        for outside in [
            Fraction::inside("0%"),
            Fraction::reading("0"),
            Fraction::below_95_percent("95%"),
        ] {
            let error = outside.unwrap_err();
            assert!(matches!(error, FractionError::Outside(_)), "{error}");
            assert!(error.to_string().contains("; write "), "{error}");
        }
    }
}
