//! From a measurement to its response.

use evenhand_measurement::{Force, Measurement};

use crate::blend::Blend;
use crate::brackets::{Brackets, widen};
use crate::checks::{check, check_seatings};
use crate::choice::ShapeChoice;
use crate::descent::SolveStatus;
use crate::error::FitError;
use crate::hysteresis::{Hysteresis, Repeatability, hysteresis, repeatability};
use crate::interval::{ForceInterval, Saturation, central};
use crate::noise::Noise;
use crate::observation::{Censoring, Observation, observations};
use crate::resample::{ForceScale, Resample, resample};
use crate::response::Response;
use crate::saturation_class::SaturationClass;
use crate::seating_change::{SeatingChange, suspected_change};
use crate::settings::Settings;
use crate::solution::{Inputs, Solution};
use crate::warning::{FitWarning, WarningInputs, warnings};

/// With fewer samples than this between the limits, shape assumptions may not narrow an interval
/// below what the samples bracket.
const FEW_INSIDE: usize = 4;
/// A response that rises so many times as steeply beyond a force as from where its onset may be to it, that onset more
/// than so many gaps between samples away, has a corner there.
const STEEP_TURN: f64 = 4.0;
const FAR_FROM_ONSET: f64 = 2.0;
/// Behind the turn readings are so many times the one that is passed before it.
const CLEARLY_BEYOND: f64 = 2.0;
/// From the corner the response rises at most so many times as steeply as further on.
const CORNER: f64 = 2.0;
/// Even steps of the curve that is reported.
const CURVE_STEPS: u32 = 400;
/// How far the reported curve goes beyond the last sample or the saturation force.
const BEYOND: f64 = 1.05;
/// One row of the reported curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurveRow {
    /// Force.
    pub force: Force,
    /// Fitted reading, 0..1.
    pub reported: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end of its interval.
    pub high: f64,
}

/// The force gain found for a seating.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeatingGain {
    /// Number of the seating in the file.
    pub index: i64,
    /// Factor from its nominal forces to those of the response; 1 where there is one seating only.
    pub force_gain: f64,
}

/// A response that the samples allow as well.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// Its onset force.
    pub onset: Force,
    /// Its saturation force, where full scale was seen.
    pub saturation: Option<Force>,
    /// Its readings, 0..1, at the forces asked for.
    pub readings: Vec<f64>,
}

/// A fitted response with its intervals.
#[derive(Clone)]
pub struct Fit {
    /// The response.
    pub response: Response,
    /// Onset force.
    pub onset: ForceInterval,
    /// Saturation force, if it was reached.
    pub saturation: Saturation,
    /// Saturation force less onset force, where saturation was reached.
    pub span: Option<ForceInterval>,
    /// Saturation class, where the saturation force allows one.
    pub saturation_class: Option<SaturationClass>,
    /// Root mean square of reading − fit over the samples between the limits, 0..1.
    pub residual_rms: f64,
    /// Force gain of each seating.
    pub seatings: Vec<SeatingGain>,
    /// Factor from forces while unloading to the forces that read the same while loading; the response
    /// is that of loading. None without both directions.
    pub unloading_gain: Option<f64>,
    /// Largest difference between the directions, where the file tells them apart.
    pub hysteresis: Option<Hysteresis>,
    /// Largest spread of readings at one force.
    pub repeatability: Option<Repeatability>,
    /// A change of seating that the file does not declare.
    pub seating_change: Option<SeatingChange>,
    /// What a reader should know.
    pub warnings: Vec<FitWarning>,
    /// The settings used.
    pub settings: Settings,
    /// Which shape was taken, and why.
    pub shape: ShapeChoice,
    /// Standard deviation of the second differences of the log-slope that the data preferred.
    pub roughness: f64,
    /// Effective number of parameters.
    pub freedom: f64,
    /// How the solve ended.
    pub status: SolveStatus,
    /// Step in which readings are given, as far as they show it, 0..1.
    pub reading_step: f64,
    /// Degrees of freedom behind the scatter, and so behind the width of intervals.
    pub scatter_freedom: f64,
    /// Forces measured, gf, in order.
    forces: Vec<f64>,
    /// Largest force measured, gf.
    last: f64,
    /// What the samples bracket, where there are so few that intervals may not be narrower.
    brackets: Option<Brackets>,
    resamples: Vec<Resample>,
}

