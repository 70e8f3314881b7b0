//! Where the values of the four quadrants lie.

/// Places of forces, readings, outputs and widths in a rectangle; the four axes meet at the centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QuadrantPlaces {
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) top: f64,
    pub(crate) bottom: f64,
    pub(crate) centre: (f64, f64),
    force_end_gf: f64,
    width_end: f64,
}

/// Room around for the numbers of the axes.
const LEFT: f64 = 52.0;
const RIGHT: f64 = 18.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 34.0;
/// Part of the width that forces take, and of the height that readings take.
const FORCES: f64 = 0.56;
const READINGS: f64 = 0.58;

/// A quadrant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quadrant {
    /// Upper right: force and reading.
    Response,
    /// Upper left: reading and output.
    Map,
    /// Lower left: output and width.
    Brush,
    /// Lower right: force and width.
    Result,
}

impl QuadrantPlaces {
    /// Places in a rectangle from `corner` of `size`, with axes up to a force and a width, both above 0.
    #[must_use]
    pub fn new(corner: (f64, f64), size: (f64, f64), force_end_gf: f64, width_end: f64) -> Self {
        let (left, top) = (corner.0 + LEFT, corner.1 + TOP);
        let right = (corner.0 + size.0 - RIGHT).max(left + 1.0);
        let bottom = (corner.1 + size.1 - BOTTOM).max(top + 1.0);
        Self {
            left,
            right,
            top,
            bottom,
            centre: (
                right - FORCES * (right - left),
                top + READINGS * (bottom - top),
            ),
            force_end_gf: force_end_gf.max(f64::MIN_POSITIVE),
            width_end: width_end.max(f64::MIN_POSITIVE),
        }
    }

    pub(crate) fn force_x(&self, force_gf: f64) -> f64 {
        self.centre.0 + (self.right - self.centre.0) * force_gf / self.force_end_gf
    }

    pub(crate) fn output_x(&self, output: f64) -> f64 {
        self.centre.0 - (self.centre.0 - self.left) * output
    }

    pub(crate) fn reading_y(&self, reading: f64) -> f64 {
        self.centre.1 - (self.centre.1 - self.top) * reading
    }

    pub(crate) fn width_y(&self, width: f64) -> f64 {
        self.centre.1 + (self.bottom - self.centre.1) * width / self.width_end
    }

    /// Of the response.
    #[must_use]
    pub fn response(&self, force_gf: f64, reading: f64) -> (f64, f64) {
        (self.force_x(force_gf), self.reading_y(reading))
    }

    /// Of the map.
    #[must_use]
    pub fn map(&self, reading: f64, output: f64) -> (f64, f64) {
        (self.output_x(output), self.reading_y(reading))
    }

    /// Of the brush.
    #[must_use]
    pub fn brush(&self, output: f64, width: f64) -> (f64, f64) {
        (self.output_x(output), self.width_y(width))
    }

    /// Of the result.
    #[must_use]
    pub fn result(&self, force_gf: f64, width: f64) -> (f64, f64) {
        (self.force_x(force_gf), self.width_y(width))
    }

    /// Reading and output at a place of the map's quadrant, beyond it too.
    #[must_use]
    pub fn map_at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (
            (self.centre.1 - y) / (self.centre.1 - self.top),
            (self.centre.0 - x) / (self.centre.0 - self.left),
        )
    }

    /// Force, gf, and width at a place of the result's quadrant, beyond it too.
    #[must_use]
    pub fn result_at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (
            (x - self.centre.0) / (self.right - self.centre.0) * self.force_end_gf,
            (y - self.centre.1) / (self.bottom - self.centre.1) * self.width_end,
        )
    }

    /// The quadrant that holds a place, if one does.
    #[must_use]
    pub fn quadrant(&self, (x, y): (f64, f64)) -> Option<Quadrant> {
        let inside = (self.left..=self.right).contains(&x) && (self.top..=self.bottom).contains(&y);
        inside.then_some(match (x >= self.centre.0, y <= self.centre.1) {
            (true, true) => Quadrant::Response,
            (false, true) => Quadrant::Map,
            (false, false) => Quadrant::Brush,
            (true, false) => Quadrant::Result,
        })
    }
}
