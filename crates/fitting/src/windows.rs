//! Where onset and upper end may lie: the evidence of the data in windows along each.
//!
//! Inside a gentle toe the onset is hardly identified, and one normal approximation about the best place does not say
//! so. The range in which it may lie is covered by overlapping normal windows; in each the best response is sought and
//! weighed by its evidence, and resamples are drawn from the windows (nested approximations as by H. Rue, S. Martino
//! and N. Chopin, J. R. Statist. Soc. B 71, 2009, section 3).

use rayon::prelude::*;

use crate::chance;
use crate::estimate::{AtLimits, Estimate, log_determinant};
use crate::form::Form;
use crate::latent::{LOG_SPAN, Latent, ONSET};
use crate::observation::{Censoring, Observation};
use crate::solve::{Prior, Problem};

/// Windows along the onset force and along the logarithm of the span.
const ONSET_WINDOWS: usize = 12;
const SPAN_WINDOWS: usize = 10;
/// Standard deviation of a window, in distances between them.
const SPREAD: f64 = 0.6;
/// Readings this many standard deviations from a limit are surely not at it.
const CLEAR: f64 = 4.0;
/// Scatters of a placed force that a range goes beyond the samples that bracket it.
const PLACED: f64 = 3.0;
/// How far beyond its brackets an end may lie, part of the span: two zeros in a row may both be small responses.
const MARGIN: f64 = 0.04;
/// Candidates with less than this share of the chances have no say.
const LEAST_SHARE: f64 = 0.02;
/// Where readings are too small to tell a response from none, this part of the chances is spread evenly over all
/// places that the samples bracket.
const EVEN: f64 = 0.3;
/// Windows over such places, and how much tighter than its width a resample is held there, against what the evidence
/// would have.
const OPEN_WINDOWS: usize = 4;
const HELD: f64 = 0.25;
/// A shape that is within so much of a limit, part of the rise, this part of the span from its end leaves the limit
/// gently; a straight one is 5 % away there, and its end is where the line meets the limit.
const GENTLE: f64 = 0.03;
const NEAR_END: f64 = 0.05;
/// Readings within this of a limit, fraction of full scale, or within so many standard deviations, may be such.
const TOE: f64 = 0.01;
const TOE_SPREADS: f64 = 3.0;
/// Windows with less chance than this are left out.
const LEAST_CHANCE: f64 = 1e-4;
/// A window need not be solved further than this.
const MOST_ITERATIONS: usize = 20;
const TOLERANCE: f64 = 1e-4;

/// A part of the range in which a parameter may lie.
#[derive(Clone)]
pub(crate) struct Window {
    /// The middle of the window and its standard deviation, in units of the parameter.
    pub(crate) mean: f64,
    pub(crate) spread: f64,
    /// Standard deviation by which a resample is held to its place in the window.
    held: f64,
    /// Its chance among the windows of the same parameter.
    pub(crate) chance: f64,
    /// The best response in it.
    pub(crate) latent: Latent,
}

impl Window {
    /// Holds a parameter about a place in this window.
    pub(crate) fn hold(&self, prior: &mut Prior, parameter: usize, mean: f64) {
        hold(prior, parameter, mean, self.held);
    }
}

/// The windows of an estimate.
#[derive(Clone)]
pub(crate) struct Windows {
    pub(crate) onset: Vec<Window>,
    /// Along the logarithm of the span; none where full scale was not reached.
    pub(crate) log_span: Vec<Window>,
    /// Logarithm of the evidence of the estimate, summed over the windows of the onset.
    pub(crate) evidence: f64,
}

/// The windows of every candidate with a share in the spline's chances; these are then shared out anew by the evidence
/// of the windows. `reached` where full scale was seen.
pub(crate) fn windows(
    observations: &[Observation],
    candidates: &[Estimate],
    chances: &mut [f64],
    reached: bool,
) -> Vec<Option<Windows>> {
    let is_spline = |candidate: &Estimate| candidate.latent.layout.form == Form::Spline;
    let splines = candidates
        .iter()
        .zip(&*chances)
        .filter(|(c, _)| is_spline(c));
    let whole: f64 = splines.map(|(_, chance)| chance).sum();
    let found: Vec<Option<Windows>> = candidates
        .par_iter()
        .zip(&*chances)
        .map(|(candidate, chance)| {
            let explored = is_spline(candidate) && *chance >= LEAST_SHARE * whole;
            explored.then(|| Windows::of(observations, candidate, reached))
        })
        .collect();
    let evidences: Vec<f64> = found
        .iter()
        .map(|windows| windows.as_ref().map_or(f64::NEG_INFINITY, |w| w.evidence))
        .collect();
    // Where no window could be solved the candidates stand as they are.
    if let Some(shares) = chance::chances(&evidences) {
        for ((candidate, chance), share) in candidates.iter().zip(chances).zip(shares) {
            if is_spline(candidate) {
                *chance = whole * share;
            }
        }
    }
    found
}