/// Fits a measurement.
///
/// # Errors
/// A measurement without a rise, or too small for one; a confidence outside 0..1.
pub fn fit(measurement: &Measurement, settings: &Settings) -> Result<Fit, FitError> {
    settings.check()?;
    let (observations, step) = observations(measurement);
    check(&observations)?;
    check_seatings(measurement)?;
    let highest = observations.iter().map(|o| o.reading).fold(0.0, f64::max);
    let reached = observations
        .iter()
        .any(|o| o.censoring == Censoring::NotBelow);
    let top = if reached { 1.0 } else { highest };
    let budget = measurement.bench.budget.as_ref();
    let noise = Noise::of(budget, step);
    let used = measurement.used_seatings();
    let seatings = used.len().max(1);
    let inputs = Inputs {
        top,
        reached,
        noise,
    };
    let declared = Solution::new(observations, seatings, inputs).ok_or(FitError::Numerical)?;
    let suspected = suspected_change(measurement, &declared.observations, &declared.best);
    // A change that is likely is fitted as if it were declared, and has its share in the intervals.
    let changed = suspected.as_ref().and_then(|suspected| {
        let observations = suspected.divided(&declared.observations, seatings);
        let solution = Solution::new(observations, seatings + 1, inputs)?;
        Some((solution, suspected.chance))
    });
    // The response stays the one of what the file says; nothing is changed unasked.
    let Solution {
        observations,
        blend,
        shape,
        best,
        ..
    } = &declared;
    let mut forces: Vec<f64> = observations.iter().map(|o| o.force).collect();
    forces.sort_by(f64::total_cmp);
    let last = forces.last().copied().unwrap_or_default();
    let response = Response::from_blend(blend, reached, last).map_err(|_| FitError::Numerical)?;
    let count = settings.resamples.max(Settings::LEAST_RESAMPLES);
    let mut shares = vec![(1.0, &declared)];
    if let Some((changed, chance)) = &changed {
        shares = vec![(1.0 - chance, &declared), (*chance, changed)];
    }
    let resamples = resample(
        &shares,
        count,
        settings.seed,
        ForceScale::of(&measurement.bench),
    );
    let confidence = settings.confidence;

    let brackets = Brackets::of(observations);
    let few = observations
        .iter()
        .filter(|o| o.censoring.is_between())
        .count()
        < FEW_INSIDE;
    let onset = interval(blend.onset(), &resamples, confidence, |r| {
        r.shown(r.latent.onset())
    });
    let onset = if few {
        brackets.widen_onset(onset)
    } else {
        onset
    };
    let saturation = if reached {
        let found = interval(blend.upper_end(), &resamples, confidence, |r| {
            r.shown(r.latent.upper_end())
        });
        Saturation::Reached(if few {
            brackets.widen_saturation(found)
        } else {
            found
        })
    } else {
        Saturation::NotReached {
            above: Force::from_gf(last),
        }
    };
    let saturation_class = match saturation {
        Saturation::Reached(found) => Some(SaturationClass::of(found.estimate)),
        Saturation::NotReached { above } => {
            Some(SaturationClass::of(above)).filter(|class| *class == SaturationClass::Above700)
        }
    };
    let span = reached.then(|| {
        let found = interval(
            blend.upper_end() - blend.onset(),
            &resamples,
            confidence,
            |r| r.latent.span() * r.force_factor,
        );
        match (few, saturation) {
            (true, Saturation::Reached(saturation)) => widen(
                found,
                (saturation.low.gf() - onset.high.gf()).max(0.0),
                saturation.high.gf() - onset.low.gf(),
            ),
            _ => found,
        }
    });
    let seating_change = suspected.filter(|s| s.is_found).map(|s| s.change);
    let gains = used
        .iter()
        .enumerate()
        .map(|(order, position)| SeatingGain {
            index: measurement.seatings[*position].index,
            force_gain: blend.gain(order),
        });
    Ok(Fit {
        onset,
        saturation,
        span,
        saturation_class,
        residual_rms: residual_rms(observations, blend),
        seatings: gains.collect(),
        unloading_gain: best.latent.layout.unloading.then(|| blend.unloading_gain()),
        hysteresis: hysteresis(measurement),
        repeatability: repeatability(measurement),
        warnings: warnings(&WarningInputs {
            measurement,
            observations,
            blend,
            best,
            seating_change: seating_change.as_ref(),
            onset: &onset,
            saturation: &saturation,
            confidence,
        }),
        seating_change,
        settings: *settings,
        shape: shape.clone(),
        roughness: best.smoothness.roughness,
        freedom: best.freedom,
        status: best.status,
        reading_step: step,
        scatter_freedom: best.scatter_freedom,
        response,
        forces,
        last,
        brackets: few.then_some(brackets),
        resamples,
    })
}

impl Fit {
    /// The curve with its band, from force 0 to beyond the last sample.
    #[must_use]
    pub fn curve(&self) -> Vec<CurveRow> {
        let end = self.curve_end().gf();
        let mut forces: Vec<f64> = (0..=CURVE_STEPS)
            .map(|i| end * f64::from(i) / f64::from(CURVE_STEPS))
            .collect();
        forces.push(self.response.onset().gf());
        forces.extend(self.response.saturation().map(Force::gf));
        forces.sort_by(f64::total_cmp);
        forces.dedup();
        let mut draws = vec![0.0; self.resamples.len()];
        forces
            .into_iter()
            .map(|force| {
                for (draw, resample) in draws.iter_mut().zip(&self.resamples) {
                    *draw = resample.reading(force);
                }
                let (low, high) = central(&mut draws, self.settings.confidence);
                let reported = self.response.reading(Force::from_gf(force));
                // Beyond the last sample of a stylus that did not saturate anything up to full is
                // possible.
                let unknown = self.response.saturation().is_none() && force > self.last;
                CurveRow {
                    force: Force::from_gf(force),
                    reported,
                    low: low.min(reported),
                    high: if unknown { 1.0 } else { high.max(reported) },
                }
            })
            .collect()
    }

