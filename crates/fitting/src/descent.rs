//! Damped steps downhill: the loop behind every least-squares solve of this crate.
//!
//! The damping follows D. W. Marquardt, "An algorithm for least-squares estimation of nonlinear
//! parameters", J. SIAM 11 (1963): multiply the diagonal, accept what lowers the objective.

/// How a solve ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SolveStatus {
    /// The step became negligible.
    Converged,
    /// No damping lowers the objective any more: at the limit of rounding or of a kink.
    Stalled,
    /// The iteration limit came first.
    IterationLimit,
}

/// Something to be minimised by damped Gauss–Newton steps.
pub trait Descent {
    /// Where the search stands.
    type Point;
    /// What is known of the neighbourhood of a point: derivatives and residuals.
    type Lines;

    /// What is minimised; where it is not a number, the point is never accepted.
    fn objective(&self, point: &Self::Point) -> f64;
    /// The neighbourhood of a point.
    fn lines(&self, point: &Self::Point) -> Self::Lines;
    /// The point a damped step leads to; none where the step cannot be computed. `damping` is 0 or more, relative
    /// to the diagonal of the normal matrix.
    fn step(&self, point: &Self::Point, lines: &Self::Lines, damping: f64) -> Option<Self::Point>;
    /// Whether a step was negligible, which ends the search.
    fn is_negligible(&self, step: &Step<'_, Self::Point>) -> bool;
}

/// A step that did not raise the objective.
pub struct Step<'a, P> {
    /// Where it began.
    pub from: &'a P,
    /// Where it leads.
    pub to: &'a P,
    /// By how much the objective fell.
    pub gained: f64,
    /// To what it fell.
    pub objective: f64,
    /// How much it was damped.
    pub damping: f64,
}

/// Where a search ended.
pub struct DescentResult<P> {
    /// The point with the lowest objective found.
    pub point: P,
    /// The objective there.
    pub objective: f64,
    /// How the search ended.
    pub status: SolveStatus,
    /// Steps taken.
    pub iterations: usize,
}

/// Damping below this is none at all: directions that the data hardly see would never arrive.
const LEAST_DAMPING: f64 = 1e-9;
const MOST_DAMPING: f64 = 1e8;
const EASE: f64 = 0.2;
const TIGHTEN: f64 = 5.0;

/// Walks down from `start` by damped steps until a step is negligible, no damping lowers the objective, or
/// `most_iterations` steps were taken. `first_damping` is small (1e-6) where a full step is safe and 1e-3 or more
/// where the start may be far off.
pub fn descend<D: Descent>(
    problem: &D,
    start: D::Point,
    first_damping: f64,
    most_iterations: usize,
) -> DescentResult<D::Point> {
    let mut at = DescentResult {
        objective: problem.objective(&start),
        point: start,
        status: SolveStatus::IterationLimit,
        iterations: 0,
    };
    let mut damping = first_damping;
    while at.iterations < most_iterations {
        at.iterations += 1;
        let lines = problem.lines(&at.point);
        loop {
            let candidate = problem.step(&at.point, &lines, damping);
            let tried = candidate.map(|candidate| (problem.objective(&candidate), candidate));
            // A comparison with NaN is false: what is no number is no progress.
            if let Some((tried, candidate)) = tried
                && tried <= at.objective
            {
                let gained = at.objective - tried;
                let negligible = problem.is_negligible(&Step {
                    from: &at.point,
                    to: &candidate,
                    gained,
                    objective: tried,
                    damping,
                });
                if negligible || gained > 0.0 {
                    at.point = candidate;
                    at.objective = tried;
                }
                if negligible {
                    at.status = SolveStatus::Converged;
                    return at;
                }
                if gained > 0.0 {
                    damping *= EASE;
                    if damping < LEAST_DAMPING {
                        damping = 0.0;
                    }
                    break;
                }
            }
            damping = (TIGHTEN * damping).max(LEAST_DAMPING);
            if damping > MOST_DAMPING {
                at.status = SolveStatus::Stalled;
                return at;
            }
        }
    }
    at
}
