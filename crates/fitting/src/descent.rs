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
pub(crate) trait Descent {
    /// Where the search stands.
    type Place;
    /// What is known of the neighbourhood of a place.
    type Lines;

    fn objective(&self, place: &Self::Place) -> f64;
    fn lines(&self, place: &Self::Place) -> Self::Lines;
    /// The place a damped step leads to; none where the step cannot be computed.
    fn step(&self, place: &Self::Place, lines: &Self::Lines, damping: f64) -> Option<Self::Place>;
    /// Whether a step was negligible.
    fn is_negligible(&self, step: &Step<'_, Self::Place>) -> bool;
}

/// A step that did not raise the objective.
pub(crate) struct Step<'a, P> {
    pub(crate) from: &'a P,
    pub(crate) to: &'a P,
    /// By how much the objective fell, and to what.
    pub(crate) gained: f64,
    pub(crate) objective: f64,
    pub(crate) damping: f64,
}

/// Where a search ended.
pub(crate) struct Ended<P> {
    pub(crate) place: P,
    pub(crate) objective: f64,
    pub(crate) status: SolveStatus,
    pub(crate) iterations: usize,
}

/// Damping below this is none at all: directions that the data hardly see would never arrive.
const LEAST_DAMPING: f64 = 1e-9;
const MOST_DAMPING: f64 = 1e8;
const EASE: f64 = 0.2;
const TIGHTEN: f64 = 5.0;

pub(crate) fn descend<D: Descent>(
    problem: &D,
    start: D::Place,
    first_damping: f64,
    most_iterations: usize,
) -> Ended<D::Place> {
    let mut at = Ended {
        objective: problem.objective(&start),
        place: start,
        status: SolveStatus::IterationLimit,
        iterations: 0,
    };
    let mut damping = first_damping;
    while at.iterations < most_iterations {
        at.iterations += 1;
        let lines = problem.lines(&at.place);
        loop {
            let candidate = problem.step(&at.place, &lines, damping);
            let tried = candidate.map(|candidate| (problem.objective(&candidate), candidate));
            // A comparison with NaN is false: what is no number is no progress.
            if let Some((tried, candidate)) = tried
                && tried <= at.objective
            {
                let gained = at.objective - tried;
                let negligible = problem.is_negligible(&Step {
                    from: &at.place,
                    to: &candidate,
                    gained,
                    objective: tried,
                    damping,
                });
                if negligible || gained > 0.0 {
                    at.place = candidate;
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
