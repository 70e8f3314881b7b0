//! The forces of a hand.

use evenhand_fitting::Fit;
use evenhand_measurement::Force;
use evenhand_population::Share;

use crate::draws_nothing::DrawsNothing;
use crate::hand_error::HandError;
use crate::stroke::{PressUnit, Strokes};
use crate::weighted_strokes::{PressQuantile, WeightedStrokes};

/// Percentiles that are always told.
const LEVELS: [f64; 7] = [0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95];
/// Readings this near full scale are full.
const FULL: f64 = 1.0 - 1e-9;
/// Readings this near are the same.
const READING_ROUNDING: f64 = 1e-9;

/// How light-at and full-at are chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HandRule {
    /// Part of the time that may be pressed more lightly than light-at, 0..1. Light-at is lower where it would
    /// cut off the ends of strokes.
    pub light: f64,
    /// Part of the time that is pressed more lightly than full-at, 0..1.
    pub full: f64,
    /// Probability that intervals should hold.
    pub confidence: f64,
}

impl Default for HandRule {
    fn default() -> Self {
        Self {
            light: 0.05,
            full: 0.95,
            confidence: 0.95,
        }
    }
}

/// What a percentile that lies outside the stylus's range says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// The force is known.
    Known,
    /// The force is no less than this: the stylus reads full there, or was not measured further.
    AtLeast,
    /// The force is no more than this: the stylus reads nothing there.
    AtMost,
}

/// A percentile of the force along the stylus over the time of all strokes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Percentile {
    /// Part of the time that is pressed no harder, 0..1.
    pub level: f64,
    /// The force, or the bound that `bound` says.
    pub force: Force,
    /// What `force` is.
    pub bound: Bound,
    /// Lower end; `None` where it is not known.
    pub low: Option<Force>,
    /// Upper end; `None` where it is not known.
    pub high: Option<Force>,
}

/// Forces to ask a map for.
#[derive(Clone, Debug, PartialEq)]
pub struct Suggestion {
    /// Output leaves 0 here.
    pub light_at: Force,
    /// Output is full here.
    pub full_at: Force,
    /// What draws nothing with this light-at.
    pub draws_nothing: DrawsNothing,
    /// Where the rule could not be followed, and what was done.
    pub notes: Vec<String>,
}

/// What strokes tell of a hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Hand {
    /// Number of strokes.
    pub strokes: usize,
    /// Number of points.
    pub points: usize,
    /// Time of all strokes, s, where times were recorded.
    pub seconds: Option<f64>,
    /// Percentiles, the lightest first.
    pub percentiles: Vec<Percentile>,
    /// Part of the time at which the stylus reads full, or more than the measurement reached.
    pub saturated: Share,
    /// Whether the measurement reached saturation.
    pub is_saturation_known: bool,
    /// Part of the time at which the nib touches and the stylus reads nothing; `None` where the recording
    /// does not tell touches.
    pub below_onset: Option<Share>,
    /// Forces to ask a map for.
    pub suggestion: Suggestion,
    /// Whether strokes enough were drawn to bound the percentiles of light-at and full-at on both sides.
    pub enough: bool,
    /// The rule that was followed.
    pub rule: HandRule,
}

/// Summarises a recording. Readings become forces along the stylus through the response of the stylus
/// that drew it; recorded forces stay what they are.
///
/// # Errors
/// A recording without two strokes or without a point in the stylus's range, percentiles that make no
/// range, and a hand that has none; see [`HandError`].
pub fn summarise(recording: &Strokes, fit: &Fit, rule: &HandRule) -> Result<Hand, HandError> {
    let inside = |level: f64| level > 0.0 && level < 1.0;
    if !(inside(rule.light) && inside(rule.full) && rule.light < rule.full) {
        return Err(HandError::Percentiles {
            light: rule.light,
            full: rule.full,
        });
    }
    let found = recording.strokes.len();
    if found < 2 {
        return Err(HandError::TooFewStrokes { found });
    }
    let scale = Scale {
        fit,
        press_unit: recording.press_unit,
    };
    if !recording
        .strokes
        .iter()
        .flat_map(|stroke| &stroke.points)
        .any(|point| scale.is_inside(point.press))
    {
        return Err(HandError::NothingInside);
    }
    let weighted = WeightedStrokes::of(recording);
    let quantile = |level: f64| weighted.quantile(level, rule.confidence);
    let percentile = |level: f64| scale.percentile(level, &quantile(level));
    let (light, full) = (quantile(rule.light), quantile(rule.full));
    let mut levels: Vec<f64> = LEVELS.into_iter().chain([rule.light, rule.full]).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    let timed = recording
        .strokes
        .iter()
        .flat_map(|stroke| &stroke.points)
        .all(|point| point.time_s.is_some());
    Ok(Hand {
        strokes: found,
        points: recording.len(),
        seconds: timed.then(|| weighted.total()),
        percentiles: levels.into_iter().map(percentile).collect(),
        is_saturation_known: fit.response.saturation().is_some(),
        saturated: weighted.share(rule.confidence, |press| scale.is_full(press)),
        below_onset: recording
            .tells_touch
            .then(|| weighted.share(rule.confidence, |press| scale.is_nothing(press))),
        suggestion: scale.suggestion(&weighted, (rule.light, &light), (rule.full, &full))?,
        enough: scale.is_bounded(&light) && scale.is_bounded(&full),
        rule: *rule,
    })
}

/// From presses to forces.
struct Scale<'a> {
    fit: &'a Fit,
    press_unit: PressUnit,
}

