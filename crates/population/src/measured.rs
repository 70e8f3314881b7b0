//! What comparisons keep of one fitted measurement.

use evenhand_fitting::{BENCH_GAIN, Fit, ForceInterval, GentleEnd, Saturation};
use evenhand_measurement::{ForceBudget, Measurement, ReadAt};

use crate::profile::Profile;
use crate::quantile::{two_sided_t, two_sided_z};

/// What is particular to a measurement is told from what its bench shares by the difference of two squares; of a width that
/// a thousand resamples give (to about 3 %) no less than this part of the shared uncertainty is told.
const LEAST_OF_SHARED: f64 = 0.25;

/// A force found with its interval and standard uncertainty, gf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceEstimate {
    /// Best estimate; where `is_least`, a force that was not enough.
    pub estimate: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end; infinite where `is_least`.
    pub high: f64,
    /// Standard uncertainty without the gain that all measurements of a bench share.
    pub error: f64,
    /// Standard uncertainty that it shares with all that is measured on its bench: of the bench's gain and
    /// offset.
    pub shared: f64,
    /// Whether all that is known is that the force lies above.
    pub is_least: bool,
    /// Standard deviation of measuring alone as it was estimated, without what [`ForceEstimate::error`] adds because
    /// few samples tell it: an interval is Student's, so `error` is this times t over z.
    pub sd: f64,
    /// Degrees of freedom behind that estimate; infinite where it is known.
    pub freedom: f64,
}

impl ForceEstimate {
    fn of(
        found: &ForceInterval,
        confidence: f64,
        freedom: f64,
        budget: Option<&ForceBudget>,
    ) -> Self {
        let (estimate, low, high) = (found.estimate.gf(), found.low.gf(), found.high.gf());
        let z = two_sided_z(confidence);
        let whole = (high - low) / (2.0 * z);
        let shared = budget.map_or(BENCH_GAIN * estimate, |budget| {
            (budget.gain * estimate).hypot(budget.offset_gf)
        });
        let error = (whole * whole - shared * shared).max(0.0).sqrt();
        Self {
            estimate,
            low,
            high,
            error,
            shared,
            is_least: false,
            sd: error.max(LEAST_OF_SHARED * shared) * z / two_sided_t(confidence, freedom),
            freedom,
        }
    }

    fn above(force_gf: f64) -> Self {
        Self {
            estimate: force_gf,
            low: force_gf,
            high: f64::INFINITY,
            error: f64::NAN,
            shared: f64::NAN,
            is_least: true,
            sd: f64::NAN,
            freedom: f64::NAN,
        }
    }

    /// A figure with a standard deviation that rests on so many degrees of freedom.
    #[cfg(test)]
    pub(crate) fn measured(estimate: f64, sd: f64, freedom: f64) -> Self {
        Self {
            estimate,
            low: estimate - 2.0 * sd,
            high: estimate + 2.0 * sd,
            error: sd,
            shared: 0.0,
            is_least: false,
            sd,
            freedom,
        }
    }

    /// The estimate, where there is one.
    #[must_use]
    pub fn value(&self) -> Option<f64> {
        (!self.is_least).then_some(self.estimate)
    }
}

/// Forces at 1 % and 99 % of full scale, which gentle ends leave better known than onset and saturation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearEnds {
    /// Force at 1 %, gf.
    pub at_1: ForceEstimate,
    /// Force at 99 %, gf.
    pub at_99: ForceEstimate,
    /// Whether the response leaves 0 so gently that samples hardly show where.
    pub is_onset_gentle: bool,
    /// Whether it reaches full scale so.
    pub is_saturation_gentle: bool,
}

