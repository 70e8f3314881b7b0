//! Whether the points of a saved map are those that its figures are of.

use std::path::Path;

use evenhand_curve::{Curve as _, MonotonePath, Point};
use evenhand_inversion::{MapRequest, Target, TargetShape, quantised};
use evenhand_measurement::Force;
use evenhand_receiver::{ASSUMED_LEVELS, Compiled, MapCurve};

use crate::job::saved_request;
use crate::map_file::MapFile;

/// The ideal table is thinned out by so much that errors against it may differ; fraction of full scale.
const SAME_ERROR: f64 = 5e-6;
/// Errors from light-at to full-at are found again without the response, on another grid of forces: the largest, and the
/// root mean square, are the same within this, fraction of full scale, ...
const SAME_FELT_ERROR: [f64; 2] = [5e-5, 5e-6];
/// ... and this part of themselves, which steep maps need.
const SAME_FELT_PART: f64 = 1e-3;
/// Figures that are counted again from the same points are the same but for rounding; part of them.
const SAME: f64 = 1e-6;
/// With more levels than this counting takes longer than a glance; the other figures are looked at then.
const MOST_LEVELS: u32 = 1 << 20;

/// Halvings after which a force is as near as doubles tell.
const HALVINGS: usize = 60;
/// Pieces of the ideal map over all readings.
const PIECES: f64 = 2048.0;

/// A figure of a map that its own points contradict.
#[derive(Clone, Debug, PartialEq)]
pub struct Contradiction {
    /// The figure's key in the file.
    pub key: &'static str,
    /// As it was saved.
    pub saved: f64,
    /// What the points in the file have.
    pub found: f64,
}

/// Figures of a saved map that its points, as they stand in the file, contradict: a sign that points, settings or
/// figures were edited by hand. Nothing is fitted or solved for it: errors are measured against the stored ideal map,
/// steps are counted from the points, and forces are compared with those that were asked for. An edit that leaves
/// every figure as it is, such as a hair's breadth in one of a thousand entries, is not seen.
///
/// # Errors
/// Points that make no map of their receiver, in words.
pub fn contradictions(path: &Path, saved: &MapFile) -> Result<Vec<Contradiction>, String> {
    let figures = &saved.achieved;
    let request = saved_request(path, saved).map_err(|failure| failure.message.clone())?;
    let ideal = saved.ideal.points.iter().map(|[x, y]| Point::new(*x, *y));
    let ideal = MonotonePath::new(ideal.collect())
        .map_err(|error| format!("the ideal map is none: {error}"))?;
    let compiled = Compiled::of_points(
        &saved.receiver,
        &ideal,
        saved.map.points(),
        saved.map.exponent,
        0.0,
    )
    .map_err(|error| error.to_string())?;
    let mut all = Vec::new();
    let mut compare = |key: &'static str, saved: f64, found: f64, tolerance: f64| {
        let off = (saved - found).abs();
        if off > tolerance || off.is_nan() {
            all.push(Contradiction { key, saved, found });
        }
    };
    compare(
        "compile_max_error",
        figures.compile_max_error,
        compiled.max_error,
        SAME_ERROR,
    );
    if let Some((largest, rms)) = felt_errors(saved, &request, &compiled.curve) {
        for (index, (key, saved, found)) in [
            ("max_error", figures.max_error, largest),
            ("rms_error", figures.rms_error, rms),
        ]
        .into_iter()
        .enumerate()
        {
            let tolerance = SAME_FELT_ERROR[index] + SAME_FELT_PART * saved;
            compare(key, saved, found, tolerance);
        }
    }
    let levels = saved.stylus.levels;
    if levels.unwrap_or(ASSUMED_LEVELS) <= MOST_LEVELS {
        let counted = quantised(&request, &compiled, levels);
        let outputs = figures.distinct_outputs as f64;
        compare(
            "distinct_outputs",
            outputs,
            counted.distinct_outputs as f64,
            // Outputs that are nearly the same may be told apart or not.
            1.0 + 1e-3 * outputs,
        );
        for (key, saved, found) in [
            ("largest_step", figures.largest_step, counted.largest_step),
            ("largest_gain", figures.largest_gain, counted.largest_gain),
        ] {
            compare(key, saved, found, SAME * saved);
        }
    }
    let asked = &saved.settings;
    if let Some(light) = asked.light_at_gf {
        compare("light_at_gf", figures.light_at_gf, light, SAME * light);
    }
    // A full-at beyond what the stylus can do is cut down; it is never raised.
    let full = asked.full_at_gf.min(figures.full_at_gf);
    compare("full_at_gf", figures.full_at_gf, full, SAME * full);
    Ok(all)
}