impl Windows {
    /// The windows of an estimate; `reached` where full scale was seen.
    pub(crate) fn of(observations: &[Observation], estimate: &Estimate, reached: bool) -> Self {
        let latent = &estimate.latent;
        let margin = MARGIN * latent.span();
        let Ends { onset, upper } = Ends::of(observations, &estimate.at_limits);
        let (low, high) = onset.range;
        let here = latent.onset();
        let places = evenly(
            (low - margin).max(0.0).min(here),
            high.max(here),
            ONSET_WINDOWS,
        );
        let gentle_start = latent.shape_value(NEAR_END) < GENTLE;
        // A response that begins only beyond readings that are not 0 takes them for scatter.
        let open = onset.open.filter(|(_, high)| gentle_start || here > *high);
        let (onset, evidence) = explored(observations, estimate, ONSET, places, open);
        let log_span = if reached {
            let log = |force: f64| (force - latent.onset()).max(1.0).ln();
            let here = latent.parameters[LOG_SPAN];
            let (low, high) = (log(upper.range.0), log(upper.range.1 + margin));
            let places = evenly(low.min(here), high.max(here), SPAN_WINDOWS);
            let gentle_end = latent.shape_value(1.0 - NEAR_END) > 1.0 - GENTLE;
            let end = latent.upper_end();
            let open = upper.open.filter(|(low, _)| gentle_end || end < *low);
            let open = open.map(|(low, high)| (log(low), log(high)));
            explored(observations, estimate, LOG_SPAN, places, open).0
        } else {
            Vec::new()
        };
        Self {
            onset,
            log_span,
            evidence: evidence + estimate.constant,
        }
    }
}

/// Between which forces onset and upper end lie whatever the shape, gf.
struct Ends {
    onset: End,
    upper: End,
}

/// Where an end of the response may lie.
struct End {
    /// Whatever the shape, gf.
    range: (f64, f64),
    /// Where readings are too near to the limit to tell a response from none: anywhere between these, gf.
    open: Option<(f64, f64)>,
}

impl Ends {
    fn of(observations: &[Observation], at: &AtLimits) -> Self {
        let mut sorted: Vec<&Observation> = observations.iter().collect();
        sorted.sort_by(|a, b| a.force.total_cmp(&b.force));
        let low = Bracket::of(&sorted, Censoring::NotAbove, at.low, |o| o.reading);
        let onset = End {
            range: (
                (low.at_limit[1].unwrap_or(0.0) - PLACED * at.onset_gf).max(0.0),
                low.clear + PLACED * at.onset_gf,
            ),
            open: (low.small > 0).then(|| {
                // Two small readings in a row may well have followed one that was read as 0.
                let last = low.at_limit[usize::from(low.small > 1)];
                (
                    (last.unwrap_or(0.0) - at.onset_gf).max(0.0),
                    low.first + at.onset_gf,
                )
            }),
        };
        sorted.reverse();
        let largest = sorted.first().map_or(0.0, |o| o.force);
        let high = Bracket::of(&sorted, Censoring::NotBelow, at.high, |o| 1.0 - o.reading);
        let beyond = 1.1 * largest;
        let upper = End {
            range: (
                (high.clear - PLACED * at.end_gf).max(0.0),
                high.at_limit[1].unwrap_or(beyond) + PLACED * at.end_gf,
            ),
            open: (high.small > 1).then(|| {
                let next = high.at_limit[0].unwrap_or(beyond);
                (high.first - at.end_gf, next + at.end_gf)
            }),
        };
        Self { onset, upper }
    }
}

/// What samples say coming from a limit.
struct Bracket {
    /// Forces of the last and the last but one reading at the limit before the first that is not.
    at_limit: [Option<f64>; 2],
    /// Force of the first reading that is not at the limit, and of the first that is clearly not.
    first: f64,
    clear: f64,
    /// How many readings from the first on are too near to the limit to tell.
    small: usize,
}

impl Bracket {
    /// `from_limit` is the distance of a reading from the limit.
    fn of(
        sorted: &[&Observation],
        limit: Censoring,
        sigma: f64,
        from_limit: impl Fn(&Observation) -> f64,
    ) -> Self {
        let start = sorted
            .iter()
            .position(|o| o.censoring != limit)
            .unwrap_or(0);
        let (before, rest) = sorted.split_at(start);
        let first = rest.first().map_or(0.0, |o| o.force);
        let clear = rest
            .iter()
            .find(|o| o.censoring != limit && from_limit(o) > CLEAR * sigma);
        let toe = TOE.max(TOE_SPREADS * sigma);
        Self {
            at_limit: [0, 1].map(|n| before.iter().rev().nth(n).map(|o| o.force)),
            first,
            clear: clear.map_or(first, |o| o.force),
            small: rest.iter().take_while(|o| from_limit(o) < toe).count(),
        }
    }
}

