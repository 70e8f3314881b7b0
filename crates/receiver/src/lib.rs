//! What a receiver accepts, and the best map within it.
//!
//! ```
//! use evenhand_curve::{MonotonePath, Point};
//! use evenhand_receiver::{compile, profile, verify_legal};
//!
//! let ideal = (0..=100).map(|i| f64::from(i) / 100.0);
//! let ideal = MonotonePath::new(ideal.map(|x| Point::new(x, x * x)).collect())?;
//! let receiver = profile("segments-8").ok_or("no such receiver")?;
//! let map = compile(receiver, &ideal)?;
//! assert!(map.lower_bound <= map.max_error && map.max_error < 0.004);
//! assert!(verify_legal(receiver, &map.control_points).is_ok());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! A [`Profile`] describes a receiver by what it accepts. [`compile`] turns an ideal map into control
//! points with the least worst error the receiver allows, and a bound below which no legal map gets.
//! [`verify_legal`] and [`worst_error`] judge points without knowing how they were found. [`export`]
//! writes them in the forms that are read elsewhere. [`move_point`] and its like keep points legal that are
//! moved by hand, [`compile_around`] solves the others anew. Readings, outputs and errors are fractions 0..1.
//!
//! It never reads files or clocks, knows no forces, and names no receiver by its maker.

mod check;
mod compile;
mod compile_error;
mod control_point;
mod edit;
mod export;
mod interpolation;
mod map_curve;
mod power_parameters;
mod profile;
mod quantisation;
mod solve;

pub use check::{RuleBroken, verify_legal, worst_error};
pub use compile::{CompileStatus, Compiled, compile, compile_around};
pub use compile_error::CompileError;
pub use control_point::ControlPoint;
pub use edit::{Freedom, add_point, freedom, move_point, remove_point};
pub use export::{CssError, CssLinear, ExportError, ExportForm, TypedPoints, export};
pub use interpolation::{MapInterpolation, UnknownInterpolation};
pub use map_curve::{MapCurve, MapCurveError};
pub use power_parameters::PowerParameters;
pub use profile::{CurveKind, DEFAULT_PROFILE, Ends, Grid, Profile, Rounding, profile, shipped};
pub use quantisation::{ASSUMED_LEVELS, Quantisation, quantisation, quantisation_of};
