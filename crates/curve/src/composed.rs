use crate::curve::Curve;

/// One curve after another: `outer(inner(x))`, on the domain of the inner one.
#[derive(Debug, Clone, PartialEq)]
pub struct Composed<O, I> {
    outer: O,
    inner: I,
}

impl<O: Curve, I: Curve> Composed<O, I> {
    /// `outer` after `inner`.
    pub const fn new(outer: O, inner: I) -> Self {
        Self { outer, inner }
    }
}

impl<O: Curve, I: Curve> Curve for Composed<O, I> {
    fn domain(&self) -> (f64, f64) {
        self.inner.domain()
    }

    fn value(&self, x: f64) -> f64 {
        self.outer.value(self.inner.value(x))
    }

    fn slope(&self, x: f64) -> f64 {
        let inner = self.inner.slope(x);
        // A level inner curve stays level, however steep the outer one is.
        if inner == 0.0 {
            0.0
        } else {
            self.outer.slope(self.inner.value(x)) * inner
        }
    }

    /// Right where both curves rise.
    fn inverse(&self, y: f64) -> f64 {
        let (low, _) = self.domain();
        if y <= self.value(low) {
            low
        } else {
            self.inner.inverse(self.outer.inverse(y))
        }
    }

    fn bends(&self) -> Vec<f64> {
        let mut bends = self.inner.bends();
        let outer = self.outer.bends().into_iter();
        bends.extend(outer.map(|x| self.inner.inverse(x)));
        bends
    }
}