impl Scale<'_> {
    /// The highest reading whose force is known.
    fn top(&self) -> f64 {
        let response = &self.fit.response;
        response.reading(response.last_force()).min(FULL)
    }

    fn is_full(&self, press: f64) -> bool {
        match self.press_unit {
            PressUnit::Reading => press >= self.top(),
            PressUnit::ForceGf => press >= self.end().gf(),
        }
    }

    fn is_nothing(&self, press: f64) -> bool {
        match self.press_unit {
            PressUnit::Reading => press <= 0.0,
            PressUnit::ForceGf => press <= self.fit.onset.estimate.gf(),
        }
    }

    fn is_inside(&self, press: f64) -> bool {
        !self.is_full(press) && !self.is_nothing(press)
    }

    /// Whether strokes enough were drawn to bound it. Beyond the stylus's range one side is all that any
    /// recording can bound.
    fn is_bounded(&self, found: &PressQuantile) -> bool {
        let is_reading = self.press_unit == PressUnit::Reading;
        let is_high_needed = !(is_reading && self.is_full(found.press));
        let is_low_needed = !(is_reading && found.press <= 0.0);
        (!is_low_needed || found.low.is_some()) && (!is_high_needed || found.high.is_some())
    }

    fn suggestion(
        &self,
        weighted: &WeightedStrokes,
        (light_level, light): (f64, &PressQuantile),
        (full_level, full): (f64, &PressQuantile),
    ) -> Result<Suggestion, HandError> {
        let mut notes = Vec::new();
        let full = self.percentile(full_level, full);
        if full.bound == Bound::AtLeast {
            notes.push(format!(
                "the hand presses beyond {} for more than {:.0} % of the time: full-at is the most that any map can use",
                if self.fit.response.saturation().is_some() {
                    "what this stylus reads"
                } else {
                    "the forces that were measured"
                },
                100.0 * (1.0 - full.level)
            ));
        }
        let least = self.fit.onset.high;
        let light = self.percentile(light_level, light).force;
        // A percentile of the time counts the ends of strokes, which are light in every stroke that tapers.
        let kept = weighted
            .highest_that_keeps()
            .map_or(Force::from_gf(0.0), |press| self.force(press));
        let wanted = if kept < light { kept } else { light };
        let light_at = if wanted < least {
            notes.push(
                "the lightest touches lie below what this stylus surely feels: light-at is the upper end of the onset interval"
                    .to_owned(),
            );
            least
        } else {
            wanted
        };
        if light_at >= full.force {
            return Err(HandError::NoRange {
                light_gf: light_at.gf(),
                full_gf: full.force.gf(),
            });
        }
        Ok(Suggestion {
            light_at,
            full_at: full.force,
            draws_nothing: weighted.draws_nothing(self.press(light_at)),
            notes,
        })
    }

    /// The force of a press; no less than the onset force and no more than the last that is known.
    fn force(&self, press: f64) -> Force {
        match self.press_unit {
            PressUnit::ForceGf => Force::from_gf(press),
            PressUnit::Reading if press <= 0.0 => self.fit.response.onset(),
            PressUnit::Reading if press >= self.top() => self.end(),
            PressUnit::Reading => self.fit.response.force(press),
        }
    }

    /// The press that has this force.
    fn press(&self, force: Force) -> f64 {
        match self.press_unit {
            PressUnit::ForceGf => force.gf(),
            // The other way round is solved for, so that the last digits may differ.
            PressUnit::Reading => self.fit.response.reading(force) + READING_ROUNDING,
        }
    }

    /// The force from which on readings tell nothing.
    fn end(&self) -> Force {
        self.fit
            .response
            .saturation()
            .unwrap_or_else(|| self.fit.response.last_force())
    }

    fn percentile(&self, level: f64, found: &PressQuantile) -> Percentile {
        if self.press_unit == PressUnit::ForceGf {
            return Percentile {
                level,
                force: Force::from_gf(found.press),
                bound: Bound::Known,
                low: found.low.map(Force::from_gf),
                high: found.high.map(Force::from_gf),
            };
        }
        let response = &self.fit.response;
        // A bound outside the stylus's range is none.
        let below = |press: f64| {
            (press > 0.0).then(|| {
                if press >= self.top() {
                    self.end()
                } else {
                    response.force(press)
                }
            })
        };
        let above = |press: f64| (press < self.top()).then(|| response.force(press));
        if self.is_full(found.press) {
            return Percentile {
                level,
                force: self.end(),
                bound: Bound::AtLeast,
                low: found.low.and_then(below),
                high: None,
            };
        }
        if found.press <= 0.0 {
            return Percentile {
                level,
                force: response.onset(),
                bound: Bound::AtMost,
                low: None,
                high: found.high.and_then(above),
            };
        }
        let force = response.force(found.press);
        let known = self.fit.force_at(found.press);
        // What strokes do not tell and what the measurement does not are independent.
        let widened = |end: Force, of_response: Option<Force>| {
            let own = of_response.map_or(0.0, |other| other.gf() - force.gf());
            (end.gf() - force.gf()).hypot(own)
        };
        Percentile {
            level,
            force,
            bound: Bound::Known,
            low: found.low.and_then(below).map(|low| {
                let width = widened(low, known.map(|k| k.low));
                Force::from_gf((force.gf() - width).max(0.0))
            }),
            high: found
                .high
                .and_then(above)
                .map(|high| Force::from_gf(force.gf() + widened(high, known.map(|k| k.high)))),
        }
    }
}
