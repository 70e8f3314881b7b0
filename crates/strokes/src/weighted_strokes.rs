//! Weighted values that come in strokes.

use evenhand_population::{Share, share_interval};
use statrs::distribution::{ContinuousCDF as _, StudentsT};

use crate::long_run::{long_run, memory};
use crate::quantile::weighted_quantile;
use crate::ranks::rank_bounds;
use crate::stroke::{Stroke, Strokes};
use crate::tail::beyond_outermost;

/// Parts this near are the same.
const ROUNDING: f64 = 1e-9;
/// The tail of the presses: this part of the time.
const TAIL_PART: f64 = 0.25;
/// Fewer independent points than this tell nothing of a tail, nor fewer strokes whether they come in moods (both by
/// the study of this crate).
const FEWEST_POINTS: f64 = 4.0;
const FEWEST_STROKES: f64 = 40.0;

/// Presses of a recording with the time each stands for.
pub(crate) struct WeightedStrokes {
    /// Press and weight, stroke by stroke.
    strokes: Vec<Vec<(f64, f64)>>,
    /// All of them, sorted by press.
    sorted: Vec<(f64, f64)>,
    total: f64,
    /// How many strokes back a stroke tells of; `None` where the recording is too short to say.
    memory: Option<usize>,
}

/// A quantile of presses, with the presses between which it lies; `None` where too little is known.
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
        let levels: Vec<f64> = strokes
            .iter()
            .map(|stroke| mean(stroke.iter().copied()))
            .collect();
        Self {
            memory: memory(&shared_ranks(&levels)),
            strokes,
            sorted,
            total,
        }
    }

    /// Time of all strokes, s where times were recorded.
    pub(crate) fn total(&self) -> f64 {
        self.total
    }

    /// Press and time, stroke by stroke.
    pub(crate) fn strokes(&self) -> &[Vec<(f64, f64)>] {
        &self.strokes
    }

    /// The highest press below this one.
    pub(crate) fn highest_below(&self, press: f64) -> Option<f64> {
        let above = self.sorted.partition_point(|(value, _)| *value < press);
        Some(self.sorted.get(above.checked_sub(1)?)?.0)
    }

    pub(crate) fn quantile(&self, level: f64, confidence: f64) -> PressQuantile {
        let press = weighted_quantile(&self.sorted, level);
        // Where many points share the press, more than the level's part lies up to it.
        let part = self.part(|value| value <= press);
        let known = self.effective(part, confidence, |value| value <= press);
        if !known.is_enough {
            return PressQuantile {
                press,
                low: None,
                high: None,
            };
        }
        let n = known.points;
        let (low, high) = rank_bounds(n, level, confidence);
        let at = |rank: f64| weighted_quantile(&self.sorted, (rank / n).min(1.0));
        let tail = (1.0 - confidence) / 2.0;
        PressQuantile {
            press,
            low: low.map(at).or_else(|| {
                let (lightest, _) = self.sorted.first()?;
                let beyond = beyond_outermost(n, 1.0 - level, tail, self.mean_below());
                Some((lightest - beyond).max(0.0))
            }),
            high: high.map(at).or_else(|| {
                let (hardest, _) = self.sorted.last()?;
                Some(hardest + beyond_outermost(n, level, tail, self.mean_above()))
            }),
        }
    }

    /// How far the hardest quarter of the time lies above where it begins, on average.
    fn mean_above(&self) -> f64 {
        let from = weighted_quantile(&self.sorted, 1.0 - TAIL_PART);
        mean(
            self.sorted
                .iter()
                .rev()
                .map_while(|(press, weight)| (*press > from).then_some((press - from, *weight))),
        )
    }

    /// How far the lightest quarter of the time lies below where it ends, on average.
    fn mean_below(&self) -> f64 {
        let to = weighted_quantile(&self.sorted, TAIL_PART);
        mean(
            self.sorted
                .iter()
                .map_while(|(press, weight)| (*press < to).then_some((to - press, *weight))),
        )
    }

    /// The part of the time for which `holds`, with its interval.
    pub(crate) fn share(&self, confidence: f64, holds: impl Fn(f64) -> bool) -> Share {
        let part = self.part(&holds);
        let known = self.effective(part, confidence, holds);
        share_interval(part, known.points, confidence)
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
    fn effective(&self, share: f64, confidence: f64, holds: impl Fn(f64) -> bool) -> Known {
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
        // Strokes that are alike in how hard they press are alike in this share too, though it may show less.
        let found = self
            .memory
            .zip(memory(&excess))
            .and_then(|(of_press, own)| long_run(&excess, of_press.max(own)));
        let Some(found) = found else {
            return Known {
                points: 1.0,
                is_enough: false,
            };
        };
        let variance = found.variance * count / self.total.powi(2);
        let is_inside = share > ROUNDING && share < 1.0 - ROUNDING;
        if !is_inside || variance.is_nan() || variance <= ROUNDING * share * (1.0 - share) / points
        {
            // All strokes agree: no more is known than that so many stretches did.
            let stretches = found.freedom + 1.0;
            return Known {
                points: stretches,
                is_enough: count >= FEWEST_STROKES,
            };
        }
        let t = |freedom: f64| {
            StudentsT::new(0.0, 1.0, freedom.max(1.0))
                .map_or(f64::NAN, |t| t.inverse_cdf(0.5 + confidence / 2.0))
        };
        // Few stretches tell their own scatter badly.
        let doubt = (t(points - 1.0) / t(found.freedom)).powi(2);
        let n = (share * (1.0 - share) / variance * doubt).min(points);
        Known {
            points: n.max(1.0),
            is_enough: n >= FEWEST_POINTS && count >= FEWEST_STROKES,
        }
    }
}

/// The part of the weights whose value is no more than this; 0 of none.
pub(crate) fn part_up_to<'a>(values: impl Iterator<Item = &'a (f64, f64)>, limit: f64) -> f64 {
    mean(values.map(|(value, weight)| (f64::from(u8::from(*value <= limit)), *weight)))
}

/// What strokes know of a share.
struct Known {
    /// So many independent points would know as much.
    points: f64,
    /// Whether that is enough for an interval.
    is_enough: bool,
}

/// The mean of weighted values; 0 of none.
fn mean(values: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (sum, weights) = values.fold((0.0, 0.0), |(sum, weights), (value, weight)| {
        (sum + value * weight, weights + weight)
    });
    if weights > 0.0 { sum / weights } else { 0.0 }
}

/// Ranks of values from 0; those that are equal share the mean of theirs.
fn shared_ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut before = 0;
    for equal in order.chunk_by(|a, b| values[*a] == values[*b]) {
        for index in equal {
            ranks[*index] = before as f64 + (equal.len() as f64 - 1.0) / 2.0;
        }
        before += equal.len();
    }
    ranks
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