/// Evenly spaced middles, and the distance between them.
fn evenly(low: f64, high: f64, count: usize) -> (Vec<f64>, f64) {
    let step = ((high - low) / (count - 1) as f64).max(1e-6);
    ((0..count).map(|k| low + step * k as f64).collect(), step)
}

/// The best response in every window along a parameter, with its chance, and the logarithm of the evidence of all
/// together, but for what is the same everywhere. Part of the chances is spread evenly over what is `open`.
fn explored(
    observations: &[Observation],
    estimate: &Estimate,
    parameter: usize,
    (middles, step): (Vec<f64>, f64),
    open: Option<(f64, f64)>,
) -> (Vec<Window>, f64) {
    let spread = SPREAD * step;
    let here = estimate.latent.parameters[parameter];
    let after = middles.partition_point(|m| *m < here);
    let nearest = after.min(middles.len() - 1);
    let solve = |mean: f64, held: f64, from: &Latent| {
        window_solved(observations, estimate, parameter, mean, held, from)
    };
    let mut found: Vec<Option<(f64, Latent)>> = vec![None; middles.len()];
    // Outwards from the best place, each window starts from the one before it.
    let up = (nearest..middles.len()).map(|k| (k, k.checked_sub(1).filter(|_| k > nearest)));
    let down = (0..nearest).rev().map(|k| (k, Some(k + 1)));
    for (k, before) in up.chain(down) {
        found[k] = match before.map(|before| &found[before]) {
            None => solve(middles[k], spread, &estimate.latent),
            Some(Some((_, latent))) => solve(middles[k], spread, latent),
            Some(None) => None,
        };
    }
    let evidences = found.iter().flatten().map(|f| f.0);
    let best = evidences.clone().fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = evidences.map(|evidence| (evidence - best).exp()).sum();

    let mut windows = Vec::new();
    if let Some((low, high)) = open {
        let part = (high - low) / OPEN_WINDOWS as f64;
        for k in 0..OPEN_WINDOWS {
            let mean = low + part * (k as f64 + 0.5);
            let distance = |k: &usize| (middles[*k] - mean).abs();
            let solved = (0..middles.len()).filter(|k| found[*k].is_some());
            let near = solved.min_by(|a, b| distance(a).total_cmp(&distance(b)));
            let from = near
                .and_then(|k| found[k].as_ref())
                .map_or(&estimate.latent, |f| &f.1);
            let spread = SPREAD * part;
            windows.extend(solve(mean, HELD * spread, from).map(|(_, latent)| Window {
                mean,
                spread,
                held: HELD * spread,
                chance: EVEN / OPEN_WINDOWS as f64,
                latent,
            }));
        }
    }
    let rest = 1.0 - windows.iter().map(|window| window.chance).sum::<f64>();
    windows.extend(middles.into_iter().zip(found).filter_map(|(mean, found)| {
        let (evidence, latent) = found?;
        Some(Window {
            mean,
            spread,
            held: spread,
            chance: rest * (evidence - best).exp() / total,
            latent,
        })
    }));
    windows.retain(|window| window.chance > LEAST_CHANCE);
    (windows, best + total.ln())
}

/// The best response in one window, with the logarithm of its evidence.
fn window_solved(
    observations: &[Observation],
    estimate: &Estimate,
    parameter: usize,
    mean: f64,
    held: f64,
    from: &Latent,
) -> Option<(f64, Latent)> {
    let shifts = vec![0.0; observations.len()];
    let mut prior = estimate.prior.clone();
    hold(&mut prior, parameter, mean, held);
    let problem = Problem {
        prior: &prior,
        ..estimate.problem(observations, &shifts)
    };
    let mut parameters = from.parameters.clone();
    parameters[parameter] = mean;
    if parameter == ONSET {
        // The upper end stays where it is.
        parameters[LOG_SPAN] = (from.upper_end() - mean).max(1.0).ln();
    }
    let moved = from.with_parameters(parameters);
    let latent = problem.solve(moved, MOST_ITERATIONS, TOLERANCE).latent;
    let normal = problem.normal(&latent);
    let factor = (&normal.matrix + &prior.precision).cholesky()?;
    let fit = -0.5 * (normal.squares + problem.penalty(&latent));
    Some((fit - 0.5 * log_determinant(&factor.l()), latent))
}

fn hold(prior: &mut Prior, parameter: usize, mean: f64, spread: f64) {
    prior.precision[(parameter, parameter)] = 1.0 / (spread * spread);
    prior.mean[parameter] = mean;
}
