//! Where a solve starts: onset and upper end by isotonic regression and straight lines.

use crate::isotonic::isotonic;
use crate::latent::{LOG_SPAN, Latent, Layout, Limits, ONSET};
use crate::observation::Observation;

/// Levels closer than this (a fraction of full scale) count as one when ends are looked for.
const SAME_LEVEL: f64 = 0.004;

/// A latent response with the usual shape of its form between the ends that the samples suggest.
pub(crate) fn start(observations: &[Observation], layout: Layout, top: f64) -> Latent {
    let (onset, end) = ends(observations, top);
    let mut parameters = vec![0.0; layout.size()];
    parameters[ONSET] = onset;
    parameters[LOG_SPAN] = (end - onset).ln();
    Latent::new(layout, parameters, top, Limits::assumed(false))
}

/// Onset and upper end: the line through the first two levels carried down to 0 and the line through
/// the last two carried up to `top`, each held between the samples that bracket it.
fn ends(observations: &[Observation], top: f64) -> (f64, f64) {
    let mut sorted: Vec<&Observation> = observations.iter().collect();
    sorted.sort_by(|a, b| {
        a.force
            .total_cmp(&b.force)
            .then(a.reading.total_cmp(&b.reading))
    });
    let forces: Vec<f64> = sorted.iter().map(|o| o.force).collect();
    let readings: Vec<f64> = sorted.iter().map(|o| o.reading).collect();
    let levels = isotonic(&readings, &vec![1.0; readings.len()]);
    let last = forces.len() - 1;
    let same = SAME_LEVEL.min(0.2 * top);
    let slope = |from: usize, to: usize| {
        let run = forces[to] - forces[from];
        if run > 0.0 {
            (levels[to] - levels[from]) / run
        } else {
            0.0
        }
    };

    let rise = levels.iter().position(|&y| y > same).unwrap_or(last);
    let next = (rise..=last)
        .find(|&i| forces[i] > forces[rise] && levels[i] > levels[rise] + same)
        .unwrap_or(last);
    let below = if rise == 0 { 0.0 } else { forces[rise - 1] };
    let first_slope = slope(rise, next);
    let onset = if first_slope > 0.0 {
        forces[rise] - levels[rise] / first_slope
    } else {
        below
    };
    let onset = onset.clamp(below.min(forces[rise]), forces[rise]);

    let full = levels.iter().position(|&y| y >= top - same).unwrap_or(last);
    let before = full.saturating_sub(1);
    let earlier = (0..before)
        .rev()
        .find(|&i| forces[i] < forces[before] && levels[i] < levels[before])
        .unwrap_or(0);
    let last_slope = slope(earlier, before);
    let end = if last_slope > 0.0 {
        forces[before] + (top - levels[before]) / last_slope
    } else {
        forces[full]
    };
    let end = end.clamp(forces[before], forces[full]);
    // A span of nothing has no logarithm.
    (onset, end.max(onset + 1e-3 * forces[last].max(1.0)))
}
