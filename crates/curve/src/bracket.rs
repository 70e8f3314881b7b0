//! Solving inside a bracket.

/// Bisection alone ends after some 1,100 halvings in the worst case (a root next to 0 in a
/// bracket of ordinary size); Newton steps make it about eight.
const MOST_STEPS: usize = 1_200;

/// The root of a non-decreasing residual between `low` (residual negative) and `high` (residual
/// not negative), to the last places of the argument.
///
/// `residual` gives value and derivative. Newton steps are taken while each at least halves the
/// residual and stays inside the bracket, halving the bracket otherwise. A point where the
/// residual is exactly 0 is returned at once; otherwise the upper end of the final bracket, a few
/// units in the last place wide. If the signs at the ends are not as promised, the nearer end is
/// approached.
pub(crate) fn rising_root(
    residual: impl Fn(f64) -> (f64, f64),
    low: f64,
    high: f64,
    start: f64,
) -> f64 {
    let (mut low, mut high) = (low, high);
    let mut x = if low < start && start < high {
        start
    } else {
        middle(low, high)
    };
    let mut residual_before = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        if !(low < x && x < high) {
            break;
        }
        let (r, derivative) = residual(x);
        if r == 0.0 {
            return x;
        }
        if r < 0.0 {
            low = x;
        } else {
            high = x;
        }
        let step = -r / derivative;
        // When Newton has arrived, overstep a little: only a bracket closed from both sides ends.
        let least_step = 4.0 * f64::EPSILON * x.abs();
        let newton = if step.abs() < least_step {
            x + least_step.copysign(step)
        } else {
            x + step
        };
        let fast = r.abs() <= 0.5 * residual_before || step.abs() < least_step;
        residual_before = r.abs();
        x = if fast && low < newton && newton < high {
            newton
        } else {
            middle(low, high)
        };
    }
    high
}

fn middle(low: f64, high: f64) -> f64 {
    0.5 * low + 0.5 * high
}
