//! What a study counts.

use evenhand_curve::{MonotoneCubic, Point, SlopeRule};
use evenhand_fitting::{ForceInterval, isotonic};
use evenhand_measurement::Measurement;

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
    pub(crate) failed: usize,
}

/// Isotonic regression through which a monotone cubic runs, with its ends where the levels reach the
/// limits: what a careful person does without a model.
pub(crate) struct Plain {
    pub(crate) curve: MonotoneCubic,
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
    let curve = MonotoneCubic::new(points, SlopeRule::FritschButland)
        .expect("forces increase and readings do not fall");
    Plain {
        curve,
        onset,
        saturation,
    }
}

impl Figures {
    pub(crate) const HEADING: &str = "plan | onset gf median p90 | saturation % median p90 | curve rms median p90 | 95 % covers onset (width gf) | saturation (width %) | failed";

    pub(crate) fn add(
        &mut self,
        truth: &Truth,
        onset: Option<ForceInterval>,
        saturation: Option<ForceInterval>,
        curve: impl Fn(f64) -> f64,
    ) {
        if let Some(found) = onset {
            self.onset.push((found.estimate.gf() - truth.onset).abs());
            let (low, high) = (found.low.gf(), found.high.gf());
            self.onset_hits
                .push((low <= truth.onset && truth.onset <= high, high - low));
        }
        if let Some(found) = saturation {
            let part = 100.0 / truth.saturation;
            self.saturation_percent
                .push((found.estimate.gf() - truth.saturation).abs() * part);
            let (low, high) = (found.low.gf(), found.high.gf());
            let hit = low <= truth.saturation && truth.saturation <= high;
            self.saturation_hits.push((hit, (high - low) * part));
        }
        self.add_curve(truth, curve);
    }

    pub(crate) fn add_plain(&mut self, truth: &Truth, plain: &Plain, curve: impl Fn(f64) -> f64) {
        self.onset.push((plain.onset - truth.onset).abs());
        self.saturation_percent
            .push(100.0 * (plain.saturation / truth.saturation - 1.0).abs());
        self.add_curve(truth, curve);
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
        let [r5, r9] = [0.5, 0.9].map(|q| quantile(&self.rms, q));
        let errors = format!("{name} | {o5:.2} {o9:.2} | {s5:.2} {s9:.2} | {r5:.4} {r9:.4}");
        if self.onset_hits.is_empty() {
            return errors;
        }
        let covered = |hits: &[(bool, f64)]| {
            100.0 * hits.iter().filter(|hit| hit.0).count() as f64 / hits.len().max(1) as f64
        };
        let width =
            |hits: &[(bool, f64)]| quantile(&hits.iter().map(|hit| hit.1).collect::<Vec<_>>(), 0.5);
        format!(
            "{errors} | {:.1} % ({:.2}) | {:.1} % ({:.2}) | {}",
            covered(&self.onset_hits),
            width(&self.onset_hits),
            covered(&self.saturation_hits),
            width(&self.saturation_hits),
            self.failed,
        )
    }
}

fn quantile(values: &[f64], part: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "part of a length"
    )]
    let index = (part * (sorted.len().max(1) - 1) as f64).round() as usize;
    sorted.get(index).copied().unwrap_or(f64::NAN)
}
