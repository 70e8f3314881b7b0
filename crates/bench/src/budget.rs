//! Uncertainty budgets after JCGM 100.

use std::fmt;
use std::ops::Index;

use evenhand_measurement::ForceBudget;
use statrs::distribution::{ContinuousCDF as _, Normal, StudentsT};

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
    /// The estimate of variance that it rests on together with other inputs; none where on one of its own.
    pub estimate: Option<&'static str>,
    /// What its error does to other forces.
    pub correlation: Correlation,
}

impl Input {
    /// An input known to lie within ± `within`, any value alike: standard uncertainty within/√3 (JCGM 100,
    /// 4.3.7).
    #[must_use]
    pub(crate) fn within(
        name: &str,
        unit: &'static str,
        value: f64,
        within: f64,
        correlation: Correlation,
    ) -> Self {
        Self {
            name: name.to_owned(),
            unit,
            value,
            standard: within / 3.0_f64.sqrt(),
            freedom: f64::INFINITY,
            estimate: None,
            correlation,
        }
    }
}

/// The inputs of a model, each found again by the [`InputKey`] that adding it gave.
#[derive(Clone, Debug, Default)]
pub struct Inputs(Vec<Input>);

/// Which input of a model is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InputKey(usize);

/// A value for every input of a model.
#[derive(Debug)]
pub struct Values(Vec<f64>);

impl Inputs {
    /// Adds an input.
    pub fn add(&mut self, input: Input) -> InputKey {
        self.0.push(input);
        InputKey(self.0.len() - 1)
    }

    /// Adds an input within ± `within` whose error is the same fraction of every force.
    pub fn shared_gain(
        &mut self,
        name: &str,
        unit: &'static str,
        value: f64,
        within: f64,
    ) -> InputKey {
        self.add(Input::within(
            name,
            unit,
            value,
            within,
            Correlation::SharedGain,
        ))
    }

    /// Adds an input within ± `within` whose error is the same amount in every force.
    pub fn shared_offset(
        &mut self,
        name: &str,
        unit: &'static str,
        value: f64,
        within: f64,
    ) -> InputKey {
        self.add(Input::within(
            name,
            unit,
            value,
            within,
            Correlation::SharedOffset,
        ))
    }

    /// Adds an input within ± `within` whose error is each force's own.
    pub fn independent(
        &mut self,
        name: &str,
        unit: &'static str,
        value: f64,
        within: f64,
    ) -> InputKey {
        self.add(Input::within(
            name,
            unit,
            value,
            within,
            Correlation::Independent,
        ))
    }
}

impl Index<InputKey> for Values {
    type Output = f64;

    fn index(&self, key: InputKey) -> &f64 {
        &self.0[key.0]
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
    pub fn of(inputs: Inputs, confidence: f64, model: impl Fn(&Values) -> f64) -> Self {
        let Inputs(inputs) = inputs;
        let mut values = Values(inputs.iter().map(|input| input.value).collect());
        let value = model(&values);
        let mut sensitivities = Vec::with_capacity(inputs.len());
        let mut parts = Vec::with_capacity(inputs.len());
        for (index, input) in inputs.iter().enumerate() {
            let step = if input.standard > 0.0 {
                input.standard
            } else {
                1e-6 * input.value.abs().max(1.0)
            };
            let mut at = |moved: f64| {
                values.0[index] = moved;
                model(&values)
            };
            let (above, below) = (at(input.value + step), at(input.value - step));
            values.0[index] = input.value;
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
        let freedom = freedom_of(&inputs, &parts);
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

/// Effective degrees of freedom of a budget. The formula takes estimates of variance as independent (JCGM 100, G.4.1):
/// contributions that rest on the same one are a single contribution to it.
fn freedom_of(inputs: &[Input], parts: &[f64]) -> f64 {
    let mut estimates: Vec<Option<&str>> = Vec::new();
    let (mut standards, mut freedoms) = (Vec::new(), Vec::new());
    for (input, part) in inputs.iter().zip(parts) {
        let shared = estimates
            .iter()
            .position(|known| input.estimate.is_some() && *known == input.estimate);
        if let Some(at) = shared {
            standards[at] = part.hypot(standards[at]);
        } else {
            estimates.push(input.estimate);
            standards.push(*part);
            freedoms.push(input.freedom);
        }
    }
    effective_freedom(&standards, &freedoms)
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
/// degrees of freedom); the normal one for infinite degrees. Degrees below 1, which only rounding gives, count as 1.
#[must_use]
pub fn coverage_factor(freedom: f64, confidence: f64) -> f64 {
    // Beyond this the normal factor is the same to nine digits.
    const MANY: f64 = 1e9;
    let part = 0.5 + confidence / 2.0;
    match StudentsT::new(0.0, 1.0, freedom.max(1.0)) {
        Ok(law) if freedom <= MANY => law.inverse_cdf(part),
        _ => Normal::standard().inverse_cdf(part),
    }
}

/// What budgets of single forces say of a whole measurement: the largest common gain and offset, and a scatter
/// of each force that is nowhere smaller than its budget.
#[must_use]
pub fn force_budget(budgets: &[Budget]) -> ForceBudget {
    let pressing = || budgets.iter().filter(|b| b.value > 0.0);
    let largest = pressing().map(|b| b.value).fold(0.0, f64::max);
    // Gains show best where the force is large; near 0 they drown in rounding.
    let gain = pressing()
        .filter(|b| b.value >= 0.1 * largest)
        .map(|b| b.standard_of(Correlation::SharedGain) / b.value)
        .fold(0.0, f64::max);
    let offset_gf = pressing()
        .map(|b| b.standard_of(Correlation::SharedOffset))
        .fold(0.0, f64::max);
    let each = |b: &Budget| b.standard_of(Correlation::Independent);
    let scatter_gf = pressing().map(each).fold(f64::INFINITY, f64::min);
    let scatter_gf = if scatter_gf.is_finite() {
        scatter_gf
    } else {
        0.0
    };
    let scatter_part = pressing()
        .map(|b| (each(b).powi(2) - scatter_gf.powi(2)).max(0.0).sqrt() / b.value)
        .fold(0.0, f64::max);
    ForceBudget {
        gain,
        offset_gf,
        scatter_gf,
        scatter_part,
    }
}
