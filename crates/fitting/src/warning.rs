//! What a fit found that a reader should know.

use evenhand_measurement::{Direction, Measurement};
use evenhand_text::{Remedy, Setting};

use crate::blend::Blend;
use crate::descent::SolveStatus;
use crate::estimate::Estimate;
use crate::hysteresis::directions_are_seatings;
use crate::interval::{ForceInterval, Saturation};
use crate::observation::{Censoring, Observation};
use crate::seating_change::SeatingChange;

/// Samples whose residuals lie beyond this many standard deviations are named.
const NAMED: f64 = 4.5;
/// Scatter beyond this many times the usual is worth a word.
const MUCH_SCATTER: f64 = 2.5;

/// A response that is within this of a limit, fraction of full scale …
const GENTLE: f64 = 0.02;
/// … still at this part of the span from its end, where a straight one would be 5 % away, ends gently.
const NEAR_END: f64 = 0.05;
/// An interval wider than this part of the span is worth a word.
const WIDE: f64 = 0.03;

/// An end of the response that it leaves or reaches so gently that the samples hardly show where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GentleEnd {
    /// Onset.
    Onset,
    /// Saturation.
    Saturation,
}

/// A warning with what to try next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FitWarning {
    /// Line of the sample it is about, if it is about one.
    pub line: Option<usize>,
    /// What was seen.
    pub message: String,
    /// What to try.
    pub advice: Remedy,
    /// The gentle end that it is about, if it is about one: styluses are then compared by the force at 1 % or 99 %.
    pub gentle_end: Option<GentleEnd>,
}

/// What a fit found, as far as warnings need it.
pub(crate) struct WarningInputs<'a> {
    pub(crate) measurement: &'a Measurement,
    pub(crate) observations: &'a [Observation],
    pub(crate) blend: &'a Blend,
    pub(crate) best: &'a Estimate,
    pub(crate) seating_change: Option<&'a SeatingChange>,
    pub(crate) onset: &'a ForceInterval,
    pub(crate) saturation: &'a Saturation,
    /// Confidence level of the intervals, 0..1.
    pub(crate) confidence: f64,
}

impl SeatingChange {
    /// What was seen, what it may be and what to do.
    #[must_use]
    pub fn warning(&self) -> FitWarning {
        let percent = 100.0 * (self.gain - 1.0);
        let more = if percent > 0.0 { "more" } else { "less" };
        let advice = if self.turns_back {
            format!(
                "the force falls from there on: if it was being lowered, mark those samples {}; if stylus or lever was moved, give the samples from there on a seating of their own",
                Direction::Unloading.as_str()
            )
        } else {
            "the intervals allow for it: if stylus or lever was moved there, give those samples a seating of their own".to_owned()
        };
        FitWarning {
            line: Some(self.place.line),
            message: format!(
                "from here on forces act {:.1} % {more} than before (as unlikely by chance as {:.1} standard deviations), as after an undeclared change of seating",
                percent.abs(),
                self.score
            ),
            advice: Remedy::from(advice).or_set(Setting::NewSeating(self.place.to_string())),
            gentle_end: None,
        }
    }
}

/// Ends that the response leaves or reaches so gently that the samples hardly show where.
fn gentle_ends(inputs: &WarningInputs<'_>) -> Vec<FitWarning> {
    let WarningInputs {
        blend,
        onset,
        saturation,
        confidence,
        ..
    } = *inputs;
    let span = blend.upper_end() - blend.onset();
    let percent = 100.0 * confidence;
    let is_wide = |found: &ForceInterval| found.high.gf() - found.low.gf() > WIDE * span;
    let mut found = Vec::new();
    if is_wide(onset) && blend.reading(blend.onset() + NEAR_END * span) < GENTLE {
        found.push(FitWarning {
            line: None,
            message: format!(
                "the response leaves 0 gently, so the samples hardly show where: onset {} to {} ({percent} % interval)",
                onset.low, onset.high
            ),
            advice: "compare styluses by the force at 1 % reading; small forces taken several times narrow the onset".into(),
            gentle_end: Some(GentleEnd::Onset),
        });
    }
    if let Saturation::Reached(saturation) = saturation
        && is_wide(saturation)
        && blend.reading(blend.upper_end() - NEAR_END * span) > 1.0 - GENTLE
    {
        found.push(FitWarning {
            line: None,
            message: format!(
                "the response reaches full scale gently, so the samples hardly show where: saturation {} to {} ({percent} % interval)",
                saturation.low, saturation.high
            ),
            advice: "compare styluses by the force at 99 % reading; more forces near full scale narrow the saturation".into(),
            gentle_end: Some(GentleEnd::Saturation),
        });
    }
    found
}

pub(crate) fn warnings(inputs: &WarningInputs<'_>) -> Vec<FitWarning> {
    let WarningInputs {
        measurement,
        observations,
        blend,
        best,
        seating_change,
        ..
    } = *inputs;
    let mut found = Vec::new();
    for ((sample, observation), sigma) in measurement
        .samples
        .iter()
        .zip(observations)
        .zip(&best.sigmas)
    {
        let score = blend.standardised(observation, *sigma);
        if score.abs() > NAMED {
            let side = if score > 0.0 { "above" } else { "below" };
            found.push(FitWarning {
                line: Some(sample.line),
                message: format!(
                    "the sample at {} reads {:.2} %, {:.1} standard deviations {side} the curve; it was kept with little weight",
                    sample.force,
                    100.0 * sample.reading,
                    score.abs(),
                ),
                advice: Remedy::from("measure that force again, check the line for a slip")
                    .or_set(Setting::Exclude),
                gentle_end: None,
            });
        }
    }
    found.extend(seating_change.map(SeatingChange::warning));
    found.extend(gentle_ends(inputs));
    if directions_are_seatings(measurement) {
        found.push(FitWarning {
            line: None,
            message: "no seating holds both directions: what differs between them may be hysteresis or a seating's gain".to_owned(),
            advice: "raise and lower the force in one seating to tell them apart".into(),
            gentle_end: None,
        });
    }
    // With few readings between the limits the scatter is mostly assumed; `suspicions` tells of them.
    let inside = observations
        .iter()
        .filter(|o| o.censoring == Censoring::Inside)
        .count();
    if inside >= 4 && best.scatter > MUCH_SCATTER {
        found.push(FitWarning {
            line: None,
            message: format!(
                "readings scatter about the curve {:.1} times as much as on a quiet bench",
                best.scatter
            ),
            advice: "wait for each reading to settle, guard against friction, and declare every repositioning as a new seating".into(),
            gentle_end: None,
        });
    }
    if best.status == SolveStatus::IterationLimit {
        found.push(FitWarning {
            line: None,
            message:
                "the solve stopped at its iteration limit; the curve may still be a little off"
                    .to_owned(),
            advice: "look at the residuals before trusting small differences".into(),
            gentle_end: None,
        });
    }
    found
}