/// Largest and root mean square error from light-at to full-at of a map's points, found again without the response:
/// where the ideal map gives a reading its output, the target says at which force that is. `None` where it does not,
/// as on a level stretch of the target, or where what comes after the map never gives nothing or all.
fn felt_errors(saved: &MapFile, request: &MapRequest, map: &MapCurve) -> Option<(f64, f64)> {
    let figures = &saved.achieved;
    let (light, full) = (figures.light_at_gf, figures.full_at_gf);
    let shape = request.target.shape.clone();
    if let TargetShape::Drawn(drawn) = &shape {
        let is_level = |pair: &[[f64; 2]]| pair[1][1] <= pair[0][1];
        if drawn.points().windows(2).any(is_level) {
            return None;
        }
    }
    let target = Target::new(Force::from_gf(light), Force::from_gf(full), shape)
        .and_then(|target| target.with_floor(request.output_floor))
        .ok()?;
    let after = |output: f64| {
        let stage = request.after.as_ref();
        stage.map_or(output, |stage| stage.curve.value(output))
    };
    // Outputs that cannot be had say nothing of the force they were wanted at.
    if after(1.0) < 1.0 - 1e-9 || after(0.0) > target.floor() + 1e-9 {
        return None;
    }
    let force_of = |wanted: f64| {
        let (mut low, mut high) = (light, full);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if target.output(Force::from_gf(middle)) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    };
    let floor = target.floor();
    let (mut largest, mut integral) = (0.0_f64, 0.0);
    let mut before: Option<(f64, f64)> = None;
    'path: for pair in saved.ideal.points.windows(2) {
        let [from, to] = [pair[0], pair[1]];
        let length = (to[0] - from[0]).max(to[1] - from[1]);
        let pieces = 4.0 + (PIECES * length).ceil();
        let mut piece = 0.0;
        while piece <= pieces {
            let part = piece / pieces;
            piece += 1.0;
            let [reading, output] = [0, 1].map(|axis| from[axis] + part * (to[axis] - from[axis]));
            let wanted = after(output).max(floor);
            let error = after(map.value(reading)) - wanted;
            // Up to light-at nothing is promised.
            if wanted <= floor {
                before = Some((light, error));
                largest = error.abs();
                continue;
            }
            let force = force_of(wanted);
            largest = largest.max(error.abs());
            if let Some((force_before, error_before)) = before {
                let width = force - force_before;
                integral += 0.5 * width * (error_before.powi(2) + error.powi(2));
            }
            before = Some((force, error));
            if wanted >= 1.0 {
                break 'path;
            }
        }
    }
    Some((largest, (integral / (full - light)).sqrt()))
}

/// The same as a warning with what to do, for people; `None` where nothing contradicts.
#[must_use]
pub fn edit_warning(path: &Path, saved: &MapFile) -> Option<(String, String)> {
    let what = match contradictions(path, saved) {
        Ok(found) if found.is_empty() => return None,
        Ok(found) => {
            let each: Vec<String> = found
                .iter()
                .map(|one| {
                    let [saved, found] = [one.saved, one.found].map(short_figure);
                    format!(
                        "{} is saved as {saved}, the points in the file have {found}",
                        one.key
                    )
                })
                .collect();
            each.join("; ")
        }
        Err(reason) => reason,
    };
    Some((
        format!("this map was edited by hand, its figures are of other points: {what}"),
        "move points in the window, which keeps points and figures together, or make the map again from its measurement"
            .to_owned(),
    ))
}

/// A figure with as many digits as tell it from another.
pub(crate) fn short_figure(value: f64) -> String {
    let digits = 6;
    if value == 0.0 || !value.is_finite() {
        return value.to_string();
    }
    let magnitude = value.abs().log10().floor();
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a magnitude of a double is within ±324"
    )]
    let decimals = (digits - 1 - magnitude as i32).clamp(0, 12);
    #[expect(clippy::cast_sign_loss, reason = "clamped to 0 or more")]
    let text = format!("{value:.*}", decimals as usize);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
