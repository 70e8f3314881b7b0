//! Monotone curves: value, slope, inverse, composition.
//!
//! ```
//! use evenhand_curve::{Curve, Interpolation, Knots, Point};
//!
//! let points = [(0.0, 0.0), (0.3, 0.5), (1.0, 1.0)].map(Point::from);
//! let curve = Knots::new(points.to_vec(), Interpolation::MonotoneCubic)?;
//! assert_eq!(curve.value(0.3), 0.5);
//! assert!((curve.value(curve.inverse(0.8)) - 0.8).abs() < 1e-12);
//! assert_eq!(curve.value(2.0), 1.0);
//! # Ok::<(), evenhand_curve::CurveError>(())
//! ```
//!
//! This crate owns functions of x on a closed interval that implement [`Curve`]: [`Polyline`],
//! [`Knots`] with a named [`Interpolation`], [`CubicBezier`], [`Power`], and one after another,
//! [`Composed`]. Beyond the interval a curve holds its end values. [`MonotonePath`] alone may run
//! straight up. Units are the caller's. Curves are made from finite points or refused with a
//! [`CurveError`]; once made they never panic.
//!
//! It never fits curves to data, and knows no curves in the plane that are no functions of x.

mod bracket;
mod chain;
mod composed;
mod cubic_bezier;
mod cubics;
mod curve;
mod error;
mod interpolation;
mod knots;
mod line;
mod monotone_path;
mod planar;
mod point;
mod polyline;
mod power;
mod region;
mod simplify;
mod sorted_points;
mod unit_cubic;

pub use composed::Composed;
pub use cubic_bezier::CubicBezier;
pub use curve::Curve;
pub use error::CurveError;
pub use interpolation::Interpolation;
pub use knots::Knots;
pub use monotone_path::MonotonePath;
pub use point::Point;
pub use polyline::Polyline;
pub use power::Power;