    /// Where the curve ends: a little beyond the last sample and the saturation force.
    #[must_use]
    pub fn curve_end(&self) -> Force {
        Force::from_gf(BEYOND * self.last.max(self.response.last_force().gf()))
    }

    /// What else the response could be: each resample's onset, saturation and readings at `forces`, without the
    /// error of gain and offset that all forces of the bench share and that no further reading would lessen.
    #[must_use]
    pub fn draws(&self, forces: &[Force]) -> Vec<Draw> {
        let is_reached = self.response.saturation().is_some();
        self.resamples
            .iter()
            .map(|resample| Draw {
                onset: Force::from_gf(resample.latent.onset()),
                saturation: is_reached.then(|| Force::from_gf(resample.latent.upper_end())),
                readings: forces
                    .iter()
                    .map(|force| resample.latent.reading(force.gf()))
                    .collect(),
            })
            .collect()
    }

    /// What the response may read at `forces`: a row of readings, 0..1, for each of at most `most` resamples, with the
    /// error of gain and offset that all forces of the bench share.
    #[must_use]
    pub fn resampled_readings(&self, forces: &[Force], most: usize) -> Vec<Vec<f64>> {
        self.resamples
            .iter()
            .take(most)
            .map(|resample| forces.iter().map(|f| resample.reading(f.gf())).collect())
            .collect()
    }

    /// Least and greatest reading, 0..1, that the samples leave open at a force whatever the shape between them; only
    /// where they are so few that intervals may not be narrower.
    #[must_use]
    pub fn bracketed_reading(&self, force: Force) -> Option<(f64, f64)> {
        let brackets = self.brackets.as_ref()?;
        Some(brackets.readings(force.gf()))
    }

    /// Whether the response gets to a reading (0..1) within the forces measured.
    #[must_use]
    pub fn reaches(&self, reading: f64) -> bool {
        (0.0..=self.response.reading(self.response.last_force())).contains(&reading)
    }

    /// Where the response, nearly dead until it passes a reading, turns steep between two samples: forces, gf, between
    /// which it may pass that reading, for where it turns is more than a smooth shape says. The lesser is the sample
    /// before the turn. From the greater on the response would have to rise so much more steeply than behind the next
    /// sample that the corner would lie there.
    fn steep_turn(&self, reading: f64, force: f64) -> Option<(f64, f64)> {
        let value = |force: f64| self.response.reading(Force::from_gf(force));
        let clear = |at: &f64| *at <= force || value(*at) < CLEARLY_BEYOND * reading;
        let after = self.forces.partition_point(clear);
        let [below, above, next] = *self.forces.get(after.checked_sub(1)?..after + 2)? else {
            return None;
        };
        let dead = force - self.onset.low.gf();
        let then = (value(next) - value(above)) / (next - above);
        let is_turn = dead > FAR_FROM_ONSET * (above - below) && then > STEEP_TURN * reading / dead;
        let corner = above - (value(above) - reading) / (CORNER * then);
        is_turn.then_some((below, corner))
    }

    /// The force at which the response passes a reading (0..1), with its interval; `None` where the reading
    /// lies above the highest one that was seen. Between the response's end, which scatter can leave a little
    /// lower ([`Fit::reaches`]), and that one it is the last force.
    #[must_use]
    pub fn force_at(&self, reading: f64) -> Option<ForceInterval> {
        let seen = self.resamples.first().map_or(1.0, |r| r.latent.top);
        let top = seen.max(self.response.reading(self.response.last_force()));
        if !(0.0..=top).contains(&reading) {
            return None;
        }
        let estimate = self.response.force(reading).gf();
        let found = interval(estimate, &self.resamples, self.settings.confidence, |r| {
            r.shown(r.latent.force(reading))
        });
        Some(match (&self.brackets, self.steep_turn(reading, estimate)) {
            (Some(brackets), _) => brackets.widen_force_at(reading, found),
            (None, Some((below, above))) => widen(found, below, above),
            (None, None) => found,
        })
    }
}

fn interval(
    estimate: f64,
    resamples: &[Resample],
    confidence: f64,
    force: impl Fn(&Resample) -> f64,
) -> ForceInterval {
    let mut draws: Vec<f64> = resamples.iter().map(force).collect();
    let (low, high) = central(&mut draws, confidence);
    ForceInterval {
        estimate: Force::from_gf(estimate),
        low: Force::from_gf(low.min(estimate).max(0.0)),
        high: Force::from_gf(high.max(estimate)),
    }
}

fn residual_rms(observations: &[Observation], blend: &Blend) -> f64 {
    let inside = observations.iter().filter(|o| o.censoring.is_between());
    let (sum, count) = inside.fold((0.0, 0.0), |(sum, count), o| {
        let limited = blend.value(o).clamp(0.0, 1.0);
        (sum + (o.reading - limited).powi(2), count + 1.0)
    });
    if count > 0.0 {
        (sum / count).sqrt()
    } else {
        0.0
    }
}