/// One measurement of one stylus, fitted.
#[derive(Clone, Debug)]
pub struct FittedMeasurement {
    /// Name of its file.
    pub file: String,
    /// SHA-256 of its bytes, hexadecimal.
    pub sha256: String,
    /// Folder it was found in, where one was searched.
    pub folder: Option<String>,
    /// Model of the stylus.
    pub model: Option<String>,
    /// Which one of its model.
    pub unit: Option<String>,
    /// Bench, by the name that the file gives it.
    pub bench: Option<String>,
    /// Day, as written.
    pub date: Option<String>,
    /// Lever, in words.
    pub lever: Option<String>,
    /// Angle between stylus and upright, degrees.
    pub tilt_deg: Option<f64>,
    /// Where readings were taken, where the file says.
    pub read_at: Option<ReadAt>,
    /// Samples that were used.
    pub samples: usize,
    /// Samples that the file asked to leave out.
    pub left_out: usize,
    /// Largest force that was placed, gf.
    pub largest_gf: f64,
    /// Onset force.
    pub onset: ForceEstimate,
    /// Saturation force.
    pub saturation: ForceEstimate,
    /// Saturation less onset.
    pub span: ForceEstimate,
    /// Saturation class, where it is known.
    pub saturation_class: Option<&'static str>,
    /// The response.
    pub profile: Profile,
    /// Force that a step of the reading stands for on average, gf.
    pub resolution_gf: f64,
    /// Things that the fit found worth a look.
    pub warnings: usize,
    /// Forces near both ends.
    pub near: NearEnds,
}

impl FittedMeasurement {
    /// Keeps of a fit what comparisons need; the fit's resamples are let go.
    #[must_use]
    pub fn of(measurement: &Measurement, fit: &Fit, file: &str, sha256: &str) -> Self {
        let confidence = fit.settings.confidence;
        let budget = measurement.bench.budget.as_ref();
        let figure = |found: &ForceInterval| {
            ForceEstimate::of(found, confidence, fit.scatter_freedom, budget)
        };
        let onset = figure(&fit.onset);
        let (saturation, span) = match (&fit.saturation, &fit.span) {
            (Saturation::Reached(found), Some(span)) => (figure(found), figure(span)),
            (Saturation::Reached(found), None) => (
                figure(found),
                ForceEstimate::above((found.estimate.gf() - onset.estimate).max(0.0)),
            ),
            (Saturation::NotReached { above }, _) => (
                ForceEstimate::above(above.gf()),
                ForceEstimate::above((above.gf() - onset.estimate).max(0.0)),
            ),
        };
        let at = |reading: f64| {
            let found = fit.force_at(reading).filter(|_| fit.reaches(reading));
            found.as_ref().map_or_else(
                || ForceEstimate::above(fit.response.last_force().gf()),
                figure,
            )
        };
        let is_gentle = |end: GentleEnd| {
            let mut warnings = fit.warnings.iter();
            warnings.any(|warning| warning.gentle_end == Some(end))
        };
        Self {
            near: NearEnds {
                at_1: at(0.01),
                at_99: at(0.99),
                is_onset_gentle: is_gentle(GentleEnd::Onset),
                is_saturation_gentle: is_gentle(GentleEnd::Saturation),
            },
            file: file.to_owned(),
            sha256: sha256.to_owned(),
            folder: None,
            model: measurement.stylus.model.clone(),
            unit: measurement.stylus.unit.clone(),
            bench: measurement.bench.name.clone(),
            date: measurement.bench.date.clone(),
            lever: measurement.bench.lever.clone(),
            tilt_deg: measurement.bench.tilt_deg,
            read_at: measurement.bench.read_at,
            samples: measurement.samples.len(),
            left_out: measurement.excluded.len(),
            largest_gf: measurement
                .samples
                .iter()
                .map(|s| s.force.gf())
                .fold(0.0, f64::max),
            onset,
            saturation,
            span,
            saturation_class: fit
                .saturation_class
                .map(evenhand_fitting::SaturationClass::as_str),
            profile: Profile::of(&fit.response),
            resolution_gf: fit.reading_step * span.estimate,
            warnings: fit.warnings.len(),
        }
    }
}
