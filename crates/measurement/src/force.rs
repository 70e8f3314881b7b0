//! A force along the stylus axis.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

/// One gram-force in newtons, exact: standard gravity (3rd CGPM, 1901) times one gram.
const NEWTONS_PER_GF: f64 = 9.806_65e-3;

/// A force; kept in gram-force, the unit of benches with weights.
///
/// Written with its unit: `180gf`, `1.8N`, `1800mN`, or `180g` for a mass hung on the nib.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Force {
    gf: f64,
}

impl Force {
    /// No force.
    pub const ZERO: Self = Self { gf: 0.0 };

    /// From gram-force.
    #[must_use]
    pub const fn from_gf(gf: f64) -> Self {
        Self { gf }
    }

    /// From newtons.
    #[must_use]
    pub fn from_newtons(newtons: f64) -> Self {
        Self {
            gf: newtons / NEWTONS_PER_GF,
        }
    }

    /// From millinewtons.
    #[must_use]
    pub fn from_millinewtons(millinewtons: f64) -> Self {
        Self {
            gf: millinewtons / (1000.0 * NEWTONS_PER_GF),
        }
    }

    /// From a mass in grams that hangs on the nib, at standard gravity 9.80665 m/s².
    #[must_use]
    pub const fn from_mass_g(grams: f64) -> Self {
        Self { gf: grams }
    }

    /// In gram-force.
    #[must_use]
    pub const fn gf(self) -> f64 {
        self.gf
    }

    /// In newtons.
    #[must_use]
    pub fn newtons(self) -> f64 {
        self.gf * NEWTONS_PER_GF
    }
}

impl fmt::Display for Force {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // At most six decimals: what is below is rounding of a unit's conversion.
        let text = format!("{:.6}", self.gf);
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            &text
        };
        write!(f, "{text} gf")
    }
}

/// A text that is no force.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum ForceError {
    /// A number without a unit.
    #[error(
        "`{found}` has no unit; write {found}gf, {found}N, {found}mN, or {found}g for a mass hung on the nib"
    )]
    NoUnit {
        /// The text.
        found: String,
    },
    /// A unit that is not known.
    #[error(
        "`{unit}` in `{found}` is no unit of force; write {number}gf, {number}N, {number}mN, or {number}g for a mass hung on the nib"
    )]
    UnknownUnit {
        /// The text.
        found: String,
        /// Its number.
        number: String,
        /// Its unit.
        unit: String,
    },
    /// A decimal comma.
    #[error("`{found}` has a decimal comma; write {instead}")]
    DecimalComma {
        /// The text.
        found: String,
        /// The same with a point.
        instead: String,
    },
    /// No number at all, or one that no force has.
    #[error(
        "`{found}` is no force; write a number that is not negative with its unit, for example 180gf or 1.8N"
    )]
    NoForce {
        /// The text.
        found: String,
    },
}

impl FromStr for Force {
    type Err = ForceError;

    fn from_str(text: &str) -> Result<Self, ForceError> {
        let text = text.trim();
        let no_force = || ForceError::NoForce {
            found: text.to_owned(),
        };
        if text.matches(',').count() == 1 && !text.contains('.') {
            let instead = text.replace(',', ".");
            return match instead.parse::<Self>() {
                Ok(_) => Err(ForceError::DecimalComma {
                    found: text.to_owned(),
                    instead,
                }),
                Err(_) => Err(no_force()),
            };
        }
        let end = text
            .rfind(|c: char| c.is_ascii_digit() || c == '.')
            .map_or(0, |index| index + 1);
        let (number, unit) = (text[..end].trim_end(), text[end..].trim());
        let value: f64 = number.parse().map_err(|_| no_force())?;
        if !value.is_finite() || value < 0.0 {
            return Err(no_force());
        }
        match unit {
            "gf" => Ok(Self::from_gf(value)),
            "N" => Ok(Self::from_newtons(value)),
            "mN" => Ok(Self::from_millinewtons(value)),
            "g" => Ok(Self::from_mass_g(value)),
            "" => Err(ForceError::NoUnit {
                found: text.to_owned(),
            }),
            _ => Err(ForceError::UnknownUnit {
                found: text.to_owned(),
                number: number.to_owned(),
                unit: unit.to_owned(),
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_and_spaces() {
        for (text, gf) in [
            ("180gf", 180.0),
            ("180 gf", 180.0),
            ("180g", 180.0),
            (" 0.5gf ", 0.5),
            ("1e2gf", 100.0),
        ] {
            assert_eq!(text.parse::<Force>().unwrap().gf(), gf, "{text}");
        }
        assert!(("1.8N".parse::<Force>().unwrap().newtons() - 1.8).abs() < 1e-15);
        assert!(("1800mN".parse::<Force>().unwrap().newtons() - 1.8).abs() < 1e-15);
    }

    #[test]
    fn what_is_no_force_says_what_to_write() {
        for (text, words) in [
            ("180", "180gf"),
            ("180kg", "no unit of force"),
            ("180n", "180N"),
            ("1,8N", "1.8N"),
            ("-5gf", "not negative"),
            ("nangf", "no force"),
            ("infN", "no force"),
            ("1e999gf", "no force"),
            ("", "no force"),
            ("gf", "no force"),
            ("1,2,3gf", "no force"),
            ("°", "no force"),
        ] {
            let message = text.parse::<Force>().unwrap_err().to_string();
            assert!(message.contains(words), "{text}: {message}");
        }
    }

    #[test]
    fn display_is_short() {
        assert_eq!(Force::from_gf(120.0).to_string(), "120 gf");
        assert_eq!(Force::from_gf(0.1 + 0.2).to_string(), "0.3 gf");
        assert_eq!(Force::from_newtons(1.0).to_string(), "101.971621 gf");
    }
}
