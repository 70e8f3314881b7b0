//! The coefficients of a shape, and what a shape is at one place.

/// Trends that come before the hats among the coefficients of the spline.
pub(crate) const TRENDS: usize = 4;
/// Hat functions of the spline's log-slope.
pub(crate) const HATS: usize = 14;
/// Where the coefficient of a kink stands, behind those of the spline.
pub(crate) const KINK: usize = TRENDS + HATS;
/// The most coefficients that any form has.
pub(crate) const COEFFICIENTS: usize = KINK + 1;

/// Coefficients of a shape, those that a form does not have at zero.
pub(crate) type Coefficients = [f64; COEFFICIENTS];

/// Value and derivatives of a shape at one place.
pub(crate) struct ShapeAt {
    pub(crate) value: f64,
    pub(crate) slope: f64,
    pub(crate) gradient: Coefficients,
}
