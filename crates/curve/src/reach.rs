//! Where a curve first gets as high as wanted.

/// The highest value up to and with each step, so that the first step to reach a level is found
/// by binary search whether or not the curve falls in between.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Reach {
    start: f64,
    highest: Vec<f64>,
}

/// The answer to "where first?".
enum First {
    /// The start is already high enough.
    AtStart,
    /// In this step, and no earlier.
    InStep(usize),
    /// The curve never gets there.
    Nowhere,
}

impl Reach {
    /// From the value at the start and the highest value of every step.
    pub(crate) fn new(start: f64, step_maxima: impl Iterator<Item = f64>) -> Self {
        let highest = step_maxima
            .scan(start, |so_far, maximum| {
                *so_far = so_far.max(maximum);
                Some(*so_far)
            })
            .collect();
        Self { start, highest }
    }

    /// The least x of a curve on `low..high` with a value of at least `y`: an end, or what `in_step`
    /// finds in the first step that gets there. NaN gives NaN.
    pub(crate) fn inverse(
        &self,
        y: f64,
        (low, high): (f64, f64),
        in_step: impl FnOnce(usize) -> f64,
    ) -> f64 {
        if y.is_nan() {
            return y;
        }
        match self.first(y) {
            First::AtStart => low,
            First::Nowhere => high,
            First::InStep(step) => in_step(step),
        }
    }

    fn first(&self, y: f64) -> First {
        if y <= self.start {
            return First::AtStart;
        }
        let step = self.highest.partition_point(|&h| h < y);
        if step < self.highest.len() {
            First::InStep(step)
        } else {
            First::Nowhere
        }
    }
}
