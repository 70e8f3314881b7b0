//! The objects that `--json` prints.

use evenhand_fitting::{Fit, ForceInterval, Saturation};
use evenhand_measurement::{Direction, Force, Measurement};
use evenhand_text::{ReadAs, json_escaped};
pub(crate) use evenhand_workflow::OpenInterval as IntervalJson;
use evenhand_workflow::Read;
use serde::Serialize;

/// The saturation force, gf; open above where it was not reached.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct SaturationJson {
    #[serde(flatten)]
    pub(crate) interval: IntervalJson,
    pub(crate) reached: bool,
}

impl From<&Saturation> for SaturationJson {
    fn from(found: &Saturation) -> Self {
        match found {
            Saturation::Reached(interval) => Self {
                interval: (*interval).into(),
                reached: true,
            },
            Saturation::NotReached { above } => Self {
                interval: IntervalJson {
                    estimate: None,
                    low: Some(above.gf()),
                    high: None,
                },
                reached: false,
            },
        }
    }
}

/// The force at which the response passes a reading, gf; open above where it was not seen to get there.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct ForceAtJson {
    /// Fraction of full scale.
    pub(crate) reading: f64,
    #[serde(flatten)]
    pub(crate) interval: IntervalJson,
}

/// The force at which the response passes a reading; none where it does not get there within the forces
/// measured, even if a single sample did.
pub(crate) fn force_at(fit: &Fit, reading: f64) -> Option<ForceInterval> {
    fit.force_at(reading).filter(|_| fit.reaches(reading))
}

impl ForceAtJson {
    pub(crate) fn new(fit: &Fit, reading: f64) -> Self {
        let interval = match (force_at(fit, reading), &fit.saturation) {
            (Some(found), _) => found.into(),
            (None, Saturation::NotReached { above }) => IntervalJson {
                low: Some(above.gf()),
                ..IntervalJson::OPEN
            },
            (None, Saturation::Reached(_)) => IntervalJson::OPEN,
        };
        Self { reading, interval }
    }
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct StylusJson {
    pub(crate) model: Option<String>,
    pub(crate) unit: Option<String>,
    pub(crate) levels: Option<u32>,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct CurveRowJson {
    pub(crate) force_gf: f64,
    pub(crate) reported: f64,
    pub(crate) low: f64,
    pub(crate) high: f64,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct SeatingJson {
    pub(crate) index: i64,
    pub(crate) force_gain: f64,
}

/// A warning as scripts read it.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct WarningJson {
    pub(crate) line: Option<usize>,
    pub(crate) message: String,
    pub(crate) advice: String,
}

/// Which shape the response has, and why.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct ShapeJson {
    pub(crate) name: String,
    pub(crate) reason: String,
    pub(crate) candidates: Vec<CandidateJson>,
}

/// How a shape predicts samples that it was not fitted to.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct CandidateJson {
    pub(crate) name: &'static str,
    /// Fraction of full scale.
    pub(crate) leave_one_out_rms: f64,
    /// Logarithm of the predictive density minus that of the spline.
    pub(crate) advantage: f64,
    pub(crate) advantage_error: f64,
}

/// A change of seating that the file does not declare; nothing was done about it.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct SeatingChangeJson {
    pub(crate) line: usize,
    /// As `--new-seating` takes it.
    pub(crate) place: String,
    pub(crate) force_gain: f64,
    /// Size of a standard normal variable as unlikely by chance.
    pub(crate) score: f64,
}

/// Largest difference of readings between lowering and raising the force.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct HysteresisJson {
    /// Fraction of full scale.
    pub(crate) largest: f64,
    pub(crate) force_gf: f64,
    pub(crate) line: usize,
}

/// Largest difference of readings at one force, seating and direction.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct RepeatabilityJson {
    /// Fraction of full scale.
    pub(crate) largest_range: f64,
    pub(crate) force_gf: f64,
    pub(crate) direction: Option<&'static str>,
}

/// A sample that was left out.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct ExcludedJson {
    pub(crate) line: usize,
    pub(crate) force_gf: f64,
    pub(crate) reported: f64,
}

/// What `fit --json` prints.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct FitJson {
    pub(crate) stylus: StylusJson,
    pub(crate) samples: usize,
    /// What columns and remarks were taken for.
    pub(crate) read_as: ReadAs,
    pub(crate) onset_force_gf: IntervalJson,
    pub(crate) saturation_force_gf: SaturationJson,
    pub(crate) force_at: Vec<ForceAtJson>,
    pub(crate) span_gf: IntervalJson,
    pub(crate) saturation_class: Option<&'static str>,
    pub(crate) confidence: f64,
    pub(crate) curve: Vec<CurveRowJson>,
    pub(crate) residual_rms: Option<f64>,
    /// Which shape was taken; null where there is no curve.
    pub(crate) shape: Option<ShapeJson>,
    pub(crate) seatings: Vec<SeatingJson>,
    pub(crate) seating_change: Option<SeatingChangeJson>,
    pub(crate) unloading_gain: Option<f64>,
    pub(crate) hysteresis: Option<HysteresisJson>,
    pub(crate) repeatability: Option<RepeatabilityJson>,
    pub(crate) excluded: Vec<ExcludedJson>,
    pub(crate) warnings: Vec<WarningJson>,
    /// Why there is no curve, where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) reason: Option<String>,
}

