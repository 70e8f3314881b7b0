//! What a study counts.

use evenhand_curve::{Curve, Interpolation, Knots, Point};
use evenhand_fitting::{CurveRow, Fit, ForceInterval, isotonic};
use evenhand_measurement::{Force, Measurement};

use super::quantile::quantile;
use super::truth::Truth;

/// Places at which curves are compared, from 0 to a little beyond saturation.
const PLACES: u32 = 200;

/// Errors and hits over many benches.
#[derive(Default)]
pub(crate) struct Figures {
    onset: Vec<f64>,
    saturation_percent: Vec<f64>,
    rms: Vec<f64>,
    onset_hits: Vec<(bool, f64)>,
    saturation_hits: Vec<(bool, f64)>,
    span_hits: Vec<(bool, f64)>,
    /// Part of the force range over which the band holds the true curve, and the band's mean height.
    bands: Vec<(f64, f64)>,
    pub(crate) open: usize,
    pub(crate) failed: usize,
}

/// Isotonic regression through which a monotone cubic runs, with its ends where the levels reach the
/// limits: what a careful person does without a model.
pub(crate) struct Plain {
    pub(crate) curve: Knots,
    onset: f64,
    saturation: f64,
}

pub(crate) fn isotonic_response(measurement: &Measurement) -> Plain {
    let mut samples: Vec<(f64, f64)> = measurement
        .samples
        .iter()
        .map(|s| (s.force.gf(), s.reading))
        .collect();
    samples.sort_by(|a, b| a.0.total_cmp(&b.0));
    let readings: Vec<f64> = samples.iter().map(|s| s.1).collect();
    let levels = isotonic(&readings, &vec![1.0; readings.len()]);
    let mut points = vec![Point { x: 0.0, y: 0.0 }];
    for (sample, level) in samples.iter().zip(&levels) {
        if points.last().is_some_and(|p| sample.0 > p.x) {
            points.push(Point {
                x: sample.0,
                y: *level,
            });
        }
    }
    let onset = points
        .iter()
        .filter(|p| p.y <= 0.0)
        .map(|p| p.x)
        .fold(0.0, f64::max);
    let saturation = points
        .iter()
        .find(|p| p.y >= 1.0)
        .or(points.last())
        .map_or(0.0, |p| p.x);
    let curve = Knots::new(points, Interpolation::MonotoneCubic)
        .expect("forces increase and readings do not fall");
    Plain {
        curve,
        onset,
        saturation,
    }
}

impl Figures {
    pub(crate) const HEADING: &str = "\
| benches | onset, gf | saturation, % | curve rms, % | onset held | saturation held | span held | band holds | no answer |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |";

    pub(crate) fn add(&mut self, truth: &Truth, fit: &Fit) {
        let part = 100.0 / truth.saturation;
        let hit = |found: &ForceInterval, truth: f64, part: f64| {
            let (low, high) = (found.low.gf(), found.high.gf());
            (low <= truth && truth <= high, (high - low) * part)
        };
        self.onset
            .push((fit.onset.estimate.gf() - truth.onset).abs());
        self.onset_hits.push(hit(&fit.onset, truth.onset, 1.0));
        match (fit.saturation.interval(), &fit.span) {
            (Some(saturation), Some(span)) => {
                let error = saturation.estimate.gf() - truth.saturation;
                self.saturation_percent.push(error.abs() * part);
                self.saturation_hits
                    .push(hit(&saturation, truth.saturation, part));
                let true_span = truth.saturation - truth.onset;
                self.span_hits.push(hit(span, true_span, 100.0 / true_span));
            }
            _ => self.open += 1,
        }
        self.add_curve(truth, |force| fit.response.reading(Force::from_gf(force)));
        let rows: Vec<CurveRow> = fit.curve();
        let rows: Vec<&CurveRow> = rows
            .iter()
            .filter(|row| row.force.gf() <= 1.05 * truth.saturation)
            .collect();
        let held = rows.iter().filter(|row| {
            // A band of no height holds a limit that is known exactly.
            let reading = truth.reading(row.force.gf());
            row.low - 1e-9 <= reading && reading <= row.high + 1e-9
        });
        let count = rows.len().max(1) as f64;
        let height: f64 = rows.iter().map(|row| row.high - row.low).sum();
        self.bands
            .push((held.count() as f64 / count, height / count));
    }

    pub(crate) fn add_plain(&mut self, truth: &Truth, plain: &Plain) {
        self.onset.push((plain.onset - truth.onset).abs());
        self.saturation_percent
            .push(100.0 * (plain.saturation / truth.saturation - 1.0).abs());
        self.add_curve(truth, |force| plain.curve.value(force));
    }

    fn add_curve(&mut self, truth: &Truth, curve: impl Fn(f64) -> f64) {
        let squares: f64 = (0..=PLACES)
            .map(|i| 1.05 * truth.saturation * f64::from(i) / f64::from(PLACES))
            .map(|force| (curve(force) - truth.reading(force)).powi(2))
            .sum();
        self.rms.push((squares / f64::from(PLACES + 1)).sqrt());
    }

    pub(crate) fn row(&self, name: &str) -> String {
        let [o5, o9] = [0.5, 0.9].map(|q| quantile(&self.onset, q));
        let [s5, s9] = [0.5, 0.9].map(|q| quantile(&self.saturation_percent, q));
        let [r5, r9] = [0.5, 0.9].map(|q| 100.0 * quantile(&self.rms, q));
        let errors = format!("| {name} | {o5:.2}, {o9:.2} | {s5:.2}, {s9:.2} | {r5:.2}, {r9:.2} |");
        if self.onset_hits.is_empty() {
            return format!("{errors} | | | | |");
        }
        let held = |hits: &[(bool, f64)]| {
            let widths: Vec<f64> = hits.iter().map(|hit| hit.1).collect();
            let count = hits.iter().filter(|hit| hit.0).count() as f64;
            let part = 100.0 * count / hits.len().max(1) as f64;
            format!("{part:.1} % ({:.1})", quantile(&widths, 0.5))
        };
        let hits = [&self.onset_hits, &self.saturation_hits, &self.span_hits];
        let [onset, saturation, span] = hits.map(|hits| held(hits));
        let mean = self.bands.iter().map(|band| band.0).sum::<f64>() / self.bands.len() as f64;
        let heights: Vec<f64> = self.bands.iter().map(|band| band.1).collect();
        format!(
            "{errors} {onset} | {saturation} | {span} | {:.1} % ({:.2}) | {} |",
            100.0 * mean,
            100.0 * quantile(&heights, 0.5),
            self.open + self.failed,
        )
    }
}
