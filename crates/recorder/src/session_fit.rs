//! What follows from the samples kept so far.

use evenhand_fitting::{Fit, Settings, fit};
use evenhand_measurement::Measurement;

use crate::progress::CurvePoint;

/// Resamples of the fits that planning looks at.
const RESAMPLES: usize = 300;

/// What follows from the samples.
pub(crate) struct SessionFit {
    /// Where they are a measurement already.
    pub(crate) measurement: Option<Measurement>,
    /// Where it can be fitted already.
    pub(crate) fit: Option<Fit>,
    pub(crate) curve: Vec<CurvePoint>,
}

impl SessionFit {
    pub(crate) fn of(measurement: Option<Measurement>) -> Self {
        let settings = Settings {
            resamples: RESAMPLES,
            ..Settings::default()
        };
        let fit = measurement.as_ref().and_then(|m| fit(m, &settings).ok());
        let curve = fit.as_ref().map_or_else(Vec::new, |fit| {
            let rows = fit.curve();
            rows.iter()
                .map(|row| CurvePoint {
                    force_gf: row.force.gf(),
                    reading: row.reported,
                    low: row.low,
                    high: row.high,
                })
                .collect()
        });
        Self {
            measurement,
            fit,
            curve,
        }
    }
}