impl FitJson {
    /// Of a fit, with the forces at `at` (readings, fractions of full scale).
    pub(crate) fn new(read: &Read, fit: &Fit, at: &[f64], warnings: Vec<WarningJson>) -> Self {
        let measurement = &read.measurement;
        Self {
            stylus: stylus(measurement),
            samples: measurement.samples.len(),
            read_as: read.source.read_as.clone(),
            onset_force_gf: fit.onset.into(),
            saturation_force_gf: (&fit.saturation).into(),
            force_at: at
                .iter()
                .map(|reading| ForceAtJson::new(fit, *reading))
                .collect(),
            span_gf: fit.span.map_or(IntervalJson::OPEN, IntervalJson::from),
            saturation_class: fit
                .saturation_class
                .map(evenhand_fitting::SaturationClass::as_str),
            confidence: fit.settings.confidence,
            curve: fit
                .curve()
                .iter()
                .map(|row| CurveRowJson {
                    force_gf: row.force.gf(),
                    reported: row.reported,
                    low: row.low,
                    high: row.high,
                })
                .collect(),
            residual_rms: Some(fit.residual_rms),
            shape: Some(shape(fit)),
            seating_change: fit.seating_change.map(|change| SeatingChangeJson {
                line: change.place.line,
                place: change.place.to_string(),
                force_gain: change.gain,
                score: change.score,
            }),
            unloading_gain: fit.unloading_gain,
            hysteresis: fit.hysteresis.map(|found| HysteresisJson {
                largest: found.largest,
                force_gf: found.force.gf(),
                line: found.line,
            }),
            repeatability: fit.repeatability.map(|found| RepeatabilityJson {
                largest_range: found.largest_range,
                force_gf: found.force.gf(),
                direction: found.direction.map(Direction::as_str),
            }),
            excluded: excluded(measurement),
            seatings: fit
                .seatings
                .iter()
                .map(|s| SeatingJson {
                    index: s.index,
                    force_gain: s.force_gain,
                })
                .collect(),
            warnings,
            reason: None,
        }
    }

    /// What can be said of a measurement that has no rise: on which side of its forces the onset or
    /// the saturation lies.
    pub(crate) fn without_curve(
        read: &Read,
        onset_above: Option<Force>,
        saturation_below: Option<Force>,
        at: &[f64],
        confidence: f64,
        warnings: Vec<WarningJson>,
        reason: String,
    ) -> Self {
        let open = |low: Option<Force>, high: Option<Force>| IntervalJson {
            estimate: None,
            low: low.map(Force::gf),
            high: high.map(Force::gf),
        };
        let measurement = &read.measurement;
        Self {
            stylus: stylus(measurement),
            samples: measurement.samples.len(),
            read_as: read.source.read_as.clone(),
            onset_force_gf: open(onset_above, saturation_below),
            saturation_force_gf: SaturationJson {
                interval: open(onset_above, saturation_below),
                reached: saturation_below.is_some(),
            },
            force_at: at
                .iter()
                .map(|reading| ForceAtJson {
                    reading: *reading,
                    interval: open(onset_above, saturation_below),
                })
                .collect(),
            span_gf: IntervalJson::OPEN,
            saturation_class: None,
            confidence,
            curve: Vec::new(),
            residual_rms: None,
            shape: None,
            seating_change: None,
            unloading_gain: None,
            hysteresis: None,
            repeatability: None,
            excluded: excluded(measurement),
            seatings: measurement
                .seatings
                .iter()
                .map(|s| SeatingJson {
                    index: s.index,
                    force_gain: 1.0,
                })
                .collect(),
            warnings,
            reason: Some(reason),
        }
    }
}

fn shape(fit: &Fit) -> ShapeJson {
    ShapeJson {
        name: fit.shape.name(),
        reason: fit.shape.reason(),
        candidates: fit
            .shape
            .scores
            .iter()
            .map(|score| CandidateJson {
                name: score.form.as_str(),
                leave_one_out_rms: score.leave_one_out_rms,
                advantage: score.advantage,
                advantage_error: score.advantage_error,
            })
            .collect(),
    }
}

fn excluded(measurement: &Measurement) -> Vec<ExcludedJson> {
    measurement
        .excluded
        .iter()
        .map(|sample| ExcludedJson {
            line: sample.line,
            force_gf: sample.force.gf(),
            reported: sample.reading,
        })
        .collect()
}

pub(crate) fn stylus(measurement: &Measurement) -> StylusJson {
    StylusJson {
        model: measurement.stylus.model.clone(),
        unit: measurement.stylus.unit.clone(),
        levels: measurement.stylus.levels,
    }
}

pub(crate) fn pretty<T: Serialize>(value: &T) -> String {
    // The objects hold strings and finite numbers only; there is nothing that could fail.
    serde_json::to_string_pretty(value)
        .map_or_else(|_| String::new(), |text| json_escaped(&text) + "\n")
}
