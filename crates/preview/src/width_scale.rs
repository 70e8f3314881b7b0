//! How wide a stroke is at an output.

use std::fmt;
use std::str::FromStr;

/// What grows in proportion to the output.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum WidthLaw {
    /// The width.
    #[default]
    Linear,
    /// The square of the width: the area of ink that one touch leaves.
    Area,
}

impl WidthLaw {
    /// All laws.
    pub const ALL: [Self; 2] = [Self::Linear, Self::Area];

    /// Its name.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Linear => "linear",
            Self::Area => "area",
        }
    }
}

impl fmt::Display for WidthLaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// Stroke widths from the least output above 0 to full output; at output 0 nothing is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WidthScale {
    least: f64,
    greatest: f64,
    law: WidthLaw,
}

impl WidthScale {
    /// Widest stroke that a sheet holds.
    pub const WIDEST: f64 = 48.0;

    /// Widths from `least` to `greatest`, if 0 ≤ `least` ≤ `greatest` ≤ [`WidthScale::WIDEST`] and
    /// `greatest` is above 0.
    #[must_use]
    pub fn new(least: f64, greatest: f64, law: WidthLaw) -> Option<Self> {
        let fits = least >= 0.0 && least <= greatest && greatest > 0.0 && greatest <= Self::WIDEST;
        fits.then_some(Self {
            least,
            greatest,
            law,
        })
    }

    /// Width at an output of 0..1.
    #[must_use]
    pub fn width(&self, output: f64) -> f64 {
        if output.is_nan() || output <= 0.0 {
            return 0.0;
        }
        let output = output.min(1.0);
        match self.law {
            WidthLaw::Linear => self.least + (self.greatest - self.least) * output,
            WidthLaw::Area => {
                let (least, greatest) = (self.least.powi(2), self.greatest.powi(2));
                (least + (greatest - least) * output).sqrt()
            }
        }
    }

    /// Width just above output 0.
    #[must_use]
    pub fn least(&self) -> f64 {
        self.least
    }

    /// Width at full output.
    #[must_use]
    pub fn greatest(&self) -> f64 {
        self.greatest
    }

    /// What grows with the output.
    #[must_use]
    pub fn law(&self) -> WidthLaw {
        self.law
    }

    /// The same widths under another law.
    #[must_use]
    pub fn with_law(self, law: WidthLaw) -> Self {
        Self { law, ..self }
    }
}

impl Default for WidthScale {
    fn default() -> Self {
        Self {
            least: 1.0,
            greatest: 24.0,
            law: WidthLaw::Linear,
        }
    }
}

/// `1..24`: least and greatest width.
impl FromStr for WidthScale {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let advice = || {
            format!(
                "write the least and the greatest width up to {}, such as 1..24",
                Self::WIDEST
            )
        };
        let (least, greatest) = text.split_once("..").ok_or_else(advice)?;
        let number = |part: &str| part.trim().parse::<f64>().map_err(|_| advice());
        Self::new(number(least)?, number(greatest)?, WidthLaw::Linear).ok_or_else(advice)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_follow_their_law() {
        let scale: WidthScale = "2..10".parse().unwrap();
        assert_eq!(
            [0.0, 0.5, 1.0, 7.0].map(|o| scale.width(o)),
            [0.0, 6.0, 10.0, 10.0]
        );
        // Areas 4 and 100: in the middle 52.
        let area = scale.with_law(WidthLaw::Area);
        assert!((area.width(0.5) - 52.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(area.width(1.0), 10.0);
        for wrong in [
            "", "3", "5..2", "0..0", "-1..4", "1..900", "nan..3", "1..nan",
        ] {
            assert!(wrong.parse::<WidthScale>().is_err(), "{wrong}");
        }
    }
}
