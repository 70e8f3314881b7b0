//! What a receiver accepts, and the best map within it.
//!
//! A [`Profile`] describes a receiver by what it accepts. [`compile`] turns an ideal map into control
//! points with the least worst error the receiver allows, and a bound below which no legal map gets.
//! [`verify_legal`] and [`worst_error`] judge points without knowing how they were found. [`export`]
//! writes them in the forms that are read elsewhere. [`move_point`] and its like keep points legal that are
//! moved by hand, [`compile_around`] solves the others anew.

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
