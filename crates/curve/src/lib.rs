//! Monotone curves: value, slope, inverse, composition.
//!
//! Everything here is a function of x on a closed interval that implements [`Curve`]; beyond the
//! interval it holds its end values. [`MonotonePath`] alone may run straight up. Curves are made
//! from finite points or refused with a [`CurveError`]; once made they never panic.
//!
//! Out of scope: fitting curves to data, and curves in the plane that are no functions of x.

mod bracket;
mod catmull_rom;
mod composed;
mod cubic_bezier;
mod cubic_chain;
mod curve;
mod error;
mod interpolation;
mod knots;
mod monotone_cubic;
mod monotone_path;
mod natural_cubic;
mod ordered;
mod planar;
mod point;
mod polyline;
mod power;
mod reach;
mod region;
mod simplify;
mod slope_rule;
mod unit_cubic;

pub use catmull_rom::CatmullRom;
pub use composed::Composed;
pub use cubic_bezier::CubicBezier;
pub use curve::Curve;
pub use error::CurveError;
pub use interpolation::Interpolation;
pub use knots::Knots;
pub use monotone_cubic::MonotoneCubic;
pub use monotone_path::MonotonePath;
pub use natural_cubic::NaturalCubic;
pub use point::Point;
pub use polyline::Polyline;
pub use power::Power;
pub use slope_rule::SlopeRule;
