//! Uncertainty budgets after JCGM 100.

use std::fmt;

use statrs::distribution::{ContinuousCDF as _, StudentsT};

/// What an input's error does to all forces of a bench together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Correlation {
    /// The same part of every force: an arm, gravity.
    SharedGain,
    /// The same amount in every force: the beam's own moment.
    SharedOffset,
    /// Each placed force by itself: where a mass hangs, friction.
    Independent,
}

impl Correlation {
    /// Its name in data.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::SharedGain => "shared_gain",
            Self::SharedOffset => "shared_offset",
            Self::Independent => "independent",
        }
    }
}

impl fmt::Display for Correlation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::SharedGain => "shared gain",
            Self::SharedOffset => "shared offset",
            Self::Independent => "independent",
        })
    }
}

/// An input of a model with its standard uncertainty.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What it is.
    pub name: String,
    /// Its unit.
    pub unit: &'static str,
    /// Best estimate.
    pub value: f64,
    /// Standard uncertainty, in its unit.
    pub standard: f64,
    /// Degrees of freedom of that uncertainty; infinite where limits are known.
    pub freedom: f64,
    /// What its error does to other forces.
    pub correlation: Correlation,
}

impl Input {
    /// An input known to lie within ± `within`, any value alike: standard uncertainty within/√3 (JCGM 100,
    /// 4.3.7).
    #[must_use]
    pub fn within(
        name: impl Into<String>,
        unit: &'static str,
        value: f64,
        within: f64,
        correlation: Correlation,
    ) -> Self {
        Self {
            name: name.into(),
            unit,
            value,
            standard: within / 3.0_f64.sqrt(),
            freedom: f64::INFINITY,
            correlation,
        }
    }
}

/// An input's part in a budget.
#[derive(Clone, Debug, PartialEq)]
pub struct Contribution {
    /// The input.
    pub input: Input,
    /// Change of the result for a unit of the input.
    pub sensitivity: f64,
    /// |sensitivity| times standard uncertainty, with what the curve adds, in the unit of the result.
    pub standard: f64,
    /// Its fraction of the combined variance, 0..1.
    pub fraction: f64,
}

/// A result with its uncertainty budget.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// The result.
    pub value: f64,
    /// What each input adds.
    pub contributions: Vec<Contribution>,
    /// Combined standard uncertainty, the root of the sum of squares.
    pub combined: f64,
    /// Effective degrees of freedom.
    pub freedom: f64,
    /// Coverage factor for the level of confidence asked for.
    pub coverage: f64,
    /// Expanded uncertainty: coverage factor times combined.
    pub expanded: f64,
}

impl Budget {
    /// Of a model whose inputs do not depend on each other. Sensitivities are differences over one standard
    /// uncertainty to either side (JCGM 100, note 2 to 5.1.3), or over a small step where an input is exact.
    /// Of the terms of second order those of single inputs are counted, those of pairs are not.
    #[must_use]
    pub fn of(inputs: Vec<Input>, confidence: f64, model: impl Fn(&[f64]) -> f64) -> Self {
        let mut values: Vec<f64> = inputs.iter().map(|input| input.value).collect();
        let value = model(&values);
        let mut sensitivities = Vec::with_capacity(inputs.len());
        let mut parts = Vec::with_capacity(inputs.len());
        for (index, input) in inputs.iter().enumerate() {
            let here = values[index];
            let step = if input.standard > 0.0 {
                input.standard
            } else {
                1e-6 * here.abs().max(1.0)
            };
            values[index] = here + step;
            let above = model(&values);
            values[index] = here - step;
            let below = model(&values);
            values[index] = here;
            let sensitivity = (above - below) / (2.0 * step);
            let linear = sensitivity * input.standard;
            // What the second derivative adds, |∂²f/∂x²|·u²/√2 (JCGM 100, note to 5.1.2): all there is where the
            // slope vanishes, as that of a cosine at 0 (ibid., F.2.4.4). The result is not moved to the mean of
            // such a curve; for an input within limits the root mean square about it, 0.67 |∂²f/∂x²|·u², is held.
            let bent = if input.standard > 0.0 {
                (above - 2.0 * value + below) / std::f64::consts::SQRT_2
            } else {
                0.0
            };
            sensitivities.push(sensitivity);
            parts.push(linear.hypot(bent));
        }
        let combined = root_of_squares(parts.iter().copied());
        let freedoms: Vec<f64> = inputs.iter().map(|input| input.freedom).collect();
        let freedom = effective_freedom(&parts, &freedoms);
        let coverage = coverage_factor(freedom, confidence);
        let contributions = inputs
            .into_iter()
            .zip(sensitivities)
            .zip(parts)
            .map(|((input, sensitivity), standard)| Contribution {
                input,
                sensitivity,
                standard,
                fraction: if combined > 0.0 {
                    (standard / combined).powi(2)
                } else {
                    0.0
                },
            })
            .collect();
        Self {
            value,
            contributions,
            combined,
            freedom,
            coverage,
            expanded: coverage * combined,
        }
    }

    /// Root of the sum of squares of the contributions that reach so far.
    #[must_use]
    pub fn standard_of(&self, correlation: Correlation) -> f64 {
        let own = self
            .contributions
            .iter()
            .filter(|c| c.input.correlation == correlation);
        root_of_squares(own.map(|c| c.standard))
    }
}

/// 0 of nothing; the sum of an empty iterator would be −0.
fn root_of_squares(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, |sum, value| sum + value * value).sqrt()
}

/// Welch and Satterthwaite's effective degrees of freedom, u⁴/Σ(uᵢ⁴/νᵢ) (JCGM 100, G.2b); infinite where no
/// contribution has finite ones.
#[must_use]
pub fn effective_freedom(standards: &[f64], freedoms: &[f64]) -> f64 {
    let combined: f64 = standards.iter().map(|u| u * u).sum();
    let spent: f64 = standards
        .iter()
        .zip(freedoms)
        .map(|(u, freedom)| u.powi(4) / freedom)
        .sum();
    if spent > 0.0 {
        combined * combined / spent
    } else {
        f64::INFINITY
    }
}

/// Student's factor that covers the central part `confidence` (JCGM 100, table G.2, without rounding the
/// degrees of freedom); the normal one for infinite degrees. NaN of degrees below 1.
#[must_use]
pub fn coverage_factor(freedom: f64, confidence: f64) -> f64 {
    // Beyond this the normal factor is the same to nine digits.
    const MANY: f64 = 1e9;
    let part = 0.5 + confidence / 2.0;
    if freedom > MANY {
        statrs::distribution::Normal::standard().inverse_cdf(part)
    } else if freedom >= 1.0 {
        StudentsT::new(0.0, 1.0, freedom).map_or(f64::NAN, |law| law.inverse_cdf(part))
    } else {
        f64::NAN
    }
}
