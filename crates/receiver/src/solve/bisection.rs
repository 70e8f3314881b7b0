//! Closing in on the least error for which there is a map.

use super::tube::Plateaus;

/// The search ends when proof and answer are this near.
const CLOSE: f64 = 1e-11;
/// The first error that is tried; doubled until there is a map.
const FIRST_ERROR: f64 = 1.0 / 1024.0;
/// Halving 1 this often reaches the last digits.
const MOST_HALVINGS: usize = 60;
/// Where errors come in steps, this near the next lower one is tried at once.
const NEAR: f64 = 1e-4;
/// What a tie-break may add to the worst error: nothing but rounding.
const ROUNDING: f64 = 1e-12;

pub(crate) type Vertices = Vec<(f64, f64)>;

/// Tells the worst error of vertices.
pub(crate) type Measure<'a> = dyn Fn(&[(f64, f64)]) -> f64 + 'a;

/// A map and the errors around it.
pub(crate) struct BisectionResult {
    pub(crate) vertices: Vertices,
    /// Allowed error with which it was found.
    pub(crate) error: f64,
    /// Largest allowed error for which there is no map.
    pub(crate) infeasible: f64,
}

/// The least allowed error for which `attempt` gives a map. `measure` tells the error of a map (as far
/// as it can be avoided), which may be less than what was allowed.
///
/// With `stepped` (a grid) the errors of maps are discrete: once the search is near, a failure just
/// below the best map found proves it.
pub(crate) fn least_error(
    stepped: bool,
    attempt: &mut dyn FnMut(f64, Plateaus) -> Option<Vertices>,
    measure: &Measure<'_>,
) -> Option<BisectionResult> {
    let plateaus = Plateaus::default();
    // Nothing is below an error of nothing.
    if let Some(exact) = attempt(0.0, plateaus) {
        return Some(BisectionResult {
            vertices: exact,
            error: 0.0,
            infeasible: 0.0,
        });
    }
    // From below: a wide tube has many maps and takes long to search, and most optima are small.
    let (mut low, mut allowed) = (0.0, FIRST_ERROR);
    let vertices = loop {
        match attempt(allowed, plateaus) {
            Some(found) => break found,
            None if allowed >= 1.0 => return None,
            None => {
                low = allowed;
                allowed = (2.0 * allowed).min(1.0);
            }
        }
    };
    let high = measure(&vertices).min(allowed);
    let bracket = (low, high, CLOSE);
    Some(closed_in(stepped, bracket, vertices, attempt, measure))
}

/// Closes in on the least allowed error from an infeasible one and that of a map, until they are so close.
pub(crate) fn closed_in(
    stepped: bool,
    (low, high, close): (f64, f64, f64),
    mut vertices: Vertices,
    attempt: &mut dyn FnMut(f64, Plateaus) -> Option<Vertices>,
    measure: &Measure<'_>,
) -> BisectionResult {
    let plateaus = Plateaus::default();
    let (mut low, mut high) = (f64::min(low, high), high);
    for _ in 0..MOST_HALVINGS {
        if high - low <= close {
            break;
        }
        let middle = if stepped && high - low < NEAR {
            (high - CLOSE).max(low)
        } else {
            0.5 * (low + high)
        };
        match attempt(middle, plateaus) {
            Some(found) => {
                // A solution's own error may be far below what it was allowed, but never trust it
                // to be above.
                high = measure(&found).min(middle);
                vertices = found;
            }
            None => low = middle,
        }
        // A solution below what was thought infeasible would be rounding.
        low = f64::min(low, high);
    }
    BisectionResult {
        vertices,
        error: high,
        infeasible: low,
    }
}

/// Among maps of the same worst error, one that reaches full output as early as it may, and then one
/// that stays at no output as long as it may. The place is found by so many halvings.
pub(crate) fn hold_ends(
    found: BisectionResult,
    full_at: Option<f64>,
    zero_until: Option<f64>,
    halvings: usize,
    attempt: &mut dyn FnMut(f64, Plateaus) -> Option<Vertices>,
    measure: &Measure<'_>,
) -> BisectionResult {
    let allowed = found.error;
    let bound = measure(&found.vertices) + ROUNDING;
    let mut best = found.vertices;
    let mut plateaus = Plateaus::default();
    let mut works = |plateaus: Plateaus| attempt(allowed, plateaus).filter(|v| measure(v) <= bound);
    if let Some(from) = full_at.filter(|from| *from < 1.0) {
        let held = |at: f64| Plateaus {
            one_from: Some(at),
            ..plateaus
        };
        if let Some((at, vertices)) = nearest(from, 1.0, halvings, |at| works(held(at))) {
            plateaus.one_from = Some(at);
            best = vertices;
        }
    }
    if let Some(until) = zero_until.filter(|until| *until > 0.0) {
        let held = |at: f64| Plateaus {
            zero_until: Some(at),
            ..plateaus
        };
        if let Some((_, vertices)) = nearest(until, 0.0, halvings, |at| works(held(at))) {
            best = vertices;
        }
    }
    BisectionResult {
        vertices: best,
        ..found
    }
}

/// The place nearest to `wanted`, on the way to `easy`, where there is a map.
fn nearest(
    wanted: f64,
    easy: f64,
    halvings: usize,
    mut attempt: impl FnMut(f64) -> Option<Vertices>,
) -> Option<(f64, Vertices)> {
    if let Some(vertices) = attempt(wanted) {
        return Some((wanted, vertices));
    }
    let (mut fails, mut holds) = (wanted, easy);
    let mut best = None;
    for _ in 0..halvings {
        let middle = 0.5 * (fails + holds);
        match attempt(middle) {
            Some(vertices) => {
                holds = middle;
                best = Some((middle, vertices));
            }
            None => fails = middle,
        }
    }
    best
}
