//! Units of the columns of a measurement.

use crate::force::Force;

/// Unit in which a file gives forces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ForceUnit {
    /// Gram-force.
    #[default]
    Gf,
    /// Newton.
    Newton,
    /// Millinewton.
    Millinewton,
    /// Gram of mass hung on the nib.
    MassGram,
}

impl ForceUnit {
    /// Every unit.
    pub const ALL: [Self; 4] = [Self::Gf, Self::Newton, Self::Millinewton, Self::MassGram];

    /// Name of the CSV column.
    #[must_use]
    pub const fn column(self) -> &'static str {
        match self {
            Self::Gf => "force_gf",
            Self::Newton => "force_n",
            Self::Millinewton => "force_mn",
            Self::MassGram => "mass_g",
        }
    }

    /// Word used in TOML.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gf => "gf",
            Self::Newton => "n",
            Self::Millinewton => "mn",
            Self::MassGram => "mass_g",
        }
    }

    /// Words that mean a unit in TOML: its own word, and the symbol it is known by.
    pub(crate) const WORDS: [(&'static str, Self); 7] = [
        ("gf", Self::Gf),
        ("n", Self::Newton),
        ("mn", Self::Millinewton),
        ("mass_g", Self::MassGram),
        ("N", Self::Newton),
        ("mN", Self::Millinewton),
        ("g", Self::MassGram),
    ];

    /// The unit of a word; see [`ForceUnit::word`].
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.word() == word)
    }

    /// The force of a number in this unit.
    #[must_use]
    pub fn force(self, value: f64) -> Force {
        match self {
            Self::Gf => Force::from_gf(value),
            Self::Newton => Force::from_newtons(value),
            Self::Millinewton => Force::from_millinewtons(value),
            Self::MassGram => Force::from_mass_g(value),
        }
    }
}

/// Unit in which a file gives readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ReadingUnit {
    /// Percent of full scale, 0..100.
    #[default]
    Percent,
    /// Fraction of full scale, 0..1.
    Fraction,
    /// Whole counts from 0 to levels − 1.
    Raw,
}

impl ReadingUnit {
    /// Every unit.
    pub const ALL: [Self; 3] = [Self::Percent, Self::Fraction, Self::Raw];

    /// Name of the CSV column.
    #[must_use]
    pub const fn column(self) -> &'static str {
        match self {
            Self::Percent => "reported_percent",
            Self::Fraction => "reported",
            Self::Raw => "reported_raw",
        }
    }

    /// Name of the CSV column where it holds outputs measured behind a map.
    #[must_use]
    pub const fn output_column(self) -> &'static str {
        match self {
            Self::Percent => "output_percent",
            Self::Fraction => "output",
            Self::Raw => "output_raw",
        }
    }

    /// Word used in TOML.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Percent => "percent",
            Self::Fraction => "fraction",
            Self::Raw => "raw",
        }
    }

    /// The unit of a word; see [`ReadingUnit::word`].
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.word() == word)
    }

    /// The written number that stands for full scale; of counts it needs the number of levels.
    #[must_use]
    pub fn full(self, levels: Option<u32>) -> f64 {
        match self {
            Self::Percent => 100.0,
            Self::Fraction => 1.0,
            Self::Raw => f64::from(levels.unwrap_or(2).max(2) - 1),
        }
    }
}

/// A written reading as a fraction of full scale; counts need the number of levels.
///
/// # Errors
/// A reading below 0 or above full scale, and a count that is not whole: what was found and what to write.
pub fn reading_fraction(
    value: f64,
    unit: ReadingUnit,
    levels: Option<u32>,
) -> Result<f64, (String, String)> {
    let full = unit.full(levels);
    if value < 0.0 {
        let remedy = "write readings from 0 up".to_owned();
        return Err((format!("a negative reading, {value}"), remedy));
    }
    if unit == ReadingUnit::Raw && value.fract() != 0.0 {
        let remedy = "write whole counts, or say that readings are percent or fractions".to_owned();
        return Err((format!("the raw reading {value}"), remedy));
    }
    if value > full {
        let remedy = match unit {
            ReadingUnit::Percent => "write percent from 0 to 100".to_owned(),
            ReadingUnit::Fraction if value <= 100.0 => {
                "write fractions from 0 to 1, or say that readings are percent".to_owned()
            }
            ReadingUnit::Fraction => {
                "write fractions from 0 to 1, or say that readings are raw and give their levels"
                    .to_owned()
            }
            ReadingUnit::Raw => format!(
                "raw readings run from 0 to levels − 1, here {full}; check the number of levels"
            ),
        };
        let found = format!("a reading of {value}, above the full scale of {full}");
        return Err((found, remedy));
    }
    Ok(value / full)
}
