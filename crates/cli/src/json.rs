//! The objects that `--json` prints.

use evenhand_fitting::{Fit, ForceInterval, Saturation};
use evenhand_measurement::{Force, Measurement};
use serde::{Deserialize, Serialize};

/// A force with its interval, gf; what is unknown is null in JSON and absent in TOML.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct IntervalJson {
    pub(crate) estimate: Option<f64>,
    pub(crate) low: Option<f64>,
    pub(crate) high: Option<f64>,
}

impl From<ForceInterval> for IntervalJson {
    fn from(found: ForceInterval) -> Self {
        Self {
            estimate: Some(found.estimate.gf()),
            low: Some(found.low.gf()),
            high: Some(found.high.gf()),
        }
    }
}

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

/// What `fit --json` prints.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct FitJson {
    pub(crate) stylus: StylusJson,
    pub(crate) samples: usize,
    pub(crate) activation_force_gf: IntervalJson,
    pub(crate) saturation_force_gf: SaturationJson,
    pub(crate) span_band: Option<&'static str>,
    pub(crate) confidence: f64,
    pub(crate) curve: Vec<CurveRowJson>,
    pub(crate) residual_rms: Option<f64>,
    pub(crate) seatings: Vec<SeatingJson>,
    pub(crate) warnings: Vec<WarningJson>,
    /// Why there is no curve, where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) reason: Option<String>,
}

impl FitJson {
    pub(crate) fn new(measurement: &Measurement, fit: &Fit, warnings: Vec<WarningJson>) -> Self {
        Self {
            stylus: stylus(measurement),
            samples: measurement.samples.len(),
            activation_force_gf: fit.onset.into(),
            saturation_force_gf: (&fit.saturation).into(),
            span_band: fit.span_band.map(evenhand_fitting::SpanBand::as_str),
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
        measurement: &Measurement,
        onset_above: Option<Force>,
        saturation_below: Option<Force>,
        confidence: f64,
        warnings: Vec<WarningJson>,
        reason: String,
    ) -> Self {
        let open = |low: Option<Force>, high: Option<Force>| IntervalJson {
            estimate: None,
            low: low.map(Force::gf),
            high: high.map(Force::gf),
        };
        Self {
            stylus: stylus(measurement),
            samples: measurement.samples.len(),
            activation_force_gf: open(onset_above, saturation_below),
            saturation_force_gf: SaturationJson {
                interval: open(onset_above, saturation_below),
                reached: saturation_below.is_some(),
            },
            span_band: None,
            confidence,
            curve: Vec::new(),
            residual_rms: None,
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

pub(crate) fn stylus(measurement: &Measurement) -> StylusJson {
    StylusJson {
        model: measurement.stylus.model.clone(),
        unit: measurement.stylus.unit.clone(),
        levels: measurement.stylus.levels,
    }
}

pub(crate) fn pretty<T: Serialize>(value: &T) -> String {
    // The objects hold strings and finite numbers only; there is nothing that could fail.
    serde_json::to_string_pretty(value).map_or_else(|_| String::new(), |text| text + "\n")
}
