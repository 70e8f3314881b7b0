//! Whether the points of a saved map are those that its figures are of.

use std::path::Path;

use evenhand_curve::{MonotonePath, Point};
use evenhand_receiver::{ASSUMED_LEVELS, Compiled};

use crate::job::saved_wish;
use crate::map_build::quantised;
use crate::map_file::MapFile;

/// The ideal table is thinned out by so much that errors against it may differ; fraction of full scale.
const SAME_ERROR: f64 = 5e-6;
/// Figures that are counted again from the same points are the same but for rounding; part of them.
const SAME: f64 = 1e-6;
/// With more levels than this counting takes longer than a glance; the other figures are looked at then.
const MOST_LEVELS: u32 = 1 << 20;

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
/// figures were edited by hand. Nothing is fitted or solved for it: the worst error is measured against the stored
/// ideal map, the steps are counted from the points, and the forces are compared with those that were asked for.
///
/// # Errors
/// Points that make no map of their receiver, in words.
pub fn contradictions(path: &Path, saved: &MapFile) -> Result<Vec<Contradiction>, String> {
    let figures = &saved.achieved;
    let wish = saved_wish(path, saved).map_err(|failure| failure.message.clone())?;
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
    let levels = saved.stylus.levels;
    if levels.unwrap_or(ASSUMED_LEVELS) <= MOST_LEVELS {
        let counted = quantised(&wish, &compiled, levels);
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
