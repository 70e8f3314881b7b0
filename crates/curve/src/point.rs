/// A point of the plane; the unit of either coordinate is the caller's.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// The input.
    pub x: f64,
    /// The output.
    pub y: f64,
}

impl Point {
    /// A point from its two coordinates.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    pub(crate) const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl From<(f64, f64)> for Point {
    fn from((x, y): (f64, f64)) -> Self {
        Self { x, y }
    }
}
