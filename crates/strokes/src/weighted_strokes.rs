//! Weighted values that come in strokes.

use evenhand_population::{Share, share_interval};
use statrs::distribution::{ContinuousCDF as _, StudentsT};

use crate::quantile::weighted_quantile;
use crate::ranks::rank_bounds;
use crate::stroke::{Stroke, Strokes};

/// Parts this near are the same.
const ROUNDING: f64 = 1e-9;

/// Presses of a recording with the time each stands for.
pub(crate) struct WeightedStrokes {
    /// Press and weight, stroke by stroke.
    strokes: Vec<Vec<(f64, f64)>>,
    /// All of them, sorted by press.
    sorted: Vec<(f64, f64)>,
    total: f64,
}

/// A quantile of presses, with the presses between which it lies; `None` where that is not known.
pub(crate) struct PressQuantile {
    pub(crate) press: f64,
    pub(crate) low: Option<f64>,
    pub(crate) high: Option<f64>,
}

impl WeightedStrokes {
    pub(crate) fn of(recording: &Strokes) -> Self {
        // One point without a time, and times weigh nothing: seconds and counts are not mixed.
        let mut points = recording.strokes.iter().flat_map(|stroke| &stroke.points);
        let timed = points.all(|point| point.time_s.is_some());
        let strokes: Vec<Vec<(f64, f64)>> = recording
            .strokes
            .iter()
            .map(|stroke| weighted(stroke, timed))
            .collect();
        // Strokes without a duration, of one point or with times too coarse, take that of usual points.
        let mut steps: Vec<f64> = strokes
            .iter()
            .flatten()
            .map(|(_, weight)| *weight)
            .filter(|weight| *weight > 0.0)
            .collect();
        steps.sort_by(f64::total_cmp);
        let usual = steps.get(steps.len() / 2).copied().unwrap_or(1.0);
        let strokes: Vec<Vec<(f64, f64)>> = strokes
            .into_iter()
            .map(|stroke| {
                if stroke.iter().any(|(_, weight)| *weight > 0.0) {
                    stroke.into_iter().filter(|(_, w)| *w > 0.0).collect()
                } else {
                    stroke
                        .into_iter()
                        .map(|(press, _)| (press, usual))
                        .collect()
                }
            })
            .collect();
        let mut sorted: Vec<(f64, f64)> = strokes.iter().flatten().copied().collect();
        sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
        let total = sorted.iter().map(|(_, weight)| weight).sum();
        Self {
            strokes,
            sorted,
            total,
        }
    }

    /// Time of all strokes, s where times were recorded.
    pub(crate) fn total(&self) -> f64 {
        self.total
    }

    pub(crate) fn quantile(&self, level: f64, confidence: f64) -> PressQuantile {
        let press = weighted_quantile(&self.sorted, level);
        // Where many points share the press, more than the level's part lies up to it.
        let part = self.part(|value| value <= press);
        let n = self.effective(part, confidence, |value| value <= press);
        let (low, high) = rank_bounds(n, level, confidence);
        let at = |rank: f64| weighted_quantile(&self.sorted, (rank / n).min(1.0));
        PressQuantile {
            press,
            low: low.map(at),
            high: high.map(at),
        }
    }

    /// The part of the time for which `holds`, with its interval.
    pub(crate) fn share(&self, confidence: f64, holds: impl Fn(f64) -> bool) -> Share {
        let part = self.part(&holds);
        let n = self.effective(part, confidence, holds);
        share_interval(part, n, confidence)
    }

    fn part(&self, holds: impl Fn(f64) -> bool) -> f64 {
        let inside: f64 = self
            .sorted
            .iter()
            .filter(|(press, _)| holds(*press))
            .map(|(_, weight)| weight)
            .sum();
        // The sum of nothing is −0.
        (inside / self.total).clamp(0.0, 1.0).abs()
    }

    /// Independent points that would know a share as well as these strokes do.
    fn effective(&self, share: f64, confidence: f64, holds: impl Fn(f64) -> bool) -> f64 {
        let count = self.strokes.len() as f64;
        let points = self.sorted.len() as f64;
        let excess: Vec<f64> = self
            .strokes
            .iter()
            .map(|stroke| {
                stroke
                    .iter()
                    .map(|(press, weight)| weight * (f64::from(u8::from(holds(*press))) - share))
                    .sum()
            })
            .collect();
        let mean = excess.iter().sum::<f64>() / count;
        let squares: f64 = excess.iter().map(|total| (total - mean).powi(2)).sum();
        let variance = count / (count - 1.0) * squares / self.total.powi(2);
        let is_inside = share > ROUNDING && share < 1.0 - ROUNDING;
        if !is_inside || variance.is_nan() || variance <= ROUNDING * share * (1.0 - share) / points
        {
            // All strokes agree: no more is known than that so many did.
            return count;
        }
        let t = |freedom: f64| {
            StudentsT::new(0.0, 1.0, freedom.max(1.0))
                .map_or(f64::NAN, |t| t.inverse_cdf(0.5 + confidence / 2.0))
        };
        // Few strokes tell their own scatter badly.
        let doubt = (t(points - 1.0) / t(count - 1.0)).powi(2);
        (share * (1.0 - share) / variance * doubt).min(points)
    }
}

/// Presses of a stroke with the time each stands for: half of the steps to its neighbours, a whole step at
/// the ends, or 1 for all where times are not known.
fn weighted(stroke: &Stroke, timed: bool) -> Vec<(f64, f64)> {
    let points = &stroke.points;
    if !timed {
        return points.iter().map(|point| (point.press, 1.0)).collect();
    }
    let time = |index: usize| points[index].time_s.unwrap_or(0.0);
    let last = points.len() - 1;
    (0..=last)
        .map(|index| {
            let (before, after) = (index.saturating_sub(1), (index + 1).min(last));
            let steps = (after - before).max(1) as f64;
            (points[index].press, (time(after) - time(before)) / steps)
        })
        .collect()
}
