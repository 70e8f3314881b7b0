//! What a light-at takes from strokes: below it a map draws nothing.

use serde::Serialize;

use crate::quantile::weighted_quantile;
use crate::weighted_strokes::{WeightedStrokes, part_up_to};

/// A stroke that loses more than this part of its time looks cut off (common practice, no source).
pub(crate) const LOST_PART: f64 = 0.05;
/// At most this part of the strokes may (common practice, no source).
pub(crate) const LOSING_STROKES: f64 = 0.05;
/// Where a stroke begins and where it ends: this part of its time each.
const END_PART: f64 = 0.1;
/// Parts this near are the same.
const ROUNDING: f64 = 1e-9;

/// What draws nothing because it is pressed no harder than light-at; all are parts from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DrawsNothing {
    /// Of the time of all strokes.
    pub time: f64,
    /// Of the first and the last tenths of strokes, on average over strokes.
    pub ends: f64,
    /// Of the strokes: those that lose more than a twentieth of their time.
    pub strokes: f64,
}

impl WeightedStrokes {
    /// What draws nothing where this press and all below it do.
    pub(crate) fn draws_nothing(&self, press: f64) -> DrawsNothing {
        let count = self.strokes().len() as f64;
        let ends_lost = self
            .strokes()
            .iter()
            .map(|stroke| part_up_to(ends(stroke).iter(), press));
        let is_cut =
            |stroke: &&Vec<(f64, f64)>| part_up_to(stroke.iter(), press) > LOST_PART + ROUNDING;
        DrawsNothing {
            time: part_up_to(self.strokes().iter().flatten(), press),
            ends: ends_lost.sum::<f64>() / count,
            strokes: self.strokes().iter().filter(is_cut).count() as f64 / count,
        }
    }

    /// The highest press of the recording with which no more than a twentieth of the strokes lose more than a twentieth
    /// of their time; `None` where the lightest already takes more.
    pub(crate) fn highest_that_keeps(&self) -> Option<f64> {
        // A stroke loses too much from this press on.
        let mut from: Vec<(f64, f64)> = self
            .strokes()
            .iter()
            .map(|stroke| {
                let mut sorted = stroke.clone();
                sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
                (weighted_quantile(&sorted, LOST_PART + ROUNDING), 1.0)
            })
            .collect();
        from.sort_by(|a, b| a.0.total_cmp(&b.0));
        let first_kept = weighted_quantile(&from, LOSING_STROKES + ROUNDING);
        self.highest_below(first_kept)
    }
}

/// The first and the last tenth of a stroke's time, as presses and times.
fn ends(stroke: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let total: f64 = stroke.iter().map(|(_, weight)| weight).sum();
    let mut before = 0.0;
    stroke
        .iter()
        .map(|(press, weight)| {
            let (begins, ends) = (before / total, (before + weight) / total);
            before += weight;
            let first = ends.min(END_PART) - begins.min(END_PART);
            let last = ends.max(1.0 - END_PART) - begins.max(1.0 - END_PART);
            (*press, first + last)
        })
        .collect()
}
