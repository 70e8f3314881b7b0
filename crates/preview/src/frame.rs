//! Where forces and readings lie in the picture.

use crate::tokens::{PLOT_HEIGHT, PLOT_INSET, PLOT_LEFT, PLOT_RIGHT};

/// The plotting area: force from 0 to `force_end` in gf, reading from 0 to 1.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Frame {
    pub(crate) top: f64,
    pub(crate) force_end: f64,
}

impl Frame {
    pub(crate) const LEFT: f64 = PLOT_LEFT;
    pub(crate) const RIGHT: f64 = PLOT_RIGHT;
    /// Between these, forces from 0 to the end of the axis lie.
    pub(crate) const FORCE_SPAN: f64 = PLOT_RIGHT - PLOT_LEFT - 2.0 * PLOT_INSET;

    pub(crate) fn new(top: f64, force_end: f64) -> Self {
        Self { top, force_end }
    }

    pub(crate) fn bottom(&self) -> f64 {
        self.top + PLOT_HEIGHT
    }

    /// Position of a force in gf, forces beyond the axis at its ends.
    pub(crate) fn x(&self, force_gf: f64) -> f64 {
        let part = (force_gf / self.force_end).clamp(0.0, 1.0);
        Self::LEFT + PLOT_INSET + part * Self::FORCE_SPAN
    }

    /// Position of a reading 0..1.
    pub(crate) fn y(&self, reading: f64) -> f64 {
        let height = PLOT_HEIGHT - 2.0 * PLOT_INSET;
        self.bottom() - PLOT_INSET - reading.clamp(0.0, 1.0) * height
    }

    /// Place of a force in gf with a reading.
    pub(crate) fn at(&self, (force_gf, reading): (f64, f64)) -> (f64, f64) {
        (self.x(force_gf), self.y(reading))
    }
}
