use std::ops::Deref;

use crate::point::Point;

/// A curve as a function of x on a closed interval.
///
/// # Outside the interval, and what is not a number
/// Beyond either end [`value`](Self::value) holds the value of that end and
/// [`slope`](Self::slope) is 0. At a corner the slope is that of the piece to the right, at the
/// upper end that of the piece to the left. A NaN goes in and comes out; an infinite x counts as
/// beyond the end. Nothing panics.
///
/// # Examples
/// ```
/// use evenhand_curve::{Curve, Point, Polyline};
///
/// let response = Polyline::new(vec![
///     Point::new(0.0, 0.0),
///     Point::new(20.0, 0.0),
///     Point::new(420.0, 1.0),
/// ])?;
/// assert_eq!(response.value(220.0), 0.5);
/// assert_eq!(response.inverse(0.25), 120.0);
/// assert_eq!(response.value(900.0), 1.0);
/// # Ok::<(), evenhand_curve::CurveError>(())
/// ```
pub trait Curve {
    /// The least and the greatest x.
    fn domain(&self) -> (f64, f64);

    /// The output at `x`.
    fn value(&self, x: f64) -> f64;

    /// The first derivative at `x`; may be infinite where the curve is vertical.
    fn slope(&self, x: f64) -> f64;

    /// The least x of the domain whose value is at least `y`, to rounding. The lower end if even
    /// that value is at least `y`, the upper end if no value is.
    fn inverse(&self, y: f64) -> f64;

    /// Every x between the ends, in any order, at which the curve is known to bend sharply: what is judged on a grid
    /// is judged there too. Empty for a smooth curve.
    fn bends(&self) -> Vec<f64> {
        Vec::new()
    }

    /// `n` points at evenly spaced x, both ends among them. With `n` of 1 the lower end alone.
    fn sample(&self, n: usize) -> Vec<Point> {
        let (low, high) = self.domain();
        even_steps(low, high, n)
            .map(|x| Point::new(x, self.value(x)))
            .collect()
    }
}

/// `n` evenly spaced numbers, the last exactly `high`.
pub(crate) fn even_steps(low: f64, high: f64, n: usize) -> impl Iterator<Item = f64> {
    let last = n.saturating_sub(1);
    (0..n).map(move |i| {
        if i == 0 {
            low
        } else if i == last {
            high
        } else {
            // Weighted ends, so that a wide interval cannot overflow.
            let share = i as f64 / last as f64;
            (low * (1.0 - share) + high * share).clamp(low.min(high), high.max(low))
        }
    })
}

/// What points to a curve is one: a reference, a box.
impl<P> Curve for P
where
    P: Deref,
    P::Target: Curve,
{
    fn domain(&self) -> (f64, f64) {
        (**self).domain()
    }

    fn value(&self, x: f64) -> f64 {
        (**self).value(x)
    }

    fn slope(&self, x: f64) -> f64 {
        (**self).slope(x)
    }

    fn inverse(&self, y: f64) -> f64 {
        (**self).inverse(y)
    }

    fn bends(&self) -> Vec<f64> {
        (**self).bends()
    }
}
